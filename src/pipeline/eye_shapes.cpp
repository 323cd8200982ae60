// SPDX-License-Identifier: Apache-2.0
#include "eye_shapes.h"

#include <numbers>
#include <numeric>
#include <utility>

#include "perisclera/image/contour.h"
#include "perisclera/image/iso_surface.h"
#include "share_field.h"

namespace perisclera {

namespace {

using namespace report;

constexpr double pi = std::numbers::pi;

/// A square or oblong of samples in mm; `low` is the first sample of either direction.
struct Raster {
    double low_x, low_y, step;
    std::size_t width, height;
    [[nodiscard]] double x(double column) const { return low_x + step * column; }
    [[nodiscard]] double y(double row) const { return low_y + step * row; }
};

template <class Point, class Value>
Lines<Point> lines_at(const Raster& raster, double level, const Value& value) {
    std::vector<float> field;
    field.reserve(raster.width * raster.height);
    bool any = false;
    for (std::size_t j = 0; j < raster.height; ++j)
        for (std::size_t i = 0; i < raster.width; ++i) {
            field.push_back(value(raster.x(static_cast<double>(i)), raster.y(static_cast<double>(j))));
            any = any || static_cast<double>(field.back()) > level;
        }
    Lines<Point> out;
    if (!any) return out;
    constexpr std::size_t shortest = 8;   // points; less is noise
    for (const Contour& line : contours(field, raster.width, raster.height, level)) {
        if (line.size() < shortest) continue;
        out.emplace_back();
        for (const ContourPoint& p : line) out.back().push_back(Point{raster.x(p.x), raster.y(p.y)});
    }
    return out;
}

Lines<MapPoint> footprint_of(const ShareField& share) {
    const PolarBlock& block = share.block();
    constexpr double reach = 36.0, step = 0.4;
    constexpr auto samples = static_cast<std::size_t>(2.0 * reach / step) + 1;
    return lines_at<MapPoint>({-reach, -reach, step, samples, samples}, share.level(), [&](double left, double up) {
        const double distance = std::hypot(left, up), polar = block.limbus_polar() + (distance - limbus_radius_mm) / block.equatorial_radius_mm();
        if (distance < step) return 0.0f;
        return share.most_in_column(ClockPosition::from_components(left, up).hours() * 10.0, (polar - PolarBlock::polar_first) / PolarBlock::polar_step);
    });
}

Lines<SectionPoint> cut_of(const ShareField& share, double hour) {
    constexpr double step = 0.25, farthest = 26.0;
    constexpr auto samples = static_cast<std::size_t>(farthest / step) + 1;
    const double angle = hour * pi / 6.0;
    return lines_at<SectionPoint>({step, -farthest, step, samples, 2 * samples}, share.level(), [&](double out, double forward) {
        return share.at({out * std::sin(angle), out * std::cos(angle), forward});
    });
}

Mesh globe_of(const PolarBlock& block) {
    constexpr int hours = 48, rings = 36;
    Mesh mesh;
    const double first = block.limbus_polar(), last = pi * 0.995;
    for (int r = 0; r <= rings; ++r)
        for (int h = 0; h < hours; ++h) {
            const double polar = first + (last - first) * r / rings;
            const EyePoint p = block.eye_point(12.0 * h / hours, polar, 0.0);
            mesh.corners.push_back({static_cast<float>(p.x), static_cast<float>(p.y), static_cast<float>(p.z)});
        }
    const auto at = [](int r, int h) { return static_cast<std::uint32_t>(r * hours + h % hours); };
    for (int r = 0; r < rings; ++r)
        for (int h = 0; h < hours; ++h) {
            mesh.triangles.push_back({at(r, h), at(r, h + 1), at(r + 1, h)});
            mesh.triangles.push_back({at(r, h + 1), at(r + 1, h + 1), at(r + 1, h)});
        }
    return mesh;
}

/// Noise from one clock hour to the next, where an element runs on; its ends stay where they are.
void smooth_along_clock(std::vector<float>& values, std::array<std::size_t, 3> size) {
    for (std::size_t row = 0; row < values.size(); row += size[0])
        for (int pass = 0; pass < 3; ++pass) {
            float before = values[row];
            for (std::size_t c = row + 1; c + 1 < row + size[0]; ++c) before = std::exchange(values[c], 0.25f * before + 0.5f * values[c] + 0.25f * values[c + 1]);
        }
}

/// The triangles of all pieces that hold at least a twentieth of them.
std::vector<std::array<std::uint32_t, 3>> without_specks(const std::vector<std::array<std::uint32_t, 3>>& triangles, std::size_t corners) {
    std::vector<std::uint32_t> piece(corners);
    std::iota(piece.begin(), piece.end(), 0u);
    const auto root = [&](std::uint32_t k) {
        while (piece[k] != k) k = piece[k] = piece[piece[k]];
        return k;
    };
    for (const auto& t : triangles) piece[root(t[0])] = root(t[1]), piece[root(t[1])] = root(t[2]);
    std::vector<std::size_t> count(corners, 0);
    for (const auto& t : triangles) ++count[root(t[0])];
    std::vector<std::array<std::uint32_t, 3>> kept;
    for (const auto& t : triangles)
        if (20 * count[root(t[0])] >= triangles.size()) kept.push_back(t);
    return kept;
}

Mesh surface_of(const ShareField& share) {
    constexpr int clocks = PolarBlock::clock_count, polars = PolarBlock::polar_count, heights = PolarBlock::height_count;
    // The block starts at the emptiest hour, so that it cuts nothing but a ring; its border is empty, so that the surface is closed.
    int start = 0;
    double least = 1e30;
    for (int c = 0; c < clocks; ++c) {
        double sum = 0.0;
        for (int p = 0; p < polars; ++p) sum += static_cast<double>(share.most_in_column(c, p));
        if (sum < least) least = sum, start = c;
    }
    constexpr std::array<std::size_t, 3> size{clocks + 1, polars + 2, heights + 2};
    std::vector<float> values(size[0] * size[1] * size[2], 0.0f);
    for (int h = 0; h < heights; ++h)
        for (int p = 0; p < polars; ++p)
            for (int c = 0; c <= clocks; ++c)
                values[(static_cast<std::size_t>(h + 1) * size[1] + static_cast<std::size_t>(p + 1)) * size[0] + static_cast<std::size_t>(c)] =
                    share.shares()[PolarBlock::index((start + c) % clocks, p, h)];
    smooth_along_clock(values, size);
    const IsoSurface found = iso_surface(values, size, share.level());
    Mesh mesh;
    for (const auto& c : found.corners) {
        const double polar = PolarBlock::polar_first + PolarBlock::polar_step * (c[1] - 1.0);
        const EyePoint p = share.block().eye_point(0.1 * (start + c[0]), polar, PolarBlock::height_first_mm + PolarBlock::height_step_mm * (c[2] - 1.0));
        mesh.corners.push_back({static_cast<float>(p.x), static_cast<float>(p.y), static_cast<float>(p.z)});
    }
    mesh.triangles = without_specks(found.triangles, found.corners.size());
    return mesh;
}

/// A tube of eight sides along the points.
Mesh tube_of(const std::vector<EyePoint>& middles, double radius) {
    constexpr int sides = 8;
    Mesh mesh;
    for (std::size_t k = 0; k < middles.size(); ++k) {
        const EyeVector along = unit(middles[std::min(k + 1, middles.size() - 1)] - middles[k > 0 ? k - 1 : 0]);
        const EyeVector aside = unit(cross(along, std::abs(along.x) < 0.8 ? EyeVector{1, 0, 0} : EyeVector{0, 1, 0})), across = cross(along, aside);
        for (int s = 0; s < sides; ++s) {
            const double a = 2.0 * pi * s / sides;
            const EyePoint p = middles[k] + aside * (radius * std::cos(a)) + across * (radius * std::sin(a));
            mesh.corners.push_back({static_cast<float>(p.x), static_cast<float>(p.y), static_cast<float>(p.z)});
        }
    }
    const auto at = [](std::size_t k, int s) { return static_cast<std::uint32_t>(k * sides + static_cast<std::size_t>(s % sides)); };
    for (std::size_t k = 0; k + 1 < middles.size(); ++k)
        for (int s = 0; s < sides; ++s) {
            mesh.triangles.push_back({at(k, s), at(k, s + 1), at(k + 1, s)});
            mesh.triangles.push_back({at(k, s + 1), at(k + 1, s + 1), at(k + 1, s)});
        }
    return mesh;
}

std::vector<MuscleShape> muscles_of(const EyeView& view) {
    std::vector<MuscleShape> out;
    for (const Rectus rectus : all_recti) {
        const RectusReading& reading = view.recti[static_cast<std::size_t>(rectus)];
        const Measured<Mm>* thickness = reading.thickness.measured();
        if (thickness == nullptr || reading.middles.size() < 3) continue;
        std::vector<EyePoint> middles;
        for (const PatientPoint& p : reading.middles) middles.push_back(view.block.globe().frame.to_eye(p));
        // Each middle was found by itself, to about a pixel; a belly has no such steps.
        for (int pass = 0; pass < 6; ++pass)
            for (std::size_t k = 1; k + 1 < middles.size(); ++k) middles[k] = middles[k] + ((middles[k - 1] - middles[k]) + (middles[k + 1] - middles[k])) * 0.25;
        out.push_back({static_cast<MuscleName>(rectus), tube_of(middles, 0.5 * thickness->value().value())});
    }
    return out;
}

}  // namespace

EyeShape eye_shape(const AnalysedVisit& analysed, Eye eye, const std::vector<std::string>& ids, const std::string& timepoint) {
    const std::size_t which = eye == Eye::right ? 0 : 1;
    const std::vector<const EyeView*> views = analysed.views(which);
    const std::vector<AnalysedElement>& elements = analysed.eye[which].elements;
    const EyeView& leading = *views[elements.empty() ? 0 : elements.front().element.view];
    const PolarBlock& block = leading.block;
    EyeShape shape{timepoint, eye, block.limbus_polar(), block.equatorial_radius_mm(), globe_of(block), {}, {}, muscles_of(leading)};
    std::vector<ShareField> shares;
    for (std::size_t e = 0; e < elements.size(); ++e) {
        shares.emplace_back(views[elements[e].element.view]->block, elements[e].element.found);
        shape.elements.push_back({ids[e], footprint_of(shares[e]), surface_of(shares[e])});
    }
    for (int half = 0; half < 24; ++half) {
        SectionShape section{ClockPosition(0.5 * half)};
        for (int p = 0; p < PolarBlock::polar_count; p += 2) {
            const double polar = PolarBlock::polar_radians(p), r = block.outer_radius_mm(5 * half, p);
            section.sclera.push_back({r * std::sin(polar), r * std::cos(polar)});
        }
        for (std::size_t e = 0; e < elements.size(); ++e) {
            auto edges = cut_of(shares[e], 0.5 * half);
            if (!edges.empty()) section.cuts.push_back({ids[e], std::move(edges)});
        }
        shape.sections.push_back(std::move(section));
    }
    return shape;
}

}  // namespace perisclera
