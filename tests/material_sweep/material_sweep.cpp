// SPDX-License-Identifier: Apache-2.0
// The material sweep: draws patients, takes images, truth and report.json of each from the bank, compares them; draws measurements and has them judged; writes
// docs/material.md. Stopped and started again it goes on where it was. A patient that fails is told and left out of the document, which says how many bodies are in it.
//   material_sweep, with the options of tests/bank/sweep_options.h, and
//   --measurements N   how many bodies are drawn as measurements; those of a shard, or of one patient, are none unless asked for
//   --measurements-alone   no patients
#include <iostream>

#include "image_outcome.h"
#include "material_document.h"
#include "measured_outcome.h"
#include "tests/bank/bank.h"
#include "tests/bank/running_table.h"
#include "tests/bank/sweep_options.h"

namespace {

using namespace perisclera;
using namespace perisclera::material_sweep;

Result<std::vector<JudgedBody>> outcome_of(const DrawnBodies& patient, const bank::Bank& bank) {
    const auto truth = bank.truth_of(patient.scenario);
    if (!truth) return truth.error();
    const auto report = bank.report_of(patient.scenario);
    if (!report) return report.error();
    return compare(patient, report.value(), truth.value());
}

/// Whether all patients could be had.
bool take_patients(const bank::SweepOptions& options, int patients, std::vector<JudgedBody>& bodies) {
    const bank::Bank bank(bank::usual_root(), PERISCLERA_PROGRAM);
    std::vector<int> numbers = options.numbers();
    std::erase_if(numbers, [&](int number) { return number >= patients; });
    bank::RunningTable table(std::cerr, numbers.size());
    bool all = true;
    for (const int number : numbers) {
        const auto outcome = outcome_of(draw_bodies(options.seed, number), bank);
        if (!outcome) {
            table.add("patient " + std::to_string(number) + ": " + one_line(outcome.error()));
            all = false;
            continue;
        }
        std::string row;
        for (const JudgedBody& body : outcome.value()) row += (row.empty() ? "" : "\n        ") + row_of(body);
        table.add(row);
        bodies.insert(bodies.end(), outcome.value().begin(), outcome.value().end());
    }
    return all;
}

void take_measurements(std::uint64_t seed, int measurements, std::vector<JudgedBody>& bodies) {
    TrueSignals signals;
    for (int number = 0; number < measurements; ++number) bodies.push_back(judge(draw_measurement(seed, number, signals), number, signals));
}

}  // namespace

int main(int argc, char** argv) {
    CLI::App command("Materials of drawn bodies, and their probabilities");
    bank::SweepOptions options{.patients = 210, .seed = 1};
    int measurements = -1;
    bool measurements_alone = false;
    command.add_option("--measurements", measurements, "how many bodies are drawn as measurements")->check(CLI::Range(0, 100'000));
    command.add_flag("--measurements-alone", measurements_alone, "no patients");
    bank::add_sweep_options(command, options);
    if (const auto status = bank::ends_at_command_line(command, argc, argv, std::cerr)) return *status;
    if (measurements < 0) measurements = options.shards > 1 || options.only ? 0 : 6000;

    std::vector<JudgedBody> bodies;
    const bool all = take_patients(options, measurements_alone ? 0 : options.patients, bodies);
    take_measurements(options.seed, measurements, bodies);
    if (const auto written = bank::write_document(options.out, material_document(bodies, options.seed)); !written) {
        std::cerr << one_line(written.error()) << '\n';
        return 1;
    }
    return all ? 0 : 1;
}
