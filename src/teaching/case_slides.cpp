// SPDX-License-Identifier: Apache-2.0
#include "case_slides.h"

#include <algorithm>

#include "perisclera/core/text.h"
#include "slide.h"

namespace perisclera::teaching {

namespace {

using report::OutputFile;

Result<std::string> questions_slide(const QuestionRecord& question, std::size_t number) {
    Slide slide(say("set.slide_questions", {{"number", std::to_string(number)}}), question.simulated);
    constexpr double gap = 60.0;
    const Box room = Slide::room;
    const double half = (room.width - gap) / 2.0;
    const std::size_t left = (question.asked.size() + 1) / 2;
    const std::size_t rows = std::max<std::size_t>(1, left);
    for (std::size_t q = 0; q < question.asked.size(); ++q) {
        std::vector<std::string> lines{question.asked[q].id + ". " + question.asked[q].text};
        for (std::size_t c = 0; c < question.asked[q].choices.size(); ++c) lines.push_back(choice_letter(c) + "   " + question.asked[q].choices[c].text);
        const double tall = room.height / static_cast<double>(rows);
        fitted_text(slide.canvas(), lines, 1, {room.x + (q < left ? 0.0 : half + gap), room.y + static_cast<double>(q < left ? q : q - left) * tall, half, tall - 20.0}, 27.0, 18.0);
    }
    return slide.png();
}

/// The figures of one element, or of an eye without any: the outlined one first.
std::vector<const AnswerFigure*> figures_of(const AnswerRecord& answer, Eye eye, const std::string& element) {
    std::vector<const AnswerFigure*> out;
    std::string date;
    for (const AnswerFigure& f : answer.figures)
        if (f.eye == eye && f.element == element) date = std::max(date, f.date);
    for (const AnswerFigure& f : answer.figures)
        if (f.eye == eye && f.element == element && f.date == date) out.push_back(&f);
    return out;
}

constexpr double large = 760.0, small = 380.0, gap = 20.0;

/// One large, two more beside it one above the other.
std::optional<Error> draw_figures(report::Canvas& canvas, const std::vector<const AnswerFigure*>& figures, const FigureOf& figure) {
    constexpr double caption = 60.0;
    for (std::size_t k = 0; k < std::min<std::size_t>(3, figures.size()); ++k) {
        const AnswerFigure& f = *figures[k];
        const auto drawn = figure(f.outlined.empty() ? f.plain : f.outlined);
        if (!drawn) return drawn.error();
        const double x = k == 0 ? Slide::room.x : Slide::room.x + large + gap, y = Slide::room.y + (k == 2 ? small + caption : 0.0), side = k == 0 ? large : small;
        canvas.paint_grey(square_part(drawn.value()), x, y, side);
        canvas.grey(0.0);
        canvas.paragraph(say("set.figure", {{"shows", f.shows}, {"date", f.date}, {"plane", f.plane}}), x, y + side + 6.0, side, {k == 0 ? 20.0 : 15.0});
    }
    return std::nullopt;
}

Result<std::string> answer_slide(const AnswerRecord& answer, const StatedEye& eye, std::optional<std::size_t> element, const FigureOf& figure, std::size_t number) {
    Slide slide(say("set.slide_answer", {{"number", std::to_string(number)}}), answer.simulated);
    const auto figures = figures_of(answer, eye.eye, element ? eye.elements[*element].id : "");
    if (const auto error = draw_figures(slide.canvas(), figures, figure)) return *error;
    std::vector<std::string> words{eye.words.headline};
    std::size_t bold = 1;
    if (element) {
        const report::ElementFinding& told = eye.words.elements[*element];
        words.push_back(told.title);
        bold = 2;
        words.insert(words.end(), told.sentences.begin(), told.sentences.end());
    } else {
        words.insert(words.end(), eye.words.sentences.begin(), eye.words.sentences.end());
    }
    const double left = Slide::room.x + (figures.empty() ? 0.0 : large + 2.0 * gap) + (figures.size() > 1 ? small + gap : 0.0);
    fitted_text(slide.canvas(), words, bold, {left, Slide::room.y, Slide::room.x + Slide::room.width - left, Slide::room.height}, 30.0, 18.0);
    return slide.png();
}

}  // namespace

std::string choice_letter(std::size_t choice) { return std::string(1, static_cast<char>('A' + static_cast<int>(choice % 26))); }

Result<std::vector<OutputFile>> question_slides(const QuestionRecord& question, const std::vector<report::GreyPixels>& squares, std::size_t number) {
    std::vector<OutputFile> files;
    const auto add = [&](Result<std::string> png) -> std::optional<Error> {
        if (!png) return png.error();
        files.push_back({"slide-" + std::to_string(files.size() + 1) + ".png", std::move(png).value()});
        return std::nullopt;
    };
    // One series alone is shown larger with an eye in each row.
    const bool single = question.pictures.empty() || question.pictures.front().series == question.pictures.back().series;
    for (const PictureGrid& grid : picture_grids(question.pictures, single ? EyesGoBy::row : EyesGoBy::column)) {
        Slide slide(say("set.slide_question", {{"number", std::to_string(number)}}), question.simulated);
        Box box = Slide::room;
        if (!question.history.empty()) {
            constexpr double history = 90.0;
            fitted_text(slide.canvas(), {question.history}, 0, {box.x, box.y, box.width, history}, 26.0, 18.0);
            box.y += history, box.height -= history;
        }
        draw_grid(slide.canvas(), grid, squares, box, 19.0);
        if (const auto error = add(slide.png())) return *error;
    }
    if (const auto error = add(questions_slide(question, number))) return *error;
    return files;
}

Result<std::vector<OutputFile>> answer_slides(const AnswerRecord& answer, const FigureOf& figure, std::size_t number) {
    std::vector<OutputFile> files;
    const bool found = std::any_of(answer.eyes.begin(), answer.eyes.end(), [](const StatedEye& eye) { return !eye.elements.empty(); });
    for (const StatedEye& eye : answer.eyes) {
        std::vector<std::optional<std::size_t>> shown;
        for (std::size_t e = 0; e < eye.elements.size(); ++e) shown.emplace_back(e);
        if (!found && !figures_of(answer, eye.eye, "").empty()) shown.emplace_back();
        for (const auto& element : shown) {
            auto png = answer_slide(answer, eye, element, figure, number);
            if (!png) return png.error();
            files.push_back({"answer-slide-" + std::to_string(files.size() + 1) + ".png", std::move(png).value()});
        }
    }
    return files;
}

}  // namespace perisclera::teaching
