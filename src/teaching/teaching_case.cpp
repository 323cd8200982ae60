// SPDX-License-Identifier: Apache-2.0
#include "perisclera/teaching/teaching_case.h"

#include <fstream>
#include <set>
#include <sstream>

#include "perisclera/core/sha256.h"
#include "record_json.h"

namespace perisclera::teaching {

namespace {

namespace fs = std::filesystem;

Result<std::string> bytes_of(const fs::path& path, const std::string& missing) {
    constexpr std::uintmax_t most_bytes = 64u << 20;
    std::error_code problem;
    if (!fs::is_regular_file(path, problem)) return record_refused(missing);
    const std::uintmax_t bytes = fs::file_size(path, problem);
    if (problem) return record_refused(missing);
    if (bytes > most_bytes) return Error{ErrorCode::limit_reached, "a file of the case is larger than 64 MB", "teaching file", "give folders that teach wrote"};
    std::ifstream file(path, std::ios::binary);
    std::ostringstream text;
    text << file.rdbuf();
    if (!file) return record_refused("a file of the case cannot be read");
    return text.str();
}

Result<report::GreyPixels> picture_at(const fs::path& path) {
    const auto png = bytes_of(path, "a picture of the case is missing");
    if (!png) return png.error();
    auto pixels = report::grey_pixels(png.value());
    // Drawn pictures are 640 wide and a little higher; their upper square is what is imaged.
    if (!pixels || pixels.value().height < pixels.value().width) return record_refused("a picture of the case is none that this program drew");
    return pixels;
}

}  // namespace

Result<TeachingCase> read_teaching_case(const fs::path& folder) {
    const auto page = bytes_of(folder / "question" / "question.html", "the folder is no teaching file");
    if (!page) return page.error();
    const auto asked = bytes_of(folder / "question" / "question.json", "the case was made by an earlier version");
    if (!asked) return asked.error();
    const auto answered = bytes_of(folder / "answer" / "answer.json", "the case has no answer, or was made by an earlier version");
    if (!answered) return answered.error();
    auto question = parse_question(asked.value());
    if (!question) return question.error();
    auto answer = parse_answer(answered.value());
    if (!answer) return answer.error();
    TeachingCase one{std::move(question).value(), std::move(answer).value(), page.value(), {}, {}};
    if (one.answer.keys.size() != one.question.asked.size()) return record_refused("questions and key of the case do not belong together");
    for (std::size_t q = 0; q < one.answer.keys.size(); ++q)
        for (const std::size_t right : one.answer.keys[q].right)
            if (right >= one.question.asked[q].choices.size()) return record_refused("questions and key of the case do not belong together");
    for (std::size_t k = 1; k <= one.question.pictures.size(); ++k) {
        auto pixels = picture_at(folder / "question" / question_picture_path(k));
        if (!pixels) return pixels.error();
        one.pictures.push_back(std::move(pixels).value());
    }
    for (const char* name : {"answer.html", "report.html", "report.pdf"}) {
        auto bytes = bytes_of(folder / "answer" / name, "a page of the case's answer is missing");
        if (!bytes) return bytes.error();
        one.answer_pages.push_back({name, std::move(bytes).value()});
    }
    return one;
}

Result<report::GreyPixels> read_figure(const fs::path& folder, const std::string& figure) { return picture_at(folder / "answer" / figure); }

std::string digest_of_pictures(const TeachingCase& one) {
    // The order of series differs from one run of teach to the next, with their new UIDs.
    std::multiset<std::string> of_each;
    for (const report::GreyPixels& p : one.pictures) of_each.insert(hexadecimal(Sha256().add(std::string_view(reinterpret_cast<const char*>(p.bytes.data()), p.bytes.size())).digest()));
    Sha256 digest;
    for (const std::string& of_one : of_each) digest.add(of_one);
    return hexadecimal(digest.digest());
}

}  // namespace perisclera::teaching
