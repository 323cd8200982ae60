// SPDX-License-Identifier: Apache-2.0
// The surroundings of a run have no say in its result: clock, time zone, environment, folders that are not there. Expected: the bytes
// of a run among usual surroundings.
#include "tests/faults/faulty_run.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

class Surroundings : public FaultyRun {
protected:
    void expect_same(const Words& before_program) const {
        Words words = before_program;
        words.push_back(PERISCLERA_PROGRAM);
        const Words arguments = identify();
        words.insert(words.end(), arguments.begin(), arguments.end());
        const Ended ended = run_child(words);
        std::string told;
        for (const std::string& word : before_program) told += word + " ";
        EXPECT_EQ(ended.status, 4) << told << ended.error_text;
        expect_whole(told);
        fs::remove_all(out());
    }
};

const InTable order{{16,
                     {"Files come in another order and under other names; another locale, time zone or number of threads", "loops over each",
                      "the same output to the byte"},
                     {"Repeatability.two_runs_and_another_thread_count_give_the_same_bytes", "Repeatability.other_file_names_and_order_give_the_same_bytes",
                      "Repeatability.a_locale_with_comma_decimals_gives_the_same_bytes", "BadInput.a_locale_with_comma_decimals_changes_no_byte",
                      "Surroundings.another_time_zone_changes_nothing"}}};

const InTable doubles{{17,
                       {"Instances stand twice among the inputs, folders of several patients are mixed", "copies of slices with the same and with other pixels; two patients",
                        "copies are dropped with a note; a contradiction is refused; one patient has to be chosen"},
                       {"BadInput.one_identifier_twice", "BadInput.two_slices_at_one_place", "BadInput.two_patients_together"}}};

const InTable clock{{18,
                     {"The clock is wrong, runs backwards, or stands in the year 2100", "every look at the clock gets another answer",
                      "the same output to the byte: dates come from the images alone"},
                     {"Surroundings.a_wrong_clock_changes_nothing"}}};

const InTable empty{{19,
                     {"No home, no room for temporary files, no data dictionary of the DICOM library, an empty environment", "`env -i`, variables that name what is not there",
                      "the same output to the byte"},
                     {"Surroundings.an_empty_environment_changes_nothing", "Surroundings.folders_that_are_not_there_change_nothing"}}};

}  // namespace

TEST_F(Surroundings, another_time_zone_changes_nothing) {
    for (const char* zone : {"TZ=UTC-14", "TZ=UTC+12", "TZ=America/St_Johns", "TZ=nonsense"}) expect_same({"/usr/bin/env", zone});
}

TEST_F(Surroundings, a_wrong_clock_changes_nothing) {
    // 1970, a century on, and beyond what 32 bits of seconds hold.
    for (const char* clock : {"FAULT_CLOCK=-1700000000", "FAULT_CLOCK=2400000000", "FAULT_CLOCK=9000000000"}) {
        EXPECT_EQ(run_with_faults({clock}, identify()).status, 4) << clock;
        expect_whole(clock);
        fs::remove_all(out());
    }
}

TEST_F(Surroundings, an_empty_environment_changes_nothing) { expect_same({"/usr/bin/env", "-i"}); }

TEST_F(Surroundings, folders_that_are_not_there_change_nothing) {
    expect_same({"/usr/bin/env", "HOME=/nowhere", "TMPDIR=/nowhere", "XDG_CACHE_HOME=/nowhere", "XDG_CONFIG_HOME=/nowhere", "DCMDICTPATH=/nowhere/dicom.dic"});
    expect_same({"/usr/bin/env", "-i", "TMPDIR=/dev/full"});
}

}  // namespace perisclera::test
