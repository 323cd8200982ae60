// SPDX-License-Identifier: Apache-2.0
#pragma once
// Bad inputs, each made by its test and given to the built program as its users start it. A test states what has to happen beside its
// own code; that statement is a row of docs/bad_inputs.md, and the test fails unless exactly those codes and exit statuses were met.
// Every run is checked for one clear line, for inputs left alone and for nothing written where nothing should be.
#include <filesystem>
#include <functional>
#include <set>
#include <string>
#include <vector>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "tests/support/case_table.h"
#include "tests/support/child_process.h"
#include "tests/support/dicom_slice.h"
#include "tests/support/test_folder.h"

namespace perisclera::test {

/// One row of the table.
struct BadInputRow {
    int number;
    std::string name;         ///< of the test
    std::string input, outcome;
    std::string codes, statuses;  ///< "A, B"; codes may be empty
};

/// Called before the tests run; returns true.
bool list_row(BadInputRow row);

/// What a run of the program told.
struct Told {
    Ended ended;
    std::string code;                ///< of the error line, or empty
    nlohmann::json json;             ///< the survey or report.json, or null
    std::set<std::string> warnings;  ///< codes
    std::string problems;            ///< of all series, a line each
};

constexpr const char* planted_name = "Zyxwvut^Qponmlk";

/// CT slices of 32 x 32 pixels, 1 mm apart: a ramp, so no eye is in them.
std::vector<DicomSlice> ct_series(int count = 24);
/// The bytes of a slice with further elements, in order of their tags, before its pixels.
std::string with_elements(const DicomSlice& slice, const std::string& elements);
std::string bytes_of(const DicomSlice& slice);

class BadInput : public ::testing::Test {
protected:
    void SetUp() override;
    void TearDown() override;
    [[nodiscard]] std::filesystem::path folder() const { return folder_.path(); }
    [[nodiscard]] std::filesystem::path in() const { return folder_.path() / "in"; }
    [[nodiscard]] std::filesystem::path out() const { return folder_.path() / "out"; }
    /// Empties the input folder.
    void clear() const;
    /// The small simulated patient as input.
    void give_phantom() const;

    [[nodiscard]] Told run(const std::vector<std::string>& arguments) const;
    /// Both remove the output folder first.
    [[nodiscard]] Told survey() const;
    [[nodiscard]] Told identify(const std::vector<std::string>& more = {}) const;

    /// Exit status, exactly one line of the documented form, and no output.
    void expect_refused(const Told& told, const std::string& code, int status = 3);
    /// The run went on, with a warning.
    void expect_warned(const Told& told, const std::string& code, int status = 0);
    /// The run went on without that warning.
    void expect_read(const Told& told, int status = 0);
    /// A file that is refused alone, and named while a sound series beside it is read.
    void expect_file_refused(const std::string& bytes, const std::string& code);
    /// A series that is all there is and cannot be measured.
    void expect_series_refused(const std::vector<DicomSlice>& slices, const std::string& code);

private:
    void met(const std::string& code, int status);
    TestFolder folder_;
    std::set<std::string> codes_, statuses_;
};

}  // namespace perisclera::test

/// A test and its row. `codes` and `statuses` are texts like "NOT_DICOM" and "3, 0".
#define PERISCLERA_BAD_INPUT(number, name, input, outcome, codes, statuses)                                                       \
    [[maybe_unused]] static const bool name##_is_listed = list_row({number, #name, input, outcome, codes, statuses}); \
    TEST_F(BadInput, name)
