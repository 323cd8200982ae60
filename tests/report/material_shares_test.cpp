// SPDX-License-Identifier: Apache-2.0
// Shares of the materials that the user set. Bayes' rule is the reference for what the program's own would give: odds go with the odds before any image.
#include <gtest/gtest.h>

#include <algorithm>

#include "perisclera/material/material_opinion.h"
#include "perisclera/report/material_shares.h"
#include "perisclera/report/render_report.h"
#include "perisclera/report/wording.h"
#include "tests/report/example_report.h"
#include "tests/report/outside_check.h"

namespace perisclera::report {
namespace {

ReportModel with_shares(const std::string& shares) {
    ReportModel m = example::full();
    m.options.push_back({std::string(material_shares_option), shares});
    return m;
}

std::string sentences(const ReportModel& m) {
    std::string all;
    for (const ElementFinding& e : finding(m, Eye::right).elements)
        for (const std::string& s : e.sentences) all += s + "\n";
    return all;
}

bool says(const std::string& text, const std::string& words) { return text.find(words) != std::string::npos; }

TEST(MaterialShares, are_read_in_any_order_and_written_as_they_were_meant) {
    const auto shares = read_material_shares("hydrogel=0.6,other=0.1,solid_silicone=0.1,silicone_sponge=0.2");
    ASSERT_TRUE(shares);
    EXPECT_EQ((*shares)[Material::hydrogel], 0.6);
    EXPECT_EQ((*shares)[Material::silicone_sponge], 0.2);
    EXPECT_EQ(write_material_shares(*shares), "solid_silicone=0.1,silicone_sponge=0.2,hydrogel=0.6,other=0.1");
    EXPECT_EQ(read_material_shares(write_material_shares(*shares))->values, shares->values);
    EXPECT_TRUE(read_material_shares("solid_silicone=0.333,silicone_sponge=0.333,hydrogel=0.333,other=0.001"));
}

TEST(MaterialShares, that_are_not_four_that_sum_to_one_are_none) {
    for (const char* wrong : {"", "0.25,0.25,0.25,0.25", "solid_silicone=0.5,silicone_sponge=0.5", "solid_silicone=0.3,silicone_sponge=0.3,hydrogel=0.3,other=0.2", "solid_silicone=0.4,silicone_sponge=0.3,hydrogel=0.3,other=0",
                              "solid_silicone=0.4,silicone_sponge=0.3,hydrogel=0.4,other=-0.1", "solid_silicone=40%,silicone_sponge=30%,hydrogel=20%,other=10%", "solid_silicone=nan,silicone_sponge=0.3,hydrogel=0.3,other=0.1",
                              "solid_silicone=0.4,silicone_sponge=0.3,hydrogel=0.2,gel=0.1", "solid_silicone=0.4,silicone_sponge=0.3,hydrogel=0.2,other=0.1,", "solid_silicone=0.2,solid_silicone=0.2,silicone_sponge=0.3,hydrogel=0.2,other=0.1",
                              "solid_silicone=0.4, silicone_sponge=0.3,hydrogel=0.2,other=0.1", "solid_silicone=4e-1,silicone_sponge=0.3,hydrogel=0.2,other=0.1", "solid_silicone=,silicone_sponge=0.3,hydrogel=0.6,other=0.1", "solid_silicone"})
        EXPECT_FALSE(read_material_shares(wrong)) << wrong;
}

// The example's hydrogel has 97 %; the program's own shares say what it would have been with them.
TEST(MaterialShares, set_by_the_user_stand_beside_the_label_on_page_and_pdf) {
    const ReportModel m = with_shares("solid_silicone=0.1,silicone_sponge=0.2,hydrogel=0.6,other=0.1");
    const auto files = render_report(m, example::identity());
    ASSERT_TRUE(files.ok());
    std::string pdf = outside::text_of_pdf(files.value().at(2).bytes);
    std::replace(pdf.begin(), pdf.end(), '\n', ' ');
    for (const std::string& text : {files.value().at(1).bytes, pdf, sentences(m)}) {
        EXPECT_TRUE(says(text, "The user of this program set how common each material is before any image is seen: solid silicone 10 %, silicone sponge 20 %, hydrogel 60 %, other material 10 %."));
        EXPECT_TRUE(says(text, "hydrogel very likely (97 %)")) << "the label's probabilities";
    }
    for (const std::string& text : {files.value().at(1).bytes, pdf}) EXPECT_TRUE(says(text, "the materials named here hang on it")) << "beside the answer";
    EXPECT_TRUE(says(files.value().at(1).bytes, "Set by the user of this program, before any image is read: solid silicone 10 %"));
    EXPECT_FALSE(says(files.value().at(1).bytes, "Assumed before any image is read"));
}

TEST(MaterialShares, not_set_are_told_nowhere_but_as_assumed) {
    EXPECT_FALSE(says(sentences(example::full()), "set how common"));
    EXPECT_FALSE(set_material_shares(example::full()));
}

TEST(MaterialShares, what_the_programs_own_would_give_follows_bayes_rule) {
    ReportModel m = with_shares("solid_silicone=0.25,silicone_sponge=0.25,hydrogel=0.25,other=0.25");
    MaterialEntry& material = m.timepoints.back().right.elements.front().material;
    material.probabilities = {{0.5, 0.0, 0.5, 0.0}};
    // Even before and even after: the images do not tell these two apart, so that the program's own shares remain, 0.36 to 0.29.
    const long silicone = std::lround(100.0 * prior_share[0] / (prior_share[0] + prior_share[2]));
    EXPECT_TRUE(says(sentences(m), "would be: solid silicone " )) << sentences(m);
    EXPECT_TRUE(says(sentences(m), "(" + std::to_string(silicone) + " %), silicone sponge")) << sentences(m);
}

}  // namespace
}  // namespace perisclera::report
