// SPDX-License-Identifier: Apache-2.0
#pragma once
// The least that other libraries need for the same work, on one thread. None of them checks anything; the files' order is given to them.
#include <filesystem>
#include <functional>
#include <span>
#include <vector>

namespace perisclera::test {

using Files = std::vector<std::filesystem::path>;

/// Silences the libraries and has them load what they need once, such as their dictionaries.
void prepare_other_readers(const std::filesystem::path& any_file);

/// DCMTK: loads each file, takes its stored values, and rescales them into one block of numbers.
std::vector<float> pixels_by_dcmtk(const Files& files);

/// ITK's series reader with its GDCM reader; `use` is given the numbers where they lie.
void pixels_by_itk(const Files& files, const std::function<void(std::span<const float>)>& use);

/// DCMTK: loads each file up to its pixels. The number of different series.
std::size_t headers_by_dcmtk(const Files& files);

}  // namespace perisclera::test
