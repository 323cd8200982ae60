// SPDX-License-Identifier: Apache-2.0
#include "perisclera/teaching/teaching_set.h"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "case_sheets.h"
#include "case_slides.h"
#include "picture_grid.h"
#include "set_index.h"
#include "weighting.h"

namespace perisclera::teaching {

namespace {

using report::OutputFile;

void put(std::vector<OutputFile>& files, const std::string& folder, std::vector<OutputFile> more) {
    for (OutputFile& file : more) files.push_back({folder + file.path, std::move(file.bytes)});
}

/// Nothing of the answer is at hand here.
Result<std::vector<OutputFile>> student_files(const TeachingCase& one, std::size_t number, std::size_t& slides) {
    std::vector<OutputFile> files{{"question.html", one.question_page}};
    std::vector<report::GreyPixels> squares;
    for (std::size_t k = 0; k < one.pictures.size(); ++k) {
        const report::GreyPixels& p = one.pictures[k];
        // Written anew, so that nothing but pixels goes with them.
        auto png = report::grey_png(p.bytes, p.width, p.height);
        if (!png) return png.error();
        files.push_back({question_picture_path(k + 1), std::move(png).value()});
        squares.push_back(square_part(p));
    }
    auto sheet = question_sheet(one.question, squares, number);
    if (!sheet) return sheet.error();
    files.push_back({"sheet.pdf", std::move(sheet).value()});
    auto shown = question_slides(one.question, squares, number);
    if (!shown) return shown.error();
    slides = shown.value().size();
    put(files, "", std::move(shown).value());
    return files;
}

Result<std::vector<OutputFile>> teacher_files(const TeachingCase& one, const FigureOf& figure, std::size_t number, std::size_t& slides) {
    std::vector<OutputFile> files = one.answer_pages;
    auto sheet = key_sheet(one.question, one.answer, figure, number);
    if (!sheet) return sheet.error();
    files.push_back({"key.pdf", std::move(sheet).value()});
    auto shown = answer_slides(one.answer, figure, number);
    if (!shown) return shown.error();
    slides = shown.value().size();
    put(files, "", std::move(shown).value());
    return files;
}

std::array<PlateRow, 3> plate_of(const std::vector<SetCase>& cases) {
    std::vector<AnswerRecord> answers;
    for (const SetCase& c : cases) answers.push_back(c.answer);
    return plate_rows(answers);
}

}  // namespace

report::GreyPixels in_few_greys(report::GreyPixels pixels) {
    for (std::uint8_t& grey : pixels.bytes) grey = static_cast<std::uint8_t>((grey / 4 * 255 + 31) / 63);   // black stays black, white white
    return pixels;
}

Result<std::vector<OutputFile>> set_case_files(const TeachingCase& one, const FigureOf& figure, std::size_t number, SetCase& kept) {
    auto student = student_files(one, number, kept.slides);
    if (!student) return student.error();
    auto teacher = teacher_files(one, figure, number, kept.answer_slides);
    if (!teacher) return teacher.error();
    const std::string folder = case_folder(number);
    std::vector<OutputFile> files;
    put(files, "student/" + folder, std::move(student).value());
    put(files, "teacher/" + folder, std::move(teacher).value());
    return files;
}

Result<std::vector<OutputFile>> set_files(const std::vector<SetCase>& cases, const PictureOf& picture) {
    std::vector<QuestionRecord> asked;
    std::vector<AnswerRecord> answers;
    for (const SetCase& c : cases) asked.push_back(c.question), answers.push_back(c.answer);
    const bool simulated = std::any_of(answers.begin(), answers.end(), [](const AnswerRecord& a) { return a.simulated; });
    auto plate = plate_png(plate_of(cases), picture, simulated);
    if (!plate) return plate.error();
    auto sheet = set_sheet(asked);
    if (!sheet) return sheet.error();
    auto key = set_key(asked, answers);
    if (!key) return key.error();
    std::vector<std::size_t> slides;
    for (const SetCase& c : cases) slides.push_back(c.slides);
    return std::vector<OutputFile>{{"student/index.html", student_index(asked, slides)}, {"student/sheet.pdf", std::move(sheet).value()}, {"teacher/index.html", teacher_index(cases)},
                                   {"teacher/key.pdf", std::move(key).value()},          {"teacher/plate.png", std::move(plate).value()}, {"teacher/set.json", set_json(cases)}};
}

std::string set_json(const std::vector<SetCase>& cases) {
    using Json = nlohmann::ordered_json;
    Json json{{"format", "perisclera-teaching-set"}, {"format_version", 1}, {"cases", Json::array()}, {"plate", Json::array()}};
    for (std::size_t k = 0; k < cases.size(); ++k) {
        Json labels = Json::array();
        for (const StatedEye& eye : cases[k].answer.eyes)
            for (const StatedElement& element : eye.elements) labels.push_back({{"eye", name(eye.eye)}, {"element", element.id}, {"label", element.label}});
        json["cases"].push_back({{"number", k + 1}, {"level", name(cases[k].level.level)}, {"level_by_teacher", cases[k].level_by_teacher}, {"why", cases[k].level.why}, {"labels", labels}});
    }
    for (const PlateRow& row : plate_of(cases)) {
        Json cells = Json::array();
        for (const auto& cell : row.cells)
            cells.push_back(cell ? Json{{"case", cell->number}, {"eye", name(cell->figure.eye)}, {"element", cell->figure.element}, {"role", cell->figure.role}, {"date", cell->figure.date}} : Json());
        json["plate"].push_back({{"material", row.label}, {"cells", std::move(cells)}});
    }
    return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace perisclera::teaching
