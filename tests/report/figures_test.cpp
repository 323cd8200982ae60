// SPDX-License-Identifier: Apache-2.0
// Pictures are decoded by png_to_pgm.py after the PNG standard and compared with closed forms.
#include "perisclera/report/figures.h"

#include <gtest/gtest.h>

#include "tests/report/example_report.h"
#include "tests/report/outside_check.h"

namespace perisclera::report {
namespace {

struct Decoded {
    std::size_t width = 0, height = 0;
    std::string grey;
    [[nodiscard]] int at(std::size_t x, std::size_t y) const { return static_cast<unsigned char>(grey.at(y * width + x)); }
};

Decoded decoded(const std::string& png) {
    const auto in = outside::written("picture.png", png), out = outside::written("picture.pgm", "");
    Decoded d;
    if (outside::run("png_to_pgm.py", in.string() + " " + out.string()) != 0) return d;
    std::ifstream file(out, std::ios::binary);
    std::string magic;
    int white = 0;
    file >> magic >> d.width >> d.height >> white;
    file.get();
    d.grey.assign(std::istreambuf_iterator<char>(file), {});
    return d;
}

/// A ramp from 0 at the first column to 1 at the last.
KeyImage ramp() {
    KeyImage k{.timepoint_id = "t1", .series_uid = "1.2", .eye = Eye::right, .plane = "axial", .note = "", .width = 33, .height = 20, .values = {},
               .window_low = 0.0f, .window_high = 1.0f, .pixel_size = Mm(1.0), .letters = {}, .outlines = {}, .marks = {}};
    for (std::size_t i = 0; i < k.width * k.height; ++i) k.values.push_back(static_cast<float>(i % k.width) / 32.0f);
    return k;
}

TEST(Figures, enlarging_a_ramp_gives_the_ramp) {
    const auto png = render_png(example::minimal(), ramp(), false);
    ASSERT_TRUE(png);
    const Decoded d = decoded(png.value());
    ASSERT_GT(d.width, 0u);
    // Cubic interpolation reproduces straight lines exactly; pixel x stands at (x + 1/2) / scale - 1/2 of the image.
    const double scale = static_cast<double>(d.width) / 33.0;
    for (std::size_t x = d.width / 8; x < d.width * 7 / 8; x += 37) {
        const double expected = 255.0 * ((static_cast<double>(x) + 0.5) / scale - 0.5) / 32.0;
        EXPECT_NEAR(d.at(x, 100), expected, 1.0) << x;
    }
}

TEST(Figures, scale_bar_is_as_long_as_it_says) {
    KeyImage k = ramp();
    std::fill(k.values.begin(), k.values.end(), 0.0f);  // black, so that white is the bar
    const auto png = render_png(example::minimal(), k, false);
    ASSERT_TRUE(png);
    const Decoded d = decoded(png.value());
    const double scale = static_cast<double>(d.width) / 33.0;
    std::size_t longest = 0;
    for (std::size_t y = 0; y < static_cast<std::size_t>(20.0 * scale) - 2; ++y) {
        std::size_t run = 0;
        for (std::size_t x = 0; x < d.width; ++x) {
            run = d.at(x, y) > 200 ? run + 1 : 0;
            longest = std::max(longest, run);
        }
    }
    // 33 mm across: the bar is 10 mm. Its end strokes add their own width.
    EXPECT_NEAR(static_cast<double>(longest), 10.0 * scale, 3.0);
}

TEST(Figures, outline_lies_where_its_points_are) {
    KeyImage k = ramp();
    std::fill(k.values.begin(), k.values.end(), 0.0f);
    k.outlines.push_back({.element_id = "", .points = {{5.0, 4.0}, {5.0, 15.0}}, .closed = false});
    const auto plain = render_png(example::minimal(), k, false), outlined = render_png(example::minimal(), k, true);
    ASSERT_TRUE(plain && outlined);
    const Decoded without = decoded(plain.value()), with = decoded(outlined.value());
    ASSERT_EQ(without.grey.size(), with.grey.size());
    const double scale = static_cast<double>(with.width) / 33.0, expected = 5.5 * scale;
    std::size_t changed = 0;
    for (std::size_t i = 0; i < with.grey.size(); ++i) {
        if (with.grey[i] == without.grey[i]) continue;
        ++changed;
        EXPECT_NEAR(static_cast<double>(i % with.width) + 0.5, expected, 3.0);
    }
    EXPECT_GT(changed, 100u);
}

TEST(Figures, an_element_cut_twice_is_named_once_beside_its_longer_outline) {
    KeyImage k = ramp();
    std::fill(k.values.begin(), k.values.end(), 0.0f);
    k.outlines = {{"R1", {{2, 2}, {6, 2}, {6, 8}, {2, 8}}}, {"R1", {{20, 5}, {22, 5}, {22, 7}}}};
    // A name stands to the right of what it names: there nothing else is white.
    const auto white_beside = [&](std::size_t column) {
        const Decoded d = decoded(render_png(example::minimal(), k, true).value());
        const double scale = static_cast<double>(d.width) / 33.0;
        const auto pixel = [&](double place) { return static_cast<std::size_t>((place + 0.5) * scale); };
        int white = 0;
        for (std::size_t x = pixel(static_cast<double>(column)) + 8; x < pixel(static_cast<double>(column) + 2.0); ++x)
            for (std::size_t y = pixel(1.0); y < pixel(9.0); ++y) white += d.at(x, y) > 128;
        return white;
    };
    EXPECT_GT(white_beside(6), 0);
    EXPECT_EQ(white_beside(22), 0);
    k.outlines[1].element_id = "R2";
    EXPECT_GT(white_beside(22), 0);
}

TEST(Figures, caption_of_simulated_images_differs_from_that_of_a_patient) {
    ReportModel m = example::minimal();
    const auto real = render_png(m, ramp(), false);
    m.simulated = true;
    const auto simulated = render_png(m, ramp(), false);
    ASSERT_TRUE(real && simulated);
    EXPECT_NE(real.value(), simulated.value());
}

TEST(Figures, picture_whose_values_do_not_fit_is_refused) {
    KeyImage k = ramp();
    k.values.pop_back();
    const auto png = render_png(example::minimal(), k, false);
    ASSERT_FALSE(png);
    EXPECT_EQ(png.error().code, ErrorCode::bad_size);
}

TEST(Figures, growth_holds_elements_measured_at_two_dates_and_nothing_else) {
    const auto all = growth(example::undetermined());
    ASSERT_EQ(all.size(), 1u);
    EXPECT_EQ(all[0].element, "R1");
    EXPECT_EQ(all[0].visits.size(), 2u);
    EXPECT_TRUE(render_chart(all[0], true));
    EXPECT_EQ(chart_in_words(all[0]), "R1, right eye, volume by date: 2019-03-04 590 mm³ (95 % interval 545 to 640); 2024-05-17 838 mm³ (95 % interval 774 to 909).");
}

}  // namespace
}  // namespace perisclera::report
