// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>
#include <cmath>

#include "candidate_regions.h"
#include "perisclera/physics/material_table.h"

namespace perisclera {

namespace {

constexpr int hat_window = 27;  // 11 mm of arc: wider than any band or tire
constexpr int widest_side = 13;  // of a ring's crest: half of that
constexpr double degrees = 57.2958;

/// Bone: what is joined to very bright cells away from the globe, and the blur round it.
PolarMask bone(const PolarBlock& block, double voltage_factor) {
    const std::vector<float>& smooth = block.smoothed();
    // No element reaches higher; what is joined to bone below the lower height is told apart later by how it lies on the wall. Between them a thick tire may touch bone:
    // there only what lies close to a cell as hard as bone is bone.
    constexpr double lowest_mm = 2.0, highest_element_mm = 4.5, close_mm = 2.0;
    const auto bright = static_cast<float>(150.0 * voltage_factor), hard_as_bone = static_cast<float>(350.0 * std::max(1.0, voltage_factor));
    PolarMask mask(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < mask.size(); ++i) mask[i] = block.value(i) > bright && PolarBlock::height_mm(PolarBlock::cell(i).height) >= lowest_mm;
    PolarMask bones(PolarBlock::cell_count, 0);
    for (const auto& region : connected_regions(mask)) {
        const bool hard = std::any_of(region.begin(), region.end(), [&](std::size_t i) { return block.value(i) > hard_as_bone && PolarBlock::height_mm(PolarBlock::cell(i).height) >= highest_element_mm; });
        if (!hard) continue;
        PolarMask hard_cells(PolarBlock::cell_count, 0);
        for (const std::size_t i : region) hard_cells[i] = block.value(i) > hard_as_bone;
        const PolarMask close = grown_by_mm(block, std::move(hard_cells), close_mm);
        for (const std::size_t i : region) bones[i] = close[i] || PolarBlock::height_mm(PolarBlock::cell(i).height) >= highest_element_mm;
    }
    // An element brighter than the valley between it and the bone is not the bone's blur, which only falls off with distance.
    constexpr float noise_hu = 10.0f;
    return grown_where(std::move(bones), 4, [&](std::size_t from, std::size_t to) { return smooth[to] <= smooth[from] + noise_hu; });
}

/// Air outside and the skin of the lids next to it (about 3 mm), which is brighter than muscle.
PolarMask air_and_skin(const std::vector<float>& values) {
    PolarMask air(values.size(), 0);
    for (std::size_t i = 0; i < values.size(); ++i) air[i] = values[i] < -200.0f;
    return grown(std::move(air), 6);
}

/// Lids end at air; seen along the meridian they would stand out like a band. Air, and the blur beside it, counts as tissue.
std::vector<float> without_air(std::vector<float> values, const PolarMask& air) {
    for (std::size_t i = 0; i < values.size(); ++i)
        if (air[i]) values[i] = std::max(values[i], 90.0f);
    return values;
}

/// How far each cell stands above the darkest of what lies 2 to 5 mm further out. Lids, conjunctiva and tendons go on outwards;
/// an element on the sclera ends.
std::vector<float> radial_drop(const std::vector<float>& values) {
    constexpr int nearest = 4, farthest = 10;
    std::vector<float> drop(values.size(), 0.0f);
    for (std::size_t i = 0; i < values.size(); ++i) {
        const PolarCell c = PolarBlock::cell(i);
        float least = 1e30f;
        for (int k = nearest; k <= farthest && c.height + k < PolarBlock::height_count; ++k) least = std::min(least, values[i + static_cast<std::size_t>(k)]);
        if (least < 1e30f) drop[i] = values[i] - least;
    }
    return drop;
}

/// Upper end of what muscle and gland show in this scan (contrast agent raises it).
double soft_tissue_level(const PolarBlock& block, const std::vector<float>& smooth, const PolarMask& bones) {
    std::vector<float> soft;
    for (std::size_t i = 0; i < smooth.size(); i += 3) {
        const PolarCell c = PolarBlock::cell(i);
        const double h = PolarBlock::height_mm(c.height), p = PolarBlock::polar_radians(c.polar) * degrees;
        if (bones[i] || !block.inside(i) || h < 1.0 || h > 6.0 || p < 45.0 || p > 120.0) continue;
        if (smooth[i] > 10.0f && smooth[i] < 120.0f) soft.push_back(smooth[i]);
    }
    return soft.size() < 100 ? 55.0 : std::clamp(quantile(std::move(soft), 0.75), 45.0, 100.0);
}

/// The closed path round the clock, one polar cell a clock step, moving at most one cell, along which `gain` sums highest.
std::array<int, PolarBlock::clock_count> best_ring(const std::vector<double>& gain) {
    constexpr int n = PolarBlock::clock_count, m = PolarBlock::polar_count;
    // Twice round so that the second lap starts where a closed path would.
    std::vector<double> score(static_cast<std::size_t>(m), 0.0);
    std::vector<signed char> from(static_cast<std::size_t>(2 * n * m), 0);
    for (int t = 0; t < 2 * n; ++t) {
        std::vector<double> next(static_cast<std::size_t>(m));
        for (int p = 0; p < m; ++p) {
            int best = 0;
            for (const int d : {-1, 1})
                if (p + d >= 0 && p + d < m && score[static_cast<std::size_t>(p + d)] > score[static_cast<std::size_t>(p + best)]) best = d;
            from[static_cast<std::size_t>(t * m + p)] = static_cast<signed char>(best);
            next[static_cast<std::size_t>(p)] = score[static_cast<std::size_t>(p + best)] + gain[static_cast<std::size_t>((t % n) * m + p)];
        }
        score = std::move(next);
    }
    int p = static_cast<int>(std::max_element(score.begin(), score.end()) - score.begin());
    std::array<int, n> ring{};
    for (int t = 2 * n - 1; t >= n; --t) {
        ring[static_cast<std::size_t>(t - n)] = p;
        p += from[static_cast<std::size_t>(t * m + p)];
    }
    return ring;
}

/// Most clock steps in a row without a part of what was found already within 3 mm of the path.
int longest_break(const PolarBlock& block, const std::array<int, PolarBlock::clock_count>& ring, const std::vector<Candidate>& found) {
    constexpr int n = PolarBlock::clock_count;
    constexpr double near_mm = 3.0;
    const int reach = static_cast<int>(near_mm / (PolarBlock::polar_step * block.equatorial_radius_mm()));
    std::array<bool, n> covered{};
    for (const Candidate& piece : found)
        for (const std::size_t i : piece.cells) {
            const PolarCell c = PolarBlock::cell(i);
            if (std::abs(c.polar - ring[static_cast<std::size_t>(c.clock)]) <= reach) covered[static_cast<std::size_t>(c.clock)] = true;
        }
    int longest = 0, length = 0;
    for (int c = 0; c < 2 * n; ++c) {
        length = covered[static_cast<std::size_t>(c % n)] ? 0 : length + 1;
        longest = std::max(longest, length);
    }
    return longest;
}

/// A thin encircling band may stay below any single threshold; all round the globe it adds up.
void add_ring(const PolarBlock& block, const std::vector<float>& smooth, const std::vector<float>& hat, const PolarMask& bones, double least_signal, std::vector<Candidate>& found) {
    constexpr int n = PolarBlock::clock_count, m = PolarBlock::polar_count;
    std::vector<double> gain(static_cast<std::size_t>(n * m), 0.0);
    std::vector<int> height(static_cast<std::size_t>(n * m), 0);
    for (int c = 0; c < n; ++c)
        for (int p = 0; p < m; ++p) {
            const double polar = PolarBlock::polar_radians(p) * degrees;
            if (polar < 60.0 || polar > 125.0) continue;
            for (int h = 0; h < PolarBlock::height_count; ++h) {
                const double mm = PolarBlock::height_mm(h);
                const std::size_t i = PolarBlock::index(c, p, h);
                if (mm < -2.0 || mm > 2.0 || bones[i] || static_cast<double>(smooth[i]) < least_signal) continue;
                // A band lies on the wall; what stands out further off is lid, canthus or bone.
                const double g = std::min(static_cast<double>(hat[i]), 60.0) * (1.0 - 0.3 * std::abs(mm));
                auto& best = gain[static_cast<std::size_t>(c * m + p)];
                if (g > best) best = g, height[static_cast<std::size_t>(c * m + p)] = h;
            }
        }
    const auto ring = best_ring(gain);
    double sum = 0.0;
    int shown = 0;
    std::vector<float> along;
    for (int c = 0; c < n; ++c) {
        const double g = gain[static_cast<std::size_t>(c * m + ring[static_cast<std::size_t>(c)])];
        sum += g / n;
        shown += g > 20.0;
        along.push_back(static_cast<float>(g));
    }
    constexpr double ring_at_least = 30.0;
    const bool without_break = shown >= n * 7 / 10 && quantile(along, 0.2) >= 12.0;
    // Beside lid and muscle a band is lost from sight for an hour or three, a segment for half the clock.
    constexpr int widest_break = 30;
    if (sum < ring_at_least || (!without_break && longest_break(block, ring, found) > widest_break)) return;
    std::vector<std::size_t> cells;
    for (int c = 0; c < n; ++c) {
        const int crest = ring[static_cast<std::size_t>(c)], centre = height[static_cast<std::size_t>(c * m + crest)];
        const float peak = hat[PolarBlock::index(c, crest, centre)];
        const auto add = [&](int p) {
            bool any = false;
            for (int h = std::max(0, centre - 2); h <= std::min(PolarBlock::height_count - 1, centre + 2); ++h) {
                const std::size_t i = PolarBlock::index(c, p, h);
                // Where tissue beside it hides the band its place is still known: the path runs through.
                const bool on_path = std::abs(p - crest) <= 2 && std::abs(h - centre) <= 1;
                if (bones[i] || !(on_path || (hat[i] > 0.5f * peak && hat[i] > 12.0f))) continue;
                cells.push_back(i);
                any = true;
            }
            return any;
        };
        add(crest);
        for (const int way : {-1, 1})
            for (int dp = 1; dp <= widest_side; ++dp) {
                const int p = crest + way * dp;
                if (p < 0 || p >= m || !add(p)) break;
            }
    }
    std::sort(cells.begin(), cells.end());
    cells.erase(std::unique(cells.begin(), cells.end()), cells.end());
    const RegionShape path = shape_of(block, cells);
    // Sclera, muscles and nerve sheath are bright behind.
    if (block.limbus_arc_mm(path.mean_polar) > hindmost_middle_mm) return;
    // Pieces of the ring that were found alone are the ring.
    PolarMask in_ring(PolarBlock::cell_count, 0);
    for (const std::size_t i : cells) in_ring[i] = 1;
    const PolarMask near_ring = grown(std::move(in_ring), 3);
    std::vector<std::size_t> pieces;
    std::erase_if(found, [&](const Candidate& piece) {
        const auto touching = std::count_if(piece.cells.begin(), piece.cells.end(), [&](std::size_t i) { return near_ring[i] != 0; });
        if (3 * static_cast<std::size_t>(touching) <= piece.cells.size()) return false;
        pieces.insert(pieces.end(), piece.cells.begin(), piece.cells.end());
        return true;
    });
    // A tire's hold much more than the path along its crest.
    const RegionShape of_pieces = pieces.empty() ? RegionShape{} : shape_of(block, pieces);
    if (of_pieces.volume_mm3 * n > 2.0 * path.volume_mm3 * of_pieces.clock_columns) {
        cells.insert(cells.end(), pieces.begin(), pieces.end());
        std::sort(cells.begin(), cells.end());
        cells.erase(std::unique(cells.begin(), cells.end()), cells.end());
    }
    found.push_back({std::move(cells), sum / ring_at_least, true});
}

}  // namespace

std::vector<Candidate> ct_bright_regions(const PolarBlock& block, const PolarBlock* fellow, double kvp) {
    const std::vector<float> normal = highest_in_fellow(fellow, -1000.0f);
    const std::vector<float>& smooth = block.smoothed();
    const PolarMask skin = air_and_skin(smooth);
    PolarMask excluded = bone(block, silicone_voltage_factor(kvp));
    const std::vector<float> tissue = without_air(smooth, skin), drop = radial_drop(tissue);
    std::vector<float> hat = meridional_top_hat(tissue, hat_window);
    for (std::size_t i = 0; i < hat.size(); ++i) hat[i] = std::min(hat[i], drop[i]);
    for (std::size_t i = 0; i < excluded.size(); ++i) excluded[i] = excluded[i] || skin[i];
    const double soft = soft_tissue_level(block, smooth, excluded), factor = silicone_voltage_factor(kvp);
    // Across the meridian: above muscle and standing out; along it (radial elements): well above any soft tissue.
    const double seed = std::max(115.0, soft + 50.0), seed_hat = 40.0, seed_alone = std::max(115.0 * factor, soft + 60.0);
    const double reach = soft + 12.0, reach_hat = 22.0, reach_alone = std::max(90.0, soft + 35.0);
    PolarMask mask(PolarBlock::cell_count, 0), seeds(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < mask.size(); ++i) {
        const double h = PolarBlock::height_mm(PolarBlock::cell(i).height), p = PolarBlock::polar_radians(PolarBlock::cell(i).polar) * degrees;
        // In front the lids lie on the globe; an element there is under them, on the sclera.
        const double highest = std::clamp(2.0 + (p - 60.0) / 6.0, 2.0, 4.5);
        if (excluded[i] || h < -2.5 || h > highest || p < 54.0 || p > 150.0) continue;
        const auto v = static_cast<double>(smooth[i]), t = static_cast<double>(hat[i]);
        // Beyond any soft tissue the fellow is not asked: both eyes may carry an element.
        const double margin = v > 140.0 * factor ? 1e9 : v - static_cast<double>(normal[i]);
        mask[i] = (v > reach && t > reach_hat) || (v > reach_alone && drop[i] > reach_hat);
        mask[i] = mask[i] && margin > 8.0;
        seeds[i] = (v > seed && t > seed_hat) || (v > seed_alone && drop[i] > seed_hat);
        seeds[i] = seeds[i] && margin > 22.0;
    }
    std::vector<Candidate> found;
    for (auto& region : connected_regions(mask)) {
        if (std::none_of(region.begin(), region.end(), [&](std::size_t i) { return seeds[i] != 0; })) continue;
        const RegionShape s = shape_of(block, region);
        const double arc = block.limbus_arc_mm(s.mean_polar);
        if (s.volume_mm3 < 12.0 || s.touches_images_end || s.mean_height_mm < -2.0 || s.mean_height_mm > 2.2 || s.lowest_mm > 0.0) continue;
        // Calcified plaques sit just in front of the horizontal recti, about 2 x 6 mm (Alorainy I, Neuroradiology 2000;42:145-148).
        if (arc < 5.5 && s.volume_mm3 < 40.0) continue;
        double brightest = 0.0;
        for (const std::size_t i : region) brightest = std::max(brightest, static_cast<double>(smooth[i]));
        found.push_back({std::move(region), brightest / seed, false});
    }
    add_ring(block, smooth, hat, excluded, std::max(55.0, soft + 5.0), found);
    return found;
}

}  // namespace perisclera
