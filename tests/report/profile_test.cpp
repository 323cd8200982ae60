// SPDX-License-Identifier: Apache-2.0
// The picture of a profile across the wall: in greys, the same each time, with its numbers in words beside it.
#include <algorithm>

#include <gtest/gtest.h>

#include "perisclera/report/render_report.h"
#include "perisclera/report/canvas.h"
#include "src/report/profile_drawing.h"
#include "tests/report/example_report.h"

namespace perisclera::report {
namespace {

TEST(Profile, picture_is_grey_and_moves_with_the_model) {
    const ReportModel m = example::full();
    ProfileEntry entry = m.profiles.front();
    const auto png = render_profile(m, entry);
    ASSERT_TRUE(png);
    const auto pixels = grey_pixels(png.value());
    ASSERT_TRUE(pixels) << "a colour would not be read as grey";
    const auto dark = [](const GreyPixels& p) { return std::count_if(p.bytes.begin(), p.bytes.end(), [](std::uint8_t b) { return b < 64; }); };
    EXPECT_GT(dark(pixels.value()), 2000) << "curve, points and letters in ink";
    EXPECT_EQ(render_profile(m, entry).value(), png.value());
    auto& profile = std::get<WallProfile>(entry.profile);
    profile.measured.clear();
    const auto without_points = render_profile(m, entry);
    ASSERT_TRUE(without_points);
    EXPECT_LT(dark(grey_pixels(without_points.value()).value()), dark(pixels.value())) << "the points are drawn";
}

TEST(Profile, words_hold_every_number_with_its_interval) {
    const ReportModel m = example::full();
    const std::string words = profile_in_words(m, m.profiles.front());
    for (const char* part : {"R1, right eye, 2019-03-04, CT", "1.5 o'clock, upper nasal", "blur of 1.2 mm", "221 HU·mm (95 % interval 190 to 252)", "3.8 mm (95 % interval 3.5 to 4.1)", "38 HU (95 % interval 34 to 42)", "−0.3"})
        EXPECT_NE(words.find(part), std::string::npos) << part << " in: " << words;
    const std::string none = profile_in_words(m, m.profiles[1]);
    EXPECT_NE(none.find("no profile across the wall: no layers of even signal"), std::string::npos) << none;
}

TEST(Profile, of_a_thin_element_says_that_only_the_product_is_known) {
    ReportModel m = example::full();
    std::get<WallProfile>(m.profiles.front().profile).thinner_than_blur = true;
    EXPECT_NE(profile_in_words(m, m.profiles.front()).find("thinner than the blur"), std::string::npos);
}

TEST(Profile, stands_on_the_page_and_among_the_figures) {
    const auto files = render_report(example::full(), example::identity());
    ASSERT_TRUE(files);
    EXPECT_NE(files.value().at(1).bytes.find("Profile across the wall with the fitted model"), std::string::npos);
    for (const char* path : {"figures/profile-R1-t1-S1.png", "figures/profile-R1-t2-S5.png"})
        EXPECT_TRUE(std::any_of(files.value().begin(), files.value().end(), [&](const OutputFile& f) { return f.path == path; })) << path;
}

}  // namespace
}  // namespace perisclera::report
