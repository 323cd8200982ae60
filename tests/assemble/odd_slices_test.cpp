// SPDX-License-Identifier: Apache-2.0
// A slice that contradicts its series is told, what varies lawfully is not, and the series is described by what most slices say.
// Which attributes a series states alike on its slices: PS3.3 C.7.3.1, C.7.6.3, C.8.2.1, C.8.3.1 and the scanner that writes them.
#include <gtest/gtest.h>

#include <algorithm>

#include "perisclera/assemble/load_patient.h"
#include "tests/support/dicom_slice.h"
#include "tests/support/test_folder.h"

namespace perisclera {
namespace {

using test::DicomSlice;
using test::TagNumber;

class OddSlices : public ::testing::Test {
protected:
    /// Eight slices of which `change` alters some; 5 mm apart, so that they cover both globes.
    template <class Change>
    PatientStudies read(const std::string& modality, Change change) {
        DicomSlice prototype;
        prototype.modality = modality;
        prototype.text[{0x0018, 0x0050}] = "5";
        auto slices = test::series_of(8, {0, 0, 0}, {0, 0, 5}, prototype);
        for (std::size_t i = 0; i < slices.size(); ++i) change(slices[i], i);
        for (const auto& [file, bytes] : test::contents_of(folder_.path())) std::filesystem::remove(file);
        test::write_series(folder_.path(), slices);
        auto patient = read_patient({folder_.path()}, {});
        EXPECT_TRUE(patient.ok()) << one_line(patient.error());
        return std::move(patient).value();
    }
    PatientStudies read_with(const std::string& modality, TagNumber tag, const std::string& value, std::size_t place) {
        return read(modality, [&](DicomSlice& slice, std::size_t i) {
            if (i == place) slice.text[tag] = value;
        });
    }
    static bool warned(const PatientStudies& patient, const std::string& words) {
        return std::any_of(patient.warnings.begin(), patient.warnings.end(), [&](const Error& e) { return e.code == ErrorCode::conflicting_values && e.what == words; });
    }
    test::TestFolder folder_;
};

TEST_F(OddSlices, one_that_contradicts_the_others_is_told_whatever_its_place) {
    const struct {
        const char* modality;
        TagNumber tag;
        const char *value, *words;
    } cases[] = {
        {"CT", {0x0028, 0x1052}, "-1026", "rescale slope or intercept"}, {"CT", {0x0028, 0x1053}, "3", "rescale slope or intercept"},
        {"CT", {0x0020, 0x000D}, "1.3", "study identifier"},         {"CT", {0x0018, 0x0060}, "100", "tube voltage"},
        {"MR", {0x0018, 0x0080}, "700", "repetition time"},          {"CT", {0x0018, 0x0050}, "7", "slice thickness"},
        {"MR", {0x0018, 0x1314}, "30", "flip angle"},                {"CT", {0x0018, 0x5100}, "HFP", "position of the patient"},
        {"CT", {0x0010, 0x0010}, "Other^Case", "patient's name"},    {"CT", {0x0020, 0x0037}, "1\\0.0008\\0\\-0.0008\\1\\0", "orientation"},
    };
    for (const auto& c : cases)
        for (const std::size_t place : {0U, 4U, 7U}) {
            const PatientStudies patient = read_with(c.modality, c.tag, c.value, place);
            const std::string words = std::string("1 of 8 slices states another ") + c.words + " than the others";
            EXPECT_TRUE(warned(patient, words)) << words << " at " << place;
            ASSERT_EQ(patient.visits.front().series.size(), 1U);
            const auto& problems = patient.visits.front().series.front().description.problems;
            EXPECT_EQ(std::count(problems.begin(), problems.end(), words), 1) << words;
        }
}

TEST_F(OddSlices, the_series_is_described_by_what_most_slices_say) {
    for (const std::size_t place : {0U, 3U}) {
        const PatientStudies patient = read_with("CT", {0x0018, 0x0060}, "80", place);
        EXPECT_EQ(patient.visits.front().series.front().description.kvp, 120.0);
    }
}

TEST_F(OddSlices, pixels_of_one_slice_in_other_bits_are_told) {
    const PatientStudies patient = read("CT", [](DicomSlice& slice, std::size_t i) { slice.is_signed = i == 5; });
    EXPECT_TRUE(warned(patient, "1 of 8 slices states another pixel format than the others"));
}

TEST_F(OddSlices, a_scale_that_varies_from_slice_to_slice_is_lawful) {
    const PatientStudies patient = read("MR", [](DicomSlice& slice, std::size_t i) {
        slice.text[{0x0028, 0x1052}] = "0";
        slice.text[{0x0028, 0x1053}] = std::to_string(1 + i);
    });
    EXPECT_TRUE(patient.warnings.empty());
}

TEST_F(OddSlices, slices_alike_need_no_word) {
    const PatientStudies patient = read("CT", [](DicomSlice&, std::size_t) {});
    EXPECT_TRUE(patient.warnings.empty());
}

}  // namespace
}  // namespace perisclera
