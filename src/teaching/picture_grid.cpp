// SPDX-License-Identifier: Apache-2.0
#include "picture_grid.h"

#include <algorithm>

#include "perisclera/core/text.h"

namespace perisclera::teaching {

namespace {

constexpr std::size_t most_series = 3;

std::string eye_word(Eye eye) { return eye == Eye::right ? say("side.right") : say("side.left"); }

/// Where the label stands in the list, put at its end if it is new.
std::size_t place_of(std::vector<std::string>& labels, const std::string& label) {
    const auto at = std::find(labels.begin(), labels.end(), label);
    const auto place = static_cast<std::size_t>(at - labels.begin());
    if (at == labels.end()) labels.push_back(label);
    return place;
}

}  // namespace

std::vector<PictureGrid> picture_grids(const std::vector<QuestionPicture>& pictures, EyesGoBy eyes) {
    std::vector<PictureGrid> grids;
    std::vector<int> series;   // on the last grid
    std::string date;
    for (std::size_t k = 0; k < pictures.size(); ++k) {
        const QuestionPicture& p = pictures[k];
        const bool known = std::find(series.begin(), series.end(), p.series) != series.end();
        if (grids.empty() || p.date != date || (!known && series.size() == most_series)) {
            grids.emplace_back();
            series.clear();
            date = p.date;
        }
        if (std::find(series.begin(), series.end(), p.series) == series.end()) series.push_back(p.series);
        // The number tells series of one kind apart.
        const std::string taken = say("set.series_label", {{"number", std::to_string(p.series)}, {"shows", p.shows}, {"date", p.date}});
        const bool by_row = eyes == EyesGoBy::row;
        PictureGrid& grid = grids.back();
        const std::size_t row = place_of(grid.rows, by_row ? eye_word(p.eye) + ". " + taken : taken);
        grid.cells.push_back({k, row, place_of(grid.columns, by_row ? p.plane : eye_word(p.eye) + ", " + p.plane)});
    }
    return grids;
}

void draw_grid(report::Canvas& canvas, const PictureGrid& grid, const std::vector<report::GreyPixels>& squares, Box box, double font_size) {
    const double gap = 0.4 * font_size, label_width = 9.0 * font_size;
    const auto rows = static_cast<double>(grid.rows.size()), columns = static_cast<double>(grid.columns.size());
    const report::Font font{font_size}, strong{font_size, true};
    const double across = (box.width - label_width) / columns - gap;
    double head = 0.0;
    for (const std::string& label : grid.columns) head = std::max(head, canvas.paragraph_height(label, std::min(across, box.height / rows), font));
    const double side = std::min(across, (box.height - head) / rows - gap);
    canvas.grey(0.0);
    for (std::size_t c = 0; c < grid.columns.size(); ++c) canvas.paragraph(grid.columns[c], box.x + label_width + static_cast<double>(c) * (side + gap), box.y, side, font);
    for (std::size_t r = 0; r < grid.rows.size(); ++r) canvas.paragraph(grid.rows[r], box.x, box.y + head + gap + static_cast<double>(r) * (side + gap), label_width - gap, strong);
    for (const PictureGrid::Cell& cell : grid.cells)
        canvas.paint_grey(squares[cell.picture], box.x + label_width + static_cast<double>(cell.column) * (side + gap), box.y + head + gap + static_cast<double>(cell.row) * (side + gap), side);
    canvas.grey(0.0);
}

report::GreyPixels square_part(const report::GreyPixels& drawn) {
    const int side = std::min(drawn.width, drawn.height);
    return {drawn.width, side, {drawn.bytes.begin(), drawn.bytes.begin() + static_cast<std::ptrdiff_t>(drawn.width) * side}};
}

report::GreyPixels halved(const report::GreyPixels& pixels) {
    report::GreyPixels half{pixels.width / 2, pixels.height / 2, {}};
    const auto at = [&](int x, int y) { return static_cast<unsigned>(pixels.bytes[static_cast<std::size_t>(y) * static_cast<std::size_t>(pixels.width) + static_cast<std::size_t>(x)]); };
    for (int y = 0; y < half.height; ++y)
        for (int x = 0; x < half.width; ++x)
            half.bytes.push_back(static_cast<std::uint8_t>((at(2 * x, 2 * y) + at(2 * x + 1, 2 * y) + at(2 * x, 2 * y + 1) + at(2 * x + 1, 2 * y + 1) + 2u) / 4u));
    return half;
}

}  // namespace perisclera::teaching
