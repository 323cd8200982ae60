// SPDX-License-Identifier: Apache-2.0
#include "sheet.h"

#include <algorithm>

#include "perisclera/core/text.h"
#include "perisclera/teaching/question.h"

namespace perisclera::teaching {

Sheet::Sheet(const std::string& title, bool simulated)
    : canvas_(report::Canvas::document(paper_.width, paper_.height, title)), title_(title), running_(simulated ? say("page.simulated_sentence") : "") {
    begin_page();
    canvas_.paragraph(title, margin_, y_, text_width_, {16.0, true});
    y_ += 26.0;
}

void Sheet::begin_page() {
    ++page_;
    canvas_.grey(0.0);
    canvas_.text(title_, margin_, 26.0, {8.0}, 0.0);
    canvas_.text(say("set.page", {{"page", std::to_string(page_)}}), paper_.width - margin_, 26.0, {8.0}, 1.0);
    canvas_.line(margin_, paper_.height - foot_ + 10.0, paper_.width - margin_, paper_.height - foot_ + 10.0, 0.8);
    canvas_.paragraph(caution, margin_, paper_.height - foot_ + 15.0, text_width_, {8.0, true});
    if (!running_.empty()) canvas_.paragraph(running_, margin_, paper_.height - foot_ + 27.0, text_width_, {8.0, true});
    y_ = 40.0;
}

void Sheet::next_page() {
    canvas_.next_page();
    begin_page();
}

void Sheet::make_room(double height) {
    if (y_ + height > paper_.height - foot_) next_page();
}

void Sheet::paragraph(const std::string& words, report::Font font, double indent) {
    const double tall = canvas_.paragraph_height(words, text_width_ - indent, font);
    make_room(tall);
    canvas_.paragraph(words, margin_ + indent, y_, text_width_ - indent, font);
    y_ += tall + 3.0;
}

void Sheet::heading(const std::string& words) {
    constexpr double with_what_follows = 60.0;
    make_room(with_what_follows);
    y_ += 6.0;
    paragraph(words, {11.5, true});
    canvas_.line(margin_, y_ - 1.0, paper_.width - margin_, y_ - 1.0, 0.8);
    y_ += 4.0;
}

void Sheet::choice(const std::string& letter, const std::string& words, bool filled) {
    constexpr double box = 8.5, indent = 34.0;
    const report::Font font{9.5, filled};
    const double tall = canvas_.paragraph_height(words, text_width_ - indent, font);
    make_room(tall);
    const double top = y_ + 2.0, left = margin_ + 4.0;
    canvas_.fill(left, top, box, box);
    if (!filled) {
        canvas_.grey(1.0);
        canvas_.fill(left + 0.8, top + 0.8, box - 1.6, box - 1.6);
        canvas_.grey(0.0);
    }
    canvas_.paragraph(letter, left + 14.0, y_, 14.0, {9.5, true});
    y_ += canvas_.paragraph(words, margin_ + indent, y_, text_width_ - indent, font) + 2.0;
}

void Sheet::writing_lines(int lines) {
    constexpr double apart = 19.0;
    make_room(apart * lines);
    canvas_.grey(0.55);
    for (int k = 0; k < lines; ++k) {
        y_ += apart;
        canvas_.line(margin_, y_, paper_.width - margin_, y_, 0.5);
    }
    canvas_.grey(0.0);
    y_ += 6.0;
}

void Sheet::row(const std::vector<std::string>& cells, bool bold) {
    const double first = text_width_ * 0.34, other = (text_width_ - first) / static_cast<double>(std::max<std::size_t>(1, cells.size() - 1));
    const report::Font font{9.5, bold};
    double tall = 14.0;
    for (std::size_t c = 0; c < cells.size(); ++c) tall = std::max(tall, canvas_.paragraph_height(cells[c], (c == 0 ? first : other) - 8.0, font));
    make_room(tall + 10.0);
    for (std::size_t c = 0; c < cells.size(); ++c) {
        const double x = margin_ + (c == 0 ? 0.0 : first + static_cast<double>(c - 1) * other);
        canvas_.paragraph(cells[c], x + 4.0, y_ + 5.0, (c == 0 ? first : other) - 8.0, font);
        if (c > 0) canvas_.line(x, y_, x, y_ + tall + 10.0, 0.4);
    }
    y_ += tall + 10.0;
    canvas_.line(margin_, y_, paper_.width - margin_, y_, bold ? 1.0 : 0.4);
}

void Sheet::pictures(const PictureGrid& grid, const std::vector<report::GreyPixels>& squares) {
    constexpr double least = 400.0;
    if (paper_.height - foot_ - y_ < least) next_page();
    const double room = paper_.height - foot_ - y_;
    draw_grid(canvas_, grid, squares, {margin_, y_, text_width_, room}, 8.0);
    y_ += room;
}

void Sheet::captioned(const std::vector<std::pair<report::GreyPixels, std::string>>& pictures) {
    constexpr double gap = 8.0, side = (text_width_ - 2.0 * gap) / 3.0;
    for (std::size_t first = 0; first < pictures.size(); first += 3) {
        double tall = 0.0;
        const std::size_t last = std::min(first + 3, pictures.size());
        for (std::size_t k = first; k < last; ++k) tall = std::max(tall, canvas_.paragraph_height(pictures[k].second, side, {7.5}));
        make_room(side + tall + 8.0);
        for (std::size_t k = first; k < last; ++k) {
            const double x = margin_ + static_cast<double>(k - first) * (side + gap);
            canvas_.paint_grey(pictures[k].first, x, y_, side);
            canvas_.grey(0.0);
            canvas_.paragraph(pictures[k].second, x, y_ + side + 3.0, side, {7.5});
        }
        y_ += side + tall + 8.0;
    }
}

}  // namespace perisclera::teaching
