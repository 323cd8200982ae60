// SPDX-License-Identifier: Apache-2.0
#pragma once
// Runs a Python script of this folder, with Debian's interpreter and packages, on files: a check outside the code.
#include <gtest/gtest.h>
#include <sys/wait.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

namespace perisclera::report::outside {

inline std::filesystem::path scratch(const std::string& name) {
    const auto folder = std::filesystem::path(PERISCLERA_BINARY_DIR) / "report_tests_scratch";
    std::filesystem::create_directories(folder);
    return folder / name;
}

/// A file of this test's own, so that tests may run beside each other.
inline std::filesystem::path written(const std::string& name, const std::string& bytes) {
    const auto* test = ::testing::UnitTest::GetInstance()->current_test_info();
    const auto path = scratch(std::string(test->test_suite_name()) + "_" + test->name() + "_" + name);
    std::ofstream(path, std::ios::binary) << bytes;
    return path;
}

inline std::string read_back(const std::filesystem::path& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

/// The script's exit status; what it prints goes to the test's log.
inline int run(const std::string& script, const std::string& arguments) {
    const std::string command = "/usr/bin/python3 " + std::string(PERISCLERA_SOURCE_DIR) + "/tests/report/" + script + " " + arguments;
    const int status = std::system(command.c_str());
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

/// What poppler's pdftotext reads, in reading order, with every run of white space one space.
inline std::string text_of_pdf(const std::string& bytes) {
    const auto pdf = written("report.pdf", bytes), text = written("report.txt", "");
    const std::string command = "/usr/bin/pdftotext -enc UTF-8 " + pdf.string() + " " + text.string();
    EXPECT_EQ(std::system(command.c_str()), 0);
    std::string out;
    for (const char c : read_back(text)) {
        const bool blank = c == ' ' || c == '\n' || c == '\f' || c == '\r';
        if (!blank) out += c;
        else if (!out.empty() && out.back() != ' ') out += ' ';
    }
    return out;
}

}  // namespace perisclera::report::outside
