// SPDX-License-Identifier: Apache-2.0
#pragma once
// Other people's DICOM programs, as a second opinion on what a file holds: GDCM's gdcmconv (with openjpeg and its own JPEG code)
// decodes and encodes, DCMTK looks at what comes out.
#include <filesystem>
#include <string>
#include <vector>

namespace perisclera::test {

/// Throws std::runtime_error where the program fails.
void run_tool(std::vector<std::string> words);

/// Re-encodes a file in place, for instance with "--j2k".
void recode_with_gdcm(const std::filesystem::path& file, const std::vector<std::string>& options);

/// Every pixel of every frame as GDCM decodes it, rescaled by the top-level slope and intercept where there are any.
std::vector<float> values_by_gdcm(const std::filesystem::path& file);

}  // namespace perisclera::test
