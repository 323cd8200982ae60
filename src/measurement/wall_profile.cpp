// SPDX-License-Identifier: Apache-2.0
#include "perisclera/measurement/wall_profile.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "bare_wall.h"
#include "layer_fit.h"
#include "perisclera/core/text.h"

namespace perisclera {

namespace {

constexpr int clocks = PolarBlock::clock_count, polars = PolarBlock::polar_count, heights = PolarBlock::height_count;
constexpr double full_width = 2.354820045;   // of a Gaussian at half its height, in standard deviations

std::size_t column(int clock, int polar) { return static_cast<std::size_t>((clock + clocks) % clocks) * polars + static_cast<std::size_t>(polar); }

/// The element's shares summed over each column, and their middle height.
struct Columns {
    std::vector<double> thickness, height;
};

Columns columns_of(const FoundElement& element) {
    Columns out{std::vector<double>(static_cast<std::size_t>(clocks) * polars), std::vector<double>(static_cast<std::size_t>(clocks) * polars)};
    for (const ElementCell& cell : element.cells) {
        const PolarCell c = PolarBlock::cell(cell.index);
        const double mm = std::max(static_cast<double>(cell.share), 0.0) * PolarBlock::height_step_mm;
        out.thickness[column(c.clock, c.polar)] += mm;
        out.height[column(c.clock, c.polar)] += mm * PolarBlock::height_mm(c.height);
    }
    for (std::size_t i = 0; i < out.height.size(); ++i)
        if (out.thickness[i] > 0.0) out.height[i] /= out.thickness[i];
    return out;
}

template <class Q>
Measurement<Q> measured(const Spread& s) {
    return Measured<Q>(Q(s.median), Q(std::min(s.low, s.median)), Q(std::max(s.high, s.median)));
}

Spread widened(Spread s, double uncertainty) {
    const double below = std::hypot(s.median - s.low, 1.96 * uncertainty), above = std::hypot(s.high - s.median, 1.96 * uncertainty);
    return {s.median, s.median - below, s.median + above};
}

/// What blur along the meridian leaves of an element so wide, on the mean of columns about its middle.
double share_left(double width_mm, double blur_mm, const std::vector<double>& off_middle_mm) {
    double sum = 0.0;
    for (const double d : off_middle_mm)
        sum += 0.5 * (std::erf((0.5 * width_mm - d) / (blur_mm * std::numbers::sqrt2)) + std::erf((0.5 * width_mm + d) / (blur_mm * std::numbers::sqrt2)));
    return sum / static_cast<double>(off_middle_mm.size());
}

/// From fat to muscle; the orbit's wall where the line rises beyond both.
Known outside_of_ct(const std::vector<ProfilePoint>& line) {
    constexpr double denser_than_muscle_hu = 150.0;
    return line.back().signal > denser_than_muscle_hu && line.back().signal > line[line.size() - 2].signal ? Known{600.0, 400.0} : Known{-20.0, 60.0};
}

}  // namespace

ProfileSite profile_site(const PolarBlock& block, const FoundElement& element, double clock_hour) {
    constexpr int near_hour = 2, half_clock = 4;
    // A moulded section is even between its edges, that of a sponge round.
    constexpr double about_as_thick = 0.8;
    const double middle_part = element.appearance == Appearance::ct_dark ? 0.15 : 0.35;
    const Columns columns = columns_of(element);
    const auto smooth = [&](int c, int p) {
        double sum = 0.0;
        for (int k = -1; k <= 1; ++k)
            for (int q = std::max(0, p - 1); q <= std::min(polars - 1, p + 1); ++q) sum += columns.thickness[column(c + k, q)];
        return sum / 9.0;
    };
    const int hour = static_cast<int>(std::lround(clock_hour * 10.0));
    int clock = hour, peak = 0;
    double most = -1.0;
    for (int c = hour - near_hour; c <= hour + near_hour; ++c)
        for (int p = 0; p < polars; ++p)
            if (const double t = smooth(c, p); t > most) most = t, clock = c, peak = p;
    // The middle of what is about as thick, for a moulded element is even between its edges.
    int first = peak, last = peak;
    while (first > 0 && smooth(clock, first - 1) >= 0.5 * most) --first;
    while (last + 1 < polars && smooth(clock, last + 1) >= 0.5 * most) ++last;
    const double step_mm = PolarBlock::polar_step * block.equatorial_radius_mm();
    const double middle = 0.5 * (first + last), width = std::max((last - first + 1) * step_mm, step_mm);
    ProfileSite site{std::fmod(PolarBlock::clock_hours(clock) + 12.0, 12.0), PolarBlock::polar_first + middle * PolarBlock::polar_step, width, {}, 0.0, 0.0};
    // A radial element is as narrow along the clock as another along the meridian.
    int before = clock, after = clock;
    while (before > clock - clocks / 2 && smooth(before - 1, static_cast<int>(middle)) >= 0.5 * most) --before;
    while (after < clock + clocks / 2 && smooth(after + 1, static_cast<int>(middle)) >= 0.5 * most) ++after;
    const double middle_clock = 0.5 * (before + after), reach = std::max(0.5, middle_part * (after - before));
    const bool narrow = reach < half_clock;
    double height = 0.0, sum = 0.0;
    for (int c = clock - half_clock; c <= clock + half_clock; ++c)
        for (int p = first; p <= last; ++p) {
            if (std::abs(p - middle) > std::max(0.5, middle_part * (last - first)) || (narrow && std::abs(c - middle_clock) > reach)) continue;
            const double t = columns.thickness[column(c, p)];
            if (t < about_as_thick * most || t > most / about_as_thick) continue;
            site.columns.push_back(column(c, p));
            height += t * columns.height[column(c, p)], sum += t;
        }
    if (site.columns.empty()) site.columns.push_back(column(clock, peak)), sum = columns.thickness[column(clock, peak)], height = sum * columns.height[column(clock, peak)];
    site.thickness_mm = std::max(sum / static_cast<double>(site.columns.size()), 0.2);
    site.inner_mm = (sum > 0.0 ? height / sum : 0.0) - 0.5 * site.thickness_mm;
    return site;
}

WallProfiler::WallProfiler(const PolarBlock& block, Modality modality, const std::vector<const FoundElement*>& elements)
    : block_(block), modality_(modality), walls_(std::make_shared<const BareWalls>(block, modality, elements)) {}

double WallProfiler::wall_height_mm() const { return walls_->height_mm(); }

std::variant<WallProfile, Unmeasured> WallProfiler::at(const ProfileSite& site) const {
    constexpr double within_mm = 4.0, turn_mm = 1.0, beyond_mm = 3.0;
    const auto height_index = [](double mm) { return std::clamp(static_cast<int>(std::lround((mm - PolarBlock::height_first_mm) / PolarBlock::height_step_mm)), 0, heights - 1); };
    const PatientPoint origin = block_.globe().frame.origin();
    const auto direction_at = [&](double polar) {
        const PatientVector d = block_.patient_point(site.clock_hour, polar, 0.0) - origin;
        return d / length(d);
    };
    const PatientVector normal = direction_at(site.polar);
    const PatientVector meridian = direction_at(site.polar + 0.5 * std::numbers::pi);
    const BareWall wall = walls_->seen_along(normal);
    const double blur = std::exp(wall.log_blur.mean);
    const double outer = site.inner_mm + site.thickness_mm;
    const std::vector<ProfilePoint> points = mean_line(block_, site.columns, height_index(site.inner_mm - within_mm), height_index(outer + turn_mm), height_index(outer + beyond_mm));
    if (points.empty()) return Unmeasured{say("profile.not_imaged")};
    const double along = blur * std::sqrt(usual_variance(block_.geometry(), modality_, meridian) / usual_variance(block_.geometry(), modality_, normal));
    std::vector<double> off_middle;
    const double radius = block_.equatorial_radius_mm();
    for (const std::size_t i : site.columns) off_middle.push_back((PolarBlock::polar_radians(static_cast<int>(i % polars)) - site.polar) * radius);
    const double share = share_left(site.along_meridian_mm, along, off_middle);
    constexpr double least_share = 0.5;
    if (share < least_share) return Unmeasured{say("profile.too_narrow")};

    const auto [least, most] = std::minmax_element(points.begin(), points.end(), [](const ProfilePoint& a, const ProfilePoint& b) { return a.signal < b.signal; });
    const double span = std::max(most->signal - least->signal, 1e-6);
    // From gas to what is denser than any explant but metal, beside anything from fat to muscle; on MR from no signal to twice the brightest beside it.
    const bool ct = modality_ == Modality::ct;
    const LayerLine line{points, 0.01 * span, share, wall.log_blur, usual_wall(site.polar), wall.wall_contrast, ct ? outside_of_ct(points) : Known{points.back().signal, span},
                         ct ? -1000.0 : 0.0, ct ? 500.0 : 2.0 * most->signal};
    const auto fit = fit_layers(line, site.inner_mm, site.thickness_mm);
    constexpr double most_left = 0.12;   // of the line's span
    if (!fit || fit->left_over > most_left * span) return Unmeasured{say("profile.no_layers")};

    const Layers& layers = fit->layers;
    // The wall turned into something that no wall is: the layers are not those of an eye.
    constexpr double strange = 2.5;   // standard deviations
    if (std::abs(layers.wall - layers.inside - wall.wall_contrast.mean) > strange * wall.wall_contrast.spread) return Unmeasured{say("profile.no_layers")};
    // What layers of one signal and a Gaussian leave out, by how far they lie from the truth in drawn patients (docs/measurements.md): standard uncertainties.
    constexpr double least_mm = 0.06, of_thickness = 0.03, of_step = 0.02, of_contrast_thickness = 0.04;
    const double full_width_mm = full_width * layers.blur_mm, step = std::abs(layers.element - 0.5 * (layers.wall + layers.outside));
    Spread thickness = widened(fit->thickness, std::hypot(least_mm, of_thickness * layers.thickness_mm));
    thickness.low = std::max(thickness.low, 0.5 * fit->thickness.low);
    WallProfile out{site.clock_hour, site.polar, static_cast<int>(site.columns.size()), points, {}, {}, full_width_mm, measured<Mm>(thickness),
                    measured<Signal>(widened(fit->value, of_step * step)),
                    measured<SignalMm>(widened(fit->contrast_thickness, of_contrast_thickness * std::abs(fit->contrast_thickness.median))), fit->correlation,
                    layers.inner_mm + 0.5 * layers.thickness_mm, fit->thickness.low < full_width_mm, fit->possible};
    constexpr double fine_mm = 0.1;
    for (double h = points.front().height_mm; h <= points.back().height_mm + 1e-9; h += fine_mm) out.fitted.push_back({h, blurred_signal(layers, share, h)});
    double from = points.front().height_mm;
    for (double face : {layers.inner_mm - layers.wall_mm, layers.inner_mm, layers.inner_mm + layers.thickness_mm, points.back().height_mm}) {
        face = std::clamp(face, from, points.back().height_mm);
        out.layers.push_back({from, sharp_signal(layers, from)});
        out.layers.push_back({face, sharp_signal(layers, face - 1e-6)});
        from = face;
    }
    constexpr double seen = 3.0;   // standard uncertainties
    if (!ct) {
        const Unmeasured why{say("profile.on_mr")};
        out.thickness = why, out.value = why, out.contrast_thickness = why;
    } else if (fit->outer_step < seen || fit->inner_step < seen) {
        const Unmeasured why{say(fit->outer_step < seen ? "profile.no_outer_edge" : "profile.no_inner_edge")};
        out.thickness = why, out.contrast_thickness = why;
    }
    return out;
}

}  // namespace perisclera
