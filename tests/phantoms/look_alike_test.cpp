// SPDX-License-Identifier: Apache-2.0
// Look-alikes of explants: where they lie and how much of them there is. Expected: closed forms worked out here, anatomy, published sizes. Row numbers
// are those of the project's table of reference values.
#include "phantoms/look_alike_truth.h"

#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "phantoms/ct_artefact.h"
#include "phantoms/drawn_anatomy.h"
#include "phantoms/rectus_clock.h"

namespace perisclera::phantoms {
namespace {

constexpr double R = 11.7;
const std::array<std::array<double, 2>, 2> straight{};

/// As a scenario reads it, with the usual sizes.
LookAlike stated(const std::string& json) {
    Problem problem;
    const auto parsed = parse_json("{\"l\": [" + json + "]}");
    EXPECT_TRUE(parsed);
    CheckedObject o(parsed.value(), "", problem);
    const auto list = read_look_alikes(o.list("l", true), "l", problem);
    EXPECT_FALSE(problem.first) << problem.first->what;
    return list.at(0);
}

EyeState eye_with(std::vector<LookAlike> look_alikes) {
    EyeState state{R, GlobeShape::sphere(R).axial_length(), Contents::vitreous, Lens::natural, {0, 0, 0}, {}};
    state.look_alikes = std::move(look_alikes);
    return state;
}

std::array<EyeState, 2> both(const std::string& json) {
    const LookAlike l = stated(json);
    return {eye_with({l}), eye_with({l})};
}

/// Points of a cube about the globe's centre and what lies there; returns the volume of one.
template <class F>
double look_around(const HeadModel& head, Eye eye, double half_side, double step, const F& found) {
    for (double x = -half_side; x <= half_side; x += step)
        for (double y = -half_side; y <= half_side; y += step)
            for (double z = -half_side; z <= half_side; z += step) {
                const HeadPoint p = head.placement(eye).centre + HeadVector{x, y, z};
                found(p, head.label_at(p));
            }
    return step * step * step;
}

EyeVector direction(const GlobeShape& globe, double hour, double arc) {
    const double polar = globe.polar_angle(arc), clock = hour * pi / 6.0;
    return {std::sin(polar) * std::sin(clock), std::sin(polar) * std::cos(clock), std::cos(polar)};
}

// Row 2.21: just in front of the insertions of the horizontal recti, about 2 by 6 mm; thickness common practice, no source.
TEST(LookAlike, a_calcified_plaque_lies_between_limbus_and_insertion_and_leaves_the_cavity_alone) {
    for (const bool lateral : {false, true})
        for (std::uint64_t seed = 0; seed < 6; ++seed) {
            std::array<EyeState, 2> eyes = drawn_eyes({seed, "O", {}});
            const LookAlike plaque = stated(std::string(R"({"kind": "scleral_plaque", "muscle": ")") + (lateral ? "lateral" : "medial") + "\"}");
            for (EyeState& state : eyes) state.look_alikes = {plaque};
            for (const Eye eye : both_eyes) {
                const EyeState& state = eyes[index_of(eye)];
                const Rectus muscle = lateral ? Rectus::lateral : Rectus::medial;
                const EyeModel model(eye, state, 100);
                double first = 99.0, last = 0.0, thickest = 0.0;
                for (double arc = 0.0; arc < 12.0; arc += 0.05) {
                    double thickness = 0.0;
                    bool cavity = false;
                    for (double r = model.shape().radius - 2.0; r < model.shape().radius + 2.0; r += 0.01) {
                        const auto found = model.label_at(EyePoint{0, 0, 0} + direction(model.shape(), rectus_clock_hour(eye, muscle), arc) * r);
                        if (found == label(Tissue::plaque)) {
                            EXPECT_FALSE(cavity) << "the uvea lies beneath";
                            thickness += 0.01, first = std::min(first, arc), last = std::max(last, arc);
                        }
                        cavity = found == label(Tissue::vitreous) || found == label(Tissue::aqueous);
                    }
                    thickest = std::max(thickest, thickness);
                }
                EXPECT_GT(first, 0.5) << seed;
                EXPECT_LT(last, state.anatomy.rectus(muscle).insertion_mm) << seed;
                EXPECT_NEAR(last - first, 2.0, 0.15);
                EXPECT_NEAR(thickest, 1.0, 0.05);
            }
        }
}

// Row 2.12: upper temporal, on the sclera, fluid over it. The plate is a block between two spheres, two cones and two half planes.
TEST(LookAlike, a_drainage_plate_lies_upper_temporal_with_fluid_over_it) {
    const auto eyes = both(R"({"kind": "drainage_device", "limbus_mm": 13, "size_mm": [14, 12, 1.2], "bleb_mm": 2.5})");
    const HeadModel head(eyes, straight);
    for (const Eye eye : both_eyes) {
        double plate = 0.0, fluid = 0.0;
        const double box = look_around(head, eye, 18.0, 0.15, [&](HeadPoint p, Label found) {
            const EyePoint local = head.placement(eye).to_eye(p);
            const double r = length(local - EyePoint{0, 0, 0});
            const bool over_the_wall = r > R + 0.02;
            if (found == label(Tissue::loaded_silicone)) {
                ++plate;
                EXPECT_GT(r, R - 1e-6);
                EXPECT_GT(local.x * temporal_sign(eye), 0.0);
                EXPECT_GT(local.y, 0.0);
                EXPECT_FALSE(head.within_bone(p));
            }
            fluid += over_the_wall && local.z < 9.5 && found == label(Tissue::aqueous);
        });
        const GlobeShape globe = GlobeShape::sphere(R);
        const double clock = 14.0 / (R * std::sin(globe.polar_angle(13.0)));
        const double block = clock * (std::cos(globe.polar_angle(7.0)) - std::cos(globe.polar_angle(19.0))) * (std::pow(R + 1.2, 3) - std::pow(R, 3)) / 3.0;
        const auto truth = look_alike_truths(eyes, eye).at(0);
        EXPECT_NEAR(truth.volume_mm3, block, 0.002 * block);
        EXPECT_NEAR(plate * box, block, 0.02 * block);
        EXPECT_NEAR(fluid * box, truth.fluid_mm3, 0.02 * truth.fluid_mm3);
        // Row 2.13: blebs of 563 mm3, standard deviation 390.
        EXPECT_NEAR(truth.fluid_mm3, 563.0, 390.0);
    }
}

TEST(LookAlike, leaked_oil_lies_outside_the_wall_with_the_volume_stated) {
    const auto eyes = both(R"({"kind": "oil_pocket", "hour": 1.5, "limbus_mm": 10, "size_mm": [8, 5, 2.5]})");
    const HeadModel head(eyes, straight);
    double points = 0.0;
    const double box = look_around(head, Eye::right, 16.0, 0.125, [&](HeadPoint p, Label found) {
        if (found != label(Tissue::silicone_oil)) return;
        ++points;
        EXPECT_GT(length(p - head.placement(Eye::right).centre), R - 1e-6);
    });
    // At the share v of its length the section is an ellipse of t = sqrt(1 - v^2) of the full width and thickness T, standing on the sphere. A part at the
    // height h is larger by (1 + h / R)^2, of mean (1 + T t / 2R)^2 + (T t / 2R)^2 / 4 over the section; sections weigh by t^2, and the means of t^3 and t^4
    // over that of t^2 are 9 pi / 32 and 4 / 5. Off the middle line arcs along it shorten by the square of their angle over 2, of mean (W / 2R)^2 / 4 * 4 / 5.
    const double T = 2.5 / 2.0 / R, W = 5.0 / 2.0 / R;
    const double bent = pi / 6.0 * 8.0 * 5.0 * 2.5 * (1.0 + 2.0 * T * 9.0 * pi / 32.0 + 1.25 * T * T * 0.8 - W * W * 0.1);
    const double stated_volume = look_alike_truths(eyes, Eye::right).at(0).volume_mm3;
    EXPECT_NEAR(stated_volume, bent, 0.003 * bent);
    EXPECT_NEAR(points * box, stated_volume, 0.01 * stated_volume);
}

// Row 2.16: sizes of plates.
TEST(LookAlike, a_fracture_plate_lies_on_its_wall_outside_globe_and_bone) {
    for (const std::string wall : {"floor", "medial"}) {
        const auto eyes = both(R"({"kind": "fracture_plate", "material": "polyethylene", "wall": ")" + wall + R"("})");
        const HeadModel head(eyes, {{{15.0, 10.0}, {-15.0, 10.0}}});
        for (const Eye eye : both_eyes) {
            int points = 0;
            look_around(head, eye, 32.0, 0.5, [&](HeadPoint p, Label found) {
                if (found != label(Tissue::polyethylene) || (p.x < 0.0) != (eye == Eye::right)) return;
                ++points;
                EXPECT_FALSE(head.within_bone(p));
                EXPECT_GT(length(p - head.placement(eye).centre), R);
                EXPECT_GT(head.depth_below_resting_skin(p), 1.6);
                if (wall == "floor")
                    EXPECT_LT(p.z, -3.0);
                else
                    EXPECT_LT(std::abs(p.x), 24.0);
            });
            EXPECT_GT(points, 1000);
        }
        const double sheet = wall == "floor" ? 22.3 * 27.9 : 13.6 * 22.0;
        const double volume = look_alike_truths(eyes, Eye::right).at(0).volume_mm3;
        // The walls are bent: their own arc is longer than the arc about the orbit's axis that the width counts, by as much as an ellipse of 17 by 14 departs
        // from a circle.
        EXPECT_NEAR(volume, sheet, 0.2 * sheet) << wall;
        // Holes of 2.6 mm in a lattice of 4 mm, of which this plate holds three by five.
        const std::string whole = R"(, "size_mm": [12, 20, 1]})";
        const auto holding = [&](const std::string& material) {
            return look_alike_truths(both(R"({"kind": "fracture_plate", "material": ")" + material + R"(", "wall": ")" + wall + "\"" + whole), Eye::right).at(0).volume_mm3;
        };
        EXPECT_NEAR(holding("titanium_mesh") / holding("titanium"), 1.0 - pi * 1.3 * 1.3 / 16.0, 0.01) << wall;
    }
}

// Row 2.33: 0.6 to 1.8 g of gold in the upper lid, in front of the tarsus. A plate between two spheres, two cones and two half planes.
TEST(LookAlike, a_weight_of_gold_lies_in_the_upper_lid_and_weighs_what_weights_do) {
    const auto eyes = both(R"({"kind": "eyelid_weight"})");
    const HeadModel head(eyes, straight);
    for (const Eye eye : both_eyes) {
        double points = 0.0;
        const double box = look_around(head, eye, 18.0, 0.125, [&](HeadPoint p, Label found) {
            if (found != label(Tissue::gold)) return;
            ++points;
            EXPECT_GT(p.z, 0.0);
            EXPECT_GT(head.depth_below_resting_skin(p), 1.6) << "beneath the skin";
            EXPECT_GT(length(p - head.placement(eye).centre), R) << "in front of the globe";
        });
        EXPECT_NEAR(points * box, 12.0 * 5.0 * 1.0, 0.03 * 60.0);
        EXPECT_GT(points * box * 19.3e-3, 0.6);
        EXPECT_LT(points * box * 19.3e-3, 1.8);
    }
    Series series{};
    EXPECT_TRUE(CtArtefact::needed(series, head)) << "metal streaks";
    EXPECT_FALSE(CtArtefact::needed(series, HeadModel(both(R"({"kind": "fracture_plate", "material": "polyethylene"})"), straight)));
    EXPECT_TRUE(CtArtefact::needed(series, HeadModel(both(R"({"kind": "fracture_plate", "material": "titanium"})"), straight)));
}

TEST(LookAlike, without_a_globe_nothing_of_one_is_left) {
    for (const std::string json : {R"({"kind": "orbital_sphere", "material": "acrylic", "diameter_mm": 18})", R"({"kind": "empty_socket"})"}) {
        const HeadModel head(both(json), straight);
        double acrylic = 0.0;
        const double box = look_around(head, Eye::left, 16.0, 0.2, [&](HeadPoint p, Label found) {
            for (const Tissue part : {Tissue::sclera, Tissue::cornea, Tissue::uvea, Tissue::aqueous, Tissue::vitreous, Tissue::lens}) EXPECT_NE(found, label(part));
            acrylic += found == label(Tissue::acrylic) && length(p - head.placement(Eye::left).centre) < 10.55;  // the prosthesis lies in front of that
        });
        if (json.find("sphere") != std::string::npos)
            EXPECT_NEAR(acrylic * box, pi / 6.0 * std::pow(18.0, 3), 0.01 * 3054.0);
        else
            EXPECT_EQ(acrylic, 0.0);
    }
}

TEST(LookAlike, a_splinter_stays_in_the_orbit_when_the_eye_turns) {
    const auto eyes = both(R"({"kind": "wood_splinter", "hour": 6, "limbus_mm": 14, "length_mm": 12, "diameter_mm": 3, "gap_mm": 1})");
    const HeadModel ahead(eyes, straight), aside(eyes, {{{20.0, 10.0}, {20.0, 10.0}}});
    double points = 0.0, nearest = 99.0;
    const double box = look_around(ahead, Eye::right, 20.0, 0.2, [&](HeadPoint p, Label found) {
        EXPECT_EQ(found == label(Tissue::wood), aside.label_at(p) == label(Tissue::wood));
        if (found == label(Tissue::wood)) ++points, nearest = std::min(nearest, length(p - ahead.placement(Eye::right).centre));
    });
    const double rod = pi * 1.5 * 1.5 * 9.0 + pi / 6.0 * 27.0;
    EXPECT_NEAR(points * box, rod, 0.02 * rod);
    EXPECT_NEAR(nearest, R + 1.0, 0.2);
}

TEST(LookAlike, thickened_muscles_spare_their_tendons_and_a_gland_grows) {
    const HeadModel usual({eye_with({}), eye_with({})}, straight), thick(both(R"({"kind": "thickened_muscles", "factor": 1.25})"), straight);
    /// Thickness of the medial rectus along x at a depth behind the globe's centre.
    const auto thickness = [](const HeadModel& head, double y, double beside) {
        double sum = 0.0;
        for (double x = beside; x < 20.0; x += 0.02) sum += 0.02 * (head.label_at({-31.0 + x, y, 0.0}) == label(Tissue::muscle));
        return sum;
    };
    EXPECT_NEAR(thickness(thick, -6.5, 5.0), thickness(usual, -6.5, 5.0), 0.2) << "at the insertion";
    EXPECT_NEAR(thickness(thick, 13.0, 2.0), 1.25 * thickness(usual, 13.0, 2.0), 0.1) << "at the belly";
    const auto truth = look_alike_truths(both(R"({"kind": "enlarged_gland", "factor": 1.4})"), Eye::right).at(0);
    EXPECT_GT(truth.volume_mm3, 100.0);
}

TEST(LookAlike, none_takes_an_elements_place) {
    Element band{};
    band.material = Material::hydrogel;
    band.form = Form::encircling;
    band.section = Section::rectangle;
    band.to_hour = 12.0;
    band.limbus_mm = 12.0, band.width_mm = 6.0, band.thickness_mm = 3.5, band.water_fraction = 0.9;
    EyeState with = eye_with({stated(R"({"kind": "fracture_plate", "material": "titanium", "size_mm": [22, 27, 3]})"),
                              stated(R"({"kind": "abscess", "size_mm": [20, 24, 6]})"), stated(R"({"kind": "eyelid_weight"})"), stated(R"({"kind": "scleral_plaque", "muscle": "medial"})")});
    EyeState without = eye_with({});
    with.elements = without.elements = {band};
    const HeadModel head({with, with}, straight), before({without, without}, straight);
    const auto of_element = [](Label l) { return l >= static_cast<Label>(tissue_count); };
    int points = 0;
    look_around(head, Eye::right, 18.0, 0.4, [&](HeadPoint p, Label found) {
        EXPECT_EQ(of_element(found), of_element(before.label_at(p)));
        points += of_element(found);
    });
    EXPECT_GT(points, 1000);
}

// Lens of pus on the wall, gas in its upper part as the patient lies: a share of its volume.
TEST(LookAlike, gas_in_an_abscess_lies_uppermost_and_has_its_share) {
    const auto eyes = both(R"({"kind": "abscess", "gas_share": 0.25})");
    const auto truth = look_alike_truths(eyes, Eye::left).at(0);
    EXPECT_NEAR(truth.gas_mm3 / truth.volume_mm3, 0.25, 0.01);
    // Half the paraboloid over an ellipse of 12 by 18 mm, 4 mm high: half base times height. The wall is bent: see the plate.
    const double paraboloid = pi / 4.0 * 12.0 * 18.0 * 4.0 / 2.0;
    EXPECT_NEAR(truth.volume_mm3, paraboloid, 0.2 * paraboloid);
    const HeadModel head(eyes, straight);
    double lowest_gas = -99.0, highest_pus = 99.0;
    look_around(head, Eye::left, 24.0, 0.5, [&](HeadPoint p, Label found) {
        const bool within = p.x > 0.0 && head.orbit_look_alikes(Eye::left).at(0).contains(p);
        if (within && found == label(Tissue::air)) lowest_gas = std::max(lowest_gas, p.y);
        if (within && found == label(Tissue::pus)) highest_pus = std::min(highest_pus, p.y);
    });
    EXPECT_LT(lowest_gas, highest_pus + 1e-9);
}

}  // namespace
}  // namespace perisclera::phantoms
