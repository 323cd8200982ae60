// SPDX-License-Identifier: Apache-2.0
#pragma once
// A folder of series that a test writes, read as the program reads a patient's disc.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "perisclera/assemble/load_patient.h"
#include "tests/support/dicom_slice.h"
#include "tests/support/test_folder.h"

namespace perisclera::test {

inline constexpr TagNumber study_date{0x0008, 0x0020};

class PatientFolder : public ::testing::Test {
protected:
    /// A series in its own folder.
    void add(const std::string& name, const std::vector<DicomSlice>& slices) {
        std::filesystem::create_directories(folder_.path() / name);
        write_series(folder_.path() / name, slices);
    }
    Result<PatientStudies> load(LoadOptions options = {}) { return read_patient({folder_.path()}, options); }
    std::optional<ErrorCode> code() {
        const auto patient = load();
        return patient ? std::nullopt : std::optional(patient.error().code);
    }
    static bool warned(const PatientStudies& patient, ErrorCode code) {
        return std::any_of(patient.warnings.begin(), patient.warnings.end(), [&](const Error& e) { return e.code == code; });
    }
    static DicomSlice mr(const std::string& series_uid) {
        DicomSlice slice;
        slice.modality = "MR";
        slice.series_uid = series_uid;
        return slice;
    }
    TestFolder folder_;
};

}  // namespace perisclera::test
