// SPDX-License-Identifier: Apache-2.0
#include "tests/benchmark/clinic_list.h"

#include <algorithm>
#include <stdexcept>

#include "perisclera/register/patient_register.h"
#include "tests/benchmark/contest.h"
#include "tests/support/child_process.h"
#include "tests/support/register_entries.h"
#include "tests/support/test_folder.h"

namespace perisclera::test {

namespace {

constexpr int patients = 10'000;

void fill(const std::filesystem::path& file) {
    auto made = PatientRegister::open_or_make(file, {5});
    for (int number = 0; made && number < patients; ++number)
        if (!made.value().enter(drawn_entry(number))) throw std::runtime_error("an entry was refused");
    if (!made) throw std::runtime_error(made.error().what);
}

/// `other_lines`: those that tell no patient.
void must_list_all(const std::vector<std::string>& command, long other_lines) {
    const Ended ended = run_child(command);
    if (ended.status != 0 || std::count(ended.output_text.begin(), ended.output_text.end(), '\n') != patients + other_lines) throw std::runtime_error("not all patients are listed");
}

}  // namespace

std::string clinic_list_rows(int rounds) {
    const TestFolder folder;
    // In memory, where there is such a folder: ten thousand entries on disk take minutes.
    const std::filesystem::path in_memory = "/dev/shm/perisclera_benchmark_register", copy = folder.path() / "register";
    const bool memory = std::filesystem::is_directory("/dev/shm");
    std::filesystem::remove(in_memory);
    fill(memory ? in_memory : copy);
    if (memory) {
        std::filesystem::copy_file(in_memory, copy);
        std::filesystem::remove(in_memory);
    }
    const std::string plain =
        "import sqlite3, sys\n"
        "c = sqlite3.connect(sys.argv[1])\n"
        "for row in c.execute('SELECT patient.key, simulated, last_scan, reviewed_by, reviewed_on, next_contact, element.* FROM patient LEFT JOIN element ON patient = patient.id "
        "ORDER BY rate DESC NULLS LAST, key'): print(*row)\n";
    std::vector<Contestant> contestants{
        {"table", [&] { must_list_all({PERISCLERA_PROGRAM, "track", "--register", copy.string(), "--sort", "rate"}, 4); }, {}},
        {"Python's sqlite3", [&] { must_list_all({"/usr/bin/python3", "-c", plain, copy.string()}, 0); }, {}},
    };
    run_in_turn(contestants, [] {}, rounds);
    const std::string work = "clinic list of 10,000 patients";
    print_times(work, contestants);
    return ratio_rows(work, contestants, 1);
}

}  // namespace perisclera::test
