// SPDX-License-Identifier: Apache-2.0
#pragma once
// A temporary folder that vanishes with the test, and files as bytes.
#include <filesystem>
#include <map>
#include <string>

namespace perisclera::test {

class TestFolder {
public:
    TestFolder();
    TestFolder(const TestFolder&) = delete;
    TestFolder& operator=(const TestFolder&) = delete;
    ~TestFolder();
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }

private:
    std::filesystem::path path_;
};

std::string read_bytes(const std::filesystem::path& file);
void write_bytes(const std::filesystem::path& file, const std::string& bytes);

/// Every regular file below a folder with its content: equal before and after means that inputs were left alone.
std::map<std::filesystem::path, std::string> contents_of(const std::filesystem::path& folder);

}  // namespace perisclera::test
