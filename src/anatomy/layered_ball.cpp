// SPDX-License-Identifier: Apache-2.0
#include "layered_ball.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "perisclera/anatomy/directions.h"
#include "perisclera/core/quantile.h"
#include "soft_tissue.h"

namespace perisclera {

namespace {

struct Sample {
    double depth, value;
};

struct Median {
    double middle, spread;
};
Median median_of(std::vector<double> values) {
    const double middle = quantile(values, 0.5);
    for (double& v : values) v = std::abs(v - middle);
    return {middle, 1.4826 * quantile(std::move(values), 0.5)};
}

/// The one split along gravity that leaves the least scatter on both sides.
std::optional<LayeredFluids> parted(std::vector<Sample> samples, PatientVector down, double departure) {
    std::sort(samples.begin(), samples.end(), [](const Sample& a, const Sample& b) { return a.depth < b.depth; });
    double all = 0.0, passed = 0.0, best = -1.0;
    for (const Sample& s : samples) all += s.value;
    const std::size_t n = samples.size(), fewest = n / 8;
    std::size_t split = 0;
    for (std::size_t k = 1; k < n; ++k) {
        passed += samples[k - 1].value;
        if (k < fewest || n - k < fewest) continue;
        const auto before = static_cast<double>(k), after = static_cast<double>(n - k);
        const double apart = passed / before - (all - passed) / after, between = apart * apart * before * after;
        if (between > best) best = between, split = k;
    }
    const double level = 0.5 * (samples[split - 1].depth + samples[split].depth);
    std::vector<double> upper, lower;
    for (const Sample& s : samples)
        if (std::abs(s.depth - level) > LayeredFluids::level_blur_mm) (s.depth < level ? upper : lower).push_back(s.value);
    if (upper.size() < fewest / 2 || lower.size() < fewest / 2) return std::nullopt;
    const bool mostly_above = upper.size() > lower.size();
    const Median u = median_of(std::move(upper)), l = median_of(std::move(lower));
    const double spread = std::max(u.spread, l.spread);
    if (std::abs(u.middle - l.middle) < std::max(1.5 * departure, 3.0 * spread)) return std::nullopt;
    return LayeredFluids{u.middle, l.middle, spread, std::max(departure, 3.0 * spread), mostly_above, {PatientPoint{0, 0, 0} + down * level, down}};
}

}  // namespace

double LayeredFluids::departure(PatientPoint p, double signal) const {
    const double depth = level.depth_of(p);
    if (std::abs(depth) > level_blur_mm) return std::abs(signal - (depth < 0.0 ? above : below));
    return std::abs(signal - std::clamp(signal, std::min(above, below), std::max(above, below)));
}

SignalSource soft_tissue_signals(const VoxelGrid& grid, Modality modality) {
    return {[&grid, modality](PatientPoint p) { return clipped(static_cast<double>(grid.sample(p)), modality); }, [&grid](PatientPoint p) { return grid.geometry().contains(p); }};
}

std::optional<LayeredBall> test_layered_ball(const SignalSource& signals, PatientPoint start, PatientVector down, double departure) {
    static const std::vector<PatientVector> rays = even_directions<PatientLps>(200);
    static const std::vector<PatientVector> inner = even_directions<PatientLps>(60);
    constexpr double step = 0.5;
    Ball ball{start, 11.5};
    std::optional<LayeredFluids> fluids;
    double roundness = 0.0;
    for (int round = 0; round < 4; ++round) {
        std::vector<Sample> samples;
        for (const double r : {2.0, 4.0, 6.0, 7.5})
            for (const PatientVector& d : inner) {
                const PatientPoint p = ball.centre + d * r;
                samples.push_back({dot(p - PatientPoint{0, 0, 0}, down), signals.value(p)});
            }
        fluids = parted(std::move(samples), down, departure);
        if (!fluids) return std::nullopt;
        const auto is_inside = [&](PatientPoint p) { return signals.imaged(p) && fluids->departure(p, signals.value(p)) <= fluids->alike; };
        std::vector<PatientPoint> ends;
        std::vector<double> weights;
        int usable = 0, on_sphere = 0;
        for (const PatientVector& d : rays) {
            double r = 5.5;
            while (r <= 16.0 && is_inside(ball.centre + d * r)) r += step;
            const PatientPoint end = ball.centre + d * (r - 0.5 * step);
            if (!signals.imaged(end)) continue;
            ++usable;
            if (r > 16.0) continue;
            const double off = r - 0.5 * step - ball.radius;
            ends.push_back(end);
            weights.push_back(1.0 / (1.0 + off * off * off * off));
            if (std::abs(off) < 1.0) ++on_sphere;
        }
        roundness = usable < 60 ? 0.0 : static_cast<double>(on_sphere) / static_cast<double>(rays.size());
        if (ends.size() < 60) return std::nullopt;
        const Ball next = fit_sphere(ends, weights, ball);
        if (next.radius < 7.0 || next.radius > 16.0 || length(next.centre - start) > 8.0) return std::nullopt;
        ball = next;
    }
    return LayeredBall{ball, roundness, *fluids};
}

std::optional<LayeredBall> roundest_layered_ball(const SignalSource& signals, PatientPoint about, PatientVector down, double departure, double farthest_mm) {
    std::optional<LayeredBall> best;
    for (const double off : {0.0, -3.0, 3.0, -6.0, 6.0})
        if (auto ball = test_layered_ball(signals, about + down * off, down, departure); ball && length(ball->inside.centre - about) < farthest_mm && (!best || ball->roundness > best->roundness))
            best = std::move(ball);
    return best;
}

}  // namespace perisclera
