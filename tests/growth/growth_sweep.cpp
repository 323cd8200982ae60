// SPDX-License-Identifier: Apache-2.0
// The growth sweep: draws pairs of visits, takes images, truth and report.json of each patient from the bank, compares them and writes docs/growth.md.
// Stopped and started again it goes on where it was. A pair that fails is told and left out of the document, which says how many are in it.
//   growth_sweep, with the options of tests/bank/sweep_options.h; a patient is a pair
#include <iostream>

#include "growth_table.h"
#include "tests/bank/bank.h"
#include "tests/bank/running_table.h"
#include "tests/bank/sweep_options.h"

namespace {

using namespace perisclera;
using namespace perisclera::growth;

Result<PairOutcome> outcome_of(const DrawnPair& pair, const bank::Bank& bank) {
    const auto truth = bank.truth_of(pair.scenario);
    if (!truth) return truth.error();
    const auto report = bank.report_of(pair.scenario);
    if (!report) return report.error();
    return compare(pair, report.value(), truth.value());
}

}  // namespace

int main(int argc, char** argv) {
    CLI::App command("Change between two visits of drawn patients");
    bank::SweepOptions options{.patients = 96, .seed = 1};
    bank::add_sweep_options(command, options);
    if (const auto status = bank::ends_at_command_line(command, argc, argv, std::cerr)) return *status;

    const bank::Bank bank(bank::usual_root(), PERISCLERA_PROGRAM);
    const std::vector<int> numbers = options.numbers();
    bank::RunningTable table(std::cerr, numbers.size());
    std::vector<PairOutcome> outcomes;
    for (const int number : numbers) {
        const DrawnPair pair = draw_pair(options.seed, number);
        const Result<PairOutcome> outcome = outcome_of(pair, bank);
        if (!outcome) {
            table.add("pair " + std::to_string(number) + ": " + one_line(outcome.error()));
            continue;
        }
        outcomes.push_back(outcome.value());
        const std::string folder = bank.images_of(pair.scenario).value().parent_path().filename().string();
        table.add(row_of(outcomes.back()) + "  " + folder.substr(0, 12));  // enough to find it in the bank
    }
    if (const auto written = bank::write_document(options.out, growth_document(outcomes, options.seed)); !written) {
        std::cerr << one_line(written.error()) << '\n';
        return 1;
    }
    return outcomes.size() == numbers.size() ? 0 : 1;
}
