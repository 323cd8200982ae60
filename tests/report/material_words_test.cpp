// SPDX-License-Identifier: Apache-2.0
// What is said of the material beside its label: cautions, the paragraph that explains it, and what would settle it. The rules are the project's own (docs/measurements.md); the lens
// dose is that of Suzuki S et al., AJNR 2010;31:822 (abstract). Likelihoods are planted, so that which reading decides is known.
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "perisclera/report/html.h"
#include "perisclera/report/json.h"
#include "perisclera/report/render_report.h"
#include "perisclera/report/wording.h"
#include "src/report/explanation.h"
#include "src/report/material_cautions.h"
#include "tests/report/example_report.h"
#include "tests/report/outside_check.h"

namespace perisclera::report {
namespace {

using Json = nlohmann::json;

std::size_t times(const std::string& text, const std::string& words) {
    std::size_t n = 0;
    for (std::size_t at = text.find(words); at != std::string::npos; at = text.find(words, at + words.size())) ++n;
    return n;
}
bool says(const std::string& text, const std::string& words) { return text.find(words) != std::string::npos; }

std::string joined_finding(const ReportModel& m, Eye eye) {
    std::string all;
    for (const ElementFinding& e : finding(m, eye).elements)
        for (const std::string& s : e.sentences) all += s + "\n";
    return all;
}

MaterialEntry& material(ReportModel& m) { return m.timepoints.back().right.elements.front().material; }

Json written_material(const ReportModel& m) { return Json::parse(to_json(m))["timepoints"].back()["eyes"]["right"]["elements"][0]["material"]; }

std::vector<std::string> codes_of(const ReportModel& m) {
    std::vector<std::string> codes;
    const Json written = written_material(m);
    for (const Json& c : written["cautions"]) codes.push_back(c["code"]);
    return codes;
}

ReportModel labelled(std::optional<Material> label, std::vector<Material> candidates) {
    ReportModel m = example::full();
    material(m).label = label;
    material(m).candidates = std::move(candidates);
    return m;
}

using Codes = std::vector<std::string>;

TEST(MaterialCautions, sponge_and_hydrogel_never_exclude_infection_and_what_fits_no_explant_never_a_tumour) {
    EXPECT_EQ(codes_of(labelled(Material::hydrogel, {Material::hydrogel})), (Codes{"infection_not_excluded"}));
    EXPECT_EQ(codes_of(labelled(Material::silicone_sponge, {Material::silicone_sponge})), (Codes{"infection_not_excluded"}));
    EXPECT_EQ(codes_of(labelled({}, {Material::solid_silicone, Material::hydrogel})), (Codes{"infection_not_excluded"}));
    EXPECT_EQ(codes_of(labelled(Material::solid_silicone, {Material::solid_silicone})), Codes{});
    EXPECT_EQ(codes_of(labelled(Material::other, {Material::other})), (Codes{"tumour_or_abscess_not_excluded"}));
    EXPECT_EQ(codes_of(labelled({}, {Material::other, Material::hydrogel})), (Codes{"infection_not_excluded", "tumour_or_abscess_not_excluded"}));
}

TEST(MaterialCautions, signs_and_contradictions_have_each_their_code) {
    ReportModel m = labelled(Material::silicone_sponge, {Material::silicone_sponge});
    m.timepoints.back().right.inflammation_signs.gas_outside_element = Sign::seen;
    EXPECT_EQ(codes_of(m), (Codes{"infection_not_excluded", "gas_outside_element"}));
    EXPECT_TRUE(says(joined_finding(m, Eye::right), "silicone sponge, which is told by the gas in it, is the less sure"));
    m = labelled(Material::hydrogel, {Material::hydrogel});
    material(m).outside_table = material(m).water_disagrees = material(m).growth_without_water = true;
    material(m).water_by_swelling = example::between<Fraction>(0.15, 0.25, 0.40);   // by the images 0.79 to 0.91
    EXPECT_EQ(codes_of(m), (Codes{"infection_not_excluded", "outside_table", "water_disagrees", "swelling_disagrees", "growth_without_water"}));
    material(m).water_by_swelling = example::between<Fraction>(0.60, 0.75, 0.85);
    EXPECT_EQ(codes_of(m), (Codes{"infection_not_excluded", "outside_table", "water_disagrees", "growth_without_water"}));
}

// Fluid or an enhancing rim beside any element, solid silicone too, may be infection.
TEST(MaterialCautions, a_collection_or_an_enhancing_rim_never_excludes_infection) {
    ReportModel m = labelled(Material::solid_silicone, {Material::solid_silicone});
    m.timepoints.back().right.inflammation_signs.collection = Sign::seen;
    EXPECT_EQ(codes_of(m), (Codes{"infection_not_excluded"}));
    m.timepoints.back().right.inflammation_signs.collection = Sign::not_seen;
    EXPECT_EQ(codes_of(m), Codes{});
    m.timepoints.back().right.inflammation_signs.rim_enhancement = Sign::seen;
    EXPECT_EQ(codes_of(m), (Codes{"infection_not_excluded"}));
}

TEST(MaterialCautions, page_and_pdf_say_each_once_in_the_words_of_report_json) {
    ReportModel m = labelled(Material::hydrogel, {Material::hydrogel});
    material(m).outside_table = material(m).growth_without_water = true;
    m.timepoints.back().right.inflammation_signs.gas_outside_element = Sign::seen;
    const std::string text = to_json(m);
    EXPECT_EQ(outside::run("validate_report.py", std::string(PERISCLERA_SOURCE_DIR) + "/docs/report.schema.json " + outside::written("report.json", text).string()), 0);
    const auto files = render_report(m, example::identity());
    ASSERT_TRUE(files.ok());
    std::string pdf = outside::text_of_pdf(files.value().at(2).bytes);
    std::replace(pdf.begin(), pdf.end(), '\n', ' ');
    const Json written = written_material(m);
    ASSERT_EQ(written["cautions"].size(), 4u);
    for (const Json& c : written["cautions"]) {
        const std::string words = c["text"];
        EXPECT_EQ(times(files.value().at(1).bytes, words), 1u) << words;
        EXPECT_EQ(times(pdf, words), 1u) << words;
    }
}

std::string explained(const ReportModel& m, std::size_t visit = 1) { return explanation(m, m.timepoints[visit], Eye::right, m.timepoints[visit].right.elements.front()); }

TEST(Explanation, names_each_series_with_its_number_and_what_it_speaks_for_and_against) {
    const std::string words = explained(example::full());
    for (const char* part : {"On CT, soft-tissue reconstruction (S5): CT number of the core, 33 HU (95 % interval 24 to 42). This speaks for hydrogel and against solid silicone and silicone sponge.",
                             "On MR, T2 (S7): signal, core over vitreous, 0.84 (95 % interval 0.70 to 0.98).", "Together they give hydrogel, very likely (97 %).", "No other material is left"})
        EXPECT_TRUE(says(words, part)) << part << "\n" << words;
    EXPECT_FALSE(says(words, "alone it would be"));
    EXPECT_FALSE(says(words, "it was judged"));
}

TEST(Explanation, of_an_undetermined_material_says_what_remains_open) {
    const std::string words = explained(example::undetermined());
    EXPECT_TRUE(says(words, "Together they give undetermined; candidates: solid silicone, possible (52 %); hydrogel, possible (44 %).")) << words;
    EXPECT_TRUE(says(words, "No material reaches the 90 % from which one is named.")) << words;
}

TEST(Explanation, says_what_one_modality_alone_would_have_said_and_which_reading_of_the_other_decides) {
    ReportModel m = example::full();
    material(m).by_ct = PartOfJudgement{{}, {Material::solid_silicone, Material::hydrogel}};
    material(m).by_mr = PartOfJudgement{Material::hydrogel, {Material::hydrogel}};
    // Of T1 and T2 the second is planted as the one that tells most: e to the power 21 - 1 against e to the power 5 - 1.
    material(m).evidence[1].log_likelihood.values = {-5.0, -5.0, -1.0, -4.4};
    const std::string words = explained(m);
    EXPECT_TRUE(says(words, "By CT alone it would be undetermined (solid silicone, hydrogel). What decides between hydrogel and solid silicone is the reading on MR, T2 (S7), signal, core over "
                            "vitreous: it is more than 1000 times as likely for hydrogel as for solid silicone.")) << words;
    EXPECT_FALSE(says(words, "By MR alone"));
    EXPECT_TRUE(says(explained(m, 1), "S7"));
}

// T2 comes at the second visit only, and turns what CT left open.
TEST(Explanation, of_a_later_visit_with_another_label_names_the_reading_that_decides) {
    ReportModel m = example::full();
    MaterialEntry& before = m.timepoints.front().right.elements.front().material;
    before.label.reset();
    before.candidates = {Material::solid_silicone, Material::hydrogel};
    before.evidence.resize(1);
    before.evidence[0].log_likelihood.values = {-2.0, -400.0, -3.1, -5.2};
    material(m).evidence[1].log_likelihood.values = {-1.5, -1.5, -1.0, -4.4};
    const std::string words = explained(m);
    EXPECT_TRUE(says(words, "On 2019-03-04 it was judged undetermined (solid silicone, hydrogel). What decides between hydrogel and solid silicone is the reading on CT, soft-tissue reconstruction (S5)")) << words;
    // The planted CT of the second visit tells e to the power 35; where it tells what it told before, T2 decides with e to the power 21.
    material(m).evidence[0].log_likelihood = before.evidence[0].log_likelihood;
    EXPECT_TRUE(says(explained(m), "What decides between hydrogel and solid silicone is the reading on MR, T2 (S7)")) << explained(m);
    EXPECT_FALSE(says(explained(m, 0), "it was judged")) << "of the earlier visit nothing is said of the later";
}

TEST(Explanation, is_in_report_json_on_the_page_and_in_the_pdf_alike) {
    const ReportModel m = example::undetermined();
    const std::string words = explained(m);
    EXPECT_EQ(written_material(m)["explanation"], words);
    const auto files = render_report(m, example::identity());
    ASSERT_TRUE(files.ok());
    EXPECT_TRUE(says(files.value().at(1).bytes, escaped(words)));
    std::string pdf = outside::text_of_pdf(files.value().at(2).bytes);
    std::replace(pdf.begin(), pdf.end(), '\n', ' ');
    EXPECT_TRUE(says(pdf, words.substr(0, 60))) << pdf;
}

TEST(SettlingSteps, ask_for_the_record_first_then_for_mr_after_screening_and_for_radiation_last) {
    ReportModel m = example::undetermined();
    MaterialEntry& open = material(m);
    open.most_informative_next = NextStudy::second_ct_energy;
    open.expected_information = {0.0, 0.01, 0.42, 0.55};
    EyeEntry& eye = m.timepoints.back().right;
    const std::vector<std::string> steps = settling_steps(eye, open);
    ASSERT_EQ(steps.size(), 3u);
    EXPECT_TRUE(says(steps[0], "operation record and older scans"));
    EXPECT_TRUE(says(steps[1], "T2") && says(steps[1], "0.42 bits") && says(steps[1], "metal screening") && says(steps[1], "No metal seen on CT: this is not MR clearance")) << steps[1];
    EXPECT_FALSE(says(steps[1], "T1"));
    EXPECT_TRUE(says(steps[2], "second tube voltage would separate") && says(steps[2], "0.55 bits") && says(steps[2], "change the decision") && says(steps[2], "42.6 to 103.5 mGy")) << steps[2];
    eye.metal.status = MetalStatus::seen;
    EXPECT_TRUE(says(settling_steps(eye, open)[1], "Metal was seen on CT"));
    open.most_informative_next = NextStudy::none;
    EXPECT_EQ(settling_steps(eye, open).size(), 2u);
    open.label = Material::hydrogel;
    EXPECT_EQ(settling_steps(eye, open).size(), 1u);
}

TEST(SettlingSteps, no_form_of_the_report_clears_anybody_for_mr) {
    for (const ReportModel& m : {example::full(), example::undetermined()}) {
        const auto files = render_report(m, example::identity());
        ASSERT_TRUE(files.ok());
        for (const std::string& text : {files.value().at(1).bytes, outside::text_of_pdf(files.value().at(2).bytes)}) EXPECT_FALSE(says(text, "MR safe") || says(text, "MRI safe") || says(text, "MR-safe"));
    }
}

TEST(RecordedSection, is_told_beside_the_material_with_the_water_that_its_growth_would_mean) {
    ReportModel m = example::full();
    material(m).record = RecordedOperation{.section = OriginalSection{Mm(5.5), Mm(3.3)}};
    material(m).water_by_swelling = example::between<Fraction>(0.45, 0.53, 0.66);
    const std::string text = to_json(m);
    EXPECT_EQ(outside::run("validate_report.py", std::string(PERISCLERA_SOURCE_DIR) + "/docs/report.schema.json " + outside::written("report.json", text).string()), 0);
    EXPECT_EQ(written_material(m)["water_by_swelling"]["value"], 0.53);
    const std::string words = joined_finding(m, Eye::right);
    EXPECT_TRUE(says(words, "original cross-section 5.50 × 3.30 mm")) << words;
    EXPECT_TRUE(says(words, "53 % (95 % interval 45 to 66); by the images it is 85 % (95 % interval 79 to 91)")) << words;
    EXPECT_TRUE(says(words, "do not meet")) << words;
    EXPECT_FALSE(says(words, "Images and record taken together")) << "a section says nothing of the material";
}

}  // namespace
}  // namespace perisclera::report
