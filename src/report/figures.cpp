// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/figures.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "perisclera/core/text.h"
#include "perisclera/report/eye_words.h"
#include "perisclera/report/wording.h"
#include "perisclera/report/canvas.h"

namespace perisclera::report {

namespace {

constexpr int picture_width = 640;      // pixels of the drawn picture; its height follows the image
constexpr double padding = 8.0;
constexpr Font letter_font{20.0, true}, label_font{16.0, true}, small_font{14.0, true}, caption_font{14.0};

/// The four weights of cubic interpolation through the samples (Keys 1981, doi 10.1109/TASSP.1981.1163711, a = -1/2).
std::array<double, 4> cubic_weights(double t) {
    return {((-0.5 * t + 1.0) * t - 0.5) * t, (1.5 * t - 2.5) * t * t + 1.0, ((-1.5 * t + 2.0) * t + 0.5) * t, (0.5 * t - 0.5) * t * t};
}

double interpolated(const KeyImage& k, double x, double y) {
    const double fx = std::floor(x), fy = std::floor(y);
    const auto wx = cubic_weights(x - fx), wy = cubic_weights(y - fy);
    const auto inside = [](double i, std::size_t size) { return static_cast<std::size_t>(std::clamp(i, 0.0, static_cast<double>(size - 1))); };
    double sum = 0.0;
    for (std::size_t j = 0; j < 4; ++j) {
        const std::size_t row = inside(fy + static_cast<double>(j) - 1.0, k.height) * k.width;
        for (std::size_t i = 0; i < 4; ++i) {
            const double v = static_cast<double>(k.values[row + inside(fx + static_cast<double>(i) - 1.0, k.width)]);
            sum += wy[j] * wx[i] * (std::isfinite(v) ? v : static_cast<double>(k.window_low));
        }
    }
    return sum;
}

std::vector<std::uint8_t> enlarged(const KeyImage& k, double scale, int height) {
    const double low = static_cast<double>(k.window_low), range = static_cast<double>(k.window_high) - low;
    std::vector<std::uint8_t> bytes;
    bytes.reserve(static_cast<std::size_t>(picture_width) * static_cast<std::size_t>(height));
    for (int y = 0; y < height; ++y) {
        for (int x = 0; x < picture_width; ++x) {
            const double v = interpolated(k, (x + 0.5) / scale - 0.5, (y + 0.5) / scale - 0.5);
            bytes.push_back(static_cast<std::uint8_t>(std::lround(255.0 * std::clamp((v - low) / range, 0.0, 1.0))));
        }
    }
    return bytes;
}

/// Ten millimetres where that takes at most half the picture, else the largest of 5, 2, 1 that does.
double bar_length_mm(double mm_across) {
    for (const double mm : {10.0, 5.0, 2.0}) {
        if (mm <= mm_across / 2.0) return mm;
    }
    return 1.0;
}

void draw_scale_bar(Canvas& canvas, double pixels_per_mm, double height) {
    const double mm = bar_length_mm(picture_width / pixels_per_mm), length = mm * pixels_per_mm;
    const double right = picture_width - 40.0, left = right - length, y = height - 16.0;
    canvas.cased_path({{left, y - 5}, {left, y + 5}, {left, y}, {right, y}, {right, y - 5}, {right, y + 5}}, false, false, 2.0);
    canvas.cased_text(say("unit.millimetres", {{"number", fixed(mm, 0)}}), (left + right) / 2.0, y - 15.0, small_font, picture_width, height);
}

/// The first of the longest.
bool is_longest_of_its_element(const KeyImage& k, const Outline& outline) {
    const auto rank = [&](const Outline& o) { return o.element_id == outline.element_id ? o.points.size() : 0; };
    return &outline == &*std::max_element(k.outlines.begin(), k.outlines.end(), [&](const Outline& a, const Outline& b) { return rank(a) < rank(b); });
}

void draw_overlay(Canvas& canvas, const KeyImage& k, double scale, double height) {
    const auto to_picture = [scale](PixelPoint p) { return PixelPoint{(p.x + 0.5) * scale, (p.y + 0.5) * scale}; };
    for (const Outline& o : k.outlines) {
        if (o.points.empty()) continue;
        std::vector<PixelPoint> path;
        std::transform(o.points.begin(), o.points.end(), std::back_inserter(path), to_picture);
        canvas.cased_path(path, o.closed, true, 1.6);
        if (!is_longest_of_its_element(k, o)) continue;  // named once, whatever the plane cuts of it
        const PixelPoint beside = *std::max_element(path.begin(), path.end(), [](PixelPoint a, PixelPoint b) { return a.x < b.x; });
        canvas.cased_text(o.element_id, beside.x + 20.0, beside.y, label_font, picture_width, height);
    }
    for (const Mark& m : k.marks) {
        const PixelPoint p = to_picture(m.at);
        canvas.cased_path({{p.x - 5, p.y - 5}, {p.x + 5, p.y + 5}}, false, false, 1.4);
        canvas.cased_path({{p.x - 5, p.y + 5}, {p.x + 5, p.y - 5}}, false, false, 1.4);
        canvas.cased_text(m.text, p.x, p.y + 17.0, small_font, picture_width, height);
    }
}

std::string caption(const ReportModel& model, const KeyImage& k) {
    std::string out = model.simulated ? say("drawing.simulated") + "  " : "";
    bool hounsfield = false;
    for (const Timepoint& t : model.timepoints) {
        if (t.id != k.timepoint_id) continue;
        out += t.study_date.iso() + "  ";
        for (const SeriesEntry& s : t.series) {
            if (s.series_uid != k.series_uid) continue;
            out += in_words(s.role, s.modality) + "  ";
            hounsfield = s.modality == Modality::ct;
        }
    }
    const int decimals = k.window_high - k.window_low < 10.0f ? 2 : 0;
    const std::string black = fixed(static_cast<double>(k.window_low), decimals), white = fixed(static_cast<double>(k.window_high), decimals);
    return out + in_words(k.eye) + ", " + k.plane + "  (" + say(hounsfield ? "drawing.window_hounsfield" : "drawing.window", {{"black", black}, {"white", white}}) + ")";
}

}  // namespace

Result<std::string> render_png(const ReportModel& model, const KeyImage& image, bool outline) {
    constexpr std::size_t tallest = 8;  // times its width; beyond that the numbers are nonsense
    if (image.width == 0 || image.height == 0 || image.height > tallest * image.width || image.values.size() != image.width * image.height ||
        !(image.window_low < image.window_high) || !(image.pixel_size > Mm(0.0))) {
        return Error{ErrorCode::bad_size, "a picture's values, window or pixel size do not fit", "report", "report this fault"};
    }
    const double scale = picture_width / static_cast<double>(image.width);
    const int height = std::max(1, static_cast<int>(std::lround(scale * static_cast<double>(image.height))));
    const std::string words = caption(model, image);
    const double text_width = picture_width - 2.0 * padding;
    const double text_height = Canvas::picture(1, 1).paragraph_height(words, text_width, caption_font);

    Canvas canvas = Canvas::picture(picture_width, height + static_cast<int>(text_height + 2.0 * padding));
    canvas.paint_pixels(enlarged(image, scale, height), picture_width, height);
    if (outline) draw_overlay(canvas, image, scale, height);
    canvas.cased_text(image.letters.left, 0.0, height / 2.0, letter_font, picture_width, height);
    canvas.cased_text(image.letters.right, picture_width, height / 2.0, letter_font, picture_width, height);
    canvas.cased_text(image.letters.top, picture_width / 2.0, 0.0, letter_font, picture_width, height);
    canvas.cased_text(image.letters.bottom, picture_width / 2.0, height, letter_font, picture_width, height);
    draw_scale_bar(canvas, scale / image.pixel_size.value(), height);
    // Outlines that leave the picture must not run into the caption.
    canvas.grey(1.0);
    canvas.fill(0, height, picture_width, text_height + 2.0 * padding);
    canvas.grey(0.0);
    canvas.paragraph(words, padding, height + padding, text_width, caption_font);
    return canvas.png();
}

}  // namespace perisclera::report
