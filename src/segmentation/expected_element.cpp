// SPDX-License-Identifier: Apache-2.0
#include "perisclera/segmentation/expected_element.h"

#include <algorithm>
#include <tuple>

#include "hydrogel_look.h"
#include "perisclera/segmentation/fellow_atlas.h"

namespace perisclera {

namespace {

constexpr int clocks = PolarBlock::clock_count, polars = PolarBlock::polar_count, heights = PolarBlock::height_count;

/// How far its place may lie from where it was shown, in cells: torsion and axes of both dates along the clock, 4 mm forwards and 2.5 mm backwards along the meridian (2 degrees each),
/// and the height of both surfaces.
constexpr int along_clock = 5, forwards = 10, backwards = 6, in_height = 2;

/// What it filled, clear of the wall, where tissue and element cannot be told apart.
std::vector<PolarCell> body_of(const FoundElement& shown) {
    constexpr float half = 0.5f;
    constexpr double clear_mm = 1.0;
    float most = 0.0f;
    for (const ElementCell& c : shown.cells) most = std::max(most, c.share);
    std::vector<PolarCell> body;
    for (const ElementCell& c : shown.cells) {
        const PolarCell at = PolarBlock::cell(c.index);
        if (c.share >= half * most && PolarBlock::height_mm(at.height) >= clear_mm) body.push_back(at);
    }
    return body;
}

/// All cells that may belong to it.
PolarMask place_of(const PolarBlock& block, const std::vector<PolarCell>& body) {
    constexpr double growth_mm = 1.5;
    PolarMask shifted(PolarBlock::cell_count, 0), along(PolarBlock::cell_count, 0);
    for (const PolarCell& c : body)
        for (int p = std::max(0, c.polar - forwards); p <= std::min(polars - 1, c.polar + backwards); ++p) along[PolarBlock::index(c.clock, p, c.height)] = 1;
    for (std::size_t i = 0; i < along.size(); ++i) {
        if (!along[i]) continue;
        const PolarCell c = PolarBlock::cell(i);
        for (int d = -along_clock; d <= along_clock; ++d)
            for (int h = 0; h <= std::min(heights - 1, c.height + in_height); ++h) shifted[PolarBlock::index((c.clock + d + clocks) % clocks, c.polar, h)] = 1;
    }
    return grown_by_mm(block, std::move(shifted), growth_mm);
}

/// The largest share of its body that could be it, over all places where it may lie now.
double best_fit(const std::vector<PolarCell>& body, const PolarMask& may_be) {
    double best = 0.0;
    for (int dc = -along_clock; dc <= along_clock; ++dc)
        for (int dp = -forwards; dp <= backwards; ++dp)
            for (int dh = -in_height; dh <= in_height; ++dh) {
                int fits = 0;
                for (const PolarCell& c : body) {
                    const int p = c.polar + dp, h = c.height + dh;
                    fits += p < 0 || p >= polars || h < 0 || h >= heights || may_be[PolarBlock::index((c.clock + dc + clocks) % clocks, p, h)] != 0;
                }
                best = std::max(best, static_cast<double>(fits) / static_cast<double>(body.size()));
            }
    return best;
}

/// Where it is thick, mm: three of four columns are no thicker, most of them its edges.
double thickness_mm(const FoundElement& shown) {
    std::vector<float> cells(column_count, 0.0f);
    for (const ElementCell& c : shown.cells) cells[column(PolarBlock::cell(c.index).clock, PolarBlock::cell(c.index).polar)] += c.share * static_cast<float>(PolarBlock::height_step_mm);
    std::erase_if(cells, [](float mm) { return mm <= 0.0f; });
    constexpr double clear_of_edges = 0.75;
    return quantile(std::move(cells), clear_of_edges);
}

/// Share of its columns that a region fills, or comes near to.
double share_covered(const std::vector<PolarCell>& body, const std::vector<std::size_t>& region) {
    constexpr int near = 2;
    ColumnMask filled(column_count, 0), wanted(column_count, 0);
    for (const std::size_t i : region) filled[column(PolarBlock::cell(i).clock, PolarBlock::cell(i).polar)] = 1;
    for (const PolarCell& c : body) wanted[column(c.clock, c.polar)] = 1;
    filled = widened(filled, near, near);
    double both = 0.0, all = 0.0;
    for (std::size_t k = 0; k < column_count; ++k) both += wanted[k] && filled[k], all += wanted[k];
    return both / all;
}

/// How one kind shows on the series of a visit.
struct Sought {
    std::vector<double> evidence;   ///< for it and against what is normal, by cell
    PolarMask may_be;
    double least, believed_mm3;     ///< of evidence in a cell; of evidence times volume, where nothing is expected
    Appearance appearance;
};

/// A region within the place, and as far as it goes.
struct Seen {
    std::vector<std::size_t> region{}, cells{};
    double strength = 0.0, covered = 0.0;   ///< of what is believed where nothing is expected; share of the place
    [[nodiscard]] double belief() const { return strength * covered; }
};

Sought sought_hydrogel(const std::vector<JointChannel>& channels, const HydrogelLook& look, const PolarMask& place, Appearance appearance) {
    Sought out{std::vector<double>(PolarBlock::cell_count, 0.0), PolarMask(PolarBlock::cell_count, 1), 2.0, 200.0, appearance};
    for (std::size_t i = 0; i < place.size(); ++i) {
        if (!place[i]) continue;
        out.may_be[i] = look.may_be_hydrogel(i);
        if (std::all_of(channels.begin(), channels.end(), [&](const JointChannel& c) { return c.own->block.inside(i); })) out.evidence[i] = look.evidence(i);
    }
    return out;
}

/// Silicone gives no signal; what is thicker than a slice shows somewhere less than muscle has. A sponge whose pores have filled shows fluid.
Sought sought_void(const std::vector<JointChannel>& channels, const FellowPlaces& places, const PolarMask& place) {
    Sought out{std::vector<double>(PolarBlock::cell_count, 0.0), PolarMask(PolarBlock::cell_count, 1), 4.0, 150.0, Appearance::mr_void};
    for (std::size_t i = 0; i < place.size(); ++i) {
        if (!place[i] || !std::all_of(channels.begin(), channels.end(), [&](const JointChannel& c) { return c.own->block.inside(i); })) continue;
        out.may_be[i] = std::all_of(channels.begin(), channels.end(), [&](const JointChannel& c) { return c.value[i] < c.muscle; }) || is_watery(channels, i);
        out.evidence[i] = darker_than_normal(channels, places, i);
    }
    return out;
}

}  // namespace

LookWhereExpected look_where_expected(const ExpectedElement& expected, const std::vector<const EyeView*>& own, const std::vector<const EyeView*>& fellow, const std::vector<const FoundElement*>& known) {
    // Strength times the share of the place that is covered. Of drawn places without a hydrogel the most was 0.45, all but two below 0.3 (seeds as in docs/known_limits.md).
    constexpr double believed = 0.6;
    constexpr double least_mm3 = 20.0, least_covered = 0.3, mostly_covered = 0.6, hardly_any = 0.35, slices_thick = 1.2;
    LookWhereExpected result;
    const bool hydrogel = expected.kind == ExpectedKind::hydrogel;
    std::vector<JointChannel> channels = joint_channels(own, fellow);
    if (!hydrogel) std::erase_if(channels, [](const JointChannel& c) { return c.ct; });
    const auto any = [&](auto&& what) { return std::any_of(channels.begin(), channels.end(), what); };
    const bool ct = any([](const JointChannel& c) { return c.ct; }), t2 = any([](const JointChannel& c) { return c.t2; });
    // Hydrogel is told by its water, or by what CT and T1 show together; silicone by any MR.
    if (channels.empty() || (hydrogel && !t2 && (!ct || channels.size() < 2))) {
        result.why = std::all_of(fellow.begin(), fellow.end(), [](const EyeView* v) { return v == nullptr; }) ? WhyNotTold::no_fellow : WhyNotTold::no_series;
        return result;
    }
    for (const JointChannel& c : channels) result.asked.push_back(c.view);
    // CT shows silicone by itself: a void on MR that it does not show is normal anatomy, or air.
    if (!hydrogel && std::any_of(own.begin(), own.end(), [](const EyeView* v) { return v->modality == Modality::ct; })) {
        result.why = WhyNotTold::looks_like_both;
        return result;
    }
    // Measured on CT, else T2 if it is hydrogel; then on the thinnest slices.
    const JointChannel& lead = *std::min_element(channels.begin(), channels.end(), [&](const JointChannel& a, const JointChannel& b) {
        const auto rank = [&](const JointChannel& c) { return std::tuple(hydrogel ? (c.ct ? 0 : c.t2 ? 1 : 2) : 0, c.own->block.slice_spacing_mm(), c.t2); };
        return rank(a) < rank(b);
    });
    const PolarBlock& block = lead.own->block;
    const std::vector<PolarCell> body = body_of(expected.shown);
    result.why = WhyNotTold::too_thin;
    if (body.empty()) return result;
    const ColumnMask opposite = columns_opposite(known);
    const PolarMask place = place_of(block, body);
    const FellowPlaces places(block, fellow[lead.view]->block);
    std::optional<HydrogelLook> look;
    if (hydrogel) look.emplace(channels, places, false, expected.least_water);
    const Sought sought = hydrogel ? sought_hydrogel(channels, *look, place, ct ? Appearance::ct_mass : Appearance::t2_bright) : sought_void(channels, places, place);

    PolarMask mask(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < mask.size(); ++i) mask[i] = place[i] && sought.evidence[i] > sought.least && may_hold_element(PolarBlock::cell(i), opposite);
    Seen best;
    for (const auto& region : connected_regions(mask)) {
        constexpr double starts_mm = 2.0, reaches_mm = 1.5;
        const RegionShape shape = shape_of(block, region);
        if (shape.volume_mm3 < least_mm3 || shape.lowest_mm > starts_mm || shape.highest_mm < reaches_mm) continue;
        Seen seen{region, hydrogel ? grown_to_edges(channels, *look, region) : region, 0.0, 0.0};
        for (const std::size_t i : region) seen.strength += sought.evidence[i] * block.cell_volume_mm3(PolarBlock::cell(i)) / sought.believed_mm3;
        seen.covered = share_covered(body, seen.cells);
        if (seen.belief() >= best.belief()) best = std::move(seen);
    }
    if (best.covered >= least_covered && best.belief() >= believed) {
        // Without CT the edges of what T2 does not show to be fluid are lost among muscle and fat.
        const auto watery = static_cast<std::size_t>(hydrogel ? std::count_if(best.region.begin(), best.region.end(), [&](std::size_t i) { return is_watery(channels, i); }) : 0);
        result.holds = PlaceHolds::element;
        result.element = element_on(channels, lead, best.region, std::move(best.cells), sought.appearance, best.strength);
        count_whole_where_hidden(block, result.element->found, best.region, hydrogel ? hidden_hydrogel_share : hidden_void_share);
        result.whole = best.covered >= mostly_covered && (!hydrogel || ct || 5 * watery >= 4 * best.region.size());
        return result;
    }
    result.why = thickness_mm(expected.shown) < slices_thick * block.slice_spacing_mm() ? WhyNotTold::too_thin : WhyNotTold::looks_like_both;
    if (result.why == WhyNotTold::too_thin) return result;
    if (best.strength == 0.0 && best_fit(body, sought.may_be) < hardly_any) result.holds = PlaceHolds::free_wall;
    return result;
}

}  // namespace perisclera
