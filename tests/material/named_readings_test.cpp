// SPDX-License-Identifier: Apache-2.0
// Further rows of the sign table (common practice, no source).
#include <algorithm>
#include <numeric>
#include <vector>

#include <gtest/gtest.h>

#include "perisclera/material/material_opinion.h"

namespace perisclera {

namespace {

using K = EvidenceKind;
Reading r(K k, double v, double u) { return {k, 0, v, u, 120.0}; }
void sums_to_one(const MaterialOpinion& o) {
    EXPECT_NEAR(std::accumulate(o.probability.begin(), o.probability.end(), 0.0), 1.0, 1e-12);
}

}  // namespace

// Common practice, no source. CT 30 HU, T2 ratio 0.9, T1 ratio 1.3, 5 mm.
TEST(NamedReadings, hydrogel) {
    const auto o = judge_material({r(K::ct_number, 30, 8), r(K::t2_ratio, 0.9, 0.08), r(K::t1_ratio, 1.3, 0.15), r(K::section_thickness, 5, 0.4)});
    sums_to_one(o);
    EXPECT_EQ(o.label, MaterialClass::hydrogel);
}

TEST(NamedReadings, sponge_and_solid) {
    const auto s = judge_material({r(K::ct_number, -550, 20), r(K::section_thickness, 4, 0.3)});
    sums_to_one(s);
    EXPECT_EQ(s.label, MaterialClass::silicone_sponge);
    const auto t = judge_material({r(K::ct_number, 200, 12)});
    sums_to_one(t);
    EXPECT_EQ(t.label, MaterialClass::solid_silicone);
}

TEST(NamedReadings, dark_on_mr) {
    const auto o = judge_material({r(K::t1_ratio, 0.06, 0.08), r(K::t2_ratio, 0.05, 0.08)});
    sums_to_one(o);
    EXPECT_FALSE(o.label);
    auto c = o.candidates;
    std::sort(c.begin(), c.end());
    EXPECT_EQ(c, (std::vector{MaterialClass::solid_silicone, MaterialClass::silicone_sponge}));
    EXPECT_EQ(o.next, NextStep::ct);
}
// Hydrogel as sold and a lightly filled silicone both read 149 HU.
TEST(NamedReadings, firm_hydrogel_of_one_and_a_half_to_two_mm) {
    for (const double thick : {1.5, 1.75, 2.0})
        for (const double u : {4.0, 10.0, 20.0}) {
            const auto o = judge_material({r(K::ct_number, 149, u), r(K::section_thickness, thick, 0.2)});
            sums_to_one(o);
            EXPECT_FALSE(o.label) << thick << ' ' << u;
            for (auto m : {MaterialClass::solid_silicone, MaterialClass::hydrogel}) EXPECT_NE(std::find(o.candidates.begin(), o.candidates.end(), m), o.candidates.end());
        }
}

}  // namespace perisclera
