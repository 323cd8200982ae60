// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/canvas.h"

#include <cairo-pdf.h>
#include <cairo.h>
#include <pango/pangocairo.h>

#include <algorithm>
#include <array>

#include "perisclera/report/wording.h"

namespace perisclera::report {

namespace {

struct Release {
    void operator()(cairo_surface_t* s) const { cairo_surface_destroy(s); }
    void operator()(cairo_t* c) const { cairo_destroy(c); }
    void operator()(PangoFontDescription* f) const { pango_font_description_free(f); }
    void operator()(PangoLayout* l) const { g_object_unref(l); }
};
template <class T>
using Handle = std::unique_ptr<T, Release>;

cairo_status_t append(void* target, const unsigned char* data, unsigned length) {
    static_cast<std::string*>(target)->append(reinterpret_cast<const char*>(data), length);
    return CAIRO_STATUS_SUCCESS;
}

struct Source {
    const std::string* bytes;
    std::size_t at = 0;
};

cairo_status_t supply(void* source, unsigned char* data, unsigned length) {
    auto* from = static_cast<Source*>(source);
    if (from->bytes->size() - from->at < length) return CAIRO_STATUS_READ_ERROR;
    std::copy_n(from->bytes->data() + from->at, length, reinterpret_cast<char*>(data));
    from->at += length;
    return CAIRO_STATUS_SUCCESS;
}

/// Into the upper left of a picture, pixel for pixel.
void fill_grey(cairo_surface_t* s, const std::vector<std::uint8_t>& grey_bytes, int width, int height) {
    cairo_surface_flush(s);
    unsigned char* bytes = cairo_image_surface_get_data(s);
    const int stride = cairo_image_surface_get_stride(s);
    for (int y = 0; y < std::min(height, cairo_image_surface_get_height(s)); ++y) {
        auto* row = reinterpret_cast<std::uint32_t*>(bytes + static_cast<std::ptrdiff_t>(y) * stride);
        for (int x = 0; x < std::min(width, cairo_image_surface_get_width(s)); ++x) {
            const std::uint32_t g = grey_bytes[static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x)];
            row[x] = 0xFF000000u | (g << 16) | (g << 8) | g;
        }
    }
    cairo_surface_mark_dirty(s);
}

Error failed(cairo_status_t status) {
    return Error{ErrorCode::internal_fault, std::string("a picture could not be drawn: ") + cairo_status_to_string(status), "report", "report this fault"};
}

}  // namespace

struct Canvas::Surface {
    std::string written;  ///< PDF bytes; declared first, the surface writes into it until it is gone
    Handle<cairo_surface_t> surface;
    Handle<cairo_t> context;

    Handle<PangoLayout> layout(const std::string& words, Font font, double wrap_width = 0.0) const {
        Handle<PangoLayout> l(pango_cairo_create_layout(context.get()));
        const Handle<PangoFontDescription> description(pango_font_description_from_string(font.bold ? "DejaVu Sans Bold" : "DejaVu Sans"));
        pango_font_description_set_absolute_size(description.get(), font.size * PANGO_SCALE);
        pango_layout_set_font_description(l.get(), description.get());
        if (wrap_width > 0.0) pango_layout_set_width(l.get(), static_cast<int>(wrap_width * PANGO_SCALE));
        pango_layout_set_wrap(l.get(), PANGO_WRAP_WORD_CHAR);
        const std::string clean = clean_text(words);
        pango_layout_set_text(l.get(), clean.data(), static_cast<int>(clean.size()));
        return l;
    }
    /// The current path in white over black.
    void stroke_cased(double line_width) const {
        cairo_set_source_rgb(context.get(), 0, 0, 0);
        cairo_set_line_width(context.get(), line_width + 2.0);
        cairo_stroke_preserve(context.get());
        cairo_set_source_rgb(context.get(), 1, 1, 1);
        cairo_set_line_width(context.get(), line_width);
        cairo_stroke(context.get());
    }
    /// Scaled to this width. Returns the height it takes, 0 for an image that could not be made.
    double paint(cairo_surface_t* image, double x, double y, double width) const {
        if (cairo_surface_status(image) != CAIRO_STATUS_SUCCESS) return 0.0;
        const double scale = width / cairo_image_surface_get_width(image);
        cairo_t* c = context.get();
        cairo_save(c);
        cairo_translate(c, x, y);
        cairo_scale(c, scale, scale);
        cairo_set_source_surface(c, image, 0, 0);
        cairo_paint(c);
        cairo_restore(c);
        return scale * cairo_image_surface_get_height(image);
    }
    [[nodiscard]] cairo_status_t status() const {
        const cairo_status_t drawn = cairo_status(context.get());
        return drawn != CAIRO_STATUS_SUCCESS ? drawn : cairo_surface_status(surface.get());
    }
};

Canvas::Canvas(std::unique_ptr<Surface> surface) : surface_(std::move(surface)) {}
Canvas::Canvas(Canvas&&) noexcept = default;
Canvas::~Canvas() = default;

Canvas Canvas::picture(int width, int height) {
    auto s = std::make_unique<Surface>();
    s->surface.reset(cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height));
    s->context.reset(cairo_create(s->surface.get()));
    Canvas canvas(std::move(s));
    canvas.grey(1.0);
    canvas.fill(0, 0, width, height);
    return canvas;
}

Canvas Canvas::document(double width, double height, const std::string& title) {
    auto s = std::make_unique<Surface>();
    s->surface.reset(cairo_pdf_surface_create_for_stream(append, &s->written, width, height));
    cairo_pdf_surface_set_metadata(s->surface.get(), CAIRO_PDF_METADATA_TITLE, title.c_str());
    // The library would write the time of day; an empty date leaves it out, and equal reports stay equal bytes.
    cairo_pdf_surface_set_metadata(s->surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, "");
    s->context.reset(cairo_create(s->surface.get()));
    return Canvas(std::move(s));
}

void Canvas::grey(double level) { cairo_set_source_rgb(surface_->context.get(), level, level, level); }

void Canvas::fill(double x, double y, double width, double height) {
    cairo_rectangle(surface_->context.get(), x, y, width, height);
    cairo_fill(surface_->context.get());
}

void Canvas::line(double x1, double y1, double x2, double y2, double line_width) {
    cairo_t* c = surface_->context.get();
    cairo_set_line_width(c, line_width);
    cairo_move_to(c, x1, y1);
    cairo_line_to(c, x2, y2);
    cairo_stroke(c);
}

void Canvas::disc(double x, double y, double radius) {
    cairo_new_path(surface_->context.get());
    cairo_arc(surface_->context.get(), x, y, radius, 0.0, 6.283185307179586);
    cairo_fill(surface_->context.get());
}

void Canvas::text(const std::string& words, double x, double y, Font font, double anchor) {
    const auto l = surface_->layout(words, font);
    int w = 0, h = 0;
    pango_layout_get_pixel_size(l.get(), &w, &h);
    cairo_move_to(surface_->context.get(), x - anchor * w, y - h / 2.0);
    pango_cairo_show_layout(surface_->context.get(), l.get());
}

double Canvas::paragraph(const std::string& words, double x, double y, double wrap_width, Font font) {
    const auto l = surface_->layout(words, font, wrap_width);
    int w = 0, h = 0;
    pango_layout_get_pixel_size(l.get(), &w, &h);
    cairo_move_to(surface_->context.get(), x, y);
    pango_cairo_show_layout(surface_->context.get(), l.get());
    return h;
}

double Canvas::paragraph_height(const std::string& words, double wrap_width, Font font) const {
    int w = 0, h = 0;
    pango_layout_get_pixel_size(surface_->layout(words, font, wrap_width).get(), &w, &h);
    return h;
}

void Canvas::cased_path(const std::vector<PixelPoint>& points, bool closed, bool dashed, double line_width) {
    constexpr std::array<double, 2> dashes{7.0, 4.0};
    cairo_t* c = surface_->context.get();
    cairo_new_path(c);
    for (const PixelPoint& p : points) cairo_line_to(c, p.x, p.y);
    if (closed) cairo_close_path(c);
    cairo_set_dash(c, dashes.data(), dashed ? 2 : 0, 0.0);
    surface_->stroke_cased(line_width);
    cairo_set_dash(c, nullptr, 0, 0.0);
}

void Canvas::cased_text(const std::string& words, double x, double y, Font font, double right, double bottom) {
    if (words.empty()) return;
    const auto l = surface_->layout(words, font);
    int w = 0, h = 0;
    pango_layout_get_pixel_size(l.get(), &w, &h);
    cairo_t* c = surface_->context.get();
    cairo_move_to(c, std::clamp(x - w / 2.0, 2.0, std::max(2.0, right - w - 2.0)), std::clamp(y - h / 2.0, 1.0, std::max(1.0, bottom - h - 1.0)));
    pango_cairo_layout_path(c, l.get());
    cairo_set_line_join(c, CAIRO_LINE_JOIN_ROUND);
    grey(0.0);
    cairo_set_line_width(c, 3.0);
    cairo_stroke_preserve(c);
    grey(1.0);
    cairo_fill(c);
}

void Canvas::paint_pixels(const std::vector<std::uint8_t>& grey_bytes, int width, int height) {
    fill_grey(surface_->surface.get(), grey_bytes, width, height);
}

double Canvas::paint_png(const std::string& png, double x, double y, double width) {
    Source source{&png};
    const Handle<cairo_surface_t> image(cairo_image_surface_create_from_png_stream(supply, &source));
    return surface_->paint(image.get(), x, y, width);
}

double Canvas::paint_grey(const GreyPixels& pixels, double x, double y, double width) {
    const Handle<cairo_surface_t> image(cairo_image_surface_create(CAIRO_FORMAT_RGB24, pixels.width, pixels.height));
    fill_grey(image.get(), pixels.bytes, pixels.width, pixels.height);
    return surface_->paint(image.get(), x, y, width);
}

void Canvas::next_page() { cairo_show_page(surface_->context.get()); }

Result<std::string> Canvas::png() {
    if (surface_->status() != CAIRO_STATUS_SUCCESS) return failed(surface_->status());
    std::string out;
    const cairo_status_t status = cairo_surface_write_to_png_stream(surface_->surface.get(), append, &out);
    if (status != CAIRO_STATUS_SUCCESS) return failed(status);
    return out;
}

Result<std::string> Canvas::pdf() {
    if (surface_->status() != CAIRO_STATUS_SUCCESS) return failed(surface_->status());
    cairo_surface_finish(surface_->surface.get());
    if (cairo_surface_status(surface_->surface.get()) != CAIRO_STATUS_SUCCESS) return failed(cairo_surface_status(surface_->surface.get()));
    return surface_->written;
}

Result<GreyPixels> grey_pixels(const std::string& png) {
    Source source{&png};
    const Handle<cairo_surface_t> image(cairo_image_surface_create_from_png_stream(supply, &source));
    if (const cairo_status_t status = cairo_surface_status(image.get()); status != CAIRO_STATUS_SUCCESS) return failed(status);
    GreyPixels out{cairo_image_surface_get_width(image.get()), cairo_image_surface_get_height(image.get()), {}};
    const unsigned char* bytes = cairo_image_surface_get_data(image.get());
    const int stride = cairo_image_surface_get_stride(image.get());
    for (int y = 0; y < out.height; ++y) {
        const auto* row = reinterpret_cast<const std::uint32_t*>(bytes + static_cast<std::ptrdiff_t>(y) * stride);
        for (int x = 0; x < out.width; ++x) {
            const std::uint32_t grey = row[x] & 0xFFu;
            if ((row[x] & 0xFFFFFFu) != grey * 0x010101u) return Error{ErrorCode::internal_fault, "a picture is not drawn in greys", "report", "report this fault"};
            out.bytes.push_back(static_cast<std::uint8_t>(grey));
        }
    }
    return out;
}

Result<std::string> grey_png(const std::vector<std::uint8_t>& grey_bytes, int width, int height) {
    // A surface of coverage alone is the one kind that the library writes with a single channel.
    const Handle<cairo_surface_t> surface(cairo_image_surface_create(CAIRO_FORMAT_A8, width, height));
    if (const cairo_status_t status = cairo_surface_status(surface.get()); status != CAIRO_STATUS_SUCCESS) return failed(status);
    unsigned char* bytes = cairo_image_surface_get_data(surface.get());
    const int stride = cairo_image_surface_get_stride(surface.get());
    for (int y = 0; y < height; ++y)
        std::copy_n(grey_bytes.begin() + static_cast<std::ptrdiff_t>(y) * width, width, bytes + static_cast<std::ptrdiff_t>(y) * stride);
    cairo_surface_mark_dirty(surface.get());
    std::string out;
    const cairo_status_t status = cairo_surface_write_to_png_stream(surface.get(), append, &out);
    if (status != CAIRO_STATUS_SUCCESS) return failed(status);
    return out;
}

}  // namespace perisclera::report
