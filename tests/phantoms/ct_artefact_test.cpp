// SPDX-License-Identifier: Apache-2.0
// Bone and metal in the whole head. Expected: what ct_hardening_test holds to published signs, in the right place of the head, as it lies; and the
// scale's ends as scanners store them.
#include "phantoms/ct_artefact.h"

#include <gtest/gtest.h>

#include <cmath>
#include <string>

namespace perisclera::phantoms {
namespace {

struct Scanned {
    VoxelGrid grid;
    PatientPoint right, left;
};

Scanned scan(const std::string& elements, const std::string& series_keys, unsigned threads = 2) {
    const auto scenario = parse_scenario(R"({"seed": 4, "texture": 0, "patient": {"id": "T", "birth_year": 1950}, "eyes": {"right": {"globe_radius_mm": 12, "elements": [)" +
                                         elements + R"(]}}, "timepoints": [{"study_date": "2010-01-31", "series": [{"kind": "ct", "noise": 0, )" + series_keys + "}]}]}");
    EXPECT_TRUE(scenario) << (scenario ? "" : scenario.error().what);
    const Timepoint& t = scenario.value().timepoints.at(0);
    const Series& series = t.series.at(0);
    const HeadModel head(t.eyes, series.gaze_deg);
    const HeadPose pose(series);
    const Appearance shown = appearance(series, t.eyes);
    const auto geometry = series_geometry(series, pose);
    EXPECT_TRUE(geometry);
    return {acquire({series, head, pose, shown, 0.0, 9, 9}, geometry.value(), threads), pose.to_patient(head.placement(Eye::right).centre),
            pose.to_patient(head.placement(Eye::left).centre)};
}

double difference(const Scanned& a, const Scanned& b, PatientPoint p) { return static_cast<double>(a.grid.sample(p)) - static_cast<double>(b.grid.sample(p)); }

const std::string slab = R"("spacing_mm": 1.0, "slice_thickness_mm": 2, "field_mm": [130, 70, 20], "pose_deg": [4, -3, 6])";
const std::string clip = R"("form": "segmental", "section": "rectangle", "from_hour": 8.7, "to_hour": 9.3, "limbus_mm": 12, "width_mm": 2, "thickness_mm": 1.2)";

// A calibration on water leaves errors of some tens of HU in a head (common practice, no source), the more the less of them is corrected.
TEST(CtArtefact, bone_shifts_the_orbits_by_as_much_as_is_left_uncorrected) {
    const Scanned without = scan("", slab), half = scan("", slab + R"(, "beam_hardening": 0.5)"), whole = scan("", slab + R"(, "beam_hardening": 1)");
    bool any = false;
    for (const PatientPoint eye : {without.right, without.left})
        for (const double y : {-5.0, 0.0, 5.0, 20.0}) {
            const PatientPoint p = eye + PatientVector{0, y, 0};
            EXPECT_LT(std::abs(difference(whole, without, p)), 80.0);
            EXPECT_NEAR(difference(half, without, p), 0.5 * difference(whole, without, p), 0.1);
            any = any || std::abs(difference(whole, without, p)) > 1.0;
        }
    EXPECT_TRUE(any);
}

TEST(CtArtefact, metal_streaks_start_at_the_metal_and_spare_slices_without_it) {
    const Scanned without = scan("", slab);
    for (const std::string metal : {"titanium", "tantalum"}) {
        const Scanned with = scan(R"({"material": ")" + metal + R"(", )" + clip + "}", slab);
        const PatientPoint at_clip = with.right + unit(with.right - with.left) * 12.6;
        EXPECT_GT(static_cast<double>(with.grid.sample(at_clip)), 3071.0) << metal;
        double near = 0.0, far = 0.0;
        for (int step = 0; step < 24; ++step) {
            const double angle = step * std::acos(-1.0) / 12.0;
            const PatientVector direction{std::cos(angle), std::sin(angle), 0};
            // In the vitreous, which the metal's own shape does not reach.
            near += std::abs(difference(with, without, with.right + direction * 5.0));
            far += std::abs(difference(with, without, with.right + direction * 5.0 + PatientVector{0, 0, 5.0}));
        }
        EXPECT_LT(far, 1.0 + 0.2 * near) << metal;
        EXPECT_GT(near / 24.0, metal == "tantalum" ? 20.0 : 0.5) << metal;
    }
}

TEST(CtArtefact, the_result_does_not_depend_on_the_number_of_threads) {
    const std::string keys = slab + R"(, "beam_hardening": 1)", metal = R"({"material": "titanium", )" + clip + "}";
    EXPECT_EQ(scan(metal, keys, 1).grid.values(), scan(metal, keys, 3).grid.values());
}

}  // namespace
}  // namespace perisclera::phantoms
