// SPDX-License-Identifier: Apache-2.0
#include "src/report/slice_sheet.h"

#include <algorithm>

#include "perisclera/report/canvas.h"

namespace perisclera::report {

std::size_t sheet_columns(const ScrollStack& stack) {
    std::size_t columns = 1;
    while (columns * columns < stack.slices.size()) ++columns;
    return columns;
}

Result<std::string> slice_sheet(const ScrollStack& stack) {
    const std::size_t of_slice = stack.width * stack.height, columns = sheet_columns(stack), rows = (stack.slices.size() + columns - 1) / columns;
    constexpr std::size_t widest = 16'000;   // pixels of the sheet; browsers and the drawing library go no farther than 32767
    if (of_slice == 0 || stack.slices.empty() || stack.pixels.size() != stack.slices.size() * of_slice || columns * stack.width > widest || rows * stack.height > widest)
        return Error{ErrorCode::bad_size, "the slices of a series do not fit their size", "report", "report this fault"};
    std::vector<std::uint8_t> sheet(columns * stack.width * rows * stack.height, 0);
    for (std::size_t k = 0; k < stack.slices.size(); ++k)
        for (std::size_t y = 0; y < stack.height; ++y) {
            const auto row = stack.pixels.begin() + static_cast<std::ptrdiff_t>(k * of_slice + y * stack.width);
            std::copy_n(row, stack.width, sheet.begin() + static_cast<std::ptrdiff_t>(((k / columns) * stack.height + y) * columns * stack.width + (k % columns) * stack.width));
        }
    return grey_png(sheet, static_cast<int>(columns * stack.width), static_cast<int>(rows * stack.height));
}

}  // namespace perisclera::report
