// SPDX-License-Identifier: Apache-2.0
// From folders of slices written by the test to visits with volumes whose every voxel is known.
#include "perisclera/assemble/load_patient.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

#include "tests/support/enhanced_image.h"
#include "tests/support/patient_folder.h"

namespace perisclera {
namespace {

using test::DicomSlice;
using test::series_of;
using test::study_date;

constexpr test::TagNumber pixel_spacing{0x0028, 0x0030};

using LoadPatient = test::PatientFolder;

TEST_F(LoadPatient, a_ct_and_an_mr_become_volumes_with_the_written_values) {
    add("ct", series_of(5, {0, 0, 0}, {0, 0, 2}));
    add("mr", series_of(4, {0, 0, 0}, {0, 0, 3}, mr("1.2.4")));
    const auto before = test::contents_of(folder_.path());
    const auto patient = load();
    ASSERT_TRUE(patient.ok()) << one_line(patient.error());
    EXPECT_TRUE(patient.value().warnings.empty());
    ASSERT_EQ(patient.value().visits.size(), 1U);
    const Visit& visit = patient.value().visits.front();
    EXPECT_EQ(visit.date.iso(), "2020-01-31");
    ASSERT_EQ(visit.series.size(), 2U);
    ASSERT_TRUE(std::holds_alternative<CtVolume>(visit.series[0].volume));
    ASSERT_TRUE(std::holds_alternative<MrVolume>(visit.series[1].volume));
    // Slice z holds 100 + x + 12 y + z; CT minus 1024.
    EXPECT_EQ(visit.series[0].grid().at(5, 3, 4), 100.0F + 5 + 12 * 3 + 4 - 1024);
    EXPECT_EQ(visit.series[1].grid().at(11, 7, 3), 100.0F + 11 + 12 * 7 + 3);
    EXPECT_EQ(visit.series[0].description.kvp, 120.0);
    EXPECT_EQ(visit.series[0].description.role, SeriesRole::ct_soft);
    EXPECT_EQ(visit.series[1].description.role, SeriesRole::t1);
    EXPECT_EQ(patient.value().patient_name, PatientText("Invented^Case"));
    EXPECT_EQ(test::contents_of(folder_.path()), before) << "inputs stay as they are";
}

// PS3.3 C.7.3.1.1.2 names the positions, C.7.6.2.1.1 the axes: +x to the patient's left, +y to the back.
TEST_F(LoadPatient, the_ground_lies_where_the_header_says_the_patient_lay) {
    const std::vector<std::pair<std::string, std::optional<PatientVector>>> positions{
        {"HFS", PatientVector{0, 1, 0}},  {"FFS", PatientVector{0, 1, 0}},  {"HFP", PatientVector{0, -1, 0}}, {"FFP", PatientVector{0, -1, 0}},
        {"HFDR", PatientVector{-1, 0, 0}}, {"FFDR", PatientVector{-1, 0, 0}}, {"HFDL", PatientVector{1, 0, 0}},  {"FFDL", PatientVector{1, 0, 0}},
        {"", std::nullopt},               {"HF", std::nullopt},             {"SITTING", std::nullopt}};
    int number = 0;
    for (const auto& [position, down] : positions) {
        DicomSlice slice;
        slice.series_uid = "1.2.9." + std::to_string(++number);
        slice.sop_uid = "1.2.8." + std::to_string(number);
        slice.text[{0x0018, 0x5100}] = position;
        add("lying" + std::to_string(number), series_of(4, {0, 0, 0}, {0, 0, 2}, slice));
    }
    const auto patient = load();
    ASSERT_TRUE(patient.ok()) << one_line(patient.error());
    std::size_t seen = 0;
    for (const ImageSeries& series : patient.value().visits.front().series) {
        const std::size_t which = std::stoul(series.description.series_uid.substr(6)) - 1;
        EXPECT_EQ(series.description.down, positions[which].second) << positions[which].first;
        ++seen;
    }
    EXPECT_EQ(seen, positions.size());
}

/// Everything that the rest of the program sees, for comparing.
std::string fingerprint(const PatientStudies& patient) {
    std::string text;
    for (const Visit& visit : patient.visits) {
        text += visit.date.iso();
        for (const ImageSeries& series : visit.series) {
            text += " " + series.description.series_uid + " " + std::string(name(series.description.role)) + series.description.why;
            for (const std::string& problem : series.description.problems) text += problem;
            const auto& grid = series.grid();
            const PatientPoint origin = grid.geometry().origin();
            for (const double v : {origin.x, origin.y, origin.z, grid.geometry().slice_step().z}) text += std::to_string(v) + " ";
            for (const float v : grid.values()) text += std::to_string(v) + " ";
        }
        for (const auto& series : visit.unused) text += " unused " + series.series_uid;
    }
    for (const Error& warning : patient.warnings) text += std::string(name(warning.code)) + warning.what;
    return text;
}

TEST_F(LoadPatient, file_order_names_and_threads_do_not_matter) {
    auto ct = series_of(9, {0, 0, 0}, {0, 0, 2});
    ct.push_back(ct[3]);
    ct.back().sop_uid = "1.2.3.99";
    auto t1 = series_of(6, {0, 0, 0}, {0, 0, 3}, mr("1.2.4"));
    add("a", ct);
    add("b", t1);
    const auto first = load();
    ASSERT_TRUE(first.ok());
    std::mt19937 random(7);
    for (int round = 0; round < 3; ++round) {
        std::filesystem::remove_all(folder_.path() / "a");
        std::filesystem::remove_all(folder_.path() / "b");
        std::filesystem::remove_all(folder_.path() / "c");
        std::shuffle(ct.begin(), ct.end(), random);
        std::shuffle(t1.begin(), t1.end(), random);
        add("c", ct);
        add("a", t1);
        const auto again = load({std::nullopt, round + 1, {}});
        ASSERT_TRUE(again.ok());
        EXPECT_EQ(fingerprint(first.value()), fingerprint(again.value()));
    }
}

TEST_F(LoadPatient, a_faulty_series_is_told_while_others_go_on) {
    auto gap = series_of(9, {0, 0, 0}, {0, 0, 2});
    gap.erase(gap.begin() + 4);
    add("gap", gap);
    add("mr", series_of(4, {0, 0, 0}, {0, 0, 3}, mr("1.2.4")));
    const auto patient = load();
    ASSERT_TRUE(patient.ok());
    ASSERT_EQ(patient.value().warnings.size(), 1U);
    EXPECT_EQ(patient.value().warnings.front().code, ErrorCode::gap_in_stack);
    EXPECT_EQ(patient.value().warnings.front().where, "series 1");
    EXPECT_EQ(patient.value().visits.front().series.size(), 1U);
    ASSERT_EQ(patient.value().visits.front().unused.size(), 1U);
    EXPECT_FALSE(patient.value().visits.front().unused.front().problems.empty());
}

TEST_F(LoadPatient, when_nothing_remains_the_fault_is_the_answer) {
    auto gap = series_of(9, {0, 0, 0}, {0, 0, 2});
    gap.erase(gap.begin() + 4);
    add("gap", gap);
    EXPECT_EQ(code(), ErrorCode::gap_in_stack);
}

TEST_F(LoadPatient, a_bad_file_is_named_as_the_cause_of_the_gap_it_leaves) {
    auto slices = series_of(9, {0, 0, 0}, {0, 0, 2});
    slices[4].text[pixel_spacing] = "0\\0";
    add("a", slices);
    const auto patient = load();
    ASSERT_FALSE(patient.ok());
    EXPECT_EQ(patient.error().code, ErrorCode::bad_spacing);
    EXPECT_NE(patient.error().what.find("file 5 of 9"), std::string::npos) << patient.error().what;
}

TEST_F(LoadPatient, a_bad_file_at_the_end_costs_only_itself) {
    auto slices = series_of(9, {0, 0, 0}, {0, 0, 2});
    slices[8].text[pixel_spacing] = "0,5\\0,5";
    add("a", slices);
    const auto patient = load();
    ASSERT_TRUE(patient.ok());
    ASSERT_EQ(patient.value().warnings.size(), 1U);
    EXPECT_EQ(patient.value().warnings.front().code, ErrorCode::bad_spacing);
    EXPECT_FALSE(patient.value().visits.front().series.front().description.problems.empty());
}

TEST_F(LoadPatient, a_series_bad_throughout_is_one_error) {
    auto slices = series_of(9, {0, 0, 0}, {0, 0, 2});
    for (auto& slice : slices) slice.text[pixel_spacing] = "";
    add("a", slices);
    const auto patient = load();
    ASSERT_FALSE(patient.ok());
    EXPECT_EQ(patient.error().code, ErrorCode::bad_spacing);
    EXPECT_EQ(patient.error().where, "file 1 of 9 and 8 more");
}

TEST_F(LoadPatient, a_ct_without_scale_is_refused) {
    auto slices = series_of(5, {0, 0, 0}, {0, 0, 2});
    for (auto& slice : slices) slice.absent = {{0x0028, 0x1053}};
    add("a", slices);
    EXPECT_EQ(code(), ErrorCode::no_hounsfield);
}

TEST_F(LoadPatient, folders_without_images_say_how_many_files_were_looked_at) {
    auto empty = load();
    ASSERT_FALSE(empty.ok());
    EXPECT_EQ(empty.error().code, ErrorCode::no_images);
    test::write_bytes(folder_.path() / "a", "text");
    test::write_bytes(folder_.path() / "b", "text");
    const auto texts = load();
    ASSERT_FALSE(texts.ok());
    EXPECT_EQ(texts.error().code, ErrorCode::no_images);
    EXPECT_NE(texts.error().what.find("2 files looked at"), std::string::npos);
}

TEST_F(LoadPatient, a_text_file_named_dcm_alone_is_not_dicom) {
    test::write_bytes(folder_.path() / "letter.dcm", "text");
    EXPECT_EQ(code(), ErrorCode::not_dicom);
}

TEST_F(LoadPatient, a_truncated_slice_is_the_reason_given) {
    add("a", series_of(6, {0, 0, 0}, {0, 0, 2}));
    const auto file = folder_.path() / "a" / "CT_0003";
    const std::string whole = test::read_bytes(file);
    test::write_bytes(file, whole.substr(0, whole.size() / 2 + 300));
    const auto patient = load();
    ASSERT_FALSE(patient.ok());
    EXPECT_TRUE(patient.error().code == ErrorCode::truncated || patient.error().code == ErrorCode::pixels_short || patient.error().code == ErrorCode::gap_in_stack)
        << one_line(patient.error());
}

TEST_F(LoadPatient, a_study_without_a_date_is_left_out_and_told) {
    add("a", series_of(4, {0, 0, 0}, {0, 0, 2}));
    DicomSlice undated = mr("1.2.4");
    undated.text[study_date] = "";
    add("b", series_of(4, {0, 0, 0}, {0, 0, 2}, undated));
    const auto patient = load();
    ASSERT_TRUE(patient.ok());
    ASSERT_EQ(patient.value().warnings.size(), 1U);
    EXPECT_EQ(patient.value().warnings.front().code, ErrorCode::no_date);
    std::filesystem::remove_all(folder_.path() / "a");
    EXPECT_EQ(code(), ErrorCode::no_date);
}

TEST_F(LoadPatient, localizers_and_unknown_series_are_described_but_not_read) {
    add("a", series_of(4, {0, 0, 0}, {0, 0, 2}));
    DicomSlice scout;
    scout.series_uid = "1.2.8";
    scout.text[{0x0008, 0x0008}] = "ORIGINAL\\PRIMARY\\LOCALIZER";
    add("b", series_of(1, {0, 0, 0}, {0, 0, 2}, scout));
    const auto patient = load();
    ASSERT_TRUE(patient.ok());
    EXPECT_TRUE(patient.value().warnings.empty());
    ASSERT_EQ(patient.value().visits.front().unused.size(), 1U);
    EXPECT_EQ(patient.value().visits.front().unused.front().role, SeriesRole::localizer);
}

TEST_F(LoadPatient, lossy_images_are_read_with_a_warning) {
    DicomSlice slice;
    slice.compression = test::Compression::jpeg_ls_near;
    slice.text[{0x0028, 0x2112}] = "7.5";
    add("a", series_of(4, {0, 0, 0}, {0, 0, 2}, slice));
    const auto patient = load();
    ASSERT_TRUE(patient.ok());
    ASSERT_EQ(patient.value().warnings.size(), 1U);
    EXPECT_EQ(patient.value().warnings.front().code, ErrorCode::lossy_compression);
    EXPECT_NE(patient.value().warnings.front().what.find("factor of 7.50"), std::string::npos);
    EXPECT_TRUE(patient.value().visits.front().series.front().description.lossy);
}

TEST_F(LoadPatient, two_echoes_under_one_identifier_become_two_volumes_and_say_why) {
    auto early = series_of(5, {0, 0, 0}, {0, 0, 2}, mr("1.2.4")), late = early;
    for (auto& slice : late) {
        slice.sop_uid += ".2";
        slice.text[{0x0018, 0x0080}] = "3000";
        slice.text[{0x0018, 0x0081}] = "90";
        for (auto& value : slice.stored) value += 700;
    }
    add("a", early);
    add("b", late);
    const auto patient = load();
    ASSERT_TRUE(patient.ok()) << one_line(patient.error());
    const auto& series = patient.value().visits.front().series;
    ASSERT_EQ(series.size(), 2U);
    for (const ImageSeries& one : series) {
        const bool is_late = one.description.role == SeriesRole::t2;
        EXPECT_TRUE(is_late || one.description.role == SeriesRole::t1);
        EXPECT_EQ(one.grid().at(0, 0, 2), 102.0F + (is_late ? 700.0F : 0.0F));
        ASSERT_FALSE(one.description.problems.empty());
        EXPECT_EQ(one.description.problems.front(), "the series holds 2 stacks that differ in echo time; this is one");
    }
}

TEST_F(LoadPatient, an_enhanced_image_becomes_the_volumes_of_its_stacks_whatever_the_order_of_its_frames) {
    // Two axial echoes, interleaved, and a coronal stack, all frames shuffled.
    test::EnhancedImage image;
    image.rows = image.columns = 10;
    auto early = test::frames_of(6, {0, 0, 0}, {0, 0, 2}, 100), late = test::frames_of(6, {0, 0, 0}, {0, 0, 2}, 100), coronal = test::frames_of(5, {0, 0, 0}, {0, 3, 0}, 100);
    for (auto& frame : early) frame.orientation = {1, 0, 0, 0, 1, 0};
    for (auto& frame : late) {
        frame.orientation = {1, 0, 0, 0, 1, 0};
        frame.echo_time = 30.0;
        for (auto& value : frame.stored) value += 1000;
    }
    for (auto& frame : coronal) {
        frame.orientation = {1, 0, 0, 0, 0, -1};
        frame.stack_id = "2";
        for (auto& value : frame.stored) value += 2000;
    }
    for (auto* frames : {&early, &late, &coronal}) {
        for (auto& frame : *frames) frame.intercept = 0.0;
        image.frames.insert(image.frames.end(), frames->begin(), frames->end());
    }
    std::shuffle(image.frames.begin(), image.frames.end(), std::mt19937(3));
    std::filesystem::create_directories(folder_.path() / "a");
    test::write_enhanced(folder_.path() / "a" / "image", image);
    const auto patient = load({std::nullopt, 2, {}});
    ASSERT_TRUE(patient.ok()) << one_line(patient.error());
    const auto& series = patient.value().visits.front().series;
    ASSERT_EQ(series.size(), 3U);
    int found = 0;
    for (const ImageSeries& one : series) {
        EXPECT_EQ(one.description.role, SeriesRole::t1_fatsat) << one.description.why;
        const auto size = one.grid().geometry().size();
        const bool is_late = one.description.echo_time_ms == 30.0, is_coronal = size[2] == 5;
        const int first = is_coronal ? 2000 : is_late ? 1000 : 0;
        found += is_coronal ? 100 : is_late ? 10 : 1;
        ASSERT_EQ(size[2], is_coronal ? 5 : 6);
        for (int k = 0; k < size[2]; ++k) {
            const PatientPoint p = one.grid().geometry().to_patient({0, 0, static_cast<double>(k)});
            const double place = is_coronal ? p.y / 3.0 : p.z / 2.0;  // which frame that position was written with
            EXPECT_NEAR(one.grid().at(4, 2, k), 100.0 + 4 + 10 * 2 + first + place, 1e-3);
        }
    }
    EXPECT_EQ(found, 111) << "each stack once";
}

TEST_F(LoadPatient, an_enhanced_image_given_twice_is_one) {
    test::EnhancedImage image;
    image.frames = test::frames_of(5, {0, 0, 0}, {0, 0, 2});
    std::filesystem::create_directories(folder_.path() / "a");
    test::write_enhanced(folder_.path() / "a" / "image", image);
    std::filesystem::copy(folder_.path() / "a" / "image", folder_.path() / "a" / "copy");
    const auto patient = load();
    ASSERT_TRUE(patient.ok()) << one_line(patient.error());
    ASSERT_EQ(patient.value().visits.front().series.size(), 1U);
    EXPECT_EQ(patient.value().visits.front().series.front().grid().geometry().size()[2], 5);
}

TEST_F(LoadPatient, two_different_frames_at_one_place_overlap) {
    test::EnhancedImage image;
    image.frames = test::frames_of(5, {0, 0, 0}, {0, 0, 2});
    image.frames.push_back(image.frames[2]);
    image.frames.back().stored[0] += 1;
    std::filesystem::create_directories(folder_.path() / "a");
    test::write_enhanced(folder_.path() / "a" / "image", image);
    EXPECT_EQ(code(), ErrorCode::overlapping_slices);
}

TEST_F(LoadPatient, suspicious_preambles_are_told_in_one_warning) {
    add("a", series_of(5, {0, 0, 0}, {0, 0, 2}));
    for (int i = 1; i <= 5; ++i) {
        const auto file = folder_.path() / "a" / ("CT_000" + std::to_string(i));
        test::write_bytes(file, "MZ" + test::read_bytes(file).substr(2));
    }
    const auto patient = load();
    ASSERT_TRUE(patient.ok());
    ASSERT_EQ(patient.value().warnings.size(), 1U);
    EXPECT_EQ(patient.value().warnings.front().code, ErrorCode::suspicious_preamble);
    EXPECT_EQ(patient.value().warnings.front().where, "file 1 of 5 and 4 more");
    EXPECT_EQ(patient.value().visits.front().series.size(), 1U);
}

TEST_F(LoadPatient, progress_ends_at_the_total) {
    add("a", series_of(4, {0, 0, 0}, {0, 0, 2}));
    add("b", series_of(6, {0, 0, 0}, {0, 0, 2}, mr("1.2.4")));
    std::vector<std::pair<int, int>> calls;
    ASSERT_TRUE(load({std::nullopt, 1, [&](int done, int total) { calls.emplace_back(done, total); }}).ok());
    EXPECT_EQ(calls, (std::vector<std::pair<int, int>>{{4, 10}, {10, 10}}));
}

}  // namespace
}  // namespace perisclera
