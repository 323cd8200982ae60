// SPDX-License-Identifier: Apache-2.0
#include "perisclera/measurement/element_layers.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "joint_layers.h"
#include "median.h"
#include "perisclera/core/text.h"

namespace perisclera {

namespace {

template <class Q>
double relative_uncertainty(const Measurement<Q>& m) {
    const Measured<Q>* told = m.measured();
    return told ? told->standard_uncertainty() / std::max(told->value(), Q(1e-6)) : 0.0;
}

/// A size that cannot be negative.
template <class Q>
Measured<Q> sized(double value, double relative_uncertainty) {
    return Measured<Q>(Q(value), Q(value * std::exp(-1.96 * relative_uncertainty)), Q(value * (1.0 + 1.96 * relative_uncertainty)));
}

template <class Q>
Measurement<Q> scaled(const Measurement<Q>& m, double factor, double more_uncertainty) {
    const Measured<Q>* told = m.measured();
    if (!told) return m;
    return sized<Q>(told->value().value() * factor, std::hypot(relative_uncertainty(m), more_uncertainty));
}

/// The width that all sections have but for what hides a quarter of them; nothing where they have none. A thin band all round has one, however noise and what lies beside it scatter.
std::optional<double> even_width(const std::vector<MeasuredSection>& sections, bool band_all_round) {
    std::vector<double> widths;
    for (const MeasuredSection& s : sections)
        if (const auto* w = s.width.measured()) widths.push_back(w->value().value());
    if (widths.empty()) return std::nullopt;
    constexpr double quarter = 0.25, alike = 0.75;
    std::sort(widths.begin(), widths.end());
    const double middle = widths[widths.size() / 2];
    if (!band_all_round && widths[static_cast<std::size_t>(quarter * static_cast<double>(widths.size()))] < alike * middle) return std::nullopt;
    return middle;
}

/// What the profiles of an element say.
struct Profiles {
    std::vector<std::vector<PossibleThickness>> possible;
    std::vector<Told> contrast_thickness;   ///< where both edges are seen
    std::vector<double> middle_mm;          ///< heights
    std::vector<double> blur_mm;            ///< full width at half its height
    double by_cells_mm = 0.0;     ///< thickness by shares at the same places, summed

    Measurement<HuMm> add(const WallProfiler& profiler, const ProfileSite& site) {
        const auto result = profiler.at(site);
        if (const auto* why = std::get_if<Unmeasured>(&result)) return *why;
        const auto& profile = std::get<WallProfile>(result);
        possible.push_back(profile.possible);
        by_cells_mm += site.thickness_mm;
        middle_mm.push_back(profile.middle_mm), blur_mm.push_back(profile.blur_mm);
        const auto* product = profile.contrast_thickness.measured();
        if (product == nullptr) return *profile.contrast_thickness.unmeasured();
        contrast_thickness.push_back({product->value().value(), product->standard_uncertainty().value()});
        return Measured<HuMm>(HuMm(product->value().value()), HuMm(product->low().value()), HuMm(product->high().value()));
    }
};

/// Widths on the sclera where the bare wall shows it, and of a moulded element as thick as `share` of what its cells show: these take in some of the wall that it presses in, but
/// not at its edges, which therefore lie where the cells are half as thick as it is, not as they are. Mm.
Measurement<Mm> widened(const Measurement<Mm>& width, double on_sclera, double share, double blur_mm) {
    const Measured<Mm>* told = width.measured();
    if (!told) return width;
    constexpr double blur_over_slope = 1.064;   // both edges' shift for each part of the height, in full widths of a Gaussian: sqrt(2 pi) / 2.355
    constexpr double most_pressed_in = 0.15;    // of what the cells show; more is their signal mistaken, which moves no edge
    const double w = told->value().value(), more = w * (on_sclera - 1.0) + blur_over_slope * blur_mm * std::clamp(1.0 - share, 0.0, most_pressed_in);
    return Measured<Mm>(Mm(w + more), Mm(told->low().value() + more), Mm(told->high().value() + more));
}

/// What a profile shows of a rod's greatest thickness: the mean about its middle, as wide as the columns that were averaged and the blur across. For an ellipse to second order.
double share_of_greatest(double width_mm, double blur_mm) {
    constexpr double full_width = 2.354820045, averaged = 0.15, roundness = 0.85, most_less = 0.1;   // averaged: of the width, to either side; between rectangle and ellipse
    const double half = 0.5 * width_mm, columns = 2.0 * averaged * half, blur = blur_mm / full_width;
    return 1.0 - roundness * std::min(most_less, 0.5 * (blur * blur + columns * columns / 3.0) / (half * half));
}

/// How deep the inner face lies below the wall beside the element.
Measured<Mm> indentation_of(const std::vector<double>& middle_mm, double wall_mm, Told thickness) {
    // Of the wall's place, and of what layers of one signal leave out (spread of errors of the drawn bands, tires and sponges of seeds 1 to 13 and 15 of tests/accuracy.sh).
    constexpr double of_wall_mm = 0.2;
    const double middle = median(middle_mm);
    std::vector<double> off;
    for (const double m : middle_mm) off.push_back(std::abs(m - middle));
    const double depth = wall_mm - middle + 0.5 * thickness.value;
    const double doubt = std::hypot(std::hypot(of_wall_mm, 0.5 * thickness.uncertainty), 1.4826 * median(off) / std::sqrt(static_cast<double>(off.size())));
    const double value = std::max(depth, 0.0);
    return Measured<Mm>(Mm(value), Mm(std::max(0.0, std::min(value, depth - 1.96 * doubt))), Mm(std::max(value, depth + 1.96 * doubt)));
}

}  // namespace

ElementMeasurements measured_by_layers(const WallProfiler& profiler, const PolarBlock& block, const FoundElement& element, ElementMeasurements measured, double kvp) {
    MeasuredSection& largest = measured.largest_section;
    Profiles profiles;
    for (MeasuredSection& s : measured.sections) s.contrast_thickness = profiles.add(profiler, profile_site(block, element, s.clock_hour));
    const bool sponge = element.appearance == Appearance::ct_dark, solid = element.appearance == Appearance::ct_bright && !element.edge_seen;
    if (!(sponge || solid)) {
        largest.contrast_thickness = Profiles().add(profiler, profile_site(block, element, largest.clock_hour));
        return measured;
    }
    if (measured.sections.empty()) profiles.add(profiler, profile_site(block, element, measured.middle_clock_hour));
    const std::size_t tried = std::max<std::size_t>(measured.sections.size(), 1), told = profiles.possible.size();
    const auto joint = 2 * told < tried || told == 0 ? std::nullopt : joint_thickness(profiles.possible, sponge, kvp);
    if (!joint) {
        largest.contrast_thickness = Unmeasured{say("profile.no_layers")};
        return measured;
    }
    // A thin layer of its material's usual number is what any faint rise may be taken for: where the profiles show another number it is the crest of something thicker.
    if (solid && element.thinner_than_blur && joint->against_profiles) return without_sizes(std::move(measured), say("reason.not_its_number"));
    if (profiles.contrast_thickness.empty()) {
        largest.contrast_thickness = Unmeasured{say("profile.no_inner_edge")};
    } else {
        const Told product = middle_of(profiles.contrast_thickness);
        largest.contrast_thickness = Measured<HuMm>::from_standard_uncertainty(HuMm(product.value), HuMm(product.uncertainty));
    }
    // What layers of one signal and a Gaussian leave out (docs/measurements.md), relative to the thickness: a standard uncertainty.
    constexpr double least_mm = 0.05, of_thickness = 0.025;
    const double t = joint->mm.value, of_t = std::hypot(std::hypot(joint->mm.uncertainty, least_mm) / t, of_thickness, measured.beside_bone);
    measured.by_number = ThicknessByNumber{sponge, kvp, t, joint->mm.uncertainty, joint->by_number, 0.0};
    const double factor = t * static_cast<double>(told) / profiles.by_cells_mm;
    const double radius = block.equatorial_radius_mm(), wall = profiler.wall_height_mm(), height = median(profiles.middle_mm);
    const bool own_signal_shows = solid && !element.thinner_than_blur;
    const auto on_sclera = [&](MeasuredSection& s) { s.width = widened(s.width, (radius + wall) / radius, own_signal_shows ? factor : 1.0, median(profiles.blur_mm)); };
    std::for_each(measured.sections.begin(), measured.sections.end(), on_sclera);
    on_sclera(largest);
    for (MeasuredSection& s : measured.sections) s.thickness = scaled(s.thickness, factor, of_t), s.area = scaled(s.area, factor, of_t);
    const auto* wide = largest.width.measured();
    const double greatest = sponge && wide != nullptr ? t / share_of_greatest(wide->value().value(), median(profiles.blur_mm)) : t;
    constexpr double of_roundness = 0.5;   // of what it adds: a rod may be nearly a rectangle
    largest.thickness = sized<Mm>(greatest, std::hypot(of_t, of_roundness * (greatest / t - 1.0)));
    measured.indentation = indentation_of(profiles.middle_mm, wall, {greatest, joint->mm.uncertainty});
    // A path about the eye is as long as its height asks.
    if (!measured.sections.empty()) measured.length = scaled(measured.length, (radius + height) / (radius + measured.middle_height_mm), 0.0);
    const auto even = even_width(measured.sections, element.closed_ring && element.thinner_than_blur);
    if (even) largest.width = sized<Mm>(*even, relative_uncertainty(largest.width));
    largest.area = scaled(largest.area, factor, of_t);
    measured.volume = scaled(measured.volume, factor, of_t);
    const auto *width = largest.width.measured(), *length = measured.length.measured();
    if (width == nullptr || length == nullptr || !(even || (sponge && measured.sections.empty()))) return measured;
    // One section all along. The width is told on the sclera; an arc at the height of the section's middle is longer.
    constexpr double of_shape = 0.05;   // corners, grooves and the curve of a moulded section, and how far a rod is an ellipse (assumed)
    measured.by_number->of_make = of_shape;
    const double of_area = std::hypot(std::hypot(relative_uncertainty(largest.thickness), of_shape), relative_uncertainty(largest.width));
    const double box = width->value().value() * greatest * (radius + height) / (radius + wall), area = sponge ? 0.25 * std::numbers::pi * box : box;
    // A sponge is so much darker than all beside it that its shares tell its bulk as well as its sizes do; where the two are far apart the shares took in or left out something.
    const auto told_by_both = [&](double by_sizes, double by_shares) {
        constexpr double most_apart = 1.25;
        return sponge ? by_sizes * std::sqrt(std::clamp(by_shares / by_sizes, 1.0 / most_apart, most_apart)) : by_sizes;
    };
    const auto by_shares = [](const auto& bulk) { return bulk.measured() ? bulk.measured()->value().value() : 0.0; };
    largest.area = sized<Mm2>(told_by_both(area, by_shares(largest.area)), of_area);
    measured.volume = sized<Mm3>(told_by_both(area * length->value().value(), by_shares(measured.volume)), std::hypot(of_area, relative_uncertainty(measured.length)));
    return measured;
}

}  // namespace perisclera
