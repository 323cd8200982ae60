// SPDX-License-Identifier: Apache-2.0
// The words of page and PDF: terms of the trade, one scale for probability, and the order in which a report is read (identification, context, technique, comparison, findings,
// limitations, impression: ACR practice parameter for communication of findings, revised 2020, and our own answer before all).
#include <gtest/gtest.h>

#include <regex>

#include "perisclera/report/probability_words.h"
#include "perisclera/report/render_report.h"
#include "perisclera/report/wording.h"
#include "src/report/report_sentences.h"
#include "tests/report/example_report.h"
#include "tests/report/outside_check.h"

namespace perisclera::report {
namespace {

/// The visible text, less its markup, with every run of white space one space.
std::string text_of_page(const std::string& html) {
    std::string text;
    bool in_tag = false;
    for (const char c : html.substr(html.find("</style>"))) {
        in_tag = in_tag || c == '<';
        const char shown = in_tag || c == '\n' ? ' ' : c;
        if (shown != ' ' || text.empty() || text.back() != ' ') text += shown;
        in_tag = in_tag && c != '>';
    }
    for (const auto& [entity, character] : {std::pair<std::string, std::string>{"&#39;", "'"}, {"&quot;", "\""}, {"&lt;", "<"}, {"&gt;", ">"}, {"&amp;", "&"}})
        for (std::size_t at = text.find(entity); at != std::string::npos; at = text.find(entity, at + 1)) text.replace(at, entity.size(), character);
    return text;
}

struct Texts {
    std::string page, pdf;
};
Texts texts_of(const ReportModel& model) {
    const auto files = render_report(model, {PatientText("Invented^Name"), PatientText("P1")});
    if (!files) return {};
    return {text_of_page(files.value().at(1).bytes), outside::text_of_pdf(files.value().at(2).bytes)};
}

void expect_in_order(const std::string& text, const std::vector<std::string>& wanted) {
    std::size_t at = 0;
    for (const std::string& words : wanted) {
        const std::size_t found = text.find(words, at);
        ASSERT_NE(found, std::string::npos) << words;
        at = found + words.size();
    }
}

TEST(ProbabilityWords, the_scale_covers_every_percent_once) {
    for (int percent = 0; percent <= 100; ++percent) {
        int steps = 0;
        for (const ProbabilityStep& s : probability_scale) steps += s.from_percent <= percent && percent <= s.to_percent;
        EXPECT_EQ(steps, 1) << percent;
    }
}
TEST(ProbabilityWords, a_word_stands_beside_its_rounded_percent_and_agrees_with_it) {
    EXPECT_EQ(probability_in_words(0.968), "very likely (97 %)");
    EXPECT_EQ(probability_in_words(0.895), "very likely (90 %)");
    EXPECT_EQ(probability_in_words(0.894), "likely (89 %)");
    EXPECT_EQ(probability_in_words(0.9987), "almost certain (over 99 %)");
    EXPECT_EQ(probability_in_words(1.0), "almost certain (over 99 %)");
    EXPECT_EQ(probability_in_words(0.5), "possible (50 %)");
    EXPECT_EQ(probability_in_words(0.02), "very unlikely (2 %)");
    EXPECT_EQ(probability_in_words(0.0), "almost excluded (under 1 %)");
}

/// Page and PDF of each invented report.
std::vector<Texts> all_texts() {
    std::vector<Texts> all;
    for (const ReportModel& m : {example::full(), example::undetermined(), example::minimal(), example::unmeasured()}) all.push_back(texts_of(m));
    return all;
}

TEST(ReportWords, probabilities_are_words_and_whole_percents) {
    for (const Texts& t : all_texts()) {
        for (const std::string& text : {t.page, t.pdf}) {
            // Decimals without a unit between 0 and 1 after a word for probability, and the units of log-likelihoods.
            EXPECT_FALSE(std::regex_search(text, std::regex("(probabilit|likel|certain)[a-z ]*[:(]? ?0[.][0-9]", std::regex::icase))) << text;
            EXPECT_FALSE(std::regex_search(text, std::regex("log-likelihood|\\bbits?\\b|\\bnats?\\b", std::regex::icase)));
            EXPECT_FALSE(std::regex_search(text, std::regex("\\b0[.][0-9]{3,}"))) << "three decimals";
        }
        EXPECT_NE(t.page.find(probability_scale_in_words()), std::string::npos);
        EXPECT_NE(t.pdf.find("Words for probability: almost certain 99 to 100 %"), std::string::npos);
    }
}

// Surgeons keep "height" for the inward indentation; left and right are the patient's.
TEST(ReportWords, height_is_always_the_buckles_and_sides_are_the_patients) {
    for (const Texts& t : all_texts()) {
        for (const std::string& text : {t.page, t.pdf}) {
            for (std::size_t at = text.find("height"); at != std::string::npos; at = text.find("height", at + 1))
                EXPECT_EQ(text.substr(at < 7 ? 0 : at - 7, 13), "buckle height") << text.substr(at < 40 ? 0 : at - 40, 80);
            EXPECT_FALSE(std::regex_search(text, std::regex("(left|right) (side )?of the (eye|globe)")));
            for (std::size_t at = text.find("hickness"); at != std::string::npos; at = text.find("hickness", at + 1)) {
                // "Contrast × thickness on CT" is a product, no thickness; that of muscle and sclera has no direction.
                const std::string before = text.substr(at < 40 ? 0 : at - 40, at < 40 ? at : 40);
                const bool of_element = text.compare(at + 8, 10, " (outward)") == 0, of_another = std::regex_search(before, std::regex("rectus|Muscle|Scleral|× t$"));
                EXPECT_TRUE(of_element || of_another) << before << text.substr(at, 20);
            }
        }
    }
}

TEST(ReportWords, every_clock_hour_has_its_quadrant_beside_it) {
    for (const Texts& t : all_texts()) {
        const std::regex hour("[0-9½] o'clock(?!(, | \\((centred )?|: )(upper|lower|superior|inferior|nasal|temporal))");
        for (const std::string& text : {t.page, t.pdf})
            for (std::sregex_iterator m(text.begin(), text.end(), hour), end; m != end; ++m) {
                const std::string around = text.substr(static_cast<std::size_t>(m->position()) < 30 ? 0 : static_cast<std::size_t>(m->position()) - 30, 80);
                EXPECT_NE(around.find("near 1.5 o'clock"), std::string::npos) << "only the example's own note may lack it: " << around;
            }
    }
}

TEST(ReportWords, page_and_pdf_are_read_in_the_order_of_a_report) {
    for (const Texts& t : all_texts()) {
        for (const std::string& text : {t.page, t.pdf})
            expect_in_order(text, {"Dates of the images", "Unverified machine output", "Answer", "Right eye:", "Left eye:", "Clinical context.", "Comparison.", "Finding", "Images", "Limits, and how to read this report",
                                   "a denied operation does not exclude an explant", "Scleral thickness beneath the element cannot be judged on this scan. Retina and choroid were not assessed.", "Impression", "Right eye:",
                                   "for the physicians to say", "Cautions", "Not a medical device"});
    }
}

TEST(Answer, is_one_sentence_for_each_eye) {
    const auto told = answer(example::full());
    EXPECT_EQ(told[0], "Right eye: explant present, almost certain (over 99 %): R1, segmental, 12 to 3 o'clock (upper nasal), hydrogel, very likely (97 %), volume 838 mm³ (95 % interval 774 to 909), enlarged.");
    EXPECT_EQ(told[1], "Left eye: no explant seen; not found is not absent, explant very unlikely (2 %).");
    EXPECT_EQ(answer(example::minimal())[0], "Right eye: not in the field of view of any used series.");
}

// Told and not told alike have to stand there: the reader must not take a silent record for none.
TEST(ClinicalContext, says_what_was_told_of_the_operation_and_what_was_not) {
    ReportModel m = example::full();
    for (const std::string& text : {texts_of(m).page, texts_of(m).pdf}) EXPECT_NE(text.find("operation record and known material: not given to this run"), std::string::npos);
    m.options.push_back({"surgery_year_left", std::int64_t{1988}});
    m.options.push_back({"recorded_material_right", std::string("silicone_sponge")});
    for (const std::string& text : {texts_of(m).page, texts_of(m).pdf})
        EXPECT_NE(text.find("right eye, year not told, material silicone sponge; left eye, year 1988, material not told."), std::string::npos);
}

// The reasons of the model come to the table, so that an empty cell never looks like a normal muscle.
TEST(MuscleTable, every_muscle_has_a_value_or_its_reason) {
    ReportModel m = example::full();
    auto& recti = m.timepoints.back().right.muscles;
    recti[0].thickness = example::between<Mm>(4.0, 4.4, 4.8);
    recti[1].thickness = Unmeasured{"bone is as dark as muscle"};
    recti[2].continuity = Continuity::interrupted;
    recti[3].insertion = Unmeasured{"the tendon is thinner than these scans show"};
    recti[3].elements = {{"R1", MuscleRelation::not_determinable, Unmeasured{"the tendon is thinner than these scans show"}}};
    const Texts t = texts_of(m);
    for (const std::string& text : {t.page, t.pdf})
        for (const char* words : {"superior rectus", "4.4 mm (95 % interval 4.0 to 4.8); with the levator", "not measured: bone is as dark as muscle", "interrupted: fat alone",
                                  "not measured: the tendon is thinner than these scans show", "R1: not determinable, the tendon is thinner than these scans show"})
            EXPECT_NE(text.find(words), std::string::npos) << words;
}

}  // namespace
}  // namespace perisclera::report
