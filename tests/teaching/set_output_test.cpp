// SPDX-License-Identifier: Apache-2.0
// What a set holds: sheets as a printer needs them, slides of their size, levels, and the plate's cells from the right case and series.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <sstream>

#include "perisclera/report/canvas.h"
#include "perisclera/teaching/case_level.h"
#include "tests/teaching/set_run.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

/// Made once for all tests of a process.
const fs::path& made_set() {
    static const fs::path* const set = [] {
        auto* folder = new TestFolder;
        auto* out = new fs::path(folder->path() / "set");
        const auto& cases = material_cases();
        EXPECT_EQ(make_set({cases.hydrogel, cases.solid, cases.sponge}, *out, {"--level", "2=advanced"}).status, 0);
        return out;
    }();
    return *set;
}

struct PdfFacts {
    int pages = 0;
    std::string size;
};

PdfFacts facts_of(const fs::path& file) {
    const Ended told = run_child({"/usr/bin/pdfinfo", file.string()});
    EXPECT_EQ(told.status, 0) << told.error_text;
    PdfFacts facts;
    std::istringstream lines(told.output_text);
    for (std::string line; std::getline(lines, line);) {
        if (line.starts_with("Pages:")) facts.pages = std::stoi(line.substr(6));
        if (line.starts_with("Page size:")) facts.size = line;
    }
    return facts;
}

struct Patch {
    double pixels = 0, x = 0, y = 0;   ///< how many, and their middle
};

/// By grey, to the nearest ten: scaling may round.
std::map<int, Patch> patches_of(const report::GreyPixels& picture) {
    std::map<int, Patch> patches;
    for (int y = 0; y < picture.height; ++y)
        for (int x = 0; x < picture.width; ++x) {
            Patch& p = patches[(picture.bytes[static_cast<std::size_t>(y) * static_cast<std::size_t>(picture.width) + static_cast<std::size_t>(x)] + 5) / 10 * 10];
            p.x = (p.x * p.pixels + x) / (p.pixels + 1), p.y = (p.y * p.pixels + y) / (p.pixels + 1);
            p.pixels += 1;
        }
    return patches;
}

report::GreyPixels picture_at(const fs::path& file) { return report::grey_pixels(read_bytes(file)).value(); }

}  // namespace

// ISO 216: A4 is 210 by 297 mm, 595.3 by 841.9 points; poppler names it.
TEST(Set, sheets_are_a4_of_two_pages_with_their_letters_embedded) {
    for (const char* file : {"student/case-1/sheet.pdf", "student/case-2/sheet.pdf", "student/case-3/sheet.pdf"}) EXPECT_EQ(facts_of(made_set() / file).pages, 2) << file;
    for (const char* file : {"student/sheet.pdf", "student/case-1/sheet.pdf", "teacher/key.pdf", "teacher/case-1/key.pdf"}) {
        EXPECT_NE(facts_of(made_set() / file).size.find("(A4)"), std::string::npos) << file << facts_of(made_set() / file).size;
        const Ended fonts = run_child({"/usr/bin/pdffonts", (made_set() / file).string()});
        std::istringstream lines(fonts.output_text);
        int letters = 0;
        for (std::string line; std::getline(lines, line);) {
            if (line.find("DejaVu") == std::string::npos) continue;
            ++letters;
            std::istringstream words(line.substr(line.find("yes") == std::string::npos ? 0 : line.find("yes")));
            std::string embedded;
            words >> embedded;
            EXPECT_EQ(embedded, "yes") << line;
        }
        EXPECT_GE(letters, 2) << file << fonts.output_text;   // plain and bold
    }
}

TEST(Set, slides_are_1920_by_1080) {
    for (const char* file : {"student/case-1/slide-1.png", "student/case-1/slide-2.png", "teacher/case-1/answer-slide-1.png", "teacher/case-2/answer-slide-1.png"}) {
        const report::GreyPixels slide = picture_at(made_set() / file);
        EXPECT_EQ(slide.width, 1920) << file;
        EXPECT_EQ(slide.height, 1080) << file;
    }
}

TEST(Set, cells_of_the_plate_come_from_the_right_case_and_series) {
    // Every picture is of one grey that no other has (set_run.h).
    auto patches = patches_of(picture_at(made_set() / "teacher" / "plate.png"));
    constexpr double large = 100.0 * 100.0;
    const std::array<std::array<int, 3>, 3> expected{{{100, 110, 120}, {130, 140, -1}, {70, 80, 90}}};   // solid, sponge, hydrogel; CT, T1, T2
    double above = 0.0;
    for (const auto& row : expected) {
        double before = 0.0;
        for (const int grey : row) {
            if (grey < 0) continue;
            EXPECT_GT(patches[grey].pixels, large) << grey;
            EXPECT_GT(patches[grey].x, before + 100.0) << grey;
            EXPECT_GT(patches[grey].y, above + 100.0) << grey;
            before = patches[grey].x;
        }
        above = patches[row[0]].y;
    }
    const auto told = nlohmann::json::parse(read_bytes(made_set() / "teacher" / "set.json"));
    EXPECT_EQ(told["plate"][1]["material"], "silicone_sponge");
    EXPECT_EQ(told["plate"][1]["cells"][0]["case"], 3);
    EXPECT_TRUE(told["plate"][1]["cells"][2].is_null());
}

TEST(Set, an_answer_slide_shows_the_picture_of_its_own_case) {
    EXPECT_GT(patches_of(picture_at(made_set() / "teacher/case-1/answer-slide-1.png"))[70].pixels, 200.0 * 200.0);
    EXPECT_GT(patches_of(picture_at(made_set() / "teacher/case-2/answer-slide-1.png"))[100].pixels, 200.0 * 200.0);
}

TEST(Set, index_for_the_teacher_tells_levels_and_that_one_was_set_by_the_teacher) {
    const auto told = nlohmann::json::parse(read_bytes(made_set() / "teacher" / "set.json"));
    EXPECT_EQ(told["cases"][0]["level"], "intermediate");   // 97 %
    EXPECT_EQ(told["cases"][1]["level"], "advanced");
    EXPECT_EQ(told["cases"][1]["level_by_teacher"], true);
    const std::string index = read_bytes(made_set() / "teacher" / "index.html");
    EXPECT_NE(index.find("Set by the teacher."), std::string::npos);
    EXPECT_NE(index.find("For teaching only, not for diagnosis"), std::string::npos);
}

TEST(Set, every_link_of_both_index_pages_leads_to_a_file_of_the_set) {
    for (const char* folder : {"student", "teacher"}) {
        const std::string index = read_bytes(made_set() / folder / "index.html");
        int links = 0;
        for (const char* attribute : {"href=\"", "src=\""})
            for (std::size_t at = index.find(attribute); at != std::string::npos; at = index.find(attribute, at + 1), ++links) {
                const std::size_t from = at + std::string(attribute).size();
                const std::string to = index.substr(from, index.find('"', from) - from);
                EXPECT_TRUE(fs::exists(made_set() / folder / to)) << to;
            }
        EXPECT_GT(links, 9) << folder;
    }
}

// Which facts count is the project's own rule, common practice, no source.
TEST(Level, is_harder_for_look_alikes_and_what_is_not_settled) {
    using teaching::AnswerRecord;
    using teaching::Level;
    const auto level = [](const std::string& label, double probability, std::vector<std::string> roles, const std::string& presence = "present") {
        AnswerRecord answer{false, 1, std::move(roles), {{Eye::right, presence, {{"R1", label, probability}}, {}}}, {}, {}, {}};
        return teaching::level_of(answer).level;
    };
    EXPECT_EQ(level("hydrogel", 0.999, {"ct_soft", "t1", "t2"}), Level::introductory);
    EXPECT_EQ(level("hydrogel", 0.96, {"ct_soft", "t1", "t2"}), Level::intermediate);
    EXPECT_EQ(level("hydrogel", 0.999, {"ct_soft"}), Level::intermediate);
    EXPECT_EQ(level("undetermined", 0.6, {"ct_soft", "t1", "t2"}), Level::advanced);
    EXPECT_EQ(level("other", 0.999, {"ct_soft", "t1", "t2"}), Level::advanced);
    EXPECT_EQ(level("hydrogel", 0.999, {"ct_soft", "t1", "t2"}, "uncertain"), Level::advanced);
    EXPECT_EQ(teaching::level_of({}).level, Level::advanced);   // nothing found
}

}  // namespace perisclera::test
