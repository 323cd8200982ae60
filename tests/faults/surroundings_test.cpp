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

/// Sanitizers are told by the environment not to look for leaks, which the font library's caches would be.
Words emptied() {
    Words words{"/usr/bin/env", "-i"};
    if (sanitized) words.emplace_back("ASAN_OPTIONS=detect_leaks=0");
    return words;
}

}  // namespace

PERISCLERA_FAULT(16, Surroundings, another_time_zone_changes_nothing, "other time zones",
                 "whole") {
    for (const char* zone : {"TZ=UTC-14", "TZ=UTC+12", "TZ=America/St_Johns", "TZ=nonsense"}) expect_same({"/usr/bin/env", zone});
}

PERISCLERA_FAULT(18, Surroundings, a_wrong_clock_changes_nothing, "the clock runs backwards, 54 years behind, 76 or 285 years ahead",
                 "whole: dates come from the images alone, but for when a filed object was made, which is stated here") {
    // 1970, a century on, and beyond what 32 bits of seconds hold.
    for (const char* clock : {"FAULT_CLOCK=-1700000000", "FAULT_CLOCK=2400000000", "FAULT_CLOCK=9000000000"}) {
        EXPECT_EQ(run_with_faults({clock}, identify()).status, 4) << clock;
        expect_whole(clock);
        fs::remove_all(out());
    }
}

PERISCLERA_FAULT(19, Surroundings, an_empty_environment_changes_nothing, "an empty environment",
                 "whole") { expect_same(emptied()); }

PERISCLERA_FAULT(19, Surroundings, folders_that_are_not_there_change_nothing, "no home, no place for temporary files, no dictionary of DICOM attributes where the environment names one",
                 "whole") {
    expect_same({"/usr/bin/env", "HOME=/nowhere", "TMPDIR=/nowhere", "XDG_CACHE_HOME=/nowhere", "XDG_CONFIG_HOME=/nowhere", "DCMDICTPATH=/nowhere/dicom.dic"});
    Words full = emptied();
    full.emplace_back("TMPDIR=/dev/full");
    expect_same(full);
}

}  // namespace perisclera::test
