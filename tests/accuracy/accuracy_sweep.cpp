// SPDX-License-Identifier: Apache-2.0
// The accuracy sweep: draws patients, takes images, truth and report.json of each from the bank, compares them and writes docs/accuracy.md.
// Stopped and started again it goes on where it was. A patient that fails is told and left out of the document, which says how many are in it.
//   accuracy_sweep, with the options of tests/bank/sweep_options.h
#include <cstdio>
#include <iostream>

#include "accuracy_table.h"
#include "tests/bank/bank.h"
#include "tests/bank/running_table.h"
#include "tests/bank/sweep_options.h"

namespace {

using namespace perisclera;
using namespace perisclera::accuracy;

Result<Outcome> outcome_of(const DrawnPatient& patient, const bank::Bank& bank) {
    const auto truth = bank.truth_of(patient.scenario);
    if (!truth) return truth.error();
    const auto report = bank.report_of(patient.scenario);
    if (!report) return report.error();
    return compare(patient, report.value(), truth.value());
}

}  // namespace

int main(int argc, char** argv) {
    CLI::App command("Accuracy of identify on drawn patients");
    bank::SweepOptions options{.patients = 72, .seed = 1};
    bank::add_sweep_options(command, options);
    if (const auto status = bank::ends_at_command_line(command, argc, argv, std::cerr)) return *status;

    const bank::Bank bank(bank::usual_root(), PERISCLERA_PROGRAM);
    const std::vector<int> numbers = options.numbers();
    bank::RunningTable table(std::cerr, numbers.size());
    std::vector<Outcome> outcomes;
    for (const int number : numbers) {
        const DrawnPatient patient = with_room(draw_patient(options.seed, number));
        const Result<Outcome> outcome = outcome_of(patient, bank);
        if (!outcome) {
            table.add("patient " + std::to_string(number) + ": " + one_line(outcome.error()));
            continue;
        }
        outcomes.push_back(outcome.value());
        const std::string folder = bank.images_of(patient.scenario).value().parent_path().filename().string();
        table.add(row_of(outcomes.back()) + "  " + folder.substr(0, 12));  // enough to find it in the bank
    }
    if (const auto written = bank::write_document(options.out, accuracy_document(outcomes, about_synthesised(outcomes.size(), options.seed))); !written) {
        std::cerr << one_line(written.error()) << '\n';
        return 1;
    }
    return outcomes.size() == numbers.size() ? 0 : 1;
}
