// SPDX-License-Identifier: Apache-2.0
// The table of private codes is what docs/conformance.md lists, fits DICOM's code sequences, and has a code for every word of report.json.
#include "src/report/private_codes.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <regex>
#include <set>

#include "perisclera/dicom/uid.h"
#include "perisclera/material/material_opinion.h"
#include "perisclera/physics/intraocular_fluids.h"
#include "perisclera/report/terms.h"

namespace perisclera::report {
namespace {

std::string conformance() {
    std::ifstream file(std::string(PERISCLERA_SOURCE_DIR) + "/docs/conformance.md");
    return {std::istreambuf_iterator<char>(file), {}};
}

TEST(PrivateCodes, are_those_that_the_conformance_statement_lists_and_no_others) {
    const std::string page = conformance();
    for (const PrivateCode& code : private_codes) {
        const std::string member = code.member.empty() ? "" : "`" + std::string(code.member) + "`";
        EXPECT_NE(page.find("| " + std::string(code.value) + " | " + std::string(code.meaning) + " | " + member + " |"), std::string::npos) << code.value;
    }
    const std::regex row("\n\\| SB-[0-9]+ \\|");
    EXPECT_EQ(std::distance(std::sregex_iterator(page.begin(), page.end(), row), std::sregex_iterator()), static_cast<std::ptrdiff_t>(private_codes.size()));
}

TEST(PrivateCodes, scheme_and_its_uid_stand_there_as_well) {
    const std::string page = conformance();
    EXPECT_NE(page.find("`" + std::string(private_scheme) + "`"), std::string::npos);
    EXPECT_NE(page.find(uid_from(std::string("coding scheme ") + private_scheme)), std::string::npos);
}

// Code Value and Coding Scheme Designator are SH, at most 16 characters; Code Meaning is LO, at most 64 (PS3.3 8.8, PS3.5 6.2). "99" begins the designators of private schemes (PS3.3 8.2).
TEST(PrivateCodes, fit_their_attributes_and_none_is_used_twice) {
    std::set<std::string_view> values, meanings;
    for (const PrivateCode& code : private_codes) {
        EXPECT_LE(code.value.size(), 16u);
        EXPECT_LE(code.meaning.size(), 64u);
        EXPECT_TRUE(values.insert(code.value).second) << code.value;
        EXPECT_TRUE(meanings.insert(code.meaning).second) << code.meaning;
    }
    EXPECT_LE(std::string_view(private_scheme).size(), 16u);
    EXPECT_TRUE(std::string_view(private_scheme).starts_with("99"));
}

/// From the first word of a closed set to its last.
template <class Term>
void expect_all_have_a_code(Term last) {
    for (int k = 0; k <= static_cast<int>(last); ++k) {
        const auto term = static_cast<Term>(k);
        std::string word(name(term));
        std::replace(word.begin(), word.end(), '_', ' ');
        EXPECT_EQ(own(term).meaning, word);
    }
}

TEST(PrivateCodes, every_word_of_the_report_has_one) {
    expect_all_have_a_code(GlobeStatus::not_imaged);
    expect_all_have_a_code(GlobeContents::undetermined);
    expect_all_have_a_code(Lens::undetermined);
    expect_all_have_a_code(Continuity::not_determinable);
    expect_all_have_a_code(MuscleRelation::not_determinable);
    expect_all_have_a_code(Sign::not_assessable);
    expect_all_have_a_code(MetalStatus::not_assessable);
    expect_all_have_a_code(Form::irregular);
    expect_all_have_a_code(WallRelation::not_determinable);
    expect_all_have_a_code(JunctionKind::not_seen);
    expect_all_have_a_code(Feature::undetermined);
    expect_all_have_a_code(Material::other);
    expect_all_have_a_code(NextStudy::none);
    expect_all_have_a_code(LookAlike::unknown);
    expect_all_have_a_code(MaterialCaution::growth_without_water);
    expect_all_have_a_code(ForwardPlace::not_determinable);
    expect_all_have_a_code(Verdict::not_comparable);
    for (const Fluid fluid : all_fluids) EXPECT_FALSE(own_word(name(fluid)).value.empty());
}

}  // namespace
}  // namespace perisclera::report
