// SPDX-License-Identifier: Apache-2.0
#pragma once
// What the commands share.
#include <filesystem>
#include <optional>
#include <vector>

#include "commands.h"
#include "perisclera/dicom/output_folder.h"

namespace perisclera::app {

int thread_count(const Options& options);
/// Looks for the memory that libraries end the process without.
std::optional<Error> too_little_memory(int threads);
/// What drawing of text takes part in: fonts are looked for by threads of the text library's own, one a face, for which it ends the process when they are refused.
inline constexpr int threads_of_drawing = 4;
/// Output inside an input folder would be read as input next time.
bool lies_inside(const std::filesystem::path& out, const std::vector<std::filesystem::path>& inputs);
/// Opens the folder aside for options.out, to be removed when interrupted. Errors: output_inside_input, output_not_empty, output_failed.
Result<OutputFolder> open_output(const Options& options);
std::optional<Error> commit(OutputFolder& out);

}  // namespace perisclera::app
