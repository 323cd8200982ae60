// SPDX-License-Identifier: Apache-2.0
// The page is read back by Python's HTML parser (check_page.py), which also holds it to what a self-contained, accessible page must be.
#include "perisclera/report/html.h"

#include <gtest/gtest.h>

#include "perisclera/report/figures.h"
#include "perisclera/report/render_report.h"
#include "perisclera/report/wording.h"
#include "tests/report/example_report.h"
#include "tests/report/outside_check.h"

namespace perisclera::report {
namespace {

using namespace std::string_literals;

std::string page_of(const ReportModel& m) {
    const auto files = render_report(m, example::identity());
    return files ? files.value().at(1).bytes : "";
}

int check(const std::string& page, const std::string& texts = "") {
    return outside::run("check_page.py", outside::written("report.html", page).string() + " " + texts);
}

TEST(ReportPage, full_page_is_sound_and_says_the_finding_first) {
    EXPECT_EQ(check(page_of(example::full()),
                    "'SIMULATED DATA' 'Unverified machine output' Answer 'Right eye: explant present, almost certain (over 99 %): R1, segmental, 12 to 3' 'very likely (97 %), volume 838 mm³' enlarged "
                    "'Left eye: no explant seen; not found is not absent, explant very unlikely (2 %)' 'Clinical context' Technique Comparison Finding 'Right eye: explant present' "
                    "'R1: segmental element, 12 to 3' 'upper nasal' 'Material: hydrogel, very likely (97 %)' 'Volume 838 mm³ (95 % interval 774 to 909)' 'thickness (outward)' 'Enlarged since 2019-03-04' '+42 %' "
                    "'Left eye: no explant seen' 'not found is not absent' 'None seen; a band thinner than 0.6 mm' Images 'Evidence on the material' 'against solid silicone' Measurements "
                    "'muscle by muscle' 'medial rectus' 'Mechanisms to separate' 'What would settle it' Limits 'beside what is reported, a band' 'a denied operation does not exclude an explant' "
                    "'Scleral thickness beneath the element cannot be judged on this scan. Retina and choroid were not assessed.' 'Words for probability' 'UNEVEN_SPACING' Impression "
                    "'for the physicians to say' 'For the reader to weigh' Cautions 'Not a medical device' Series 'perisclera "s + std::string(program_version) + "'"),
              0);
}
TEST(ReportPage, undetermined_material_names_its_candidates_and_what_would_settle_it) {
    EXPECT_EQ(check(page_of(example::undetermined()), "'undetermined; candidates: solid silicone, possible (52 %); hydrogel, possible (44 %)' "
                                                      "'L1: encircling element, all round the eye' 'A T2-weighted MR series would separate the remaining candidates best'"),
              0);
}
TEST(ReportPage, minimal_page_is_sound_and_claims_nothing) {
    const std::string page = page_of(example::minimal());
    EXPECT_EQ(check(page, "'Right eye: not in the field of view' 'Nothing can be said' 'Left eye: not in the field of view'"), 0);
    EXPECT_EQ(page.find("SIMULATED"), std::string::npos);
}
TEST(ReportPage, page_without_any_measurement_is_sound) {
    EXPECT_EQ(check(page_of(example::unmeasured()), "'Left eye: explant present' 'not measured: not assessed by this version'"), 0);
}
TEST(ReportPage, page_without_a_visit_is_sound) { EXPECT_EQ(check(page_of(ReportModel{}), "'Right eye: no images'"), 0); }

TEST(ReportPage, patient_text_is_shown_as_text_whatever_it_holds) {
    // The parser must give back the very name, less the carets that separate its groups (PS3.5 section 6.2).
    EXPECT_EQ(check(page_of(example::full()), R"('Invented <Name> & "Example"' 'PAT-0001')"), 0);
    const Identity hostile{PatientText("</dd><script>alert(1)</script>"), PatientText("\" onload=\"x\xff")};
    EXPECT_EQ(check(to_html(example::minimal(), hostile, {}), "'</dd><script>alert(1)</script>' '\" onload=\"x'"), 0);
}

TEST(ReportPage, identity_is_on_page_and_pdf_only) {
    const auto files = render_report(example::full(), example::identity());
    ASSERT_TRUE(files);
    for (const OutputFile& f : files.value()) {
        if (f.path == "report.html" || f.path == "report.pdf") continue;
        EXPECT_EQ(f.bytes.find("Invented"), std::string::npos) << f.path;
        EXPECT_EQ((f.path + f.bytes).find("PAT-0001"), std::string::npos) << f.path;
    }
}

TEST(ReportPage, same_report_gives_the_same_bytes) {
    const auto one = render_report(example::full(), example::identity()), two = render_report(example::full(), example::identity());
    ASSERT_TRUE(one && two);
    ASSERT_EQ(one.value().size(), two.value().size());
    for (std::size_t i = 0; i < one.value().size(); ++i) {
        EXPECT_EQ(one.value()[i].path, two.value()[i].path);
        EXPECT_TRUE(one.value()[i].bytes == two.value()[i].bytes) << one.value()[i].path;
        // A document information dictionary with a date (ISO 32000-1, 14.3.3) would differ from run to run.
        EXPECT_EQ(one.value()[i].bytes.find("/CreationDate"), std::string::npos);
    }
}

TEST(Considerations, never_instruct) {
    for (const Consideration& c : example::undetermined().considerations) {
        for (const char* word : {"should", "must ", "recommend", "do not", "remove the", "refer "}) EXPECT_EQ(c.text.find(word), std::string::npos) << c.text;
        EXPECT_FALSE(c.source.empty());
    }
}
// What has no published figure has to say so (removal soon after surgery; an element that came to lie within the eye).
TEST(Considerations, name_common_practice_where_nothing_is_published) {
    std::size_t early = 0, intruded = 0;
    for (const Consideration& c : example::undetermined().considerations) {
        const bool says_early = c.text.find("two years of the surgery") != std::string::npos, says_intruded = c.text.find("safer left") != std::string::npos;
        early += says_early, intruded += says_intruded;
        EXPECT_TRUE(c.basis == Basis::common_practice || !(says_early || says_intruded)) << c.text;
    }
    EXPECT_EQ(early, 1u);
    EXPECT_EQ(intruded, 1u);
}
TEST(Considerations, follow_the_material_that_was_not_excluded) {
    const auto mentions = [](const ReportModel& m, const char* word) {
        const auto all = considerations(m);
        return std::any_of(all.begin(), all.end(), [&](const Consideration& c) { return c.text.starts_with(word); });
    };
    EXPECT_TRUE(mentions(example::full(), "Hydrogel"));
    EXPECT_FALSE(mentions(example::full(), "Silicone"));
    EXPECT_TRUE(mentions(example::undetermined(), "Hydrogel"));
    EXPECT_TRUE(mentions(example::undetermined(), "Silicone"));
    EXPECT_TRUE(considerations(example::minimal()).empty());
}

}  // namespace
}  // namespace perisclera::report
