// SPDX-License-Identifier: Apache-2.0
// The outside truth: two published findings on position and movement (rows 8.05 and 10.13 of the reference values: Retina 2012;32:1514-1524, doi
// 10.1097/IAE.0b013e318240a4fe; Leibovitch I et al., Br J Ophthalmol 2005;89:640), anatomy, and what forced duction and force generation tell
// (common practice, no source).
#include "perisclera/report/mechanisms.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "perisclera/report/json.h"
#include "perisclera/report/render_report.h"
#include "tests/report/example_report.h"
#include "tests/report/outside_check.h"

namespace perisclera::report {
namespace {

/// One visit in which the left eye holds one hydrogel from `from` to `to` o'clock.
ReportModel left_hydrogel(double from, double to) {
    ReportModel m = example::minimal();
    ElementEntry e = example::hydrogel("2.25.1", 1.0);
    e.id = "L1";
    e.from = example::between<ClockHours>(from - 0.3, from, from + 0.3);
    e.to = example::between<ClockHours>(to - 0.3, to, to + 0.3);
    const double extent = ClockPosition(from).clockwise_to(ClockPosition(to)).value();
    e.span = example::between<ClockHours>(extent, extent, extent);
    m.timepoints[0].left.globe.status = GlobeStatus::found;
    m.timepoints[0].left.explant.presence = Presence::present;
    m.timepoints[0].left.elements = {e};
    return m;
}

MovementFinding finding_of(MovementRange range, std::optional<ForcedDuction> forced = std::nullopt, std::optional<ForceGeneration> force = std::nullopt) { return {range, forced, force}; }
void tell(ReportModel& m, Eye eye, Movement movement, MovementFinding found) {
    if (!m.examination) m.examination.emplace();
    m.examination->eye(eye).movements[static_cast<std::size_t>(movement)] = found;
}
Fit fit(const ReportModel& m, Mechanism mechanism) {
    const MechanismsToSeparate all = mechanisms(m);
    for (const MechanismEntry& e : all.elements.at(0).entries)
        if (e.mechanism == mechanism) return e.fit.value();
    throw std::out_of_range("no such mechanism");
}

constexpr auto limited = MovementRange::limited, full = MovementRange::full;

// Row 10.13: swelling of an inferior hydrogel, marked restriction of elevation and reduced adduction.
TEST(Mechanisms, published_inferior_hydrogel_with_limited_elevation_and_adduction_is_explained_and_not_contradicted) {
    ReportModel m = left_hydrogel(5.0, 7.0);
    tell(m, Eye::left, Movement::elevation, finding_of(limited));
    tell(m, Eye::left, Movement::adduction, finding_of(limited));
    for (const Mechanism fits : {Mechanism::mass_blocks_rotation, Mechanism::muscle_stretched_or_adherent, Mechanism::muscle_bound_by_capsule}) EXPECT_EQ(fit(m, fits), Fit::fits) << name(fits);
    EXPECT_EQ(fit(m, Mechanism::globe_displaced), Fit::does_not_fit);
    EXPECT_TRUE(mechanisms(m).unexplained.empty());
}

TEST(Mechanisms, forced_duction_and_force_generation_separate_what_a_limited_movement_leaves_open) {
    ReportModel held = left_hydrogel(5.0, 7.0), weak = held, neither = held;
    tell(held, Eye::left, Movement::elevation, finding_of(limited, ForcedDuction::restricted, ForceGeneration::normal));
    EXPECT_EQ(fit(held, Mechanism::mass_blocks_rotation), Fit::fits);
    EXPECT_EQ(fit(held, Mechanism::muscle_stretched_or_adherent), Fit::fits);
    EXPECT_EQ(fit(held, Mechanism::muscle_cut_or_slipped), Fit::does_not_fit);
    tell(weak, Eye::left, Movement::depression, finding_of(limited, ForcedDuction::free, ForceGeneration::reduced));
    EXPECT_EQ(fit(weak, Mechanism::mass_blocks_rotation), Fit::does_not_fit);
    EXPECT_EQ(fit(weak, Mechanism::muscle_stretched_or_adherent), Fit::does_not_fit);
    EXPECT_EQ(fit(weak, Mechanism::muscle_bound_by_capsule), Fit::fits);
    EXPECT_EQ(fit(weak, Mechanism::muscle_cut_or_slipped), Fit::fits);
    tell(neither, Eye::left, Movement::elevation, finding_of(limited, ForcedDuction::free, ForceGeneration::normal));
    for (const Mechanism mechanism : all_mechanisms) EXPECT_NE(fit(neither, mechanism), Fit::fits) << name(mechanism);
    ASSERT_EQ(mechanisms(neither).unexplained.size(), 1U);
    EXPECT_NE(mechanisms(neither).unexplained[0].find("left eye's elevation (limited, forced duction free, force generation normal)"), std::string::npos);
}

TEST(Mechanisms, what_was_not_told_speaks_neither_for_nor_against) {
    ReportModel m = left_hydrogel(5.0, 7.0);
    m.examination.emplace();
    for (const Mechanism mechanism : all_mechanisms) EXPECT_EQ(fit(m, mechanism), Fit::not_told) << name(mechanism);
    EXPECT_TRUE(mechanisms(m).unexplained.empty());
}

TEST(Mechanisms, a_muscle_far_from_the_element_is_not_bound_by_it) {
    ReportModel m = left_hydrogel(11.5, 0.5);
    tell(m, Eye::left, Movement::abduction, finding_of(limited, ForcedDuction::restricted));
    EXPECT_EQ(fit(m, Mechanism::muscle_stretched_or_adherent), Fit::does_not_fit);
    EXPECT_EQ(fit(m, Mechanism::muscle_bound_by_capsule), Fit::does_not_fit);
    EXPECT_EQ(fit(m, Mechanism::mass_blocks_rotation), Fit::fits);
}

TEST(Mechanisms, misaligned_eyes_that_move_fully_fit_a_displaced_globe_and_torsion_an_oblique_muscle) {
    ReportModel m = left_hydrogel(5.0, 7.0);
    for (const Movement movement : all_movements) tell(m, Eye::left, movement, finding_of(full));
    m.examination->symptoms = {Symptom::double_vision, Symptom::pain};
    EXPECT_EQ(fit(m, Mechanism::globe_displaced), Fit::fits);
    EXPECT_EQ(fit(m, Mechanism::mass_blocks_rotation), Fit::does_not_fit);
    EXPECT_EQ(fit(m, Mechanism::oblique_trapped), Fit::does_not_fit);
    ASSERT_EQ(mechanisms(m).unexplained.size(), 1U);
    EXPECT_NE(mechanisms(m).unexplained[0].find("pain"), std::string::npos);
    m.examination->deviation.torsion = Torsion::excyclotorsion;
    EXPECT_EQ(fit(m, Mechanism::oblique_trapped), Fit::fits);
}

TEST(Mechanisms, a_limited_movement_of_an_eye_without_element_stays_unexplained) {
    ReportModel m = left_hydrogel(5.0, 7.0);
    tell(m, Eye::right, Movement::abduction, finding_of(limited));
    ASSERT_EQ(mechanisms(m).unexplained.size(), 1U);
    EXPECT_NE(mechanisms(m).unexplained[0].find("right eye's abduction (limited): no explant was seen"), std::string::npos);
}

// 12 is superior and 6 inferior; 9 is nasal in the left eye, where the medial rectus lies, and temporal in the right.
TEST(Mechanisms, rectus_muscles_lie_in_the_sectors_that_anatomy_gives_them) {
    const auto at = [](double from, double to, Eye eye) { return recti_in_sector(left_hydrogel(from, to).timepoints[0].left.elements[0], eye); };
    EXPECT_EQ(at(8.5, 9.5, Eye::left), std::vector{MuscleName::medial});
    EXPECT_EQ(at(8.5, 9.5, Eye::right), std::vector{MuscleName::lateral});
    EXPECT_EQ(at(11.5, 0.5, Eye::left), std::vector{MuscleName::superior});
    EXPECT_EQ(at(5.0, 9.0, Eye::left), (std::vector{MuscleName::inferior, MuscleName::medial}));
    EXPECT_TRUE(at(1.4, 1.6, Eye::left).empty());
    EXPECT_EQ(at(1.0, 0.5, Eye::left).size(), 4U);
    EXPECT_EQ(recti_in_sector(ElementEntry{}, Eye::left).size(), 4U);
}

// Row 8.05: of 1,030 patients double vision was not related to the buckle's position. So what is written without findings must name no movement, wherever the element lies.
TEST(Mechanisms, no_sentence_foretells_a_movement_from_the_elements_place) {
    std::set<std::string> seen_words;
    for (double hour = 0.0; hour < 12.0; hour += 0.5) {
        const ReportModel m = left_hydrogel(hour, hour + 2.0);
        const MechanismsToSeparate all = mechanisms(m);
        ASSERT_EQ(all.elements.size(), 1U);
        EXPECT_TRUE(all.unexplained.empty());
        std::string words;
        for (const MechanismEntry& e : all.elements[0].entries) {
            EXPECT_FALSE(e.fit.has_value());
            for (const char* movement : {"elevat", "depress", "adduct", "abduct", "limit", "restrict", "diplopia", "double", "expect", "likely", "will "}) EXPECT_EQ(e.on_this_scan.find(movement), std::string::npos) << e.on_this_scan;
            if (e.mechanism != Mechanism::muscle_stretched_or_adherent) words += e.on_this_scan;
        }
        seen_words.insert(words);
    }
    EXPECT_EQ(seen_words.size(), 1U) << "but for the sectors of muscles nothing may depend on the place";
    EXPECT_NE(position_foretells_nothing().find("Retina 2012;32:1514-1524"), std::string_view::npos);
    EXPECT_NE(position_foretells_nothing().find("Br J Ophthalmol 2005;89:640"), std::string_view::npos);
}

TEST(Mechanisms, every_one_has_its_test_and_its_source_or_says_that_it_has_none) {
    for (const Mechanism mechanism : all_mechanisms) {
        const MechanismWords words = words_of(mechanism);
        EXPECT_FALSE(words.what.empty() || words.test.empty());
        if (words.basis == Basis::common_practice) EXPECT_EQ(words.source, "common practice, no source");
        else EXPECT_NE(words.source.find("20"), std::string_view::npos) << "journal and year";
        for (const char* instruction : {"should", "must ", "recommend", "remove the"}) EXPECT_EQ(words.test.find(instruction), std::string_view::npos);
    }
}

TEST(Mechanisms, what_is_no_explant_has_none) {
    ReportModel m = left_hydrogel(5.0, 7.0);
    m.timepoints[0].left.elements[0].material.label = Material::other;
    EXPECT_TRUE(mechanisms(m).elements.empty());
}

TEST(Mechanisms, report_with_findings_satisfies_the_schema_and_page_and_json_say_the_same) {
    ReportModel m = example::full();
    tell(m, Eye::right, Movement::elevation, finding_of(limited, ForcedDuction::restricted, ForceGeneration::normal));
    tell(m, Eye::left, Movement::abduction, finding_of(limited));
    m.examination->deviation.vertical = VerticalDeviation::left_eye_higher;
    m.examination->deviation.vertical_prism_dioptres = 8.0;
    m.examination->symptoms = {Symptom::double_vision, Symptom::redness};
    m.examination->right.slit_lamp = {SlitLampSign::conjunctiva_raised};
    const auto files = render_report(m, example::identity());
    ASSERT_TRUE(files);
    EXPECT_EQ(outside::run("validate_report.py", std::string(PERISCLERA_SOURCE_DIR) + "/docs/report.schema.json " + outside::written("report.json", files.value().at(0).bytes).string()), 0);
    EXPECT_EQ(outside::run("check_page.py", outside::written("report.html", files.value().at(1).bytes).string() +
                                                " 'Mechanisms to separate' 'nothing is foretold' 'left eye higher 8 prism dioptres' 'Right eye: elevation limited, forced duction restricted, force generation normal; "
                                                "slit lamp: conjunctiva raised' 'Complaints: double vision, redness' 'R1, right eye' 'The mass itself blocks a rotation' 'Fits. for it: elevation limited' "
                                                "'Does not fit.' 'What stays unexplained' 'redness'"),
              0);
    const std::string pdf = outside::text_of_pdf(files.value().at(2).bytes);
    for (const char* words : {"Mechanisms to separate", "The mass itself blocks a rotation", "What stays unexplained", "common practice, no source"}) EXPECT_NE(pdf.find(words), std::string::npos) << words;
}

}  // namespace
}  // namespace perisclera::report
