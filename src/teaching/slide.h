// SPDX-License-Identifier: Apache-2.0
#pragma once
// A picture to be shown to a room: 1920 by 1080 pixels, title above, the caution below.
#include <string>

#include "picture_grid.h"

namespace perisclera::teaching {

class Slide {
public:
    Slide(const std::string& title, bool simulated);
    [[nodiscard]] report::Canvas& canvas() { return canvas_; }
    /// What is free between title and caution.
    static constexpr Box room{60.0, 120.0, 1800.0, 880.0};
    Result<std::string> png();

private:
    report::Canvas canvas_;
};

/// A finished canvas as PNG of one channel. Error: internal_fault.
Result<std::string> grey_picture(report::Canvas& canvas);

/// Paragraphs one below the other, in the largest letters between both sizes that let all of them fit; what does not fit even so is left out, and said to be. `first_bold`: the first
/// so many are headings.
void fitted_text(report::Canvas& canvas, const std::vector<std::string>& paragraphs, std::size_t first_bold, Box box, double largest, double smallest);

}  // namespace perisclera::teaching
