// SPDX-License-Identifier: Apache-2.0
// The globe sweep: draws patients of two series each, takes their images from the bank, finds and fits the globes, compares them with the shapes drawn and writes
// docs/globes.md. Stopped and started again it goes on where it was. A series that is not read counts as one in which nothing was found.
//   globe_sweep, with the options of tests/bank/sweep_options.h
#include <iostream>

#include "drawn_scan.h"
#include "globe_table.h"
#include "tests/bank/running_table.h"
#include "tests/bank/sweep_options.h"
#include "visit_series.h"

namespace {

using namespace perisclera;
using namespace perisclera::globes;

/// Of one series: a row for each eye.
std::vector<GlobeRow> rows_of(int number, const ReadVisit& visit, std::size_t which, const nlohmann::json& anatomy) {
    const phantoms::Series& truth = visit.truth.series[which];
    std::array<std::optional<Globe>, 2> said;
    if (visit.series[which]) said = globes_in(*visit.series[which]);
    const VolumeGeometry images = series_geometry(truth, phantoms::HeadPose(truth)).value();
    const std::array<std::optional<TrueEye>, 2> eyes{true_eye(visit.truth, truth, Eye::right), true_eye(visit.truth, truth, Eye::left)};
    std::vector<GlobeRow> rows;
    for (const Eye eye : both_eyes) {
        const std::size_t i = phantoms::index_of(eye);
        GlobeRow row{number, which, eye, strata_of(visit.truth, truth, eye, anatomy[std::string(name(eye))]), eyes[i] ? share_held(*eyes[i], images) : 0.0,
                     sighting_of(said[i], eyes[i], eyes[1 - i]), std::nullopt, std::nullopt};
        if (said[i] && eyes[i]) row.off_mm = length(said[i]->frame.origin() - eyes[i]->centre());
        if (row.sighting == Sighting::found) row.errors = errors_of(*said[i], *eyes[i]);
        rows.push_back(std::move(row));
    }
    return rows;
}

}  // namespace

int main(int argc, char** argv) {
    CLI::App command("Globes found and fitted in drawn patients");
    bank::SweepOptions options{.patients = 160, .seed = 1};
    bank::add_sweep_options(command, options);
    if (const auto status = bank::ends_at_command_line(command, argc, argv, std::cerr)) return *status;

    const bank::Bank bank(bank::usual_root(), {});
    const std::vector<int> numbers = options.numbers();
    constexpr std::size_t series_each = 2;
    bank::RunningTable table(std::cerr, 2 * series_each * numbers.size());
    std::vector<GlobeRow> rows;
    bool complete = true;
    for (const int number : numbers) {
        const std::string scenario = draw_patient(options.seed, number);
        const auto visit = read_visit(bank, scenario);
        if (!visit) {
            table.add("patient " + std::to_string(number) + ": " + one_line(visit.error()));
            complete = false;
            continue;
        }
        for (std::size_t which = 0; which < visit.value().series.size(); ++which)
            for (GlobeRow& row : rows_of(number, visit.value(), which, nlohmann::json::parse(scenario)["anatomy"])) {
                table.add(row_of(row));
                rows.push_back(std::move(row));
            }
    }
    if (const auto written = bank::write_document(options.out, globes_document(rows, {options.seed, numbers.size()})); !written) {
        std::cerr << one_line(written.error()) << '\n';
        return 1;
    }
    return complete ? 0 : 1;
}
