// SPDX-License-Identifier: Apache-2.0
// Enters one patient after the other until it is killed, and acknowledges each once it stands in the register, by its key on a line of its own.
//   register_writer FILE FIRST
#include <cstdio>
#include <cstdlib>

#include "perisclera/register/patient_register.h"
#include "tests/support/register_entries.h"

int main(int argc, char** argv) {
    using namespace perisclera;
    if (argc != 3) return 2;
    auto opened = PatientRegister::open_or_make(argv[1], {3});
    if (!opened) {
        std::fprintf(stderr, "%s\n", one_line(opened.error()).c_str());
        return exit_status(opened.error().code);
    }
    for (int number = std::atoi(argv[2]);; ++number) {
        const RegisterEntry entry = test::drawn_entry(number);
        const auto entered = opened.value().enter(entry);
        const std::string key = opened.value().key_of(entry.patient_id, entry.patient_id_issuer);
        const auto reviewed = entered ? opened.value().review(key, {"writer", {}, {}}) : Result<bool>(entered.error());
        if (!reviewed) {
            std::fprintf(stderr, "%s\n", one_line(reviewed.error()).c_str());
            return exit_status(reviewed.error().code);
        }
        std::printf("%s\n", key.c_str());
        std::fflush(stdout);
    }
}
