// SPDX-License-Identifier: Apache-2.0
// The students' part of a set gives nothing away: not by bytes, nor by names, nor by text within its documents and pictures.
#include <gtest/gtest.h>

#include <regex>

#include "tests/teaching/set_run.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

std::string text_of_pdf(const fs::path& file) {
    const Ended told = run_child({"/usr/bin/pdftotext", "-layout", file.string(), "-"});
    EXPECT_EQ(told.status, 0) << told.error_text;
    return told.output_text;
}

/// The types of a PNG's chunks (PNG specification, 3rd edition, 5.3: length, type, data, check).
std::vector<std::string> chunks_of(const std::string& png) {
    std::vector<std::string> types;
    for (std::size_t at = 8; at + 12 <= png.size();) {
        std::size_t length = 0;
        for (std::size_t k = 0; k < 4; ++k) length = length << 8 | static_cast<unsigned char>(png[at + k]);
        types.push_back(png.substr(at + 4, 4));
        at += 12 + length;
    }
    return types;
}

/// By paths within the folder.
std::map<std::string, std::string> files_below(const fs::path& folder) {
    std::map<std::string, std::string> out;
    for (const auto& [path, bytes] : contents_of(folder)) out[path.lexically_relative(folder).generic_string()] = bytes;
    return out;
}

}  // namespace

TEST(SetForStudents, is_the_same_to_the_byte_whatever_the_answers) {
    const TestFolder folder;
    const PatientStudies patient = teaching::drawn_patient(7.0f);
    auto one = teaching::conclusion(report::Material::hydrogel, 0.97, Eye::right), other = teaching::conclusion(std::nullopt, 0.6, Eye::left);
    teaching::show_evenly(one, Eye::right, {70, std::nullopt, std::nullopt});
    teaching::write_case(folder.path() / "hydrogel-in-its-name", one, patient);
    teaching::write_case(folder.path() / "other", other, patient);
    const fs::path second = material_cases().solid;
    ASSERT_EQ(make_set({folder.path() / "hydrogel-in-its-name", second}, folder.path() / "set-1").status, 0);
    ASSERT_EQ(make_set({folder.path() / "other", second}, folder.path() / "set-2", {"--level", "1=introductory"}).status, 0);
    EXPECT_EQ(files_below(folder.path() / "set-1" / "student"), files_below(folder.path() / "set-2" / "student"));
    EXPECT_NE(files_below(folder.path() / "set-1" / "teacher"), files_below(folder.path() / "set-2" / "teacher"));
    EXPECT_TRUE(fs::exists(folder.path() / "set-1" / "student" / "case-2" / "question.html"));
}

TEST(SetForStudents, holds_no_word_of_an_answer_in_pages_documents_or_pictures) {
    const TestFolder folder;
    const fs::path planted = folder.path() / "planted";
    fs::copy(material_cases().hydrogel, planted, fs::copy_options::recursive);
    std::string answer = read_bytes(planted / "answer" / "answer.json");
    // In words of findings, keys and pictures.
    for (const char* key : {"headline", "title", "why", "shows", "plane"}) answer = std::regex_replace(answer, std::regex("\"" + std::string(key) + "\": \""), "$&Qzanswerw ");
    write_bytes(planted / "answer" / "answer.json", answer);
    ASSERT_EQ(make_set({planted, material_cases().sponge}, folder.path() / "set").status, 0);

    const std::regex telling("Qzanswerw|\\bR1\\b|\\bL1\\b|[Ii]ntroductory|[Ii]ntermediate|[Aa]dvanced|\\(right\\)|undetermined|certain|likely", std::regex::icase);
    std::size_t pages = 0, documents = 0, pictures = 0;
    for (const auto& [name, bytes] : files_below(folder.path() / "set" / "student")) {
        const fs::path path = name;
        EXPECT_FALSE(std::regex_search(path.string(), std::regex("hydrogel|sponge|solid|planted|answer", std::regex::icase))) << path;
        if (path.extension() == ".html") {
            ++pages;
            EXPECT_FALSE(std::regex_search(bytes, telling)) << path;
        } else if (path.extension() == ".pdf") {
            ++documents;
            const std::string text = text_of_pdf(folder.path() / "set" / "student" / path);
            EXPECT_FALSE(std::regex_search(text, telling)) << path << text;
            EXPECT_NE(text.find("For teaching only, not for diagnosis"), std::string::npos) << path;
        } else {
            ++pictures;
            for (const std::string& type : chunks_of(bytes)) EXPECT_TRUE(type == "IHDR" || type == "IDAT" || type == "IEND" || type == "bKGD") << path << ' ' << type;
        }
    }
    EXPECT_EQ(pages, 3U);       // the index and two questions
    EXPECT_EQ(documents, 3U);   // the set's sheet and two of cases
    EXPECT_EQ(pictures, 16U);   // six of each case, each with two slides
    // The same words are there for the teacher, so that this test can find them.
    EXPECT_NE(text_of_pdf(folder.path() / "set" / "teacher" / "case-1" / "key.pdf").find("Qzanswerw"), std::string::npos);
    EXPECT_NE(read_bytes(folder.path() / "set" / "teacher" / "index.html").find("Qzanswerw"), std::string::npos);
}

}  // namespace perisclera::test
