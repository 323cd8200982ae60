// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/wording.h"

#include <algorithm>

#include <gtest/gtest.h>

#include "tests/report/example_report.h"

namespace perisclera::report {
namespace {

ElementEntry spanning(double from, double to) {
    ElementEntry e{.id = "R1", .form = Form::segmental};
    e.from = Measured<ClockHours>(ClockHours(from), ClockHours(from), ClockHours(from));
    e.to = Measured<ClockHours>(ClockHours(to), ClockHours(to), ClockHours(to));
    return e;
}

// An examiner facing the patient has 3 o'clock towards the patient's left: nasal in the right eye, temporal in the left (common practice, no source).
TEST(Wording, quadrants_mirror_between_the_eyes) {
    EXPECT_NE(place_in_words(spanning(0.5, 2.5), Eye::right).find("upper nasal"), std::string::npos);
    EXPECT_NE(place_in_words(spanning(0.5, 2.5), Eye::left).find("upper temporal"), std::string::npos);
    EXPECT_NE(place_in_words(spanning(6.5, 8.5), Eye::right).find("lower temporal"), std::string::npos);
}
TEST(Wording, places_that_pass_twelve_are_centred_on_the_short_way_between_their_ends) {
    const std::string place = place_in_words(spanning(11.0, 1.0), Eye::left);
    EXPECT_TRUE(place.starts_with("11 to 1 o'clock")) << place;
    EXPECT_NE(place.find("superior"), std::string::npos) << place;
}
TEST(Wording, half_hours_are_rounded_to_the_nearest_and_twelve_is_never_zero) {
    EXPECT_TRUE(place_in_words(spanning(0.1, 2.6), Eye::right).starts_with("12 to 2½ o'clock"));
    EXPECT_TRUE(place_in_words(spanning(11.9, 0.4), Eye::right).starts_with("12 to 12½ o'clock"));
}
TEST(Wording, numbers_have_a_true_minus_and_no_negative_zero) {
    EXPECT_EQ(fixed(-1.25, 1), "\u22121.2");  // ties to even as IEEE 754 rounds the exact binary value
    EXPECT_EQ(fixed(-0.04, 1), "0.0");
    EXPECT_EQ(fixed(1234567.0, 0), "1234567");
}
TEST(Wording, interval_stands_beside_the_value_and_the_reason_in_its_place) {
    EXPECT_EQ(in_words(Measurement<Mm3>(Measured<Mm3>(Mm3(590.4), Mm3(545), Mm3(640)))), "590 mm³ (95 % interval 545 to 640)");
    EXPECT_EQ(in_words(Measurement<Fraction>(Measured<Fraction>(Fraction(0.85), Fraction(0.79), Fraction(0.91)))), "85 % (95 % interval 79 to 91)");
    EXPECT_EQ(in_words(Measurement<Mm>(Unmeasured{"edge not visible"})), "not measured: edge not visible");
}
// RFC 3629: overlong forms, surrogates, lone continuation bytes and cut sequences are no UTF-8.
TEST(Wording, text_is_repaired_to_utf8) {
    EXPECT_EQ(clean_text("Å é 漢 😀"), "Å é 漢 😀");
    EXPECT_EQ(clean_text("a\xC0\xAF"), "a\uFFFD\uFFFD");
    EXPECT_EQ(clean_text("\xED\xA0\x80"), "\uFFFD\uFFFD\uFFFD");
    EXPECT_EQ(clean_text("\xF4\x90\x80\x80"), "\uFFFD\uFFFD\uFFFD\uFFFD");
    EXPECT_EQ(clean_text("x\xE2\x82"), "x\uFFFD\uFFFD");
    EXPECT_EQ(clean_text("a\tb\nc\x1b[0m"), "a b c\uFFFD[0m");
}
TEST(Wording, globe_not_found_is_not_called_an_eye_without_explant) {
    ReportModel m;
    Timepoint t{.id = "t1", .study_date = StudyDate::from_dicom("20240101").value(), .series = {}, .right = {}, .left = {}};
    t.right.globe.status = GlobeStatus::not_found;
    t.right.explant.presence = Presence::absent;  // a filler's mistake must not become a reassurance
    m.timepoints.push_back(t);
    EXPECT_EQ(finding(m, Eye::right).headline, "Right eye: the globe was not found in the images");
}
TEST(Wording, eye_missing_from_the_last_images_is_reported_as_last_seen) {
    ReportModel m;
    for (const char* date : {"20200101", "20240101"}) {
        m.timepoints.push_back({.id = "t" + std::to_string(m.timepoints.size() + 1), .study_date = StudyDate::from_dicom(date).value(), .series = {}, .right = {}, .left = {}});
    }
    m.timepoints[0].left.globe.status = GlobeStatus::found;
    const EyeFinding f = finding(m, Eye::left);
    ASSERT_FALSE(f.sentences.empty());
    EXPECT_EQ(f.sentences[0], "As of 2020-01-01; later images do not show this eye.");
}

TEST(Wording, contents_of_the_globe_are_one_sentence_of_each_eye) {
    ReportModel m;
    Timepoint t{.id = "t1", .study_date = StudyDate::from_dicom("20240101").value(), .series = {}, .right = {}, .left = {}};
    t.right.globe.status = GlobeStatus::found;
    t.right.globe.contents = GlobeContents::mixed;
    t.right.globe.level = FluidLevel{{Fluid::silicone_oil}, {Fluid::vitreous}, Measured<Fraction>(Fraction(0.45), Fraction(0.37), Fraction(0.53)), Measured<Mm>(Mm(9.4), Mm(8.4), Mm(10.4))};
    t.right.globe.lens = Lens::implant;
    t.left.globe.status = GlobeStatus::not_found;
    m.timepoints.push_back(t);
    const auto told = [&](Eye eye) {
        const std::vector<std::string> said = finding(m, eye).globe;
        const auto at = std::find_if(said.begin(), said.end(), [](const std::string& s) { return s.rfind("Contents of the globe", 0) == 0; });
        return at == said.end() ? std::string() : *at;
    };
    EXPECT_EQ(told(Eye::right), "Contents of the globe: two layers, silicone oil above vitreous or other watery fluid, the level with 37 to 53 % of the cavity above it. Lens: implant.");
    EXPECT_EQ(told(Eye::left), "");
    m.timepoints[0].right.globe.contents = GlobeContents::undetermined;
    m.timepoints[0].right.globe.level = std::nullopt;
    m.timepoints[0].right.globe.contents_why = "blood or silicone oil: evenly 61 HU at 120 kVp";
    m.timepoints[0].right.globe.lens = Lens::none;
    EXPECT_EQ(told(Eye::right), "Contents of the globe: undetermined (blood or silicone oil: evenly 61 HU at 120 kVp). Lens: none at its place.");
}

TEST(Wording, what_was_seen_but_is_no_finding_is_told_where_the_doubt_is_told) {
    ReportModel m;
    Timepoint t{.id = "t1", .study_date = StudyDate::from_dicom("20240101").value(), .series = {}, .right = {}, .left = {}};
    t.right.globe.status = t.left.globe.status = GlobeStatus::found;
    t.right.mass_effect.note = "Tissue lies there.";
    m.timepoints.push_back(t);
    const auto tells = [&](Eye eye) {
        const std::vector<std::string> said = finding(m, eye).sentences;
        return std::find(said.begin(), said.end(), "Tissue lies there.") != said.end();
    };
    EXPECT_TRUE(tells(Eye::right));
    EXPECT_FALSE(tells(Eye::left));
}

}  // namespace
TEST(Wording, a_hydrogel_known_by_its_water_alone_has_a_limit_that_says_so) {
    ExplantEntry explant;
    explant.smallest_hydrogel_thickness = Mm(5.0);
    EXPECT_NE(detection_limit(explant, true).find("A hydrogel less than 5.0 mm thick could have been missed."), std::string::npos);
    explant.least_hydrogel_water = Fraction(0.8);
    EXPECT_NE(detection_limit(explant, true).find("A hydrogel less than 5.0 mm thick, or one of less than about 80 % water, could have been missed."), std::string::npos);
    explant.smallest_hydrogel_thickness.reset();
    EXPECT_NE(detection_limit(explant, true).find("could have been missed whatever its size"), std::string::npos);
}

TEST(Wording, place_and_turn_of_a_globe_are_two_sentences_with_what_is_usual) {
    MassEffect m;
    EXPECT_EQ(place_sentence(m), "");
    EXPECT_EQ(turn_sentence(m), "");
    const auto mm = [](double low, double value, double high) { return Measured<Mm>(Mm(value), Mm(low), Mm(high)); };
    const auto degrees = [](double low, double value, double high) { return Measured<Degrees>(Degrees(value), Degrees(low), Degrees(high)); };
    m.anterior = mm(2.9, 4.1, 5.3);
    m.superior = mm(-1.0, 0.0, 1.0);
    m.left = mm(-2.0, -1.0, 0.0);
    m.forward_place = ForwardPlace::in_front;
    m.rear_margin_behind = mm(4.0, 5.0, 6.0);
    m.cornea_in_front = Unmeasured{"the cornea was not seen"};
    EXPECT_EQ(place_sentence(m),
              "Place of the globe's centre against the mirrored fellow eye: forwards +4.1 mm (95 % interval +2.9 to +5.3), upwards 0.0 mm (95 % interval \u22121.0 to +1.0), to the patient's left "
              "\u22121.0 mm (95 % interval \u22122.0 to 0.0); farther forward than its fellow beyond what is usual, at its centre and at its rear margin (within 2 mm in more than 90 % of people). Behind the "
              "interzygomatic line the rear margin lies 5.0 mm (95 % interval 4.0 to 6.0) (published 5.9 to 12.8 mm); in front of it the cornea not measured: the cornea was not seen (published means 15.6 and 12.5 mm).");
    m.turned_left = m.converging = degrees(10, 12, 14);
    m.turned_up = degrees(-11, 1, 13);
    m.higher_than_fellow = degrees(-3, 0, 3);
    EXPECT_EQ(turn_sentence(m), "Turn of the eye's axis in the head: to the patient's left +12\u00b0 (95 % interval +10 to +14), upwards +1\u00b0 (95 % interval \u221211 to +13); both axes converge by +12\u00b0 "
                                "(95 % interval +10 to +14), against the fellow eye upwards 0\u00b0 (95 % interval \u22123 to +3).");
    m.anterior = Unmeasured{"no series shows the fellow eye as well"};
    EXPECT_EQ(place_sentence(m), "Place of the globe: not measured: no series shows the fellow eye as well.");
}

// Beyond the smallest change of these scans and yet short of a verdict: neither is "no change".
TEST(Wording, a_likely_change_is_not_told_as_none) {
    const auto told = [](double percent) {
        ReportModel model = example::full();
        for (Change& c : model.changes) {
            c.verdict = Verdict::unchanged;
            c.volume = Measured<Percent>::from_standard_uncertainty(Percent(percent), Percent(60.0));
            c.smallest_detectable = Percent(79.0);
        }
        std::string all;
        for (const ElementFinding& e : finding(model, Eye::right).elements)
            for (const std::string& text : e.sentences) all += text + "\n";
        return all;
    };
    EXPECT_NE(told(166.0).find("change is likely"), std::string::npos) << told(166.0);
    EXPECT_EQ(told(166.0).find("No change"), std::string::npos);
    EXPECT_NE(told(20.0).find("No change shown"), std::string::npos) << told(20.0);
    // 79 % growth undone is a loss of 44.1 %.
    EXPECT_NE(told(-45.0).find("change is likely"), std::string::npos) << told(-45.0);
    EXPECT_NE(told(-43.0).find("No change shown"), std::string::npos) << told(-43.0);
}

TEST(Wording, says_in_how_many_pieces_an_element_lies_where_that_changed) {
    const auto told = [](int before, int now) {
        ReportModel model = example::full();
        model.timepoints[0].right.elements[0].fragments = before;
        model.timepoints[1].right.elements[0].fragments = now;
        std::string all;
        for (const ElementFinding& e : finding(model, Eye::right).elements)
            for (const std::string& sentence : e.sentences) all += sentence + "\n";
        return all;
    };
    EXPECT_EQ(told(1, 1).find("In pieces"), std::string::npos);
    EXPECT_EQ(told(3, 3).find("In pieces"), std::string::npos);
    EXPECT_NE(told(1, 3).find("In pieces: 3 are seen now, 1 on 2019-03-04"), std::string::npos) << told(1, 3);
    EXPECT_NE(told(2, 1).find("In pieces on 2019-03-04: 2 were seen then, 1 now"), std::string::npos) << told(2, 1);
}

// What imitates an explant is named where the material may be none of the three, and not where it is one of them.
TEST(Wording, what_it_would_be_if_no_explant_is_named_while_that_is_open) {
    const auto sentences = [](bool open) {
        ReportModel model = example::full();
        for (Timepoint& t : model.timepoints)
            for (ElementEntry& e : t.right.elements) {
                e.material.look_alikes = {LookAlike::fluid};
                e.material.candidates = {Material::hydrogel};
                if (open) e.material.candidates.push_back(Material::other);
            }
        std::string all;
        for (const ElementFinding& e : finding(model, Eye::right).elements)
            for (const std::string& text : e.sentences) all += text + "\n";
        return all;
    };
    EXPECT_NE(sentences(true).find("cyst"), std::string::npos) << sentences(true);
    EXPECT_EQ(sentences(false).find("cyst"), std::string::npos);
}

TEST(Wording, an_element_near_the_surface_is_not_called_covered_and_others_are_not_doubted) {
    const auto said = [](const Measurement<Mm>& distance) {
        ReportModel model = example::full();
        for (Timepoint& t : model.timepoints)
            for (ElementEntry& e : t.right.elements) e.surface_distance = distance;
        std::string all;
        for (const ElementFinding& e : finding(model, Eye::right).elements)
            for (const std::string& text : e.sentences) all += text + "\n";
        return all;
    };
    const std::string doubt = "cannot be told whether it is covered";
    EXPECT_NE(said(Measured<Mm>(Mm(0.3), Mm(0.0), Mm(0.9))).find(doubt), std::string::npos);
    EXPECT_EQ(said(Measured<Mm>(Mm(2.9), Mm(2.1), Mm(3.7))).find(doubt), std::string::npos);
    EXPECT_EQ(said(Unmeasured{"a reason"}).find(doubt), std::string::npos);
}

TEST(Wording, a_muscle_that_ends_early_is_told_and_others_are_not) {
    EyeEntry eye;
    eye.muscles[0].continuity = Continuity::continuous;
    EXPECT_EQ(muscle_sentence(eye), "");
    eye.muscles[2].continuity = Continuity::interrupted;
    EXPECT_EQ(muscle_sentence(eye), "Rectus muscles that end behind the globe with fat in front of them, as after a detachment or an operation: medial.");
}

}  // namespace perisclera::report
