// SPDX-License-Identifier: Apache-2.0
// Slices that do not form one volume. Nothing is interpolated, straightened or chosen in silence.
#include <map>

#include "tests/bad_input/bad_input.h"

namespace perisclera::test {

namespace {

/// Of another series and study, so that both may lie in one folder.
std::vector<DicomSlice> as_other_series(std::vector<DicomSlice> slices, const std::string& uid) {
    for (DicomSlice& slice : slices) {
        slice.sop_uid.replace(0, slice.series_uid.size(), uid);
        slice.series_uid = uid;
    }
    return slices;
}

const nlohmann::json& only_series(const Told& told) { return told.json["patients"][0]["studies"][0]["series"][0]; }

}  // namespace

PERISCLERA_BAD_INPUT(20, slices_are_missing, "one slice missing, two missing, the first or the last missing",
                     "refused with place and width of the gap; where one side holds most slices it is used alone and told; an end that is missing shortens the volume, and nothing is put in its place",
                     "GAP_IN_STACK", "3, 4, 0") {
    for (const std::ptrdiff_t missing : {1, 2}) {
        auto slices = ct_series();
        slices.erase(slices.begin() + 11, slices.begin() + 11 + missing);
        expect_series_refused(slices, "GAP_IN_STACK");
        const Told told = survey();
        EXPECT_NE(told.problems.find(missing == 1 ? "2.00 mm between slices 11 and 12" : "3.00 mm between slices 11 and 12"), std::string::npos) << told.problems;
    }
    auto near_end = ct_series();
    near_end.erase(near_end.begin() + 20);
    clear();
    write_series(in(), near_end);
    const Told used = identify();
    expect_warned(used, "GAP_IN_STACK", 4);   // no eye is in these slices
    EXPECT_NE(used.problems.find("only the 20 of 23 slices on one side are used"), std::string::npos) << used.problems;
    for (const std::ptrdiff_t missing : {0, 23}) {
        auto slices = ct_series();
        slices.erase(slices.begin() + missing);
        clear();
        write_series(in(), slices);
        const Told told = survey();
        expect_read(told);
        EXPECT_EQ(only_series(told)["size"], (nlohmann::json{32, 32, 23}));
        EXPECT_EQ(only_series(told)["spacing_mm"][2], 1.0);
    }
}

PERISCLERA_BAD_INPUT(21, two_slices_at_one_place, "two slices at one place, alike or not", "an identical copy is dropped with a note; different ones are refused", "OVERLAPPING_SLICES", "3, 0") {
    auto slices = ct_series();
    slices.push_back(slices[7]);
    slices.back().sop_uid += ".2";
    write_series(in(), slices);
    const Told told = survey();
    expect_read(told);
    EXPECT_NE(told.problems.find("identical copies of slices were dropped: 1"), std::string::npos) << told.problems;
    EXPECT_EQ(only_series(told)["size"][2], 24);
    slices.back().stored.front() += 50;
    expect_series_refused(slices, "OVERLAPPING_SLICES");
}

PERISCLERA_BAD_INPUT(22, uneven_slice_distances, "slices off their even distances by more than 0.1 mm", "refused with slice and distance", "UNEVEN_SPACING", "3") {
    auto slices = ct_series();
    slices[9].position[2] += 0.3;
    expect_series_refused(slices, "UNEVEN_SPACING");
    EXPECT_NE(survey().problems.find("slice 10 lies 0.2"), std::string::npos) << survey().problems;   // 0.3 mm less what it moves the line
}

PERISCLERA_BAD_INPUT(24, slices_of_several_kinds_in_one_series, "slices of one series that differ in spacing, orientation or size", "split into stacks, each judged for itself, and told", "", "0") {
    auto slices = ct_series(12);
    for (std::size_t i = 8; i < slices.size(); ++i) slices[i].text[{0x0028, 0x0030}] = "0.6\\0.3";
    DicomSlice other;
    other.orientation = {1, 0, 0, 0, 0, -1};
    for (DicomSlice& slice : series_of(6, {0, 0, 0}, {0, 1, 0}, other)) {
        slice.sop_uid += ".7";
        slices.push_back(slice);
    }
    write_series(in(), slices);
    const Told told = survey();
    expect_read(told);
    const auto& series = told.json["patients"][0]["studies"][0]["series"];
    ASSERT_EQ(series.size(), 3U);
    std::multiset<int> sizes;
    for (const auto& stack : series) {
        sizes.insert(stack["size"][2].get<int>());
        EXPECT_TRUE(stack["used"]);
    }
    EXPECT_EQ(sizes, (std::multiset<int>{4, 6, 8}));
    EXPECT_NE(told.problems.find("3 stacks that differ in size, pixel spacing and orientation"), std::string::npos) << told.problems;
}

PERISCLERA_BAD_INPUT(29, one_identifier_twice, "one SOP instance UID twice, with the same or with other pixels", "a copy is dropped with a note; two images under one identifier are refused", "SAME_UID_DIFFERENT_IMAGE", "3, 0") {
    auto slices = ct_series();
    slices.push_back(slices[7]);
    write_series(in(), slices);
    const Told told = survey();
    expect_read(told);
    EXPECT_NE(told.problems.find("identical copies of slices were dropped: 1"), std::string::npos) << told.problems;
    slices.back().stored.front() += 50;
    expect_series_refused(slices, "SAME_UID_DIFFERENT_IMAGE");
}

PERISCLERA_BAD_INPUT(31, frames_of_reference_differ, "frames of reference that differ within a series, or between CT and MR", "within a series refused; between series each stays in its own and nothing is laid over unmeasured",
                     "MIXED_FRAME", "3, 0") {
    auto slices = ct_series();
    slices[9].frame_uid = "1.9.9";
    expect_series_refused(slices, "MIXED_FRAME");
    clear();
    write_series(in(), ct_series());
    DicomSlice mr;
    mr.modality = "MR";
    mr.frame_uid = "1.9.2";
    write_series(in(), as_other_series(series_of(8, {0, 0, 0}, {0, 0, 1}, mr), "1.2.8"));
    const Told told = survey();
    expect_read(told);
    for (const auto& series : told.json["patients"][0]["studies"][0]["series"]) EXPECT_TRUE(series["used"]);
}

PERISCLERA_BAD_INPUT(32, other_objects_among_the_slices, "a localizer, a screenshot, a derived projection, a report, a PDF among the slices", "passed by and counted by kind; the series is read", "", "0") {
    write_series(in(), ct_series());
    const auto add = [&](const std::string& name, const std::string& sop_class, const std::string& image_type, unsigned samples = 1) {
        DicomSlice slice;
        slice.text[{0x0008, 0x0016}] = sop_class;
        slice.text[{0x0008, 0x0008}] = image_type;
        if (samples == 3) {
            slice.text[{0x0028, 0x0004}] = "RGB";
            slice.numbers[{0x0028, 0x0002}] = 3;
            slice.absent = {{0x0020, 0x0032}, {0x0020, 0x0037}};
        }
        slice.sop_uid = "1.2.99." + std::to_string(name.size()) + name.substr(name.size() - 1);
        write_slice(in() / name, slice);
    };
    const std::string ct = "1.2.840.10008.5.1.4.1.1.2";
    add("scout1", ct, "ORIGINAL\\PRIMARY\\LOCALIZER");
    add("dose_shot2", ct, "DERIVED\\SECONDARY\\OTHER", 3);
    add("projection3", ct, "DERIVED\\SECONDARY\\PROJECTION IMAGE");
    add("capture4", "1.2.840.10008.5.1.4.1.1.7", "DERIVED\\SECONDARY");
    add("report5", "1.2.840.10008.5.1.4.1.1.88.22", "");
    add("leaflet_6", "1.2.840.10008.5.1.4.1.1.104.1", "");
    const Told told = survey();
    expect_read(told);
    EXPECT_EQ(told.json["ignored_objects"], (nlohmann::json{{"colour picture", 1}, {"secondary capture", 1}, {"structured report", 1}, {"encapsulated PDF", 1}})) << told.json["ignored_objects"].dump();
    std::map<std::string, int> roles;
    for (const auto& series : told.json["patients"][0]["studies"][0]["series"]) {
        ++roles[series["role"]];
        EXPECT_EQ(series["used"], series["role"] == "ct_soft");
    }
    EXPECT_EQ(roles, (std::map<std::string, int>{{"ct_soft", 1}, {"localizer", 1}, {"derived", 1}}));
}

PERISCLERA_BAD_INPUT(34, slices_too_thick_or_too_few, "slices thicker or further apart than 8 mm, or fewer than four", "refused with limit and reason: an eye would lie in fewer than three slices", "TOO_COARSE, TOO_FEW_SLICES", "3") {
    DicomSlice prototype;
    expect_series_refused(series_of(24, {0, 0, 0}, {0, 0, 9}, prototype), "TOO_COARSE");
    EXPECT_NE(survey().problems.find("more than 8 mm"), std::string::npos) << survey().problems;
    prototype.text[{0x0018, 0x0050}] = "9";
    expect_series_refused(series_of(24, {0, 0, 0}, {0, 0, 2}, prototype), "TOO_COARSE");
    expect_series_refused(ct_series(3), "TOO_FEW_SLICES");
}

}  // namespace perisclera::test
