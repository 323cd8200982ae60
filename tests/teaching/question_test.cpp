// SPDX-License-Identifier: Apache-2.0
// The question's side gives nothing away: made from one case with two different conclusions it is the same to the byte.
#include "perisclera/teaching/question.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "tests/teaching/drawn_case.h"

namespace perisclera::teaching {

TEST(Question, is_the_same_to_the_byte_whatever_the_answer) {
    const PatientStudies patient = drawn_patient();
    const auto one = question_files(conclusion(report::Material::hydrogel, 0.97, Eye::right), patient, "Seen for double vision.", 3);
    const auto other = question_files(conclusion(report::Material::silicone_sponge, 0.81, Eye::left), patient, "Seen for double vision.", 3);
    ASSERT_TRUE(one.ok());
    ASSERT_TRUE(other.ok());
    EXPECT_EQ(by_path(one), by_path(other));
    EXPECT_TRUE(by_path(one).contains("question/question.html"));
}

TEST(Question, answers_differ_with_the_conclusion_and_are_marked_right) {
    const auto asked = questions(3);
    const auto right_text = [&](const report::ReportModel& model, std::size_t question) {
        const AnswerKey key = answer_keys(asked, model)[question];
        return key.right.size() == 1 ? asked[question].choices[key.right.front()].text : std::string("several");
    };
    EXPECT_EQ(right_text(conclusion(report::Material::hydrogel, 0.97, Eye::right), 0), "A hydrogel explant (a polymer that takes up water)");
    EXPECT_EQ(right_text(conclusion(report::Material::silicone_sponge, 0.97, Eye::right), 0), "A silicone sponge");
    EXPECT_EQ(right_text(conclusion(report::Material::silicone_sponge, 0.97, Eye::right), 1), "No explant that these images show");
}

TEST(Question, order_of_answers_follows_the_seed_and_none_gets_lost) {
    const auto texts = [](std::uint64_t seed) {
        std::vector<std::string> out;
        for (const Question& q : questions(seed))
            for (const Choice& c : q.choices) out.push_back(q.id + c.text);
        return out;
    };
    EXPECT_EQ(texts(1), texts(1));
    EXPECT_NE(texts(1), texts(2));
    auto one = texts(1), two = texts(2);
    std::sort(one.begin(), one.end()), std::sort(two.begin(), two.end());
    EXPECT_EQ(one, two);
}

TEST(Question, every_page_carries_the_caution) {
    const PatientStudies patient = drawn_patient();
    const report::ReportModel model = conclusion(report::Material::hydrogel, 0.97, Eye::right);
    EXPECT_NE(by_path(question_files(model, patient, "", 1))["question/question.html"].find(caution), std::string::npos);
    EXPECT_NE(by_path(answer_files(model, "TEACH-1", 1))["answer/answer.html"].find(caution), std::string::npos);
}

TEST(Question, a_history_that_names_the_patient_is_known) {
    const PatientText name("Holm^Greta Anna"), id("AB-4711");
    EXPECT_TRUE(tells_who("Mrs holm was seen in spring.", name, id));
    EXPECT_TRUE(tells_who("Number ab-4711.", name, id));
    EXPECT_FALSE(tells_who("A woman of sixty with double vision.", name, id));
}

}  // namespace perisclera::teaching
