// SPDX-License-Identifier: Apache-2.0
// The alignment sweep: draws pairs of series of one patient between which head and eyes turn, takes their images from the bank, carries each eye from the first
// to the second by its own frame and by a stock registration, and writes docs/alignment.md. Stopped and started again it goes on where it was.
//   alignment_sweep, with the options of tests/bank/sweep_options.h; a patient is a pair
#include <ctime>
#include <iostream>

#include "alignment_table.h"
#include "drawn_scan.h"
#include "perisclera/alignment/one_frame.h"
#include "rigid_registration.h"
#include "tests/bank/running_table.h"
#include "tests/bank/sweep_options.h"
#include "visit_series.h"

namespace {

using namespace perisclera;
using namespace perisclera::globes;

/// Of the processor: others may use the machine as well.
class Stopwatch {
public:
    [[nodiscard]] double seconds() const { return static_cast<double>(std::clock() - start_) / CLOCKS_PER_SEC; }

private:
    std::clock_t start_ = std::clock();
};

std::vector<Stratum> strata_of_pair(const phantoms::Timepoint& visit, double turned_deg) {
    const phantoms::Series &first = visit.series[0], &second = visit.series[1];
    const auto thin = [](const phantoms::Series& s) { return s.slice_thickness_mm <= 1.5; };
    return {{"all", "all"},
            {"contrasts", contrast_of(first) + " and " + contrast_of(second)},
            {"planes", std::string(name(first.plane)) + " and " + std::string(name(second.plane))},
            {"slices", thin(first) && thin(second) ? "both to 1.5 mm" : thin(first) || thin(second) ? "one of 2 to 3 mm" : "two of 3 mm"},
            {"eye turned", turned_deg <= 10.0 ? "0 to 10 degrees" : turned_deg <= 20.0 ? "10 to 20 degrees" : "more than 20 degrees"}};
}

std::optional<Globe> globe_in(const SeriesViews& views, Eye eye) {
    const auto& view = views.eye[phantoms::index_of(eye)];
    return view ? std::optional(view->block.globe()) : std::nullopt;
}

PairRow row_of_pair(int number, const ReadVisit& visit, const ImageSeries& first, const ImageSeries& second) {
    PairRow row{number, {}, 0.0, {}, {}, {}, {}, {}, {}};
    const Stopwatch whole;
    const SeriesViews views_first = view_series(first, 0), views_second = view_series(second, 1);
    row.own.seconds = whole.seconds();
    std::array<std::optional<Result<AlignedEye>>, 2> aligned;
    for (const std::size_t eye : {0u, 1u})
        if (views_first.eye[eye] && views_second.eye[eye]) aligned[eye] = align_eye(in_series(*views_first.eye[eye], first.grid()), in_series(*views_second.eye[eye], second.grid()));
    row.together.seconds = row.together_of_true_globes.seconds = whole.seconds();
    const Stopwatch itk;
    const auto registered = rigid_registration(first.grid(), second.grid());
    row.itk.seconds = itk.seconds();
    for (const Eye eye : both_eyes) {
        const auto from = true_eye(visit.truth, visit.truth.series[0], eye), to = true_eye(visit.truth, visit.truth.series[1], eye);
        if (!from || !to) continue;
        row.turned_deg = std::max(row.turned_deg, turn_between(*from, *to));
        const auto a = globe_in(views_first, eye), b = globe_in(views_second, eye);
        const auto& brought = aligned[phantoms::index_of(eye)];
        row.own.eyes.push_back(a && b ? std::optional(error_of(mapping_between(a->frame, b->frame), *from, *to)) : std::nullopt);
        row.together.eyes.push_back(brought && *brought ? std::optional(error_of(mapping_between(a->frame, brought->value().frame), *from, *to)) : std::nullopt);
        if (brought && *brought) row.residual_mm.push_back(brought->value().residual.value());
        if (brought && !*brought) row.refusals.push_back(brought->error().what);
        if (sighting_of(a, from, {}) == Sighting::found && sighting_of(b, to, {}) == Sighting::found) row.together_of_true_globes.eyes.push_back(row.together.eyes.back());
        row.itk.eyes.push_back(registered ? std::optional(error_of(*registered, *from, *to)) : std::nullopt);
    }
    row.strata = strata_of_pair(visit.truth, row.turned_deg);
    return row;
}

}  // namespace

int main(int argc, char** argv) {
    CLI::App command("One eye brought from one series to another");
    bank::SweepOptions options{.patients = 40, .seed = 1};
    bank::add_sweep_options(command, options);
    if (const auto status = bank::ends_at_command_line(command, argc, argv, std::cerr)) return *status;

    const bank::Bank bank(bank::usual_root(), {});
    const std::vector<int> numbers = options.numbers();
    bank::RunningTable table(std::cerr, numbers.size());
    std::vector<PairRow> rows;
    for (const int number : numbers) {
        const auto visit = read_visit(bank, draw_pair(options.seed, number));
        if (!visit || !visit.value().series[0] || !visit.value().series[1]) {
            table.add("pair " + std::to_string(number) + ": " + (visit ? "a series was not read" : one_line(visit.error())));
            continue;
        }
        rows.push_back(row_of_pair(number, visit.value(), *visit.value().series[0], *visit.value().series[1]));
        table.add(row_of(rows.back()));
    }
    if (const auto written = bank::write_document(options.out, alignment_document(rows, {options.seed, rows.size()})); !written) {
        std::cerr << one_line(written.error()) << '\n';
        return 1;
    }
    return rows.size() == numbers.size() ? 0 : 1;
}
