// SPDX-License-Identifier: Apache-2.0
#include "scroll_stacks.h"

#include <array>
#include <charconv>
#include <cmath>

#include "perisclera/core/text.h"
#include "perisclera/image/contour.h"
#include "picture_terms.h"
#include "share_field.h"

namespace perisclera {

namespace {

constexpr double half_width_mm = 22.5;
/// Slices and pixels closer than this show the same; leaving some out keeps the page small.
constexpr double closest_slices_mm = 0.7, closest_pixels_mm = 0.25;

/// What one eye's slices may take of the page, in pixels: with both eyes and everything else it stays well below 15 MB even where noise does not compress.
constexpr double most_pixels_of_eye = 4.5e6, most_pixels_of_series = 1.2e6;

int every_nth(double closest_mm, double spacing_mm) { return std::max(1, static_cast<int>(std::lround(closest_mm / spacing_mm))); }

std::string one_decimal(double v) {
    std::array<char, 32> text{};
    const auto end = std::to_chars(text.data(), text.data() + text.size(), std::round(v * 10.0) / 10.0, std::chars_format::fixed, 1);
    return std::string(text.data(), end.ptr);
}

int main_direction(PatientVector d) {
    const double x = std::abs(d.x), y = std::abs(d.y), z = std::abs(d.z);
    return z >= x && z >= y ? 2 : y >= x ? 1 : 0;
}

std::string plane_of(PatientVector normal) {
    constexpr std::array<std::string_view, 3> plane{"slices.sagittal", "slices.coronal", "slices.axial"}, nearly{"slices.nearly_sagittal", "slices.nearly_coronal", "slices.nearly_axial"};
    const int main = main_direction(normal);
    const double along = std::abs(main == 0 ? normal.x : main == 1 ? normal.y : normal.z);
    constexpr double within_15_degrees = 0.966;
    return say((along > within_15_degrees ? plane : nearly)[static_cast<std::size_t>(main)]);
}

/// `mm` along a unit vector, as a place against the globe's centre.
std::string place_of(double mm, PatientVector along) {
    if (std::abs(mm) < 0.05) return say("slices.through_centre");
    constexpr std::array<std::string_view, 3> positive{"slices.to_the_left", "slices.behind", "slices.above"}, negative{"slices.to_the_right", "slices.in_front", "slices.below"};
    const int main = main_direction(along);
    const bool is_positive = (main == 0 ? along.x : main == 1 ? along.y : along.z) * mm > 0.0;
    return say((is_positive ? positive : negative)[static_cast<std::size_t>(main)], {{"distance", one_decimal(std::abs(mm))}});
}

/// Every so manieth index from the first on.
struct Range {
    int first, count, every;
    [[nodiscard]] int at(int k) const { return first + k * every; }
};

/// Indices within `reach` of a centre, cut to the grid.
Range range_round(double centre, double reach, int size, int every) {
    const int first = std::clamp(static_cast<int>(std::ceil(centre - reach)), 0, size), last = std::clamp(static_cast<int>(std::floor(centre + reach)), -1, size - 1);
    return {first, last < first ? 0 : (last - first) / every + 1, every};
}

std::vector<report::Outline> outlines_of(const ShareField& share, const std::string& id, const EyeFrame& frame, const VolumeGeometry& geometry, Range columns, Range rows, int slice) {
    std::vector<float> field;
    field.reserve(static_cast<std::size_t>(columns.count) * static_cast<std::size_t>(rows.count));
    bool any = false;
    for (int y = 0; y < rows.count; ++y)
        for (int x = 0; x < columns.count; ++x) {
            const VoxelPoint v{static_cast<double>(columns.at(x)), static_cast<double>(rows.at(y)), static_cast<double>(slice)};
            field.push_back(share.at(frame.to_eye(geometry.to_patient(v))));
            any = any || static_cast<double>(field.back()) > share.level();
        }
    std::vector<report::Outline> out;
    if (!any) return out;
    constexpr std::size_t shortest = 12;   // points; less is noise
    for (const Contour& line : contours(field, static_cast<std::size_t>(columns.count), static_cast<std::size_t>(rows.count), share.level())) {
        if (line.size() < shortest) continue;
        out.push_back({id, {}, true});
        for (const ContourPoint& p : line) out.back().points.push_back({p.x, p.y});
    }
    return out;
}

}  // namespace

std::vector<report::ScrollStack> scroll_stacks(const AnalysedVisit& analysed, const Visit& visit, Eye eye, const std::vector<std::string>& ids, const std::string& timepoint) {
    const std::size_t which = eye == Eye::right ? 0 : 1;
    const std::vector<const EyeView*> views = analysed.views(which);
    const std::vector<AnalysedElement>& elements = analysed.eye[which].elements;
    std::vector<report::ScrollStack> stacks;
    for (std::size_t v = 0; v < views.size(); ++v) {
        const EyeView& view = *views[v];
        const VoxelGrid& grid = visit.series[view.series].grid();
        const VolumeGeometry& geometry = grid.geometry();
        const EyeFrame& frame = view.block.globe().frame;
        const VoxelPoint centre = geometry.to_voxel(frame.origin());
        const auto spacing = geometry.spacing_mm();
        const auto range = [&](double middle, std::size_t axis, int every) { return range_round(middle, half_width_mm / spacing[axis], geometry.size()[axis], every); };
        const Range columns = range(centre.x, 0, every_nth(closest_pixels_mm, spacing[0])), rows = range(centre.y, 1, every_nth(closest_pixels_mm, spacing[1]));
        const double most = std::min(most_pixels_of_series, most_pixels_of_eye / static_cast<double>(views.size()));
        const int fitting = static_cast<int>(std::ceil(range(centre.z, 2, 1).count * (static_cast<double>(columns.count) * rows.count / most)));
        const Range slices = range(centre.z, 2, std::max({1, fitting, every_nth(closest_slices_mm, spacing[2])}));
        if (columns.count == 0 || rows.count == 0 || slices.count == 0) continue;

        std::vector<std::pair<ShareField, std::string>> shares;
        bool brought_over = false;
        for (std::size_t e = 0; e < elements.size(); ++e) {
            const std::size_t measured_on = elements[e].element.view;
            if (v != measured_on && (view.kept_apart || views[measured_on]->kept_apart)) continue;
            brought_over = brought_over || v != measured_on;
            shares.emplace_back(ShareField(view.block, elements[e].element.found), ids[e]);
        }
        const Window window = window_of(view);
        const PatientVector along = dot(geometry.slice_step(), geometry.normal()) < 0.0 ? -geometry.normal() : geometry.normal();
        report::ScrollStack stack{timepoint, visit.series[view.series].description.series_uid, eye, plane_of(along), static_cast<std::size_t>(columns.count),
                                  static_cast<std::size_t>(rows.count), Mm(spacing[0] * columns.every), Mm(spacing[1] * rows.every), spacing[2] * slices.every, slices.every, brought_over, window.low, window.high,
                                  {letters_of(-geometry.row()), letters_of(geometry.row()), letters_of(-geometry.column()), letters_of(geometry.column())}, {}, {}};
        for (int k = 0; k < slices.count; ++k) {
            const int z = slices.at(k);
            const double offset = (z - centre.z) * spacing[2];
            report::ScrollSlice slice{place_of(offset, along), offset, {}};
            for (const auto& [share, id] : shares)
                for (report::Outline& o : outlines_of(share, id, frame, geometry, columns, rows, z)) slice.outlines.push_back(std::move(o));
            stack.slices.push_back(std::move(slice));
            for (int y = 0; y < rows.count; ++y)
                for (int x = 0; x < columns.count; ++x) {
                    const float share_of_window = (grid.at(columns.at(x), rows.at(y), z) - window.low) / (window.high - window.low);
                    stack.pixels.push_back(static_cast<std::uint8_t>(std::lround(255.0f * std::clamp(share_of_window, 0.0f, 1.0f))));
                }
        }
        stacks.push_back(std::move(stack));
    }
    return stacks;
}

}  // namespace perisclera
