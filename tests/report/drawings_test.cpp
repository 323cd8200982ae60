// SPDX-License-Identifier: Apache-2.0
// Slices, maps and surfaces of an invented eye on the page: read back by an outside parser, and the sheet of slices pixel by pixel. What they do in a browser is
// tried by tests/page.
#include <gtest/gtest.h>

#include <array>

#include "perisclera/report/render_report.h"
#include "src/report/clock_map.h"
#include "src/report/slice_sheet.h"
#include "tests/report/example_report.h"
#include "tests/report/outside_check.h"

namespace perisclera::report {
namespace {

/// Slice k is evenly 40 k + 10 but for its first pixel, which is 255.
ScrollStack stack(const std::string& uid) {
    ScrollStack s{.timepoint_id = "t2", .series_uid = uid, .eye = Eye::right, .plane = "axial", .width = 3, .height = 2, .column_spacing = Mm(0.5), .row_spacing = Mm(0.5), .step_mm = 2.0, .every = 1,
                  .brought_over = false, .window_low = -160.0f, .window_high = 240.0f, .letters = {"R", "L", "A", "P"}, .slices = {}, .pixels = {}};
    for (int k = 0; k < 5; ++k) {
        s.slices.push_back({"through the globe's centre", 2.0 * (k - 2), {}});
        for (int p = 0; p < 6; ++p) s.pixels.push_back(static_cast<std::uint8_t>(p == 0 ? 255 : 40 * k + 10));
    }
    s.slices[2].outlines.push_back({"R1", {{0.0, 0.0}, {1.0, 0.0}, {1.0, 1.0}}, true});
    return s;
}

EyeShape shape() {
    EyeShape s{.timepoint_id = "t2", .eye = Eye::right, .limbus_polar = 0.51, .radius = 12.0};
    s.globe = {{{0, 0, 12}, {12, 0, 0}, {0, 12, 0}, {0, 0, -12}}, {{0, 1, 2}, {1, 3, 2}}};
    for (int half = 0; half < 24; ++half) {
        SectionShape section{ClockPosition(0.5 * half)};
        for (int p = 1; p < 36; ++p) section.sclera.push_back({12.0 * std::sin(p * 0.087), 12.0 * std::cos(p * 0.087)});
        if (half == 3) section.cuts.push_back({"R1", {{{12.0, -3.0}, {17.0, -3.0}, {17.0, 3.0}, {12.0, 3.0}}}});
        s.sections.push_back(std::move(section));
    }
    s.elements = {{"R1", {{{6.0, 13.0}, {13.0, 6.0}, {15.0, 8.0}}}, {{{12, 0, 0}, {15, 0, 0}, {12, 3, 0}}, {{0, 1, 2}}}}};
    return s;
}

ReportModel with_drawings() {
    ReportModel m = example::full();
    m.scroll_stacks = {stack("2.25.1002.1")};
    m.eye_shapes = {shape()};
    return m;
}

TEST(Drawings, page_with_all_of_them_is_sound) {
    const auto files = render_report(with_drawings(), example::identity());
    ASSERT_TRUE(files);
    EXPECT_EQ(outside::run("check_page.py", outside::written("report.html", files.value().at(1).bytes).string() +
                                                " 'Right eye, 2024-05-17: clock map' 'Examiner facing the patient' 'Surgeon at the head' '1½ o' 'thickness (outward) 4.6 mm' 'no section at this hour' "
                                                "Images Slices 'of the newest date only' 'all slices' 'S5, CT' 'In space' Evidence"),
              0);
}

TEST(Drawings, eye_whose_element_has_no_edges_gets_no_map) {
    const auto files = render_report(example::unmeasured(), example::identity());
    ASSERT_TRUE(files);
    EXPECT_EQ(files.value().at(1).bytes.find("class=\"clock\""), std::string::npos);
}

TEST(Drawings, sheet_holds_every_slice_at_its_place) {
    const ScrollStack s = stack("1.2");
    const auto png = slice_sheet(s);
    ASSERT_TRUE(png);
    const auto in = outside::written("sheet.png", png.value()), out = outside::written("sheet.pgm", "");
    ASSERT_EQ(outside::run("png_to_pgm.py", in.string() + " " + out.string()), 0);
    const std::string pgm = outside::read_back(out), head = "P5 9 4 255\n";
    ASSERT_EQ(pgm.substr(0, head.size()), head);   // five slices of 3 x 2: three in a row, in two rows
    ASSERT_EQ(sheet_columns(s), 3u);
    for (std::size_t k = 0; k < 5; ++k) {
        const auto at = [&](std::size_t x, std::size_t y) { return static_cast<unsigned char>(pgm.at(head.size() + (k / 3 * 2 + y) * 9 + k % 3 * 3 + x)); };
        EXPECT_EQ(at(0, 0), 255) << k;
        EXPECT_EQ(at(2, 1), 40 * k + 10) << k;
    }
}

TEST(Drawings, slices_that_do_not_fit_their_size_are_refused) {
    ScrollStack s = stack("1.2");
    s.pixels.pop_back();
    const auto png = slice_sheet(s);
    ASSERT_FALSE(png);
    EXPECT_EQ(png.error().code, ErrorCode::bad_size);
}

TEST(Drawings, hours_are_named_as_on_a_clock) {
    EXPECT_EQ(hour_in_words(ClockPosition(0.0)), "12 o'clock");
    EXPECT_EQ(hour_in_words(ClockPosition(0.5)), "12½ o'clock");
    EXPECT_EQ(hour_in_words(ClockPosition(11.5)), "11½ o'clock");
}

}  // namespace
}  // namespace perisclera::report
