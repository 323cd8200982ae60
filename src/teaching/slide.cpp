// SPDX-License-Identifier: Apache-2.0
#include "slide.h"

#include "perisclera/core/text.h"
#include "perisclera/teaching/question.h"

namespace perisclera::teaching {

namespace {

constexpr int width = 1920, height = 1080;

double height_of(const report::Canvas& canvas, const std::string& words, report::Font font, double wrap) { return canvas.paragraph_height(words, wrap, font) + 0.5 * font.size; }

}  // namespace

Slide::Slide(const std::string& title, bool simulated) : canvas_(report::Canvas::picture(width, height)) {
    canvas_.grey(0.0);
    canvas_.text(title, room.x, 62.0, {44.0, true}, 0.0);
    if (simulated) canvas_.text(say("pdf.simulated_data"), room.x + room.width, 62.0, {26.0, true}, 1.0);
    canvas_.line(room.x, 100.0, room.x + room.width, 100.0, 3.0);
    canvas_.text(caution, room.x, height - 40.0, {24.0}, 0.0);
}

Result<std::string> Slide::png() { return grey_picture(canvas_); }

Result<std::string> grey_picture(report::Canvas& canvas) {
    const auto drawn = canvas.png();
    if (!drawn) return drawn.error();
    const auto pixels = report::grey_pixels(drawn.value());
    if (!pixels) return pixels.error();
    return report::grey_png(pixels.value().bytes, pixels.value().width, pixels.value().height);
}

void fitted_text(report::Canvas& canvas, const std::vector<std::string>& paragraphs, std::size_t first_bold, Box box, double largest, double smallest) {
    const auto font = [&](std::size_t k, double size) { return report::Font{size, k < first_bold}; };
    const auto fits = [&](double size) {
        double all = 0.0;
        for (std::size_t k = 0; k < paragraphs.size(); ++k) all += height_of(canvas, paragraphs[k], font(k, size), box.width);
        return all <= box.height;
    };
    double size = largest;
    while (size > smallest && !fits(size)) size -= 1.0;
    const std::string rest = say("set.rest");
    double y = box.y;
    for (std::size_t k = 0; k < paragraphs.size(); ++k) {
        const double tall = height_of(canvas, paragraphs[k], font(k, size), box.width);
        const double after = k + 1 < paragraphs.size() && !fits(size) ? height_of(canvas, rest, font(first_bold, size), box.width) : 0.0;
        if (y + tall + after > box.y + box.height) {
            canvas.paragraph(rest, box.x, y, box.width, font(first_bold, size));
            return;
        }
        canvas.paragraph(paragraphs[k], box.x, y, box.width, font(k, size));
        y += tall;
    }
}

}  // namespace perisclera::teaching
