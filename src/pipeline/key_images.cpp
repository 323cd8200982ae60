// SPDX-License-Identifier: Apache-2.0
#include "key_images.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <numbers>

#include "perisclera/core/text.h"
#include "perisclera/image/contour.h"
#include "picture_terms.h"
#include "share_field.h"

namespace perisclera {

namespace {

constexpr double half_width_mm = 22.0, pixel_mm = 0.25;
constexpr std::size_t pixels = static_cast<std::size_t>(2.0 * half_width_mm / pixel_mm) + 1;
constexpr std::size_t most_series = 3;

std::string one_decimal(double v) {
    std::array<char, 32> text{};
    const auto end = std::to_chars(text.data(), text.data() + text.size(), std::round(v * 10.0) / 10.0, std::chars_format::fixed, 1);
    return std::string(text.data(), end.ptr);
}

/// Directions of a picture's right and down borders in the eye's frame, for the plane through the axis at a clock position:
/// horizontal planes are shown from below with anterior up, vertical ones from the patient's left with anterior on the left.
struct Plane {
    EyeVector right, down;
};

Plane axis_plane(double clock_hour) {
    const double angle = clock_hour * std::numbers::pi / 6.0;
    EyeVector radial{std::sin(angle), std::cos(angle), 0.0};
    const EyeVector anterior{0.0, 0.0, 1.0};
    if (std::abs(radial.y) > std::abs(radial.x)) {
        if (radial.y < 0.0) radial = -radial;
        return {-anterior, -radial};
    }
    if (radial.x < 0.0) radial = -radial;
    return {radial, -anterior};
}

/// A point of a picture, by its pixels.
EyePoint eye_point(const Plane& plane, report::PixelPoint p) {
    const EyeVector d = plane.right * (p.x * pixel_mm - half_width_mm) + plane.down * (p.y * pixel_mm - half_width_mm);
    return {d.x, d.y, d.z};
}

report::KeyImage picture(const EyeView& view, const ImageSeries& series, Eye eye, const Plane& plane, const std::string& timepoint) {
    const Window window = window_of(view);
    const EyeFrame& frame = view.block.globe().frame;
    report::KeyImage image{timepoint, series.description.series_uid, eye, {}, {}, pixels, pixels, {}, window.low, window.high, Mm(pixel_mm), {}, {}, {}};
    image.values.reserve(pixels * pixels);
    const VolumeGeometry& geometry = series.grid().geometry();
    const double last_slice = geometry.size()[2] - 1.0;
    double first = last_slice, last = 0.0;   // slices that are sampled
    for (std::size_t y = 0; y < pixels; ++y)
        for (std::size_t x = 0; x < pixels; ++x) {
            const PatientPoint p = frame.to_patient(eye_point(plane, {static_cast<double>(x), static_cast<double>(y)}));
            const bool shown = geometry.contains(p);
            image.values.push_back(shown ? series.grid().sample(p) : window.low);
            if (!shown) continue;
            const double z = std::clamp(geometry.to_voxel(p).z, 0.0, last_slice);
            first = std::min(first, std::floor(z)), last = std::max(last, std::ceil(z));
        }
    for (double z = first; z <= last; z += 1.0) image.slices.push_back(static_cast<std::size_t>(z));
    const PatientVector right = frame.to_patient(plane.right), down = frame.to_patient(plane.down);
    image.letters = {letters_of(-right), letters_of(right), letters_of(-down), letters_of(down)};
    return image;
}

void add_outline(report::KeyImage& image, const Plane& plane, const ShareField& share, const std::string& id) {
    std::vector<float> field;
    field.reserve(pixels * pixels);
    for (std::size_t y = 0; y < pixels; ++y)
        for (std::size_t x = 0; x < pixels; ++x) {
            field.push_back(share.at(eye_point(plane, {static_cast<double>(x), static_cast<double>(y)})));
        }
    constexpr std::size_t shortest = 8;  // points; less is noise
    for (const Contour& line : contours(field, pixels, pixels, share.level())) {
        if (line.size() < shortest) continue;
        report::Outline outline{id, {}, true};
        for (const ContourPoint& p : line) outline.points.push_back({p.x, p.y});
        image.outlines.push_back(std::move(outline));
    }
}

/// The middle of the outlines' points, or of the picture where it has none.
report::PixelPoint middle_of(const report::KeyImage& image) {
    report::PixelPoint sum{0.0, 0.0};
    double points = 0.0;
    for (const report::Outline& outline : image.outlines)
        for (const report::PixelPoint& p : outline.points) sum = {sum.x + p.x, sum.y + p.y}, points += 1.0;
    constexpr double middle = half_width_mm / pixel_mm;
    return points > 0.0 ? report::PixelPoint{sum.x / points, sum.y / points} : report::PixelPoint{middle, middle};
}

/// The slice through a point of the eye.
void name_nearest_slice(report::KeyImage& image, const EyeView& view, const ImageSeries& series, EyePoint point) {
    if (image.slices.empty()) return;
    const double z = std::round(series.grid().geometry().to_voxel(view.block.globe().frame.to_patient(point)).z);
    image.nearest_slice = static_cast<std::size_t>(std::clamp(z, static_cast<double>(image.slices.front()), static_cast<double>(image.slices.back())));
}

}  // namespace

std::vector<report::KeyImage> element_images(const AnalysedVisit& analysed, const Visit& visit, Eye eye, const AnalysedElement& element, const std::string& id,
                                             const std::string& timepoint) {
    const std::size_t which = eye == Eye::right ? 0 : 1;
    const std::vector<const EyeView*> views = analysed.views(which);
    const double hour = element.measured.form == ElementForm::radial ? element.measured.middle_clock_hour : element.measured.largest_section.clock_hour;
    const Plane plane = axis_plane(hour);
    const ShareField share(views[element.element.view]->block, element.element.found);
    std::vector<std::size_t> order{element.element.view};
    for (std::size_t v = 0; v < views.size(); ++v)
        if (v != element.element.view) order.push_back(v);
    std::vector<report::KeyImage> images;
    for (const std::size_t v : order) {
        if (images.size() == most_series) break;
        const ImageSeries& series = visit.series[views[v]->series];
        report::KeyImage image = picture(*views[v], series, eye, plane, timepoint);
        image.plane = say("picture.plane_at_hour", {{"place", say("place.hour", {{"hour", one_decimal(hour)}, {"quadrant", quadrant_in_words(ClockPosition(hour), eye)}})}});
        if (v == element.element.view) {
            add_outline(image, plane, share, id);
            image.note = say("picture.measured_on", {{"element", id}});
        } else {
            image.note = say("picture.same_plane");
        }
        // The first picture is of the series measured on: where the element lies there, it lies in the eye.
        name_nearest_slice(image, *views[v], series, eye_point(plane, middle_of(images.empty() ? image : images.front())));
        images.push_back(std::move(image));
    }
    return images;
}

std::vector<report::KeyImage> overview_images(const AnalysedVisit& analysed, const Visit& visit, Eye eye, const std::string& timepoint) {
    const std::size_t which = eye == Eye::right ? 0 : 1;
    std::vector<report::KeyImage> images;
    for (const EyeView* view : analysed.views(which)) {
        if (images.size() == most_series) break;
        const ImageSeries& series = visit.series[view->series];
        const Plane plane = axis_plane(3.0);
        report::KeyImage image = picture(*view, series, eye, plane, timepoint);
        name_nearest_slice(image, *view, series, eye_point(plane, middle_of(image)));
        image.plane = say("picture.horizontal_plane");
        images.push_back(std::move(image));
    }
    return images;
}

}  // namespace perisclera
