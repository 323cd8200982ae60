// SPDX-License-Identifier: Apache-2.0
#include "section_profile.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>
#include <numeric>

namespace perisclera {

namespace {

/// Half of a blurred section of thickness 1, of this half width and exponent, by the distance from its middle.
class Look {
public:
    Look(double half_width, double exponent, double blur) {
        const double reach = half_width + 3.0 * blur + 1.0;
        const auto n = static_cast<int>(std::ceil(reach / step));
        std::vector<double> sharp;
        for (int i = -n; i <= n; ++i) {
            const double u = std::abs(i * step) / half_width;
            sharp.push_back(u < 1.0 ? std::pow(1.0 - std::pow(u, exponent), 1.0 / exponent) : 0.0);
        }
        const int taps = static_cast<int>(std::ceil(3.0 * blur / step));
        std::vector<double> kernel;
        double sum = 0.0;
        for (int k = -taps; k <= taps; ++k) kernel.push_back(std::exp(-0.5 * std::pow(k * step / blur, 2))), sum += kernel.back();
        for (int i = 0; i <= n; ++i) {
            double v = 0.0;
            for (int k = -taps; k <= taps; ++k)
                if (const int at = std::abs(i + k); at <= n) v += kernel[static_cast<std::size_t>(k + taps)] * sharp[static_cast<std::size_t>(at + n)];
            half_.push_back(v / sum);
        }
    }
    [[nodiscard]] double at(double distance) const {
        const double place = std::abs(distance) / step;
        const auto i = static_cast<std::size_t>(place);
        return i + 1 < half_.size() ? std::lerp(half_[i], half_[i + 1], place - static_cast<double>(i)) : 0.0;
    }

private:
    static constexpr double step = 0.25;
    std::vector<double> half_;
};

struct Fitted {
    double middle, half_width, thickness, left;   ///< left: sum of squares
};

Fitted fitted(const std::vector<double>& profile, int first, int last, double middle, double half_width, double exponent, double blur) {
    const auto with = [&](double m, double w) {
        const Look look(w, exponent, blur);
        double own = 0.0, both = 0.0, all = 0.0;
        for (int i = first; i <= last; ++i) {
            const double v = std::max(profile[static_cast<std::size_t>(i)], 0.0), s = look.at(i - m);
            own += s * s, both += s * v, all += v * v;
        }
        const double thickness = both / std::max(own, 1e-9);
        return Fitted{m, w, thickness, all - thickness * both};
    };
    constexpr double finest = 0.06, narrowest = 0.8;
    Fitted best = with(middle, half_width);
    for (double step = 1.0; step > finest; step *= 0.5)
        for (bool better = true; better;) {
            better = false;
            for (const auto& [dm, dw] : {std::pair{step, 0.0}, {-step, 0.0}, {0.0, step}, {0.0, -step}})
                if (best.half_width + dw > narrowest)
                    if (const Fitted next = with(best.middle + dm, best.half_width + dw); next.left < best.left - 1e-9) best = next, better = true;
        }
    return best;
}

/// A way in which the section may look, and how likely that is before the profile is seen.
struct Possible {
    double exponent, blur, before;
};

/// The stretch about the highest point that is more than this share of it.
struct Stretch {
    int first, last;
    double top;
};

std::optional<Stretch> stretch_about_top(const std::vector<double>& profile, double share) {
    const auto top = std::max_element(profile.begin(), profile.end());
    if (top == profile.end() || *top <= 0.0) return std::nullopt;
    const int n = static_cast<int>(profile.size()), peak = static_cast<int>(top - profile.begin());
    Stretch s{peak, peak, *top};
    while (s.first > 0 && profile[static_cast<std::size_t>(s.first - 1)] > share * *top) --s.first;
    while (s.last + 1 < n && profile[static_cast<std::size_t>(s.last + 1)] > share * *top) ++s.last;
    return s;
}

/// The mean of all that is possible, by how well each explains the cells from `first` to `last`; `apart`: cells between two that are independent.
SectionFit weighed(const std::vector<double>& profile, int first, int last, const Stretch& half, const std::vector<Possible>& possible, double apart) {
    constexpr double unlike = 0.04;   // what no section of this kind explains, of the thickness
    struct Weighed {
        Fitted fit;
        double weight;
    };
    std::vector<Weighed> all;
    double least = std::numeric_limits<double>::max();
    for (const Possible& p : possible) {
        all.push_back({fitted(profile, first, last, 0.5 * (half.first + half.last), 0.5 * (half.last - half.first + 1) * (p.exponent < 3.0 ? 1.1 : 1.0), p.exponent, p.blur), p.before});
        least = std::min(least, all.back().fit.left);
    }
    const double cells = last - first + 1, variance = std::max(least / cells, std::pow(unlike * half.top, 2));
    double sum = 0.0;
    for (Weighed& w : all) w.weight *= std::exp(-0.5 * (w.fit.left - least) / (variance * apart)), sum += w.weight;
    const auto mean = [&](auto&& of) { return std::accumulate(all.begin(), all.end(), 0.0, [&](double s, const Weighed& w) { return s + w.weight * of(w.fit); }) / sum; };
    const auto spread = [&](auto&& of, double about) { return std::sqrt(mean([&](const Fitted& f) { return std::pow(of(f) - about, 2); })); };
    const auto half_width = [](const Fitted& f) { return f.half_width; };
    const auto thick = [](const Fitted& f) { return f.thickness; };
    const double middle = mean([](const Fitted& f) { return f.middle; }), w = mean(half_width), thickness = mean(thick);
    return SectionFit{middle - w, middle + w, thickness, spread(half_width, w), spread(thick, thickness)};
}

constexpr double half_height = 0.5, sharpest = 0.3;   // of the top; cells

}  // namespace

std::optional<SectionFit> fit_section(const std::vector<double>& profile, double blur) {
    // From an ellipse to a rectangle. What swells within tissue that gives way alike on all sides rounds off: likelier beforehand (assumed).
    constexpr std::array<std::pair<double, double>, 5> shapes{{{2.0, 0.4}, {2.5, 0.25}, {3.5, 0.15}, {6.0, 0.1}, {20.0, 0.1}}};
    constexpr std::array<double, 3> of_blur{0.35, 0.6, 1.0};
    constexpr double beyond = 2.5;   // cells beyond half the height that count
    const auto half = stretch_about_top(profile, half_height);
    if (!half) return std::nullopt;
    const int more = static_cast<int>(std::ceil(beyond + 1.5 * blur)), first = std::max(0, half->first - more), last = std::min(static_cast<int>(profile.size()) - 1, half->last + more);
    std::vector<Possible> possible;
    for (const double share : of_blur)
        for (const auto& [exponent, before] : shapes) possible.push_back({exponent, std::max(share * blur, sharpest), before});
    return weighed(profile, first, last, *half, possible, std::max(1.0, 1.2 * blur));
}

std::optional<SectionFit> fit_rod(const std::vector<double>& profile, double blur) {
    // Where a rod tapers its shares are small, and those as small as fat's own darkness are no part of it.
    // Blur nearly as wide as the rod itself cannot be told from it: no more is taken out than changes the half-height width little.
    constexpr double clear = 0.4, most_blur = 0.2;   // of the top; of the width at half the height
    constexpr std::array<double, 3> of_blur{0.75, 1.0, 1.25};
    const auto half = stretch_about_top(profile, half_height), seen = stretch_about_top(profile, clear);
    if (!half) return std::nullopt;
    std::vector<Possible> possible;
    const double told = std::min(blur, most_blur * (half->last - half->first + 1));
    for (const double share : of_blur) possible.push_back({2.0, std::max(share * told, sharpest), 1.0});
    SectionFit fit = weighed(profile, seen->first, seen->last, *half, possible, std::max(1.0, 1.2 * blur));
    // An ellipse is 1.155 times as wide as where it is half as thick; where its taper is cut off a little more. A profile that asks for much more is not that of a rod.
    constexpr double widest_of_half = 1.3;
    const double middle = 0.5 * (fit.first + fit.last), widest = 0.5 * widest_of_half * (half->last - half->first + 1), half_width = std::min(0.5 * (fit.last - fit.first), widest);
    fit.first = middle - half_width, fit.last = middle + half_width;
    return fit;
}

}  // namespace perisclera
