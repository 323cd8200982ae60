// SPDX-License-Identifier: Apache-2.0
#include "ct_artefact.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <optional>

#include "ct_substance.h"
#include "perisclera/core/shared_work.h"

namespace perisclera::phantoms {

namespace {

// A plane has to hold the head's whole section, or its rays would miss bone. Bone's error is smooth; metal's is streaks as fine as the metal.
constexpr double plane_mm = 256.0;
constexpr double bone_pitch_mm = 2.0, bone_step_mm = 4.0, metal_pitch_mm = 0.8, metal_step_mm = 1.0;
constexpr int bone_angles = 120, metal_angles = 400;
constexpr int metal_parts = 3;           // by which a pixel's side is divided for metal's share of it
constexpr double least_bone_hu = 150.0;  // between soft tissue and spongy bone

bool is_metal(Material material) { return material == Material::titanium || material == Material::tantalum; }

/// The heaviest metal on the eyes and in the orbits: it makes the streaks.
std::optional<Substance> metal_of(const HeadModel& head) {
    std::optional<Substance> heaviest;
    const auto consider = [&](const Substance& metal) {
        if (!heaviest || metal.density_g_cm3 > heaviest->density_g_cm3) heaviest = metal;
    };
    for (const Eye eye : both_eyes) {
        for (const ElementShape& shape : head.eye(eye).elements()) {
            if (shape.element().material == Material::titanium) consider(substances::titanium());
            if (shape.element().material == Material::tantalum) consider(substances::tantalum());
        }
        for (const OrbitPart& part : head.orbit_look_alikes(eye)) {
            const Tissue tissue = part.inside(part.middle);
            if (tissue == Tissue::titanium) consider(substances::titanium());
            if (tissue == Tissue::gold) consider(substances::gold());
            if (tissue == Tissue::platinum) consider(substances::platinum());
        }
    }
    return heaviest;
}

/// No bone, though denser than the densest soft tissue.
bool dense_without_mineral(Tissue tissue) { return tissue == Tissue::perfluorocarbon || tissue == Tissue::loaded_silicone; }

HeadPoint middle_of_head() { return {0.0, 80.0, 0.0}; }

}  // namespace

bool CtArtefact::needed(const Series& series, const HeadModel& head) { return series.beam_hardening > 0.0 || metal_of(head).has_value(); }

CtArtefact::CtArtefact(const Scan& scan, const VolumeGeometry& covered, unsigned threads)
    : scan_(scan),
      map_(scan.head),
      hardening_(scan.series.kvp, metal_of(scan.head).value_or(substances::titanium()), scan.series.beam_hardening),
      middle_(scan.pose.to_patient(middle_of_head())),
      row_(1, 0, 0),
      column_(0, 1, 0) {
    if (scan.series.plane == Plane::axial) row_ = covered.row(), column_ = covered.column();  // other planes are cut from axial ones
    normal_ = cross(row_, column_);
    // Bone as the share of cortical bone that, with water, has the label's CT number.
    const double cortical = static_cast<double>(scan.appearance.value[label(Tissue::cortical_bone)]);
    for (const float value : scan.appearance.value) {
        const double hu = static_cast<double>(value), bone = hu > least_bone_hu ? hu / cortical : 0.0;
        of_label_.push_back({static_cast<float>(bone > 0.0 ? 1.0 - bone : 1.0 + hu / 1000.0), static_cast<float>(bone), 0.0f});
    }
    // Metals as the share of the heaviest that has the label's CT number.
    const float heaviest = 1000.0f + static_cast<float>(CtBeam(scan.series.kvp).ct_number(metal_of(scan.head).value_or(substances::titanium())));
    const auto as_metal = [&](std::size_t of) { return Content{0.0f, 0.0f, (1000.0f + scan.appearance.value[of]) / heaviest}; };
    for (std::size_t i = 0; i < tissue_count; ++i) {
        const auto tissue = static_cast<Tissue>(i);
        if (is_metal(tissue)) of_label_[i] = as_metal(i);
        if (dense_without_mineral(tissue)) of_label_[i] = {1.0f + scan.appearance.value[i] / 1000.0f, 0.0f, 0.0f};
    }
    any_metal_ = metal_of(scan.head).has_value();
    std::size_t next_label = tissue_count;
    for (const Eye eye : both_eyes)
        for (const ElementShape& shape : scan.head.eye(eye).elements()) {
            Content& content = of_label_[next_label];
            const Material material = shape.element().material;
            if (is_metal(material))
                content = as_metal(next_label);
            else if (content.bone > 0.0f)
                content = {1.0f, 0.0f, 0.0f};  // silicone is no bone, and too little to matter
            ++next_label;
        }
    double low = 1e9, high = -1e9;
    const auto size = covered.size();
    for (const int z : {0, size[2] - 1})
        for (const int y : {0, size[1] - 1})
            for (const int x : {0, size[0] - 1}) {
                const double along = dot(covered.to_patient({static_cast<double>(x), static_cast<double>(y), static_cast<double>(z)}) - middle_, normal_);
                low = std::min(low, along), high = std::max(high, along);
            }
    first_mm_ = low;
    const int count = 2 + static_cast<int>(std::ceil((high - low) / (any_metal_ ? metal_step_mm : bone_step_mm)));
    step_mm_ = (high - low) / (count - 1) + 1e-6;
    planes_.assign(static_cast<std::size_t>(count), ErrorPlane{1.0, Image(1, 1)});
    std::atomic<int> next{0};
    share_work(static_cast<int>(threads), [&] {
        for (int i = next++; i < count; i = next++) planes_[static_cast<std::size_t>(i)] = plane(first_mm_ + i * step_mm_);
    });
}

HeadPoint CtArtefact::head_point(double across_mm, double down_mm, double along_mm) const {
    return scan_.pose.to_head(middle_ + row_ * across_mm + column_ * down_mm + normal_ * along_mm);
}

bool CtArtefact::metal_in(double along_mm) const {
    if (!any_metal_) return false;
    constexpr double fine_mm = 0.3, reach_of_eyes_mm = 20.0, reach_of_orbits_mm = 36.0;
    for (const Eye eye : both_eyes) {
        const double reach_mm = scan_.head.orbit_look_alikes(eye).empty() ? reach_of_eyes_mm : reach_of_orbits_mm;
        const PatientVector from_middle = scan_.pose.to_patient(scan_.head.placement(eye).centre) - middle_;
        const double across = dot(from_middle, row_), down = dot(from_middle, column_);
        for (double y = -reach_mm; y < reach_mm; y += fine_mm)
            for (double x = -reach_mm; x < reach_mm; x += fine_mm)
                if (of_label_[map_.label_at(head_point(across + x, down + y, along_mm))].metal > 0.0f) return true;
    }
    return false;
}

PlaneContent CtArtefact::content(double along_mm, double pitch_mm) const {
    const int side = static_cast<int>(plane_mm / pitch_mm);
    PlaneContent out{Image(side, side), Image(side, side), Image(side, side), pitch_mm};
    const auto place = [&](double pixel) { return (pixel - (side - 1) / 2.0) * pitch_mm; };
    for (int y = 0; y < side; ++y)
        for (int x = 0; x < side; ++x) {
            const HeadPoint middle = head_point(place(x), place(y), along_mm);
            const int parts = pitch_mm < 1.0 && scan_.head.in_orbits(middle) ? metal_parts : 1;
            const float share = 1.0f / static_cast<float>(parts * parts);
            for (int j = 0; j < parts; ++j)
                for (int i = 0; i < parts; ++i) {
                    const auto offset = [&](int part) { return (part + 0.5) / parts - 0.5; };
                    const Content& here = of_label_[map_.label_at(head_point(place(x + offset(i)), place(y + offset(j)), along_mm))];
                    out.water.at(x, y) += share * here.water;
                    out.bone.at(x, y) += share * here.bone;
                    out.metal.at(x, y) += share * here.metal;
                }
        }
    return out;
}

CtArtefact::ErrorPlane CtArtefact::plane(double along_mm) const {
    if (metal_in(along_mm)) return {metal_pitch_mm, hardening_.error(content(along_mm, metal_pitch_mm), metal_angles)};
    if (scan_.series.beam_hardening <= 0.0) return {plane_mm, Image(2, 2)};
    return {bone_pitch_mm, hardening_.error(content(along_mm, bone_pitch_mm), bone_angles)};
}

double CtArtefact::ErrorPlane::at(double across_mm, double down_mm) const {
    const auto pixel = [&](double mm) { return std::clamp(mm / pitch_mm + (error.width - 1) / 2.0, 0.0, error.width - 1.001); };
    const double x = pixel(across_mm), y = pixel(down_mm);
    const int i = static_cast<int>(x), j = static_cast<int>(y);
    const auto value = [&](int u, int v) { return static_cast<double>(error.at(u, v)); };
    return std::lerp(std::lerp(value(i, j), value(i + 1, j), x - i), std::lerp(value(i, j + 1), value(i + 1, j + 1), x - i), y - j);
}

double CtArtefact::at(PatientPoint point) const {
    const PatientVector d = point - middle_;
    const double across = dot(d, row_), down = dot(d, column_);
    const double place = std::clamp((dot(d, normal_) - first_mm_) / step_mm_, 0.0, static_cast<double>(planes_.size()) - 1.001);
    const auto i = static_cast<std::size_t>(place);
    return std::lerp(planes_[i].at(across, down), planes_[i + 1].at(across, down), place - static_cast<double>(i));
}

}  // namespace perisclera::phantoms
