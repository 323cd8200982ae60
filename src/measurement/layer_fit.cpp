// SPDX-License-Identifier: Apache-2.0
#include "layer_fit.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "mixture.h"

namespace perisclera {

namespace {

/// Signals of the inside, of wall above inside, of the outside, and its slope; contrast times thickness; the element's middle; logarithms of the wall's thickness and of the blur.
enum Parameter { inside, wall_contrast, outside, slope, mass, middle, log_wall, log_blur, count };
using Values = std::array<double, count>;
using Square = std::array<Values, count>;

double step_up(double distance, double blur) { return 0.5 * std::erfc(-distance / (blur * std::numbers::sqrt2)); }

/// A ramp that starts at 0, blurred.
double ramp_up(double distance, double blur) {
    const double z = distance / blur;
    return distance * step_up(distance, blur) + blur * std::exp(-0.5 * z * z) / std::sqrt(2.0 * std::numbers::pi);
}

Layers layers_of(const Values& p, double thickness) {
    const double wall = p[inside] + p[wall_contrast];
    return {p[inside], wall, 0.5 * (wall + p[outside]) + p[mass] / thickness, p[outside], p[slope], std::exp(p[log_wall]), p[middle] - 0.5 * thickness, thickness, std::exp(p[log_blur])};
}

/// Lower triangle L of a symmetric positive matrix, L times its transpose being the matrix; false where it is not positive.
bool factorise(Square& a) {
    for (std::size_t i = 0; i < count; ++i)
        for (std::size_t j = 0; j <= i; ++j) {
            double sum = a[i][j];
            for (std::size_t k = 0; k < j; ++k) sum -= a[i][k] * a[j][k];
            if (i == j && sum <= 0.0) return false;
            a[i][j] = i == j ? std::sqrt(sum) : sum / a[j][j];
        }
    return true;
}

Values solved(const Square& factor, Values b) {
    for (std::size_t i = 0; i < count; ++i) {
        for (std::size_t k = 0; k < i; ++k) b[i] -= factor[i][k] * b[k];
        b[i] /= factor[i][i];
    }
    for (std::size_t i = count; i-- > 0;) {
        for (std::size_t k = i + 1; k < count; ++k) b[i] -= factor[k][i] * b[k];
        b[i] /= factor[i][i];
    }
    return b;
}

double span_of(const LayerLine& line) {
    const auto [least, most] = std::minmax_element(line.points.begin(), line.points.end(), [](const ProfilePoint& a, const ProfilePoint& b) { return a.signal < b.signal; });
    return most->signal - least->signal;
}

/// The best layers of one thickness.
struct Fit {
    Values at;
    double misfit;    ///< sum of squares, priors included
    Square factor;    ///< of the inverse of the covariance

    /// Standard uncertainty of what changes with the parameters as `gradient` says.
    [[nodiscard]] double uncertainty(const Values& gradient) const {
        const Values half = solved(factor, gradient);
        double sum = 0.0;
        for (std::size_t i = 0; i < count; ++i) sum += gradient[i] * half[i];
        return std::sqrt(std::max(sum, 0.0));
    }
    [[nodiscard]] double log_volume() const {
        double sum = 0.0;
        for (std::size_t i = 0; i < count; ++i) sum -= std::log(factor[i][i]);
        return sum;
    }
};

class Problem {
public:
    Problem(const LayerLine& line, double middle_mm) : line_(line), noise_(line.noise) {
        const double span = std::max(span_of(line), line.noise);
        // Only what is named in the line is known; the rest is held loosely, so that no direction is free. What surrounds the orbit changes slowly beyond the element.
        constexpr double loose = 30.0, middle_spread_mm = 2.0, slope_share = 0.03;
        prior_ = {{{line.points.front().signal, loose * span}, line.wall_contrast, line.outside, {0.0, slope_share * span}, {0.0, loose * span},
                   {middle_mm, middle_spread_mm}, line.log_wall, line.log_blur}};
    }
    void set_noise(double noise) { noise_ = std::max(noise, line_.noise); }

    [[nodiscard]] Values start() const {
        Values p{};
        for (std::size_t i = 0; i < count; ++i) p[i] = prior_[i].mean;
        return p;
    }
    [[nodiscard]] std::vector<double> left(const Values& p, double thickness) const {
        const Layers layers = layers_of(p, thickness);
        std::vector<double> out(line_.points.size());
        for (std::size_t i = 0; i < out.size(); ++i) out[i] = line_.points[i].signal - blurred_signal(layers, line_.element_share, line_.points[i].height_mm);
        return out;
    }
    /// From `from`, by least squares with damping (Levenberg 1944, Marquardt 1963).
    [[nodiscard]] std::optional<Fit> best(double thickness, Values from) const {
        constexpr int most_steps = 30;
        double damping = 1e-3, now = misfit(left(from, thickness), from);
        for (int k = 0; k < most_steps; ++k) {
            const auto [matrix, downhill] = normal_equations(from, thickness);
            Square damped = matrix;
            for (std::size_t i = 0; i < count; ++i) damped[i][i] *= 1.0 + damping;
            if (!factorise(damped)) return std::nullopt;
            const Values move = solved(damped, downhill);
            Values next = from;
            for (std::size_t i = 0; i < count; ++i) next[i] += move[i];
            // A step of the logarithms beyond one decade has left all sense.
            for (const std::size_t i : {std::size_t{log_wall}, std::size_t{log_blur}}) next[i] = std::clamp(next[i], prior_[i].mean - 2.3, prior_[i].mean + 2.3);
            const double then = misfit(left(next, thickness), next);
            if (!(then < now)) {
                damping *= 10.0;
                if (damping > 1e8) break;
                continue;
            }
            const bool settled = now - then < 1e-3;
            from = next, now = then, damping = std::max(damping * 0.1, 1e-9);
            if (settled) break;
        }
        Fit fit{from, now, normal_equations(from, thickness).first};
        if (!factorise(fit.factor)) return std::nullopt;
        return fit;
    }
    /// Noise as it must be for the line to be no more than noise about the fit, neighbours alike counted as one.
    [[nodiscard]] double noise_told_by(const std::vector<double>& left_over) const {
        constexpr std::size_t told = 5, lags = 3;   // parameters that the line itself decides
        const auto n = static_cast<double>(left_over.size());
        double square = 0.0, alike = 1.0;
        for (const double r : left_over) square += r * r;
        for (std::size_t lag = 1; lag <= lags; ++lag) {
            double product = 0.0;
            for (std::size_t i = lag; i < left_over.size(); ++i) product += left_over[i] * left_over[i - lag];
            alike += 2.0 * std::max(0.0, product / std::max(square, 1e-12));
        }
        // A noise told by few is itself unsure: the variance of Student's distribution.
        const double free = std::max(n - static_cast<double>(told), 3.0);
        return std::sqrt(square / (free - 2.0) * alike);
    }

private:
    [[nodiscard]] double misfit(const std::vector<double>& left_over, const Values& p) const {
        double sum = 0.0;
        for (const double r : left_over) sum += r * r;
        sum /= noise_ * noise_;
        for (std::size_t i = 0; i < count; ++i) sum += std::pow((p[i] - prior_[i].mean) / prior_[i].spread, 2);
        return sum;
    }
    [[nodiscard]] std::pair<Square, Values> normal_equations(const Values& p, double thickness) const {
        const std::vector<double> here = left(p, thickness);
        std::array<std::vector<double>, count> slopes;
        for (std::size_t i = 0; i < count; ++i) {
            constexpr double small = 1e-4;
            Values beside = p;
            beside[i] += small;
            slopes[i] = left(beside, thickness);
            for (std::size_t k = 0; k < here.size(); ++k) slopes[i][k] = (here[k] - slopes[i][k]) / small;
        }
        std::pair<Square, Values> out{};
        const double weight = 1.0 / (noise_ * noise_);
        for (std::size_t i = 0; i < count; ++i) {
            const double held = 1.0 / (prior_[i].spread * prior_[i].spread);
            for (std::size_t j = 0; j <= i; ++j) {
                double sum = 0.0;
                for (std::size_t k = 0; k < here.size(); ++k) sum += slopes[i][k] * slopes[j][k];
                out.first[i][j] = out.first[j][i] = sum * weight + (i == j ? held : 0.0);
            }
            for (std::size_t k = 0; k < here.size(); ++k) out.second[i] += slopes[i][k] * here[k] * weight;
            out.second[i] -= (p[i] - prior_[i].mean) * held;
        }
        return out;
    }

    const LayerLine& line_;
    double noise_;
    std::array<Known, count> prior_;
};

/// Where to begin: an element in a line may be mistaken for the wall or for what lies outside, each a hollow of its own.
struct Beginning {
    double thickness;
    Fit fit;
};
std::optional<Beginning> beginning(const Problem& problem, double thickness) {
    std::optional<Beginning> best;
    for (const double factor : {1.0, 0.7, 0.5, 1.4})
        for (const double shift : {0.0, -0.8, 0.8}) {
            Values from = problem.start();
            from[middle] += shift;
            const auto fit = problem.best(factor * thickness, from);
            if (fit && (!best || fit->misfit < best->fit.misfit)) best = {factor * thickness, *fit};
        }
    return best;
}

constexpr Values value_gradient(double thickness) {
    Values g{};
    g[inside] = g[wall_contrast] = g[outside] = 0.5;
    g[mass] = 1.0 / thickness;
    return g;
}

/// What a fit at one thickness weighs among the others, and what it says.
MixturePart part_of(const Fit& fit, double thickness, const LayerLine& line) {
    const double value = layers_of(fit.at, thickness).element, fade = 0.1 * (line.highest_value - line.lowest_value);
    const double beyond = std::max({0.0, value - line.highest_value, line.lowest_value - value}) / fade;
    Values unit{};
    unit[mass] = 1.0;
    // Equal ratios of thickness: a step is as wide as the thickness.
    return {thickness, -0.5 * fit.misfit + fit.log_volume() - 0.5 * beyond * beyond + std::log(thickness), value, fit.uncertainty(value_gradient(thickness)), fit.at[mass], fit.uncertainty(unit)};
}

}  // namespace

double blurred_signal(const Layers& l, double share, double height) {
    const double outer = l.inner_mm + l.thickness_mm;
    const double beyond_wall = step_up(height - l.inner_mm, l.blur_mm), beyond = step_up(height - outer, l.blur_mm);
    return l.inside + (l.wall - l.inside) * step_up(height - l.inner_mm + l.wall_mm, l.blur_mm) + (l.outside - l.wall) * beyond_wall +
           share * (l.element - l.outside) * (beyond_wall - beyond) + l.outside_slope * ramp_up(height - outer, l.blur_mm);
}

double sharp_signal(const Layers& l, double height) {
    const double outer = l.inner_mm + l.thickness_mm;
    if (height < l.inner_mm - l.wall_mm) return l.inside;
    if (height < l.inner_mm) return l.wall;
    return height < outer ? l.element : l.outside + l.outside_slope * (height - outer);
}

std::optional<FittedLayers> fit_layers(const LayerLine& line, double inner_mm, double thickness_mm) {
    Problem problem(line, inner_mm + 0.5 * thickness_mm);
    const std::optional<Beginning> first = beginning(problem, thickness_mm);
    if (!first) return std::nullopt;
    constexpr double thinnest_mm = 0.12, far_below = 14.0;
    double ratio = 1.1;
    const double thickest_mm = line.points.back().height_mm - inner_mm;
    std::vector<MixturePart> parts;
    std::vector<Fit> fits;
    // The first pass tells the noise, the second the probabilities.
    for (const bool noise_told : {false, true}) {
        parts.clear(), fits.clear();
        for (const double factor : {ratio, 1.0 / ratio}) {
            Values from = first->fit.at;
            double highest = -1e300;
            for (double t = factor > 1.0 ? first->thickness : first->thickness * factor; t > thinnest_mm && t < thickest_mm; t *= factor) {
                const auto fit = problem.best(t, from);
                if (!fit) break;
                from = fit->at;
                parts.push_back(part_of(*fit, t, line));
                fits.push_back(*fit);
                highest = std::max(highest, parts.back().log_weight);
                if (parts.back().log_weight < highest - far_below) break;
            }
        }
        if (parts.empty()) return std::nullopt;
        const auto best = std::max_element(parts.begin(), parts.end(), [](const MixturePart& a, const MixturePart& b) { return a.log_weight < b.log_weight; });
        if (noise_told) continue;
        // Steps no coarser than what the line tells apart.
        constexpr double likely = 4.5, fine_ratio = 1.02, middling_ratio = 1.05;
        const auto told = std::count_if(parts.begin(), parts.end(), [&](const MixturePart& p) { return p.log_weight > best->log_weight - likely; });
        ratio = told <= 3 ? fine_ratio : told <= 6 ? middling_ratio : ratio;
        problem.set_noise(problem.noise_told_by(problem.left(fits[static_cast<std::size_t>(best - parts.begin())].at, best->thickness)));
    }
    const Mixture mixture(std::move(parts));
    FittedLayers out{{}, mixture.thickness(), mixture.value(), mixture.mass(), mixture.correlation(), 0.0, mixture.possible(), 0.0, 0.0};
    const auto typical = problem.best(out.thickness.median, first->fit.at);
    if (!typical) return std::nullopt;
    out.layers = layers_of(typical->at, out.thickness.median);
    const std::vector<double> left_over = problem.left(typical->at, out.thickness.median);
    double square = 0.0;
    for (const double r : left_over) square += r * r;
    out.left_over = std::sqrt(square / static_cast<double>(left_over.size()));
    Values against_wall = value_gradient(out.thickness.median), against_outside = against_wall;
    against_wall[inside] -= 1.0, against_wall[wall_contrast] -= 1.0;
    against_outside[outside] -= 1.0;
    out.inner_step = std::abs(out.layers.element - out.layers.wall) / typical->uncertainty(against_wall);
    out.outer_step = std::abs(out.layers.element - out.layers.outside) / typical->uncertainty(against_outside);
    return out;
}

std::optional<FittedWall> fit_wall(const LayerLine& line) {
    Problem problem(line, 0.0);
    constexpr double none_mm = 1e-3;   // of an element that has no share
    Values from = problem.start();
    for (int pass = 0;; ++pass) {
        const auto fit = problem.best(none_mm, from);
        if (fit) from = fit->at;
        if (!fit) return std::nullopt;
        const std::vector<double> left_over = problem.left(fit->at, none_mm);
        const double noise = problem.noise_told_by(left_over);
        if (pass == 0) {
            problem.set_noise(noise);
            continue;
        }
        const auto told = [&](Parameter p) {
            Values unit{};
            unit[p] = 1.0;
            return Known{fit->at[p], fit->uncertainty(unit)};
        };
        return FittedWall{told(log_blur), told(wall_contrast), told(middle), span_of(line), noise};
    }
}

}  // namespace perisclera
