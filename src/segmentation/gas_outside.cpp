// SPDX-License-Identifier: Apache-2.0
// Gas beside an element on CT. Sponges are foam and never as dark as gas (-390 to -740 HU, see ct_dark.cpp; dry wood -430 to -620: Myllyla V et al., Rofo 1987;146:639-643),
// so that only what is darker counts; air of lids, sinuses and globe is known by what it is joined to and by what surrounds it.
#include <algorithm>
#include <cmath>

#include "columns.h"
#include "perisclera/segmentation/fellow_atlas.h"
#include "signs_on_ct.h"

namespace perisclera {

namespace {

constexpr float darker_than_foam = -850.0f, half_gas = -500.0f, darker_than_fat = -200.0f;
/// Behind the lids and their folds, which may hold air (the deepest reaches some 10 mm from the limbus: common practice, no source), and within what can be looked round.
constexpr double degrees = 57.2958, first_polar_deg = 70.0, lowest_mm = 0.5, highest_mm = 8.5;

/// Cells of `open` that are joined to one of `seeds`.
PolarMask flooded(const PolarMask& open, const PolarMask& seeds) {
    PolarMask reached(open.size(), 0);
    std::vector<std::size_t> wave;
    const auto take = [&](std::size_t i) {
        if (!open[i] || reached[i]) return;
        reached[i] = 1;
        wave.push_back(i);
    };
    for (std::size_t i = 0; i < seeds.size(); ++i)
        if (seeds[i]) take(i);
    for (std::size_t k = 0; k < wave.size(); ++k) for_each_neighbour(wave[k], take);
    return reached;
}

PolarMask below(const PolarBlock& ct, const std::vector<float>& values, float threshold) {
    PolarMask mask(values.size(), 0);
    for (std::size_t i = 0; i < mask.size(); ++i) mask[i] = ct.inside(i) && values[i] < threshold;
    return mask;
}

/// Joined to the end of what is looked at, or to gas within the globe.
PolarMask air_elsewhere(const PolarBlock& ct, const PolarMask& dark) {
    constexpr double within_globe_mm = -1.0;
    PolarMask ends(dark.size(), 0);
    for (std::size_t i = 0; i < ends.size(); ++i) {
        const PolarCell c = PolarBlock::cell(i);
        ends[i] = c.height + 1 == PolarBlock::height_count || PolarBlock::height_mm(c.height) <= within_globe_mm || c.polar == 0 || c.polar + 1 == PolarBlock::polar_count;
        for_each_neighbour(i, [&](std::size_t k) { ends[i] = ends[i] || !ct.inside(k); });
    }
    return flooded(dark, ends);
}

bool within_reach(std::size_t i) {
    const PolarCell c = PolarBlock::cell(i);
    return PolarBlock::height_mm(c.height) <= highest_mm && PolarBlock::polar_radians(c.polar) * degrees >= first_polar_deg;
}

double volume_of(const PolarBlock& ct, const PolarMask& mask) {
    double sum = 0.0;
    for (std::size_t i = 0; i < mask.size(); ++i)
        if (mask[i]) sum += ct.cell_volume_mm3(PolarBlock::cell(i));
    return sum;
}

PatientPoint place(const PolarBlock& ct, std::size_t i) {
    const PolarCell c = PolarBlock::cell(i);
    return ct.patient_point(PolarBlock::clock_hours(c.clock), PolarBlock::polar_radians(c.polar), PolarBlock::height_mm(c.height));
}

/// How far the region reaches across the slices, mm.
double across_slices_mm(const PolarBlock& ct, const std::vector<std::size_t>& region) {
    double first = 1e9, last = -1e9;
    for (const std::size_t i : region) {
        const double slice = ct.geometry().to_voxel(place(ct, i)).z;
        first = std::min(first, slice), last = std::max(last, slice);
    }
    return (last - first) * ct.slice_spacing_mm();
}

/// Clear of every edge the dark elements show the level of foam: what is far darker is no part of them.
bool shows_foam(const PolarBlock& ct, const std::vector<float>& values, const PolarMask& body) {
    constexpr float darkest = -780.0f, brightest = -300.0f;
    constexpr double least_mm3 = 20.0, least_blur_mm = 1.5;
    PolarMask edge(body.size());
    for (std::size_t i = 0; i < edge.size(); ++i) edge[i] = !body[i];
    edge = grown_by_mm(ct, std::move(edge), std::max(least_blur_mm, ct.slice_spacing_mm()));
    PolarMask foam(body.size(), 0);
    for (std::size_t i = 0; i < foam.size(); ++i) foam[i] = !edge[i] && values[i] > darkest && values[i] < brightest;
    return volume_of(ct, foam) >= least_mm3;
}

/// Fat, muscle and globe all round and no bone beside it, so neither lid nor sinus. `other`: cells that say nothing, the elements'.
bool lies_in_orbit(const PolarBlock& ct, const std::vector<float>& values, const PolarMask& body, const PolarMask& other) {
    constexpr float lowest_hu = -170.0f, highest_hu = 130.0f, bone_hu = 200.0f;
    constexpr double blur_mm = 1.0, looked_at_mm = 1.0, most = 0.7, of_bone = 0.1;
    const PolarMask blurred = grown_by_mm(ct, body, blur_mm + 0.5 * ct.slice_spacing_mm()), round = grown_by_mm(ct, blurred, looked_at_mm);
    double all = 0.0, orbit = 0.0, beside = 0.0, bone = 0.0;
    for (std::size_t i = 0; i < body.size(); ++i) {
        if (!round[i] || body[i] || other[i]) continue;
        ++beside;
        bone += values[i] > bone_hu;
        if (blurred[i]) continue;
        ++all;
        orbit += ct.inside(i) && values[i] > lowest_hu && values[i] < highest_hu;
    }
    return all > 0.0 && orbit >= most * all && bone <= of_bone * beside;
}

/// Has the fellow eye air near the same place of eye or head?
bool fellow_has_air(const PolarBlock& own, const PolarBlock& fellow, const PolarMask& body) {
    constexpr double near_mm = 1.5;
    constexpr float air_hu = -300.0f;
    const PolarMask near = grown_by_mm(own, body, near_mm);
    const auto in_head = mirrored_in_head(own, fellow);
    for (std::size_t i = 0; i < near.size(); ++i) {
        if (!near[i]) continue;
        const PolarCell c = PolarBlock::cell(i);
        const auto place = in_head[column(c.clock, c.polar)];
        const std::size_t there[] = {PolarBlock::mirrored(i), place ? PolarBlock::index(column_at(*place).clock, column_at(*place).polar, c.height) : PolarBlock::mirrored(i)};
        for (const std::size_t k : there)
            if (fellow.inside(k) && fellow.value(k) < air_hu) return true;
    }
    return false;
}

std::optional<double> shortest_way_mm(const PolarBlock& ct, const std::vector<std::size_t>& from, const PolarMask& to) {
    std::vector<PatientPoint> ends;
    for (std::size_t i = 0; i < to.size(); ++i)
        if (to[i]) ends.push_back(place(ct, i));
    if (ends.empty()) return std::nullopt;
    double least = 1e9;
    for (const std::size_t i : from) {
        const PatientPoint here = place(ct, i);
        for (const PatientPoint& end : ends) least = std::min(least, length(end - here));
    }
    return least;
}

}  // namespace

GasReading gas_outside(const PolarBlock& ct, const PolarBlock* fellow, const std::vector<const FoundElement*>& elements) {
    constexpr double whole = 0.9, most_noise_hu = 60.0, least_mm3 = 4.0, least_across_mm = 1.5, of_slice = 0.9;
    if (ct.coverage(0.0, highest_mm) < whole || ct.globe().interior_spread > most_noise_hu) return {};
    const std::vector<float>& values = ct.smoothed();
    const PolarMask dark = below(ct, values, darker_than_fat), elsewhere = air_elsewhere(ct, dark);
    std::vector<const FoundElement*> sponges;
    for (const FoundElement* e : elements)
        if (e->appearance == Appearance::ct_dark) sponges.push_back(e);
    const PolarMask sponge = cells_of(sponges, 0.5f), sponge_and_blur = flooded(dark, sponge);
    const bool foam = shows_foam(ct, values, sponge_and_blur);
    const PolarMask known = grown_by_mm(ct, cells_of(elements, 0.2f), 1.0);

    PolarMask gas = below(ct, values, darker_than_foam);
    for (std::size_t i = 0; i < gas.size(); ++i) gas[i] = gas[i] && !elsewhere[i] && PolarBlock::height_mm(PolarBlock::cell(i).height) >= lowest_mm;
    GasReading out{SignReading::not_seen, {}};
    bool doubtful = false;
    for (const auto& region : connected_regions(gas)) {
        PolarMask core(gas.size(), 0);
        for (const std::size_t i : region) core[i] = 1;
        if (volume_of(ct, core) < least_mm3 || across_slices_mm(ct, region) < std::max(least_across_mm, of_slice * ct.slice_spacing_mm())) continue;
        const bool at_sponge = std::any_of(region.begin(), region.end(), [&](std::size_t i) { return sponge_and_blur[i] != 0; });
        // Beside foam half the way to gas is foam; there only the core is sure.
        const PolarMask body = at_sponge ? core : flooded(below(ct, values, half_gas), core);
        if (fellow != nullptr && fellow_has_air(ct, *fellow, body)) continue;
        // Air between the lids or in a sinus that the fellow does not have; nothing that told what is usual, or how dark this patient's sponge is.
        if (fellow == nullptr || !std::all_of(region.begin(), region.end(), within_reach) || (at_sponge && !foam) || !lies_in_orbit(ct, values, body, at_sponge ? grown_by_mm(ct, sponge_and_blur, 1.0) : known)) {
            doubtful = true;
            continue;
        }
        std::vector<std::size_t> cells;
        for (std::size_t i = 0; i < body.size(); ++i)
            if (body[i]) cells.push_back(i);
        const auto way = at_sponge ? std::optional(0.0) : shortest_way_mm(ct, cells, sponge);
        out.pockets.push_back({0, std::move(cells), volume_of(ct, body), way});
    }
    out.sign = !out.pockets.empty() ? SignReading::seen : doubtful ? SignReading::not_assessable : SignReading::not_seen;
    return out;
}

}  // namespace perisclera
