// SPDX-License-Identifier: Apache-2.0
#include "eye_model.h"

#include <algorithm>
#include <cmath>

namespace perisclera::phantoms {

namespace {

// Common practice, no source: depth of the anterior chamber, size of lens and iris.
constexpr double chamber_depth_mm = 3.0;
constexpr double lens_half_thickness_mm = 2.0, lens_radius_mm = 4.6;
constexpr double implant_half_thickness_mm = 0.5, implant_radius_mm = 3.0;
constexpr double ciliary_reach_mm = 2.0;  // behind the lens' middle
constexpr double pupil_radius_mm = 2.0, iris_thickness_mm = 0.4;

constexpr double no_dent_mm = 1.5;  // farther in from the deepest element there is no dent

/// Tissue between an element and this height above the globe is squeezed; beyond, nothing moves.
double squeezed_height(double lift) { return 6.0 + 2.0 * lift; }

Tissue filling(Contents contents) {
    switch (contents) {
        case Contents::vitreous: return Tissue::vitreous;
        case Contents::silicone_oil: return Tissue::silicone_oil;
        case Contents::gas: return Tissue::gas;
        case Contents::perfluorocarbon: return Tissue::perfluorocarbon;
        case Contents::haemorrhage: return Tissue::haemorrhage;
    }
    return Tissue::vitreous;
}

/// Silicone oil and gas are lighter than the fluid beside them, perfluorocarbon and blood heavier.
bool floats(Tissue contents) { return contents == Tissue::silicone_oil || contents == Tissue::gas; }

double squared(double x) { return x * x; }

}  // namespace

GlobeShape shape_of(const EyeState& state) {
    const EyeAnatomy& a = state.anatomy;
    return GlobeShape::of_length({state.globe_radius_mm, 0.0, a.limbus_radius_mm, a.corneal_radius_mm, a.staphyloma}, state.axial_length_mm);
}

EyeModel::EyeModel(Eye eye, const EyeState& state, Label first_label, EyeVector down)
    : shape_(shape_of(state)),
      sclera_(eye, shape_, state.anatomy),
      first_label_(first_label),
      contents_(filling(state.contents)),
      contents_share_(state.contents_share),
      down_(down),
      lens_(state.lens) {
    if (without_globe(state.look_alikes)) {
        const auto instead = std::find_if(state.look_alikes.begin(), state.look_alikes.end(), [](const LookAlike& l) { return without_globe({l}); });
        socket_.emplace(*instead, shape_);
        reach_ = socket_->reach_mm();
        thin_ = {0.0, reach_};
        return;
    }
    constexpr double thin_mm = 2.5;
    double deepest = 0.0, highest = 0.0, highest_thin = 0.0;
    for (const Element& e : state.elements) {
        elements_.emplace_back(e, shape_);
        if (e.capsule_mm > 0.0) {
            capsules_.emplace_back(e, shape_);
            highest = std::max(highest, capsules_.back().outline().highest());
        }
        deepest = std::max(deepest, e.indentation_mm + e.capsule_mm);
        highest = std::max(highest, elements_.back().highest());
        if (e.thickness_mm < thin_mm || e.capsule_mm > 0.0) highest_thin = std::max(highest_thin, elements_.back().highest() + e.capsule_mm);
    }
    look_alikes_ = parts_on_globe(eye, state, shape_, sclera_);
    for (const GlobePart& part : look_alikes_) {
        highest = std::max(highest, part.outline.highest());
        highest_thin = std::max(highest_thin, part.outline.highest());
    }
    const double R = shape_.radius;
    const double farthest = std::max(shape_.farthest(), shape_.apex_z());
    reach_ = std::max(farthest, bare() ? 0.0 : R + squeezed_height(highest)) + 0.5;
    deepest_ = R - deepest;
    thin_ = {std::min(R, R + shape_.elongation) - deepest - sclera_.thickest() - 0.25, std::max(farthest, R + highest_thin) + 0.3};
    lay_drops(state);
    if (contents_share_ < 1.0) level_mm_ = contents_level().along_down_mm;
}

/// Drops of perfluorocarbon roll to the lowest point of the cavity.
void EyeModel::lay_drops(const EyeState& state) {
    constexpr double step_mm = 0.01;
    for (const LookAlike& l : state.look_alikes) {
        if (l.kind != LookAlikeKind::perfluorocarbon_drop) continue;
        double depth = 0.0;
        while (structure_at(EyePoint{0, 0, 0} + down_ * depth) == label(Tissue::vitreous)) depth += step_mm;
        drops_.push_back({EyePoint{0, 0, 0} + down_ * (depth - step_mm - l.size_mm[0] / 2.0), l.size_mm[0] / 2.0});
    }
}

FluidLevel EyeModel::contents_level() const {
    // From the side on which the contents lie, so that small shares are as exact as large ones.
    const double towards_contents = floats(contents_) ? -1.0 : 1.0;
    FluidLevel level = fluid_level<EyeLocal>(contents_share_, down_ * towards_contents, {0, 0, 0}, reach_,
                                             [this](EyePoint p) { return structure_at(p) == label(Tissue::vitreous); });
    level.along_down_mm *= towards_contents;
    return level;
}

Tissue EyeModel::filling_at(EyePoint point) const {
    for (const Drop& drop : drops_)
        if (length(point - drop.centre) < drop.radius) return Tissue::perfluorocarbon;
    if (contents_share_ == 1.0) return contents_;
    const bool below = dot(point - EyePoint{0, 0, 0}, down_) > level_mm_;
    return below == floats(contents_) ? Tissue::vitreous : contents_;
}

std::optional<Label> EyeModel::label_at(EyePoint point) const {
    const auto found = structure_at(point);
    return found == label(Tissue::vitreous) ? label(filling_at(point)) : found;
}

double EyeModel::front_of_lens() const { return shape_.apex_z() - GlobeShape::corneal_thickness - chamber_depth_mm; }
double EyeModel::lens_z() const { return front_of_lens() - lens_half_thickness_mm; }

std::optional<Label> EyeModel::label_throughout(EyePoint middle, double radius) const {
    if (socket_ || !drops_.empty() || contents_share_ < 1.0) return std::nullopt;
    const double wall = std::min(deepest_ - no_dent_mm, shape_.radius + std::min(0.0, shape_.elongation) - sclera_.thickest() - uvea_thickness_mm);
    const bool in_vitreous_cavity = length(middle - EyePoint{0, 0, 0}) + radius < wall &&
                                    middle.z + radius < std::min(shape_.limbus_z(), lens_z() - std::max(ciliary_reach_mm, lens_half_thickness_mm));
    return in_vitreous_cavity ? std::optional(label(contents_)) : std::nullopt;
}

double EyeModel::lift(EyeVector direction) const {
    double most = 0.0;
    for (const ElementShape& e : elements_) most = std::max(most, e.lift(direction));
    for (const ElementCapsule& c : capsules_) most = std::max(most, c.outline().lift(direction));
    for (const GlobePart& part : look_alikes_) most = std::max(most, part.outline.lift(direction));
    return most;
}

double EyeModel::dent(EyeVector direction) const {
    double most = 0.0;
    for (const ElementShape& e : elements_) most = std::max(most, e.dent(direction));
    for (const ElementCapsule& c : capsules_) most = std::max(most, c.outline().dent(direction));
    for (const GlobePart& part : look_alikes_)
        if (!part.in_wall) most = std::max(most, part.outline.dent(direction));
    return most;
}

std::optional<Label> EyeModel::structure_at(EyePoint point) const {
    const double r = length(point - EyePoint{0, 0, 0});
    if (r > reach_) return std::nullopt;
    if (socket_) {
        const auto found = socket_->at(point);
        return found ? std::optional(label(*found)) : std::nullopt;
    }
    if (r < 1e-9) return label(Tissue::vitreous);
    const EyeVector direction = (point - EyePoint{0, 0, 0}) / r;
    const double height = r - shape_.radius;
    double outer = shape_.outer(direction);
    // Far inside, no element and no dent can reach.
    if (!bare() && r >= deepest_ - no_dent_mm) {
        for (std::size_t i = 0; i < elements_.size(); ++i)
            if (elements_[i].contains(direction, height)) return static_cast<Label>(first_label_ + i);
        for (const ElementCapsule& c : capsules_)
            if (c.outline().contains(direction, height)) return label(c.tissue(direction));
        for (const GlobePart& part : look_alikes_)
            if (part.outline.contains(direction, height)) return label(part.tissue);
        outer -= dent(direction);
    }
    const bool under_cornea = point.z > shape_.limbus_z();
    if (under_cornea) {
        const double from_corneal_centre = std::sqrt(squared(point.x) + squared(point.y) + squared(point.z - shape_.corneal_centre_z()));
        if (from_corneal_centre > shape_.corneal_radius) return std::nullopt;
        if (from_corneal_centre > shape_.corneal_radius - GlobeShape::corneal_thickness) return label(Tissue::cornea);
    } else if (r > outer) {
        return std::nullopt;
    }
    return inside_globe(point, r, outer, direction);
}

Label EyeModel::inside_globe(EyePoint p, double r, double outer, EyeVector direction) const {
    const double depth = outer - r;
    const bool behind_limbus = p.z <= shape_.limbus_z();
    if (behind_limbus && depth < sclera_.thickest() + uvea_thickness_mm) {
        const double sclera = sclera_.thickness(direction);
        if (depth < sclera) return label(Tissue::sclera);
        if (depth < sclera + uvea_thickness_mm) return label(Tissue::uvea);
    }
    const double from_axis = std::sqrt(squared(p.x) + squared(p.y));
    const double front_of_lens = EyeModel::front_of_lens(), lens_z = EyeModel::lens_z();
    if (p.z > front_of_lens + 0.5) return label(Tissue::aqueous);
    if (lens_ == Lens::natural && squared(from_axis / lens_radius_mm) + squared((p.z - lens_z) / lens_half_thickness_mm) < 1.0) return label(Tissue::lens);
    if (lens_ == Lens::implant && squared(from_axis / implant_radius_mm) + squared((p.z - lens_z) / implant_half_thickness_mm) < 1.0)
        return label(Tissue::acrylic);
    if (from_axis > pupil_radius_mm && std::abs(p.z - front_of_lens) < iris_thickness_mm / 2.0) return label(Tissue::uvea);
    if (from_axis > lens_radius_mm + 0.8 && depth < 2.0 && p.z > lens_z - ciliary_reach_mm) return label(Tissue::uvea);  // ciliary body
    if (p.z > lens_z) return label(Tissue::aqueous);
    return label(Tissue::vitreous);
}

std::optional<EyePoint> EyeModel::before_displacement(EyePoint point) const {
    const double r = length(point - EyePoint{0, 0, 0});
    if (bare() || r > reach_) return point;
    const EyeVector direction = (point - EyePoint{0, 0, 0}) / r;
    const double lifted = lift(direction);
    const double height = r - shape_.radius;
    const double limit = squeezed_height(lifted);
    if (lifted <= 0.0 || height >= limit) return point;
    if (height <= lifted) return std::nullopt;
    const double before = (height - lifted) * limit / (limit - lifted);
    return EyePoint{0, 0, 0} + direction * (shape_.radius + before);
}

}  // namespace perisclera::phantoms
