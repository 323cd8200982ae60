// SPDX-License-Identifier: Apache-2.0
// Bone does not give way and skin only so far: a scenario that asks for it is refused, naming the element. Soft tissue is displaced, none of it lost.
#include "phantoms/element_fit.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "perisclera/dicom/output_folder.h"
#include "phantoms/synthesise.h"

namespace perisclera::phantoms {
namespace {

Scenario scenario_with(const std::string& elements, const std::string& rest = "") {
    const auto scenario = parse_scenario(R"({"seed": 1, "patient": {"id": "A", "birth_year": 1950}, "eyes": {"right": {"elements": [)" + elements +
                                         "]}}" + rest + R"(, "timepoints": [{"study_date": "2010-01-31", "series": [{"kind": "ct"}]}]})");
    EXPECT_TRUE(scenario) << scenario.error().what;
    return scenario.value();
}

void expect_refused(const std::string& elements, const std::string& path, const std::string& why) {
    const auto fits = elements_fit(scenario_with(elements));
    ASSERT_FALSE(fits) << elements;
    EXPECT_EQ(fits.error().code, ErrorCode::bad_scenario);
    EXPECT_NE(fits.error().what.find(path), std::string::npos) << fits.error().what;
    EXPECT_NE(fits.error().what.find(why), std::string::npos) << fits.error().what;
}

const std::string band =
    R"({"material": "solid_silicone", "form": "encircling", "limbus_mm": 12, "width_mm": 2.5, "thickness_mm": 0.75, "indentation_mm": 0.5})";

TEST(ElementFit, usual_elements_have_room) {
    EXPECT_TRUE(elements_fit(scenario_with(band)));
    for (int seed = 0; seed < 8; ++seed)
        EXPECT_TRUE(elements_fit(scenario_with(band, R"(, "anatomy": {"seed": )" + std::to_string(seed) + "}"))) << seed;
    for (const auto& file : std::filesystem::directory_iterator(std::string(PERISCLERA_SOURCE_DIR) + "/phantoms/scenarios")) {
        std::stringstream text;
        text << std::ifstream(file.path()).rdbuf();
        const auto fits = elements_fit(parse_scenario(text.str()).value());
        EXPECT_TRUE(fits) << file.path();
    }
}

TEST(ElementFit, an_element_within_bone_or_beyond_the_skin_is_refused_by_its_name) {
    // 14 mm of hydrogel all round: the orbit's walls lie 5 to 10 mm from the globe.
    expect_refused(
        band + R"(, {"material": "hydrogel", "form": "encircling", "limbus_mm": 12, "width_mm": 8, "thickness_mm": 14, "water_fraction": 0.9})",
        "\"timepoints[0].eyes.right.elements[1]\"", "within bone");
    // Just behind the limbus, below, lids are a few millimetres thick.
    expect_refused(
        R"({"material": "hydrogel", "form": "segmental", "from_hour": 5, "to_hour": 7, "limbus_mm": 4, "width_mm": 6, "thickness_mm": 10, "water_fraction": 0.9})",
        "\"timepoints[0].eyes.right.elements[0]\"", "beyond the skin");
}

// A globe is a sphere to 115 degrees from its axis only (globe_shape.h), and an element's volume refers to the sphere.
TEST(ElementFit, an_element_on_the_drawn_out_back_of_a_myopic_eye_is_refused) {
    const std::string far_back = R"({"material": "solid_silicone", "form": "segmental", "from_hour": 7, "to_hour": 8, "limbus_mm": 19, "width_mm": 6, "thickness_mm": 1})";
    EXPECT_FALSE(elements_fit(scenario_with(far_back, R"(, "anatomy": {"seed": 1, "right": "myopic"})")));
    EXPECT_TRUE(elements_fit(scenario_with(far_back))) << "the fixed globe is a sphere all round";
}

TEST(ElementFit, nothing_is_synthesised_for_a_refused_scenario) {
    const std::filesystem::path folder = std::filesystem::temp_directory_path() / ("perisclera-element-fit-" + std::to_string(::getpid()));
    {
        auto out = OutputFolder::open(folder, false);
        ASSERT_TRUE(out);
        const std::string mass =
            R"({"material": "hydrogel", "form": "encircling", "limbus_mm": 12, "width_mm": 8, "thickness_mm": 14, "water_fraction": 0.9})";
        const auto made = synthesise(scenario_with(mass), out.value(), {}, 1);
        ASSERT_FALSE(made);
        EXPECT_EQ(exit_status(made.error().code), 2);
    }
    EXPECT_FALSE(std::filesystem::exists(folder));
}

/// Labels along a ray from `from` outwards, each run as one, with its length.
std::vector<std::pair<Label, double>> runs(const HeadModel& head, Eye eye, EyeVector n, double from, double to) {
    std::vector<std::pair<Label, double>> found;
    constexpr double step = 0.005;
    for (double r = from; r < to; r += step) {
        const Label l = head.label_at(head.placement(eye).to_head(EyePoint{0, 0, 0} + n * r));
        if (found.empty() || found.back().first != l) found.push_back({l, 0.0});
        found.back().second += step;
    }
    return found;
}

TEST(ElementFit, soft_tissue_is_displaced_and_none_of_it_lost) {
    const std::string tire =
        R"({"material": "solid_silicone", "form": "encircling", "limbus_mm": 11, "width_mm": 6, "thickness_mm": 2.5, "indentation_mm": 1.0})";
    int rays = 0, with_muscle = 0;
    for (int seed = 0; seed < 8; ++seed) {
        const std::string anatomy = R"(, "anatomy": {"seed": )" + std::to_string(seed) + "}";
        const HeadModel before(scenario_with("", anatomy).timepoints[0].eyes, {}), after(scenario_with(tire, anatomy).timepoints[0].eyes, {});
        const GlobeShape& shape = before.eye(Eye::right).shape();
        for (double clock = 0.05; clock < 6.2; clock += 0.2) {
            const double polar = shape.polar_angle(11.0);
            const EyeVector n{std::sin(polar) * std::sin(clock), std::sin(polar) * std::cos(clock), std::cos(polar)};
            // Beyond this height nothing moves: 6 mm and twice the 1.5 mm that the tire stands out.
            const auto old = runs(before, Eye::right, n, shape.radius - 3.0, shape.radius + 9.2),
                       now = runs(after, Eye::right, n, shape.radius - 3.0, shape.radius + 9.2);
            // Bone does not move, so that only rays that stay in soft tissue are alike.
            bool soft = true;
            for (const auto& run : old)
                soft = soft && run.first != label(Tissue::cortical_bone) && run.first != label(Tissue::air) && run.first != label(Tissue::mucosa);
            if (!soft) continue;
            std::vector<Label> old_order, new_order;
            double old_sclera = 0.0, new_sclera = 0.0;
            for (const auto& [l, length] : old) {
                if (length < 0.03) continue;  // a tangent run may vanish in the sampling
                old_order.push_back(l);
                old_sclera += l == label(Tissue::sclera) ? length : 0.0;
                with_muscle += l == label(Tissue::muscle) ? 1 : 0;
            }
            for (const auto& [l, length] : now) {
                new_sclera += l == label(Tissue::sclera) ? length : 0.0;
                if (l != static_cast<Label>(tissue_count) && length >= 0.02) new_order.push_back(l);
            }
            ++rays;
            EXPECT_NEAR(new_sclera, old_sclera, 0.011) << seed << " " << clock;
            EXPECT_EQ(new_order, old_order) << seed << " " << clock;
        }
    }
    EXPECT_GT(rays, 40);
    EXPECT_GT(with_muscle, 20);
}

}  // namespace
}  // namespace perisclera::phantoms
