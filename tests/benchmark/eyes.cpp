// SPDX-License-Identifier: Apache-2.0
#include "tests/benchmark/eyes.h"

#include <stdexcept>

#include "perisclera/alignment/eye_alignment.h"
#include "tests/benchmark/contest.h"
#include "tests/globes/drawn_scan.h"
#include "tests/globes/rigid_registration.h"
#include "tests/globes/visit_series.h"

namespace perisclera::test {

namespace {

using namespace perisclera::globes;

void must_hold(bool holds, const std::string& what) {
    if (!holds) throw std::runtime_error(what);
}

std::array<Globe, 2> both_globes(const ImageSeries& series) {
    auto found = globes_in(series);
    must_hold(found[0] && found[1], "a globe was not found");
    return {std::move(*found[0]), std::move(*found[1])};
}

}  // namespace

std::string eye_rows(int rounds) {
    const bank::Bank bank(bank::usual_root(), {});
    constexpr std::uint64_t seed = 1;
    std::string rows;
    for (const auto& [number, name] : {std::pair{18, "CT and T2"}, std::pair{1, "CT and T1, coronal"}, std::pair{21, "T1 and T2"}}) {
        const auto visit = read_visit(bank, draw_pair(seed, number));
        must_hold(static_cast<bool>(visit), "the visit of " + std::string(name) + " could not be read" + (visit ? "" : ": " + one_line(visit.error())));
        must_hold(visit.value().series.at(0) && visit.value().series.at(1), "a series of " + std::string(name) + " is missing");
        const ImageSeries &first = *visit.value().series[0], &second = *visit.value().series[1];
        const std::array<Globe, 2> from = both_globes(first), to = both_globes(second);
        const auto align = [&] {
            for (const std::size_t eye : {0u, 1u}) {
                const auto brought = align_eye({first.grid(), first.description.modality, from[eye]}, {second.grid(), second.description.modality, to[eye]});
                must_hold(static_cast<bool>(brought), std::string(name) + ": " + (brought ? "" : one_line(brought.error())));
            }
        };
        const auto registered = [&] { must_hold(rigid_registration(first.grid(), second.grid()).has_value(), "the two series were not registered"); };
        std::vector<Contestant> contestants{{"globes and frames of the first", [&] { both_globes(first); }, {}}, {"alignment", align, {}}, {"ITK registration", registered, {}}};
        run_in_turn(contestants, [] {}, rounds);
        print_times(name, contestants);
        rows += ratio_rows(name, contestants, 2);
    }
    return rows;
}

}  // namespace perisclera::test
