// SPDX-License-Identifier: Apache-2.0
#include "ct_ring.h"

#include <vnl/algo/vnl_cholesky.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace perisclera {

namespace {

constexpr int n = PolarBlock::clock_count, m = PolarBlock::polar_count;
constexpr double to_degrees = 180.0 / std::numbers::pi;

std::size_t column(int clock, int polar) { return static_cast<std::size_t>(clock * m + polar); }

/// The best sign of a band in each column of the grid, and where in it.
struct Gains {
    std::vector<double> gain = std::vector<double>(static_cast<std::size_t>(n * m), 0.0);   ///< HU
    std::vector<int> height = std::vector<int>(static_cast<std::size_t>(n * m), 0);
};

Gains gains_of(const RingSigns& signs) {
    const std::vector<float>& smooth = signs.block.smoothed();
    Gains out;
    for (int c = 0; c < n; ++c)
        for (int p = 0; p < m; ++p) {
            const double polar = PolarBlock::polar_radians(p) * to_degrees;
            if (polar < 60.0 || polar > 125.0) continue;
            for (int h = 0; h < PolarBlock::height_count; ++h) {
                const double mm = PolarBlock::height_mm(h);
                const std::size_t i = PolarBlock::index(c, p, h);
                if (mm < -2.0 || mm > 2.0 || signs.excluded[i] || static_cast<double>(smooth[i]) < signs.least_signal) continue;
                // A band lies on the wall; what stands out further off is lid, canthus or bone.
                const double g = std::min(static_cast<double>(signs.hat[i]), 60.0) * (1.0 - 0.3 * std::abs(mm));
                if (g > out.gain[column(c, p)]) out.gain[column(c, p)] = g, out.height[column(c, p)] = h;
            }
        }
    return out;
}

/// The closed path round the clock, one polar cell a clock step, moving at most one cell, along which `gain` sums highest.
std::array<int, n> best_ring(const std::vector<double>& gain) {
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
            next[static_cast<std::size_t>(p)] = score[static_cast<std::size_t>(p + best)] + gain[column(t % n, p)];
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

/// A circle on the globe, as polar cells over the clock: what the path of an encircling band comes near to everywhere.
struct Circle {
    std::array<double, n> polar{};
    double departure = 0.0;   ///< root mean square of the path's distance from it, cells, by the path's gain
};

std::optional<Circle> circle_along(const std::array<int, n>& ring, const Gains& gains) {
    const auto terms = [](int c) {
        const double angle = 2.0 * std::numbers::pi * c / n;
        vnl_vector<double> row(3, 1.0);
        row[1] = std::cos(angle), row[2] = std::sin(angle);
        return row;
    };
    vnl_matrix<double> normal(3, 3, 0.0);
    vnl_vector<double> right(3, 0.0);
    double weights = 0.0;
    for (int c = 0; c < n; ++c) {
        const int p = ring[static_cast<std::size_t>(c)];
        const double weight = gains.gain[column(c, p)];
        normal += weight * outer_product(terms(c), terms(c));
        right += weight * p * terms(c);
        weights += weight;
    }
    const vnl_cholesky solver(normal, vnl_cholesky::quiet);
    if (solver.rank_deficiency() != 0) return std::nullopt;
    const vnl_vector<double> solved = solver.solve(right);
    Circle out;
    double squares = 0.0;
    for (int c = 0; c < n; ++c) {
        const int p = ring[static_cast<std::size_t>(c)];
        double& at = out.polar[static_cast<std::size_t>(c)];
        at = dot_product(solved, terms(c));
        squares += gains.gain[column(c, p)] * (p - at) * (p - at);
    }
    out.departure = std::sqrt(squares / weights);
    return out;
}

/// Is it mostly bone or air that lies on the circle here?
bool hidden(const RingSigns& signs, int clock, double polar) {
    constexpr int half_width = 2;
    constexpr double height_mm = 1.0;
    int hidden = 0, all = 0;
    const int middle = static_cast<int>(std::lround(polar));
    for (int p = std::max(0, middle - half_width); p <= std::min(m - 1, middle + half_width); ++p)
        for (int h = 0; h < PolarBlock::height_count; ++h) {
            if (std::abs(PolarBlock::height_mm(h)) > height_mm) continue;
            ++all;
            hidden += signs.excluded[PolarBlock::index(clock, p, h)];
        }
    return 2 * hidden > all;
}

/// The crest of a band over the clock.
struct Crest {
    std::array<int, n> polar{}, height{};
    double strength = 0.0;   ///< mean gain where it is not hidden, over the least of a band
};

/// Most open clock steps in a row of which none is marked.
int longest_break(const std::array<bool, n>& open, const std::array<bool, n>& marked) {
    int longest = 0, length = 0;
    for (int c = 0; c < 2 * n; ++c) {
        const auto k = static_cast<std::size_t>(c % n);
        if (open[k]) length = marked[k] ? 0 : length + 1;
        longest = std::max(longest, length);
    }
    return std::min(longest, n);
}

/// Clock steps with a part of what was found already within 3 mm of the path.
std::array<bool, n> with_pieces(const PolarBlock& block, const std::array<int, n>& ring, const std::vector<Candidate>& found) {
    constexpr double near_mm = 3.0;
    const int reach = static_cast<int>(near_mm / (PolarBlock::polar_step * block.equatorial_radius_mm()));
    std::array<bool, n> covered{};
    for (const Candidate& piece : found)
        for (const std::size_t i : piece.cells) {
            const PolarCell c = PolarBlock::cell(i);
            if (std::abs(c.polar - ring[static_cast<std::size_t>(c.clock)]) <= reach) covered[static_cast<std::size_t>(c.clock)] = true;
        }
    return covered;
}

std::optional<Crest> crest_of(const RingSigns& signs, const std::vector<Candidate>& found) {
    constexpr double strong_gain_hu = 30.0, weak_gain_hu = 20.0, clear_hu = 20.0, shown_hu = 12.0, near_cells = 3.0, most_departure_cells = 1.5;
    // Beside lid and muscle a band is lost from sight for an hour or three, a segment for half the clock.
    constexpr int widest_break = 30, least_open = n / 2;
    const Gains gains = gains_of(signs);
    const std::array<int, n> ring = best_ring(gains.gain);
    const auto circle = circle_along(ring, gains);
    if (!circle) return std::nullopt;
    std::array<bool, n> open{}, shown{};
    double sum = 0.0, height = 0.0;
    int shows = 0, clear = 0;
    std::vector<float> along;
    for (int c = 0; c < n; ++c) {
        const auto k = static_cast<std::size_t>(c);
        const double gain = gains.gain[column(c, ring[k])];
        open[k] = !hidden(signs, c, circle->polar[k]);
        shown[k] = gain >= shown_hu && std::abs(ring[k] - circle->polar[k]) <= near_cells;
        if (shown[k]) height += gains.height[column(c, ring[k])], ++shows;
        if (!open[k]) continue;
        sum += gain, clear += gain > clear_hu;
        along.push_back(static_cast<float>(gain));
    }
    const int opened = static_cast<int>(along.size());
    if (opened < least_open || shows == 0) return std::nullopt;
    const double mean = sum / opened;
    const std::array<bool, n> pieces = with_pieces(signs.block, ring, found);
    const bool unbroken = 10 * clear >= 7 * opened && quantile(along, 0.2) >= static_cast<float>(shown_hu);
    const bool strong = mean >= strong_gain_hu && (unbroken || longest_break(open, pieces) <= widest_break);
    // Of 111 drawn patients the path round a free eye gained 19 HU at most, and lay 1.9 cells and more off any circle where it gained 10; of bands it lay within 1.3. A segment would
    // show in pieces.
    const bool faint = mean >= weak_gain_hu && circle->departure <= most_departure_cells && std::none_of(pieces.begin(), pieces.end(), [](bool b) { return b; }) &&
                       longest_break(open, shown) <= widest_break;
    if (!strong && !faint) return std::nullopt;
    Crest out;
    out.strength = mean / weak_gain_hu;
    for (int c = 0; c < n; ++c) {
        const auto k = static_cast<std::size_t>(c);
        // Where it does not show its place is still known.
        out.polar[k] = shown[k] ? ring[k] : std::clamp(static_cast<int>(std::lround(circle->polar[k])), 0, m - 1);
        out.height[k] = shown[k] ? gains.height[column(c, ring[k])] : static_cast<int>(std::lround(height / shows));
    }
    return out;
}

}  // namespace

std::optional<Candidate> ct_ring(const RingSigns& signs, const std::vector<Candidate>& found) {
    constexpr int widest_side = 13;   // of a crest: half of what the top hat lets stand out
    const auto crest = crest_of(signs, found);
    if (!crest) return std::nullopt;
    Candidate out{{}, crest->strength, true};
    /// Its cells in a column at the crest or beside it.
    const auto cells_at = [&](int clock, int away) {
        std::vector<std::size_t> cells;
        const int middle = crest->polar[static_cast<std::size_t>(clock)], height = crest->height[static_cast<std::size_t>(clock)], p = middle + away;
        if (p < 0 || p >= m) return cells;
        const float peak = signs.hat[PolarBlock::index(clock, middle, height)];
        for (int h = std::max(0, height - 2); h <= std::min(PolarBlock::height_count - 1, height + 2); ++h) {
            const std::size_t i = PolarBlock::index(clock, p, h);
            const bool on_path = std::abs(away) <= 2 && std::abs(h - height) <= 1;
            if (!signs.excluded[i] && (on_path || (signs.hat[i] > 0.5f * peak && signs.hat[i] > 12.0f))) cells.push_back(i);
        }
        return cells;
    };
    for (const int way : {-1, 1}) {
        std::vector<float> sides;
        for (int c = 0; c < n; ++c) {
            int away = 1;
            while (away <= widest_side && !cells_at(c, way * away).empty()) ++away;
            sides.push_back(static_cast<float>(away - 1));
        }
        // A band has one width: what goes on beside it at single clock hours is muscle, lid or bone.
        const int usual = static_cast<int>(quantile(sides, 0.5)) + 1;
        for (int c = 0; c < n; ++c)
            for (int away = way < 0 ? 1 : 0; away <= std::min(usual, static_cast<int>(sides[static_cast<std::size_t>(c)])); ++away) {
                const auto cells = cells_at(c, way * away);
                out.cells.insert(out.cells.end(), cells.begin(), cells.end());
            }
    }
    std::sort(out.cells.begin(), out.cells.end());
    // Sclera, muscles and nerve sheath are bright behind.
    if (signs.block.limbus_arc_mm(shape_of(signs.block, out.cells).mean_polar) > hindmost_middle_mm) return std::nullopt;
    return out;
}

void stand_for_pieces(Candidate ring, std::vector<Candidate>& found) {
    PolarMask in_ring(PolarBlock::cell_count, 0);
    for (const std::size_t i : ring.cells) in_ring[i] = 1;
    const PolarMask near_ring = grown(std::move(in_ring), 3);
    std::erase_if(found, [&](const Candidate& piece) {
        const auto touching = std::count_if(piece.cells.begin(), piece.cells.end(), [&](std::size_t i) { return near_ring[i] != 0; });
        return 3 * static_cast<std::size_t>(touching) > piece.cells.size();
    });
    found.push_back(std::move(ring));
}

}  // namespace perisclera
