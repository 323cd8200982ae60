// SPDX-License-Identifier: Apache-2.0
// A few of the damages that docs/damage.md counts: none may crash, hang, take a gigabyte, or be read silently although something
// contradicts it. What is expected of a damage was settled from the standard's redundancies, not from what the program does.
#include <gtest/gtest.h>

#include "tests/damage/damage_table.h"

namespace perisclera::test {
namespace {

class Damaged : public ::testing::Test {
protected:
    static DamageRun& run() {
        static DamageRun run(make_subjects());
        return run;
    }
    static void expect_harmless(std::uint64_t index, const Damage& damage) {
        const Result result = run().result(index, damage);
        const Outcome outcome = result.judgement.outcome;
        const bool bad = outcome == Outcome::silent || outcome == Outcome::crashed || outcome == Outcome::hung || outcome == Outcome::too_much_memory;
        EXPECT_FALSE(bad) << run().subjects()[damage.subject].name << ", file " << damage.file << ", byte " << damage.byte << ", bit " << damage.bit << ": " << name(outcome)
                          << ' ' << result.judgement.differs;
    }
    /// The first bit of the byte that follows `before` in the first damaged file of a subject.
    static Judgement after_flip_behind(std::size_t subject, const std::string& before, std::size_t further) {
        Damage damage{subject, run().subjects()[subject].damaged.front(), 0, 0};
        const std::string& bytes = run().subjects()[subject].files[damage.file].bytes;
        damage.byte = bytes.find(before) + before.size() + further;
        return run().result(0, damage).judgement;
    }
};

TEST_F(Damaged, by_a_bit_is_told_where_something_contradicts_it) {
    for (std::uint64_t i = 0; i < 300; ++i) expect_harmless(i, flip(run().subjects(), 77, i));
}

TEST_F(Damaged, by_a_cut_is_told) {
    const auto all = cuts(run().subjects());
    for (std::size_t i = 0; i < all.size(); i += 6) {
        const Outcome outcome = run().result(i, all[i]).judgement.outcome;
        EXPECT_TRUE(outcome == Outcome::refused || outcome == Outcome::warned) << i << ' ' << name(outcome);
    }
}

// That the judgement tells the outcomes apart.
TEST_F(Damaged, is_judged_by_what_was_hit) {
    const std::string intercept("\x28\x00\x52\x10" "DS", 6), pixels("\xE0\x7F\x10\x00OW", 6), sex("\x10\x00\x40\x00" "CS", 6), spacing("\x28\x00\x30\x00" "DS", 6);
    EXPECT_EQ(after_flip_behind(0, intercept, 2 + 4).outcome, Outcome::warned) << "-1024 becomes -1025";
    EXPECT_EQ(after_flip_behind(0, spacing, 2 + 1).outcome, Outcome::refused) << "0.5 becomes 0/5, and a slice in the middle is missing";
    EXPECT_EQ(after_flip_behind(0, pixels, 6 + 40).outcome, Outcome::other_voxels);
    EXPECT_EQ(after_flip_behind(0, sex, 2).outcome, Outcome::same) << "not read";
    const std::string voltage("\x18\x00\x60\x00" "DS", 6);
    const Judgement once = after_flip_behind(5, voltage, 2);
    EXPECT_EQ(once.outcome, Outcome::stated_once) << "120 becomes 020";
    EXPECT_TRUE(once.differs.ends_with("tube voltage")) << once.differs;
}

TEST_F(Damaged, judging_does_not_take_silence_for_sameness) {
    Reading whole, other;
    whole.end = other.end = Reading::End::finished;
    whole.content = {{"series 1 slice 0 scale", "1 -1024 "}, {"series 1 origin (tolerant)", "0 0 1 "}};
    other.content = whole.content;
    EXPECT_EQ(judge(whole, other, true).outcome, Outcome::same);
    other.content["series 1 origin (tolerant)"] = "0 0 1.005 ";
    EXPECT_EQ(judge(whole, other, true).outcome, Outcome::same);
    other.content["series 1 origin (tolerant)"] = "0 0 1.05 ";
    EXPECT_EQ(judge(whole, other, true).outcome, Outcome::silent);
    other.told = {"GAP_IN_STACK slices are missing"};
    EXPECT_EQ(judge(whole, other, true).outcome, Outcome::warned);
    other.end = Reading::End::crashed;
    EXPECT_EQ(judge(whole, other, true).outcome, Outcome::crashed);
}

}  // namespace
}  // namespace perisclera::test
