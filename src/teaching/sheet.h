// SPDX-License-Identifier: Apache-2.0
#pragma once
// An A4 sheet to be printed, of as many pages as it takes: title on the first, the caution at the foot of each. Points, 1/72 inch.
#include <string>
#include <vector>

#include "picture_grid.h"
#include "perisclera/report/paper.h"

namespace perisclera::teaching {

class Sheet {
public:
    Sheet(const std::string& title, bool simulated);

    void heading(const std::string& words);
    void strong(const std::string& words) { paragraph(words, {9.5, true}); }
    void text(const std::string& words, double indent = 0.0) { paragraph(words, {9.5}, indent); }
    void gap() { y_ += 5.0; }
    /// A box to be ticked or, filled, the right one; letter and words beside it.
    void choice(const std::string& letter, const std::string& words, bool filled);
    /// Empty lines to write on.
    void writing_lines(int lines);
    /// Cells of one row, the first one wider; ruled.
    void row(const std::vector<std::string>& cells, bool bold);
    void pictures(const PictureGrid& grid, const std::vector<report::GreyPixels>& squares);
    /// Pictures beside each other, three in a row, each with its caption.
    void captioned(const std::vector<std::pair<report::GreyPixels, std::string>>& pictures);
    void next_page();
    Result<std::string> pdf() { return canvas_.pdf(); }

private:
    void begin_page();
    void make_room(double height);
    void paragraph(const std::string& words, report::Font font, double indent = 0.0);

    static constexpr report::PaperSize paper_ = report::size_of(report::Paper::a4);
    static constexpr double margin_ = 42.0, foot_ = 58.0;
    static constexpr double text_width_ = paper_.width - 2.0 * margin_;
    report::Canvas canvas_;
    std::string title_, running_;
    double y_ = 0.0;
    int page_ = 0;
};

}  // namespace perisclera::teaching
