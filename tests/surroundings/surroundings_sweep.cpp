// SPDX-License-Identifier: Apache-2.0
// Distances of drawn elements from the air before the eye and from bone, against the truth of the drawn shapes: the patients of the accuracy sweep,
// images and reports from the bank. Prints a table and how many intervals hold.
//   surroundings_sweep, with the options of tests/bank/sweep_options.h
#include <cmath>
#include <cstdio>
#include <iostream>
#include <map>

#include "tests/accuracy/drawn_patient.h"
#include "tests/bank/bank.h"
#include "tests/bank/running_table.h"
#include "tests/bank/said.h"
#include "tests/bank/sweep_options.h"
#include "true_surroundings.h"

namespace {

using namespace perisclera;
using nlohmann::json;

std::string two(double v) {
    char text[32];
    std::snprintf(text, sizeof text, "%.2f", v);
    return text;
}

struct Count {
    int measured = 0, held = 0;
    double squares = 0.0, sum = 0.0, width = 0.0;
    void add(const bank::Said& said, double truth) {
        ++measured, held += said.holds(truth) ? 1 : 0;
        sum += said.value - truth, squares += (said.value - truth) * (said.value - truth), width += said.high - said.low;
    }
};

}  // namespace

int main(int argc, char** argv) {
    CLI::App command("Distances from surface and orbital wall on drawn patients");
    bank::SweepOptions options{.patients = 36, .seed = 1};
    bank::add_sweep_options(command, options);
    if (const auto status = bank::ends_at_command_line(command, argc, argv, std::cerr)) return *status;
    const bank::Bank bank(bank::usual_root(), PERISCLERA_PROGRAM);
    const std::vector<int> numbers = options.numbers();
    bank::RunningTable table(std::cout, numbers.size());
    std::map<std::string, Count> counts;
    for (const int number : numbers) {
        const accuracy::DrawnPatient patient = accuracy::with_room(accuracy::draw_patient(options.seed, number));
        const auto truth = bank.truth_of(patient.scenario), report = bank.report_of(patient.scenario);
        if (!truth || !report) {
            table.add(one_line(truth ? report.error() : truth.error()));
            continue;
        }
        const phantoms::Scenario scenario = phantoms::parse_scenario(patient.scenario).value();
        const phantoms::Timepoint& visit = scenario.timepoints.front();
        const json &true_visit = truth.value()["timepoints"][0], &said_visit = report.value()["timepoints"][0];
        std::string row = std::to_string(number) + " " + patient.element + ", " + patient.series + (patient.outside_assumptions ? ", outside" : "");
        for (const Eye eye : both_eyes) {
            const std::string which(name(eye));
            const json& elements = true_visit["eyes"][which]["elements"];
            if (elements.empty()) continue;
            for (const json& element : said_visit["eyes"][which]["elements"]) {
                if (!bank::at_the_place(element["clock_hours"], elements[0]["clock_hours"])) continue;
                std::size_t s = 0;
                while (true_visit["series"][s]["series_uid"] != element["measured_on"][0]) ++s;
                const surroundings::TrueSurroundings is = surroundings::true_surroundings(visit, visit.series[s], eye);
                const std::string on = visit.series[s].is_ct() ? "CT" : "MR";
                row += " | " + on + " slices " + two(visit.series[s].slice_thickness_mm);
                for (const auto& [key, value] : {std::pair{"surface", is.surface_mm}, {"orbital_wall", is.bone_mm}}) {
                    const json& quantity = element[std::string(key) + "_distance_mm"];
                    row += std::string(" | ") + key + " " + two(value) + " said ";
                    const auto said = bank::said(quantity);
                    if (!said) {
                        row += quantity["why"].get<std::string>();
                        continue;
                    }
                    counts[std::string(key) + " on " + on].add(*said, value);
                    row += two(said->value) + " (" + two(said->low) + " to " + two(said->high) + ")" + (said->holds(value) ? "" : " MISSED");
                }
                break;
            }
        }
        table.add(row + " | " + bank.images_of(patient.scenario).value().parent_path().filename().string().substr(0, 12));
    }
    for (const auto& [key, c] : counts)
        std::cout << key << ": " << c.held << " of " << c.measured << " intervals hold; mean error " << two(c.sum / c.measured)
                  << ", root mean square " << two(std::sqrt(c.squares / c.measured)) << ", mean width " << two(c.width / c.measured) << " mm\n";
    return 0;
}
