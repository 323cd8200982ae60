// SPDX-License-Identifier: Apache-2.0
#include "perisclera/measurement/element_surroundings.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "orbital_wall.h"
#include "outer_face.h"
#include "outside_air.h"
#include "perisclera/anatomy/directions.h"
#include "perisclera/core/text.h"

namespace perisclera {

namespace {

constexpr double farthest_mm = 40.0;

constexpr double of_95 = 1.96;

/// How far the outer face may lie off, with 95 %: outwards, inwards and along the sclera, mm.
struct FaceDoubt {
    double outwards, inwards, across;
    /// Towards something, and away from it.
    [[nodiscard]] std::array<double, 2> towards(const FacePlace& place, PatientVector direction) const {
        const double cosine = dot(place.outward, direction), sideways = across * std::sqrt(std::max(0.0, 1.0 - cosine * cosine));
        return {std::hypot(cosine * (cosine > 0.0 ? outwards : inwards), sideways),
                std::hypot(cosine * (cosine > 0.0 ? inwards : outwards), sideways)};
    }
};

/// Blur's full width along a direction, about: a pixel in the slices' plane, a slice across it, in between by the direction.
double voxel_along(const VolumeGeometry& geometry, PatientVector direction) {
    const auto spacing = geometry.spacing_mm();
    const double cosine = dot(direction, geometry.normal());
    return std::sqrt(cosine * cosine * spacing[2] * spacing[2] + (1.0 - cosine * cosine) * std::pow(std::max(spacing[0], spacing[1]), 2));
}

struct Nearest {
    double distance_mm = farthest_mm;
    const FacePlace* from = nullptr;
    PatientVector along{0, 0, 0};
};

bool holds(const std::vector<char>& cells, const PolarBlock& block, PatientPoint p) {
    const EyePoint e = block.globe().frame.to_eye(p);
    const int clock = static_cast<int>(std::lround(clock_of(e).hours() * 10.0)) % PolarBlock::clock_count;
    const int polar = static_cast<int>(std::lround((polar_angle(e) - PolarBlock::polar_first) / PolarBlock::polar_step));
    if (polar < 0 || polar >= PolarBlock::polar_count) return false;
    const double height = std::hypot(e.x, e.y, e.z) - block.outer_radius_mm(clock, polar);
    const int h = static_cast<int>(std::lround((height - PolarBlock::height_first_mm) / PolarBlock::height_step_mm));
    return h >= 0 && h < PolarBlock::height_count && cells[PolarBlock::index(clock, polar, h)] != 0;
}

/// Cells that elements fill to some part, and those beside them.
std::vector<char> cells_of(const std::vector<const FoundElement*>& elements) {
    constexpr float some = 0.15F;
    std::vector<char> cells(PolarBlock::cell_count, 0);
    for (const FoundElement* element : elements)
        for (const ElementCell& cell : element->cells) {
            if (cell.share < some) continue;
            const PolarCell at = PolarBlock::cell(cell.index);
            for (int c = -1; c <= 1; ++c)
                for (int p = std::max(0, at.polar - 1); p <= std::min(PolarBlock::polar_count - 1, at.polar + 1); ++p)
                    for (int h = std::max(0, at.height - 1); h <= std::min(PolarBlock::height_count - 1, at.height + 1); ++h)
                        cells[PolarBlock::index((at.clock + c + PolarBlock::clock_count) % PolarBlock::clock_count, p, h)] = 1;
        }
    return cells;
}

/// The shortest of all ways; nothing where none arrives.
template <class WayOf>
Nearest nearest_of(const std::vector<FacePlace>& face, const std::vector<PatientVector>& directions, const WayOf& way_of) {
    Nearest best;
    for (const FacePlace& place : face)
        for (const PatientVector& along : directions)
            if (const auto distance = way_of(place, along, best.distance_mm); distance && *distance < best.distance_mm)
                best = {*distance, &place, along};
    return best;
}

/// `edge`: standard uncertainty of where it ends.
Measured<Mm> told(const Nearest& best, const FaceDoubt& doubt, double edge) {
    const auto [nearer, farther] = doubt.towards(*best.from, best.along);
    return Measured<Mm>(Mm(best.distance_mm), Mm(std::max(0.0, best.distance_mm - std::hypot(nearer, of_95 * edge))),
                        Mm(best.distance_mm + std::hypot(farther, of_95 * edge)));
}

}  // namespace

ElementSurroundings surroundings_of(const VoxelGrid& grid, Modality modality, const PolarBlock& block, const FoundElement& element,
                                    const ElementMeasurements& measured, const std::vector<const FoundElement*>& elements) {
    const MeasuredSection& largest = measured.largest_section;
    for (const Measurement<Mm>* size : {&largest.thickness, &largest.width})
        if (const Unmeasured* why = size->unmeasured()) return {*why, *why};
    const std::vector<FacePlace> face = outer_face(block, element, measured);
    // Of a body whose edge is not seen all round the inner face, which lies on the wall, is the better known one.
    const double of_thickness = element.edge_seen || is_mass(element.appearance) ? 1.0 : 0.5, of_width = std::numbers::sqrt2 / 2.0;
    const double least = 0.2 + 0.1 * block.largest_spacing_mm();
    const Measured<Mm>&thickness = *largest.thickness.measured(), &width = *largest.width.measured();
    const auto reach = [&](double own) { return std::hypot(own, of_95 * least); };
    const FaceDoubt doubt{reach(of_thickness * (thickness.high() - thickness.value()).value()),
                          reach(of_thickness * (thickness.value() - thickness.low()).value()),
                          reach(of_95 * of_width * width.standard_uncertainty().value())};
    const std::vector<PatientVector> all = even_directions<PatientLps>(400);

    const auto air = OutsideAir::of(grid, modality, block);
    const OutsideAir* outside = std::get_if<OutsideAir>(&air);
    const auto surface = [&]() -> Measurement<Mm> {
        if (outside == nullptr) return std::get<Unmeasured>(air);
        std::vector<PatientVector> towards_face;
        for (const PatientVector& d : all)
            if (dot(d, forwards) > 0.0) towards_face.push_back(d);
        const Nearest best =
            nearest_of(face, towards_face, [&](const FacePlace& place, PatientVector along, double farthest) -> std::optional<double> {
                const OutsideAir::Way way = outside->to_surface(place.point, along, farthest);
                return way.end == OutsideAir::End::surface ? std::optional(way.distance_mm) : std::nullopt;
            });
        if (best.from == nullptr) return Unmeasured{say("reason.surface_not_imaged")};
        // What the images do not hold may be nearer.
        constexpr double well_forwards = 0.5, most_cut = 0.05;
        int ways = 0, cut = 0;
        for (const PatientVector& d : towards_face) {
            if (dot(d, forwards) < well_forwards) continue;
            ++ways;
            if (outside->to_surface(best.from->point, d, best.distance_mm).end == OutsideAir::End::images_end) ++cut;
        }
        if (cut > most_cut * ways) return Unmeasured{say("reason.surface_not_imaged")};
        const double edge = (modality == Modality::ct ? 0.25 : 0.35) * voxel_along(grid.geometry(), best.along);
        return told(best, doubt, edge);
    };
    const auto orbital_wall = [&]() -> Measurement<Mm> {
        if (modality != Modality::ct) return Unmeasured{say("reason.no_bone_on_mr")};
        const std::vector<char> cells = cells_of(elements);
        const OrbitalWall wall(grid, block.globe().frame.origin(), outside, [&](PatientPoint p) { return holds(cells, block, p); });
        bool thin = false;
        int ways = 0, cut = 0;
        const Nearest best = nearest_of(face, all, [&](const FacePlace& place, PatientVector along, double farthest) -> std::optional<double> {
            if (dot(place.outward, along) < 0.0) return std::nullopt;
            const OrbitalWall::Way way = wall.to_wall(place.point, along, farthest);
            ++ways;
            if (way.end == OrbitalWall::End::images_end) ++cut;
            if (way.end != OrbitalWall::End::bone && way.end != OrbitalWall::End::thin_wall) return std::nullopt;
            if (way.distance_mm < farthest) thin = way.end == OrbitalWall::End::thin_wall;
            return way.distance_mm;
        });
        constexpr double most_cut = 0.02;
        if (best.from == nullptr || cut > most_cut * ways) return Unmeasured{say("reason.wall_not_imaged")};
        constexpr double of_thin_wall_mm = 0.4, of_bone_mm = 0.15, of_voxel = 0.4;
        return told(best, doubt, std::hypot(of_voxel * voxel_along(grid.geometry(), best.along), thin ? of_thin_wall_mm : of_bone_mm));
    };
    return {surface(), orbital_wall()};
}

}  // namespace perisclera
