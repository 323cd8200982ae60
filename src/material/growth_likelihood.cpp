// SPDX-License-Identifier: Apache-2.0
#include "growth_likelihood.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace perisclera {

namespace {

/// What becomes of such things between two dates; what is left to 1 changes in any way, once it was recognised in part only, or the scans do not compare.
struct Course {
    double stays, grows, shrinks;
    double there_after_a_year = 1.0;   ///< share that is there at both dates, a year and more apart
};

/// Logarithm of the largest change between two scans: of the twenty times by which hydrogel may swell in all (calculated, polymer conserved), four at once.
constexpr double largest_change = 1.386;

double normal(double x, double sd) { return std::exp(-0.5 * x * x / (sd * sd)) / (sd * std::sqrt(2.0 * std::numbers::pi)); }
double even(double x, double low, double high, double sd) {
    const auto below = [&](double at) { return 0.5 * std::erfc((x - at) / (sd * std::numbers::sqrt2)); };
    return (below(high) - below(low)) / (high - low);
}

double density(const Reading& r, const Course& course) {
    constexpr double least_doubt = 0.05;   // of any two measurements
    const double change = std::log(r.value), doubt = std::hypot(r.uncertainty / r.value, least_doubt);
    const double in_any_way = 1.0 - course.stays - course.grows - course.shrinks;
    const double there = std::lerp(1.0, course.there_after_a_year, std::clamp(r.years, 0.0, 1.0));
    return there * (course.stays * normal(change, doubt) + course.grows * even(change, 0.0, largest_change, doubt) + course.shrinks * even(change, -largest_change, 0.0, doubt) +
                    in_any_way * even(change, -largest_change, largest_change, doubt));
}

}  // namespace

double likelihood_of_growth(const Reading& reading, MaterialClass material) {
    constexpr Course silicone{0.97, 0.0, 0.0}, hydrogel{0.47, 0.48, 0.0};
    return density(reading, material == MaterialClass::hydrogel ? hydrogel : silicone);
}

double likelihood_of_growth(const Reading& reading, const Imitation& what) {
    // Muscle and gland stay, growths grow; pus is treated or breaks through long before a year is out (common practice, no source).
    constexpr Course tissue{0.70, 0.17, 0.05, 0.8}, pus{0.20, 0.30, 0.40, 0.05}, collection{0.50, 0.20, 0.20, 0.7}, dead{0.97, 0.0, 0.0}, anything{0.30, 0.25, 0.25, 0.5};
    switch (what.kind) {
        case LookAlike::soft_tissue: return density(reading, tissue);
        case LookAlike::fluid: return density(reading, is_collection(what) ? collection : pus);
        case LookAlike::airy:
        case LookAlike::dense: return density(reading, dead);
        case LookAlike::unknown: break;
    }
    return density(reading, anything);
}

}  // namespace perisclera
