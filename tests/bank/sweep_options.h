// SPDX-License-Identifier: Apache-2.0
#pragma once
// The command line that sweeps have in common:
//   --patients N   how many patients are drawn, numbered from 0
//   --seed N       what they are drawn from
//   --shard I/N    every Nth patient from the Ith on; I from 1 to N
//   --only K       patient K alone
//   --out FILE     the document; without it, it goes to standard output
#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include <CLI/CLI.hpp>

#include "perisclera/core/result.h"

namespace perisclera::bank {

struct SweepOptions {
    int patients;
    std::uint64_t seed;
    int shard = 1, shards = 1;
    std::optional<int> only{};
    std::filesystem::path out{};
    /// Of the patients asked for.
    [[nodiscard]] std::vector<int> numbers() const;
};

/// `options` holds the defaults, receives what the line says, and lives as long as `command`.
void add_sweep_options(CLI::App& command, SweepOptions& options);

/// Reads the line. A value: the status to end with now, 0 after help was asked for, 2 after an error, which is told on `told`.
std::optional<int> ends_at_command_line(CLI::App& command, int argc, const char* const* argv, std::ostream& told);

/// Writes the document into this file, or to standard output where it has no name. Errors: output_failed.
Result<Done> write_document(const std::filesystem::path& file, const std::string& document);

}  // namespace perisclera::bank
