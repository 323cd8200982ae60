// SPDX-License-Identifier: Apache-2.0
#pragma once
// The built program among faults: a small input, an output folder, and the preloaded library that fails what a test wants to fail.
#include <filesystem>
#include <map>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "tests/support/case_table.h"
#include "tests/support/child_process.h"
#include "tests/support/test_folder.h"

namespace perisclera::test {

using Words = std::vector<std::string>;
using Contents = std::map<std::filesystem::path, std::string>;  ///< by path relative to a folder

/// What the preloaded library is told: "FAULT_CALL=write", ...; see shim.cpp.
Ended run_with_faults(const Words& faults, const Words& arguments, const ChildLimits& limits = {});

/// Files below a folder; empty where there is none.
Contents files_below(const std::filesystem::path& folder);

class FaultyRun : public ::testing::Test {
protected:
    FaultyRun();
    void SetUp() override;
    [[nodiscard]] std::filesystem::path root() const { return folder_.path(); }
    [[nodiscard]] std::filesystem::path in() const { return root() / "in"; }
    [[nodiscard]] std::filesystem::path out() const { return root() / "place" / "out"; }  ///< nothing else lies in its folder
    [[nodiscard]] std::filesystem::path log() const { return root() / "log"; }

    /// Reads `in()`, a few slices without an eye, and writes a report to `out()`: ends with 4 when all is well.
    [[nodiscard]] Words identify(const Words& more = {}) const;
    /// The calls of that kind on paths below `below` in a run without faults, as the log has them.
    [[nodiscard]] Words calls_of(const std::string& call, const std::filesystem::path& below, const Words& arguments) const;
    /// The output of a run without faults.
    [[nodiscard]] const Contents& sound() const { return sound_; }
    /// Everything in the folder of the output, stumps and all.
    [[nodiscard]] Words names_beside_output() const;
    void expect_no_trace(const std::string& told) const;
    void expect_whole(const std::string& told) const;

private:
    TestFolder folder_;
    Contents sound_;
};

/// One line of the documented form with that code.
bool is_one_error(const std::string& error_text, const std::string& code);

/// The program and this test are built with the address sanitizer, which takes terabytes of address space and deep stacks.
#if defined(__SANITIZE_ADDRESS__)
inline constexpr bool sanitized = true;
#else
inline constexpr bool sanitized = false;
#endif

}  // namespace perisclera::test

/// A test and its row in docs/faults.md.
#define PERISCLERA_FAULT(number, fixture, name, fault, outcome)                                                             \
    [[maybe_unused]] static const bool name##_is_listed = list_case({number, #name, fault " | " outcome}); \
    TEST_F(fixture, name)
