// SPDX-License-Identifier: Apache-2.0
// Blur by kernel. Expected: published frequencies of half modulation; the closed form of the documented sum of Gaussians (sigma = full width / 2.3548).
#include "phantoms/ct_kernel.h"

#include <gtest/gtest.h>

#include <cmath>

#include "phantoms/globe_shape.h"

namespace perisclera::phantoms {
namespace {

// J Appl Clin Med Phys 2018 (PMC6236841): soft 0.37, medium-sharp 0.71, bone 0.78 cycles/mm. Which modulation is meant is not said there: taken as half.
TEST(CtKernel, half_of_the_modulation_is_left_where_published) {
    EXPECT_NEAR(ct_blur(Kernel::soft).transfer(0.37), 0.5, 0.02);
    EXPECT_GT(ct_blur(Kernel::bone).transfer(0.71), 0.5);
    EXPECT_LT(ct_blur(Kernel::bone).transfer(0.78), 0.5);
}

TEST(CtKernel, the_edge_kernel_raises_middle_frequencies_and_leaves_the_mean) {
    const CtBlur edge = ct_blur(Kernel::edge);
    EXPECT_NEAR(edge.transfer(0.0), 1.0, 1e-12);
    EXPECT_GT(edge.transfer(0.3), 1.1);
    EXPECT_LT(edge.transfer(1.2), 0.2);
    for (const Kernel kernel : {Kernel::soft, Kernel::bone})
        for (double f = 0.05; f < 2.0; f += 0.05) EXPECT_LT(ct_blur(kernel).transfer(f), 1.0);
}

// A line one cell wide, filtered as an image is: the integral of the line spread over the cell's place, a difference of error functions.
TEST(CtKernel, a_line_spreads_as_asked) {
    constexpr double cell = 0.05;
    constexpr int cells_per_pixel = 2, count = 201;
    struct Documented {
        Kernel kernel;
        double sigma, surround, surround_sigma;
    };
    for (const Documented& d : {Documented{Kernel::soft, 1.2 / 2.3548, 0.0, 1.0}, {Kernel::bone, 0.6 / 2.3548, 0.0, 1.0}, {Kernel::edge, 0.7 / 2.3548, 0.8, 1.6 / 2.3548}}) {
        const auto filters = on_cells(ct_blur(d.kernel), cell, cells_per_pixel);
        const int taps = static_cast<int>(filters.front().taps.size());
        Image line(count + taps - 1, taps);
        for (int y = 0; y < taps; ++y) line.at(count / 2 + taps / 2, y) = 1.0f;
        const Image seen = filtered(line, filters, 1, count, 1);
        // The pixel's middle lies between two cells: this output is centred half a cell behind the line's.
        const auto within = [&](double sigma, double x) {
            return 0.5 * (std::erf((x + cell / 2) / (std::sqrt(2.0) * sigma)) - std::erf((x - cell / 2) / (std::sqrt(2.0) * sigma)));
        };
        const double highest = (1.0 + d.surround) * within(d.sigma, 0.0);
        for (int x = 0; x < count; ++x) {
            const double from_line = (x - count / 2 - 0.5) * cell;
            const double expected = (1.0 + d.surround) * within(d.sigma, from_line) - d.surround * within(d.surround_sigma, from_line);
            EXPECT_NEAR(static_cast<double>(seen.at(x, 0)), expected, 0.01 * highest) << from_line;
        }
    }
}

}  // namespace
}  // namespace perisclera::phantoms
