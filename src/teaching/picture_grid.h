// SPDX-License-Identifier: Apache-2.0
#pragma once
// A question's pictures in rows and columns, as slides and sheets show them: a row for each series (or for each eye of it), a column for each plane (or for each of each eye).
#include <cstddef>
#include <string>
#include <vector>

#include "perisclera/report/canvas.h"
#include "perisclera/teaching/question_record.h"

namespace perisclera::teaching {

struct PictureGrid {
    struct Cell {
        std::size_t picture, row, column;
    };
    std::vector<std::string> rows, columns;   ///< their labels
    std::vector<Cell> cells;
};

enum class EyesGoBy { column, row };

/// At most three series on a grid, and one date.
std::vector<PictureGrid> picture_grids(const std::vector<QuestionPicture>& pictures, EyesGoBy eyes);

struct Box {
    double x, y, width, height;
};

/// As large as the box allows, labels above and at the left. `squares`: all pictures of the case, as square_part() leaves them.
void draw_grid(report::Canvas& canvas, const PictureGrid& grid, const std::vector<report::GreyPixels>& squares, Box box, double font_size);

/// A drawn picture without the caption beneath it.
report::GreyPixels square_part(const report::GreyPixels& drawn);
/// Half as wide and high, each pixel the mean of four: what a printed page can show.
report::GreyPixels halved(const report::GreyPixels& pixels);

}  // namespace perisclera::teaching
