// SPDX-License-Identifier: Apache-2.0
#pragma once
// A drawing surface: one picture (pixels) or a document of pages (points, 1/72 inch), y downwards. The only place that
// knows the drawing library. Text is UTF-8 in one typeface and is repaired by clean_text().
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "perisclera/core/result.h"
#include "perisclera/report/key_image.h"

namespace perisclera::report {

struct Font {
    double size;
    bool bold = false;
};

/// A picture's grey bytes, row after row.
struct GreyPixels {
    int width, height;
    std::vector<std::uint8_t> bytes;
};

class Canvas {
public:
    static Canvas picture(int width, int height);
    /// `title` is what a reader's window and list of files show.
    static Canvas document(double width, double height, const std::string& title);
    Canvas(Canvas&&) noexcept;
    ~Canvas();

    /// 0 black to 1 white, for lines, fills and plain text from now on.
    void grey(double level);
    void fill(double x, double y, double width, double height);
    void line(double x1, double y1, double x2, double y2, double line_width);
    void disc(double x, double y, double radius);
    /// One line of text; anchor 0, 0.5, 1: x is its left end, middle, right end; y its middle.
    void text(const std::string& words, double x, double y, Font font, double anchor);
    /// Wrapped text with its upper left corner at (x, y). Returns its height.
    double paragraph(const std::string& words, double x, double y, double wrap_width, Font font);
    [[nodiscard]] double paragraph_height(const std::string& words, double wrap_width, Font font) const;

    /// White over a wider black: visible on any grey.
    void cased_path(const std::vector<PixelPoint>& points, bool closed, bool dashed, double line_width);
    /// With its middle at (x, y), moved inside the rectangle from (0, 0) to (right, bottom).
    void cased_text(const std::string& words, double x, double y, Font font, double right, double bottom);

    /// Grey bytes row after row into the upper left of a picture, pixel for pixel.
    void paint_pixels(const std::vector<std::uint8_t>& grey_bytes, int width, int height);
    /// A PNG scaled to this width. Returns the height it takes.
    double paint_png(const std::string& png, double x, double y, double width);
    /// Grey pixels scaled to this width, likewise.
    double paint_grey(const GreyPixels& pixels, double x, double y, double width);
    void next_page();

    /// The picture as PNG, or the document as PDF. Nothing may be drawn afterwards. Error: internal_fault.
    Result<std::string> png();
    Result<std::string> pdf();

private:
    struct Surface;
    explicit Canvas(std::unique_ptr<Surface> surface);
    std::unique_ptr<Surface> surface_;
};

/// Of a PNG drawn in greys. Error: internal_fault where it cannot be read or holds a colour.
Result<GreyPixels> grey_pixels(const std::string& png);
/// Grey bytes row after row as a PNG of one channel. Error: internal_fault.
Result<std::string> grey_png(const std::vector<std::uint8_t>& grey_bytes, int width, int height);

}  // namespace perisclera::report
