// SPDX-License-Identifier: Apache-2.0
#include "perisclera/teaching/comparison_plate.h"

#include <algorithm>
#include <cmath>

#include "perisclera/core/text.h"
#include "perisclera/report/wording.h"
#include "perisclera/teaching/question.h"
#include "picture_grid.h"
#include "slide.h"
#include "weighting.h"

namespace perisclera::teaching {

namespace {

using report::Canvas;

constexpr int side = 440, gap = 20, margin = 40, label_width = 250, head = 170, caption = 74, foot = 60;

std::string words_of_label(const std::string& label) {
    if (label == "solid_silicone") return say("set.material_solid_silicone");
    return label == "silicone_sponge" ? say("set.material_silicone_sponge") : say("set.material_hydrogel");
}

struct Candidate {
    std::array<std::optional<PlateCell>, 3> cells;
    double probability;
    [[nodiscard]] auto rank() const { return std::pair(std::count_if(cells.begin(), cells.end(), [](const auto& c) { return c.has_value(); }), probability); }
};

Candidate candidate(const AnswerRecord& answer, std::size_t number, Eye eye, const StatedElement& element) {
    Candidate out{{}, element.probability};
    std::string date;
    for (const AnswerFigure& f : answer.figures)
        if (f.eye == eye && f.element == element.id) date = std::max(date, f.date);   // labels are those of the latest
    for (const AnswerFigure& f : answer.figures) {
        const auto weighting = weighting_of(f.role);
        if (f.eye != eye || f.element != element.id || f.date != date || !weighting) continue;
        auto& cell = out.cells[static_cast<std::size_t>(*weighting)];
        if (!cell) cell = PlateCell{number, f};
    }
    return out;
}

/// From outside towards the element, ending just before it.
void draw_arrow(Canvas& canvas, std::array<double, 2> tip, double x, double y) {
    const double dx = tip[0] - 0.5, dy = tip[1] - 0.5, length = std::max(1e-6, std::hypot(dx, dy));
    const double ux = dx / length, uy = dy / length;
    const auto at = [&](double out, double aside) {
        return report::PixelPoint{x + side * tip[0] + out * ux - aside * uy, y + side * tip[1] + out * uy + aside * ux};
    };
    canvas.cased_path({at(44, 0), at(8, 0)}, false, false, 2.5);
    canvas.cased_path({at(20, -8), at(8, 0), at(20, 8)}, false, false, 2.5);
}

void draw_missing(Canvas& canvas, const std::string& words, double x, double y) {
    canvas.grey(0.93);
    canvas.fill(x, y, side, side);
    canvas.grey(0.0);
    canvas.paragraph(words, x + 30, y + side / 2.0 - 30, side - 60, {20.0});
}

std::string caption_of(const PlateCell& cell) {
    const bool fine = cell.figure.white - cell.figure.black < 10.0;
    return say("set.plate_caption", {{"number", std::to_string(cell.number)}, {"shows", cell.figure.shows}, {"eye", name(cell.figure.eye)},
                                     {"black", report::fixed(cell.figure.black, fine ? 2 : 0)}, {"white", report::fixed(cell.figure.white, fine ? 2 : 0)}});
}

}  // namespace

std::array<PlateRow, 3> plate_rows(const std::vector<AnswerRecord>& answers) {
    std::array<PlateRow, 3> rows;
    constexpr std::array<const char*, 3> labels{"solid_silicone", "silicone_sponge", "hydrogel"};
    for (std::size_t r = 0; r < rows.size(); ++r) {
        rows[r].label = labels[r];
        std::optional<Candidate> best;
        for (std::size_t k = 0; k < answers.size(); ++k)
            for (const StatedEye& eye : answers[k].eyes)
                for (const StatedElement& element : eye.elements) {
                    if (element.label != labels[r]) continue;
                    Candidate one = candidate(answers[k], k + 1, eye.eye, element);
                    if (best && one.rank() <= best->rank()) continue;
                    rows[r].number = k + 1;
                    best = std::move(one);
                }
        if (best) rows[r].cells = std::move(best->cells);
    }
    return rows;
}

Result<std::string> plate_png(const std::array<PlateRow, 3>& rows, const PictureOf& picture, bool simulated) {
    const std::array<std::string, 3> columns{say("set.plate_ct"), say("set.plate_t1"), say("set.plate_t2")};
    constexpr int width = 2 * margin + label_width + 3 * side + 2 * gap, height = head + 3 * (side + caption) + foot;
    Canvas canvas = Canvas::picture(width, height);
    canvas.grey(0.0);
    canvas.paragraph(say("set.plate_title") + (simulated ? "  " + say("pdf.simulated_data") : ""), margin, 28, width - 2.0 * margin, {34.0, true});
    canvas.paragraph(say("set.plate_how"), margin, 78, width - 2.0 * margin, {18.0});
    for (std::size_t c = 0; c < columns.size(); ++c)
        canvas.paragraph(columns[c], margin + label_width + static_cast<double>(c) * (side + gap), head - 36.0, side, {24.0, true});
    for (std::size_t r = 0; r < rows.size(); ++r) {
        const double y = head + static_cast<double>(r) * (side + caption);
        canvas.paragraph(words_of_label(rows[r].label), margin, y + 4, label_width - 24.0, {24.0, true});
        for (std::size_t c = 0; c < columns.size(); ++c) {
            const double x = margin + label_width + static_cast<double>(c) * (side + gap);
            const auto& cell = rows[r].cells[c];
            if (!cell) {
                draw_missing(canvas, rows[r].number ? say("set.plate_no_series", {{"number", std::to_string(*rows[r].number)}, {"series", columns[c]}}) : say("set.plate_no_case"), x, y);
                continue;
            }
            const auto drawn = picture(*cell);
            if (!drawn) return drawn.error();
            canvas.paint_grey(square_part(drawn.value()), x, y, side);
            if (cell->figure.tip) draw_arrow(canvas, *cell->figure.tip, x, y);
            canvas.grey(0.0);
            canvas.paragraph(caption_of(*cell), x, y + side + 6, side, {16.0});
        }
    }
    canvas.paragraph(caution, margin, height - foot + 14.0, width - 2.0 * margin, {18.0, true});
    return grey_picture(canvas);
}

}  // namespace perisclera::teaching
