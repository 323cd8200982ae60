// SPDX-License-Identifier: Apache-2.0
#pragma once
// The comparison plate of a set: solid silicone, sponge and hydrogel (rows) on CT, T1 and T2 (columns), each material from one case of the set, in the plane through the element.
#include <array>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "perisclera/report/canvas.h"
#include "perisclera/teaching/answer_record.h"

namespace perisclera::teaching {

struct PlateCell {
    std::size_t number;      ///< of the case, from 1
    AnswerFigure figure;
};

struct PlateRow {
    std::string label;                 ///< the report's word of the material
    std::optional<std::size_t> number; ///< of the case that shows it, from 1; nothing where none does
    std::array<std::optional<PlateCell>, 3> cells;   ///< CT, T1, T2; empty where the case has no such picture
};

/// The case of each material with the most of the three series, then the surest label, then the first.
std::array<PlateRow, 3> plate_rows(const std::vector<AnswerRecord>& answers);

using PictureOf = std::function<Result<report::GreyPixels>(const PlateCell&)>;
/// As PNG. Errors: those of `picture`, internal_fault.
Result<std::string> plate_png(const std::array<PlateRow, 3>& rows, const PictureOf& picture, bool simulated);

}  // namespace perisclera::teaching
