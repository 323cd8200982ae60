// SPDX-License-Identifier: Apache-2.0
#include "perisclera/measurement/ring_junction.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <numbers>
#include <vector>

#include "joint_layers.h"
#include "median.h"
#include "perisclera/segmentation/metal.h"

namespace perisclera {

namespace {

constexpr int clocks = PolarBlock::clock_count, polars = PolarBlock::polar_count;
constexpr int every = 2, places = clocks / every;  // clock steps from place to place: 1.3 mm on most eyes
constexpr double half_way = 1.5;                   // from one layer to two

std::size_t column(int clock, int polar) { return static_cast<std::size_t>((clock + clocks) % clocks) * polars + static_cast<std::size_t>(polar); }

/// What runs round the eye in one line, by the middle of an hour to either side: what is raised, hidden or added on a shorter stretch moves it
/// nowhere. Empty entries are left out.
std::vector<std::optional<double>> evened(const std::vector<std::optional<double>>& each) {
    constexpr int an_hour = 10;
    std::vector<std::optional<double>> out(clocks);
    for (int c = 0; c < clocks; ++c) {
        std::vector<double> near;
        for (int k = -an_hour; k <= an_hour; ++k)
            if (const auto& v = each[static_cast<std::size_t>((c + k + clocks) % clocks)]) near.push_back(*v);
        if (!near.empty()) out[static_cast<std::size_t>(c)] = median(near);
    }
    return out;
}

/// The ring's course: at each clock step the polar index and the height, mm, of its middle.
struct Course {
    std::vector<std::optional<double>> polar, height;
};

Course course_of(const FoundElement& element) {
    std::vector<double> weight(clocks), polar(clocks), height(clocks);
    for (const ElementCell& cell : element.cells) {
        const PolarCell c = PolarBlock::cell(cell.index);
        const auto k = static_cast<std::size_t>(c.clock);
        const double share = std::max(static_cast<double>(cell.share), 0.0);
        weight[k] += share, polar[k] += share * c.polar, height[k] += share * PolarBlock::height_mm(c.height);
    }
    std::vector<std::optional<double>> middle(clocks), high(clocks);
    for (std::size_t k = 0; k < static_cast<std::size_t>(clocks); ++k)
        if (weight[k] > 0.0) middle[k] = polar[k] / weight[k], high[k] = height[k] / weight[k];
    return {evened(middle), evened(high)};
}

/// The ring as it is usually: what its places are held against.
struct Ring {
    Course course;
    double width_mm, thickness_mm, hu;
};

std::optional<Ring> usual_ring(const FoundElement& element, const ElementMeasurements& measured) {
    const Measured<Mm>* width = measured.largest_section.width.measured();
    if (!measured.by_number || measured.by_number->at.empty() || width == nullptr) return std::nullopt;
    const ThicknessByNumber& by_number = *measured.by_number;
    const auto log_likely = [&](const ThicknessByNumber::At& a) {
        return a.log_likelihood + log_likely_number(by_number.sponge, a.hu, by_number.kvp);
    };
    const auto likeliest =
        std::max_element(by_number.at.begin(), by_number.at.end(), [&](const auto& a, const auto& b) { return log_likely(a) < log_likely(b); });
    return Ring{course_of(element), width->value().value(), by_number.thickness_mm, likeliest->hu};
}

/// A stretch half as long as the shortest overlap, laid where the ring runs, whatever is found there; the line reaches beyond a layer of this
/// thickness.
std::optional<ProfileSite> site_on(const Ring& ring, const PolarBlock& block, int clock, double thickness_mm) {
    constexpr int half = 2;
    constexpr double middle_part = 0.35;  // of the width, to either side
    const auto &polar = ring.course.polar[static_cast<std::size_t>(clock)], &height = ring.course.height[static_cast<std::size_t>(clock)];
    if (!polar || !height) return std::nullopt;
    ProfileSite site{PolarBlock::clock_hours(clock),
                     PolarBlock::polar_first + *polar * PolarBlock::polar_step,
                     ring.width_mm,
                     {},
                     *height - 0.5 * ring.thickness_mm,
                     thickness_mm};
    const double reach = std::max(0.5, middle_part * ring.width_mm / (PolarBlock::polar_step * block.equatorial_radius_mm()));
    for (int k = -half; k <= half; ++k)
        for (int p = 0; p < polars; ++p)
            if (std::abs(p - *polar) <= reach) site.columns.push_back(column(clock + k, p));
    return site;
}

/// Thickness under the ring's own CT number, where both its faces show and what lies beyond is darker: a line that ends within a thicker layer takes
/// that for the outside.
std::optional<Told> thickness_on(const WallProfiler& profiler, const Ring& ring, const std::optional<ProfileSite>& site) {
    if (!site) return std::nullopt;
    const auto result = profiler.at(*site);
    const WallProfile* profile = std::get_if<WallProfile>(&result);
    if (profile == nullptr) return std::nullopt;
    const auto* product = profile->contrast_thickness.measured();
    const auto* value = profile->value.measured();
    if (product == nullptr || value == nullptr || product->value().value() <= 0.0) return std::nullopt;
    // Soft tissue reaches some 100 HU (contrast agent raises it): docs/measurements.md. The number of one rubber varies over a scan by a tenth, as
    // bone hardens the beam.
    constexpr double brightest_tissue_hu = 110.0, uneven_hu = 10.0, uneven = 0.1, far_off = 3.0;
    const double outside = profile->layers[profile->layers.size() - 2].signal;
    const double doubt = std::hypot(value->standard_uncertainty().value(), uneven_hu + uneven * ring.hu);
    if (outside > brightest_tissue_hu || std::abs(value->value().value() - ring.hu) > far_off * doubt) return std::nullopt;
    return thickness_at(profile->possible, ring.hu);
}

/// How many times as thick as usual a place is. Laid for one layer first: where its outer face shows there, nothing lies on it. A moulded ring is
/// nowhere thinner than itself, so that a place which looks so is not understood.
std::optional<Told> times_usual(const WallProfiler& profiler, const PolarBlock& block, const Ring& ring, int clock) {
    constexpr double thinner = 0.7, least_doubt = 0.05;
    for (const double layers : {1.0, 2.0}) {
        const auto t = thickness_on(profiler, ring, site_on(ring, block, clock, layers * ring.thickness_mm));
        if (!t) continue;
        const Told times{t->value / ring.thickness_mm, std::hypot(t->uncertainty / ring.thickness_mm, least_doubt)};
        if (times.value >= thinner && (times.value < half_way || layers > 1.0)) return times;
    }
    return std::nullopt;
}

/// A run of raised places between places that are not, from `first` to `last`, counted on beyond the last place of the clock.
struct Run {
    int first, last;
};

using Places = std::array<std::optional<Told>, places>;

const std::optional<Told>& at(const Places& all, int k) { return all[static_cast<std::size_t>((k + 2 * places) % places)]; }
bool is_raised(const std::optional<Told>& t) { return t && t->value > half_way; }
bool is_single(const std::optional<Told>& t) { return t && t->value <= half_way; }

std::vector<Run> raised_runs(const Places& all) {
    const auto start = std::find_if(all.begin(), all.end(), is_single) - all.begin();
    std::vector<Run> runs;
    bool open = false;
    for (int k = static_cast<int>(start); k < static_cast<int>(start) + places; ++k) {
        if (is_single(at(all, k))) open = false;
        if (!is_raised(at(all, k))) continue;
        if (!open) runs.push_back({k, k});
        runs.back().last = k, open = true;
    }
    return runs;
}

/// Could ends that lie on each other hide between places that are surely of one layer?
bool would_have_shown(const Places& all, double step_mm) {
    constexpr double one_sided_95 = 1.645, shortest_mm = 5.0;  // overlaps are some 5 to 8 mm long (common practice, no source)
    int longest = 0, gap = 0;
    for (int k = 0; k < 2 * places; ++k) {
        const auto& t = at(all, k);
        gap = t && t->value + one_sided_95 * t->uncertainty < half_way ? 0 : gap + 1;
        longest = std::max(longest, gap);
    }
    return (longest + 1) * step_mm <= shortest_mm;
}

/// As long as overlaps are, and singly thick close beside on both sides: a shorter rise is noise, a longer one lies over something else.
bool is_bounded(const Places& all, const Run& run, double step_mm) {
    constexpr double shortest_mm = 2.5, longest_mm = 12.0;
    constexpr int beside = 2;
    const auto single_beside = [&](int from, int way) {
        for (int k = 1; k <= beside; ++k)
            if (is_single(at(all, from + k * way))) return true;
        return false;
    };
    const double length_mm = (run.last - run.first + 1) * step_mm;
    return length_mm >= shortest_mm && length_mm <= longest_mm && single_beside(run.first, -1) && single_beside(run.last, 1);
}

/// Twice as thick, by more than the places scatter.
bool is_double(const Places& all, const Run& run) {
    constexpr double twice = 2.0, about = 0.4, beyond_scatter = 4.0;
    constexpr std::size_t thickest = 3;  // their middle: at its ends the places lie across the step
    std::vector<double> raised, off;
    for (int k = run.first; k <= run.last; ++k)
        if (at(all, k)) raised.push_back(at(all, k)->value);
    for (const auto& t : all)
        if (is_single(t)) off.push_back(std::abs(t->value - 1.0));
    std::sort(raised.begin(), raised.end(), std::greater<>());
    raised.resize(std::min(raised.size(), thickest));
    const double top = median(raised), scatter = 1.4826 * median(off);
    return std::abs(top - twice) <= about && top - 1.0 > beyond_scatter * scatter;
}

/// Is something wider than the ring there, as where it crosses another element?
bool is_wider(const PolarBlock& block, const FoundElement& element, const Places& all, const Run& run) {
    constexpr double clearly_mm = 1.5;
    const auto width_at = [&](int k) { return profile_site(block, element, PolarBlock::clock_hours((k % places) * every)).along_meridian_mm; };
    std::vector<double> here, elsewhere;
    for (int k = run.first; k <= run.last; ++k) here.push_back(width_at(k));
    for (int k = 0; k < places; ++k)
        if (is_single(at(all, k))) elsewhere.push_back(width_at(k));
    return median(here) > median(elsewhere) + clearly_mm;
}

}  // namespace

RingJunction ring_junction(const WallProfiler& profiler, const PolarBlock& block, const FoundElement& element, const ElementMeasurements& measured) {
    if (measured.form != ElementForm::encircling || element.appearance != Appearance::ct_bright || element.edge_seen) return {};
    // A clip is 2 to 3 mm long (common practice, no source): where streaks draw it out farther its place is not known to half an hour.
    constexpr double longest_hours = 1.5;
    const std::vector<MetalOn> clips = metal_on(block, element);
    if (clips.size() == 1)
        return {JunctionSign::clip, clips.front().span_hours <= longest_hours ? std::optional(clips.front().middle) : std::nullopt};
    // Beside metal streaks lie on the ring; two clips may hold it, or one may hold something else.
    const auto metal = metal_round_globe(block);
    if (metal && !metal->empty()) return {};
    std::optional<Ring> ring = usual_ring(element, measured);
    if (!ring) return {};
    Places all;
    for (int k = 0; k < places; ++k) all[static_cast<std::size_t>(k)] = times_usual(profiler, block, *ring, k * every);
    std::vector<double> each;
    for (const auto& t : all)
        if (is_single(t)) each.push_back(t->value);
    constexpr std::size_t enough = places / 2;
    if (each.size() < enough) return {};
    // The middle of its own places is one, whatever the sections said.
    const double one = median(each);
    for (auto& t : all)
        if (t) t = Told{t->value / one, t->uncertainty / one};
    const double step_mm = every * 2.0 * std::numbers::pi / clocks * block.equatorial_radius_mm() * std::sin(measured.middle_polar);
    const std::vector<Run> runs = raised_runs(all);
    if (runs.empty()) return {would_have_shown(all, step_mm) ? JunctionSign::not_seen : JunctionSign::unknown, std::nullopt};
    if (runs.size() > 1 || !is_bounded(all, runs.front(), step_mm)) return {};
    const Run& run = runs.front();
    const bool overlap = is_double(all, run) && !is_wider(block, element, all, run);
    return {overlap ? JunctionSign::overlap : JunctionSign::unknown,
            ClockPosition(std::fmod(0.5 * (run.first + run.last) * PolarBlock::clock_hours(every), 12.0))};
}

}  // namespace perisclera
