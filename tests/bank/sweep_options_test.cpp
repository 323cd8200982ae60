// SPDX-License-Identifier: Apache-2.0
// The command line of a sweep: what it takes, and that it refuses the rest in words.
#include <gtest/gtest.h>

#include <sstream>

#include "tests/bank/running_table.h"
#include "tests/bank/sweep_options.h"
#include "tests/support/test_folder.h"

namespace perisclera::bank {

struct Read {
    SweepOptions options{.patients = 10, .seed = 1};
    std::optional<int> status;
    std::string told;
};

Read read(std::vector<const char*> words) {
    Read read;
    CLI::App command("a sweep");
    add_sweep_options(command, read.options);
    words.insert(words.begin(), "sweep");
    std::ostringstream told;
    read.status = ends_at_command_line(command, static_cast<int>(words.size()), words.data(), told);
    read.told = told.str();
    return read;
}

using Numbers = std::vector<int>;

TEST(SweepOptions, without_options_every_patient_of_the_default_is_meant) {
    const Read line = read({});
    EXPECT_FALSE(line.status) << line.told;
    EXPECT_EQ(line.options.numbers(), (Numbers{0, 1, 2, 3, 4, 5, 6, 7, 8, 9}));
}

TEST(SweepOptions, the_shards_together_are_all_patients_once) {
    EXPECT_EQ(read({"--patients", "7", "--shard", "1/3"}).options.numbers(), (Numbers{0, 3, 6}));
    EXPECT_EQ(read({"--patients", "7", "--shard", "2/3"}).options.numbers(), (Numbers{1, 4}));
    EXPECT_EQ(read({"--patients", "7", "--shard", "3/3"}).options.numbers(), (Numbers{2, 5}));
}

TEST(SweepOptions, one_patient_can_be_asked_for_with_another_seed) {
    const Read line = read({"--only", "4", "--seed", "18446744073709551615"});
    EXPECT_FALSE(line.status) << line.told;
    EXPECT_EQ(line.options.numbers(), Numbers{4});
    EXPECT_EQ(line.options.seed, 18446744073709551615u);
}

TEST(SweepOptions, a_leading_nought_makes_no_octal_number) { EXPECT_EQ(read({"--patients", "010"}).options.patients, 10); }

TEST(SweepOptions, the_last_out_counts) { EXPECT_EQ(read({"--out", "a.md", "--out", "b.md"}).options.out, "b.md"); }

TEST(SweepOptions, whatever_is_wrong_ends_with_2_and_names_the_word) {
    const std::vector<std::pair<std::vector<const char*>, std::string>> wrong{
        {{"--patient", "3"}, "--patient"},       {{"12"}, "12"},                              {{"--patients"}, "--patients"},
        {{"--patients", "0"}, "--patients"},     {{"--patients", "six"}, "--patients"},       {{"--patients", "6x"}, "--patients"},
        {{"--seed", "-1"}, "--seed"},            {{"--seed", "18446744073709551616"}, "--seed"}, {{"--seed", "1.5"}, "--seed"},
        {{"--shard", "0/2"}, "--shard"},
        {{"--shard", "3/2"}, "--shard"},         {{"--shard", "1"}, "--shard"},               {{"--shard", "1/2x"}, "--shard"},
        {{"--shard", "1/0"}, "--shard"},         {{"--only", "-1"}, "--only"},                {{"--only", "10"}, "--only"},
        {{"--only", "1", "--shard", "1/2"}, "--shard"}, {{"--out", "no/such/folder/a.md"}, "--out"}, {{"--patients", "3", "--patients", "4"}, "--patients"},
    };
    for (const auto& [words, named] : wrong) {
        const Read line = read(words);
        EXPECT_EQ(line.status, 2) << named;
        EXPECT_NE(line.told.find(named), std::string::npos) << line.told;
    }
}

TEST(SweepOptions, the_document_goes_to_the_file_named) {
    const test::TestFolder folder;
    const std::filesystem::path file = folder.path() / "a.md";
    ASSERT_TRUE(write_document(file, "# Text\n"));
    EXPECT_EQ(test::read_bytes(file), "# Text\n");
    EXPECT_EQ(write_document(folder.path() / "none" / "a.md", "").error().code, ErrorCode::output_failed);
}

TEST(RunningTable, rows_are_counted_as_they_come) {
    std::ostringstream shown;
    RunningTable table(shown, 2);
    table.add("| a |");
    EXPECT_EQ(shown.str(), "1 of 2  | a |\n");
    table.add("| b |");
    EXPECT_EQ(shown.str(), "1 of 2  | a |\n2 of 2  | b |\n");
}

}  // namespace perisclera::bank
