// SPDX-License-Identifier: Apache-2.0
// Draws the images of the material sweep into the bank and asks no program of them: what takes longest, and stays as it is while the program changes.
//   draw_material_images, with the options of tests/bank/sweep_options.h
#include <iostream>

#include "drawn_bodies.h"
#include "tests/bank/bank.h"
#include "tests/bank/running_table.h"
#include "tests/bank/sweep_options.h"

int main(int argc, char** argv) {
    using namespace perisclera;
    CLI::App command("Images of the material sweep");
    bank::SweepOptions options{.patients = 210, .seed = 1};
    bank::add_sweep_options(command, options);
    if (const auto status = bank::ends_at_command_line(command, argc, argv, std::cerr)) return *status;
    const bank::Bank bank(bank::usual_root(), {});
    const std::vector<int> numbers = options.numbers();
    bank::RunningTable table(std::cerr, numbers.size());
    bool all = true;
    for (const int number : numbers) {
        const auto drawn = material_sweep::draw_bodies(options.seed, number);
        const auto images = bank.images_of(drawn.scenario);
        all = all && bool(images);
        table.add(std::to_string(number) + " " + drawn.series + ", " + drawn.kind[0] + ", " + drawn.kind[1] + ": " +
                  (images ? images.value().parent_path().filename().string().substr(0, 12) : one_line(images.error())));
    }
    return all ? 0 : 1;
}
