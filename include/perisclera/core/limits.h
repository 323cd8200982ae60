// SPDX-License-Identifier: Apache-2.0
#pragma once
// Every cap on what outside input may demand, in one place, printable by --limits.
#include <array>
#include <cstdint>
#include <string_view>

namespace perisclera::limits {

inline constexpr std::uint64_t nesting = 64;
inline constexpr std::uint64_t elements_per_file = 100'000;
inline constexpr std::uint64_t value_bytes = 16u << 20;
inline constexpr std::uint64_t header_bytes = 64u << 20;
inline constexpr std::uint64_t inflated_bytes = 512u << 20;
inline constexpr std::uint64_t inflation_ratio = 50;
inline constexpr std::uint64_t inflated_bytes_whatever_the_ratio = 16u << 20;  // blank images shrink a thousandfold
inline constexpr std::uint64_t archive_bytes = std::uint64_t{16} << 30;
inline constexpr std::uint64_t decode_seconds = 20;
inline constexpr std::uint64_t decode_bytes = 1u << 30;
inline constexpr std::uint64_t rows_or_columns = 4096;
inline constexpr std::uint64_t slices = 4096;
inline constexpr std::uint64_t files_per_run = 20'000;

struct NamedLimit { std::string_view what; std::uint64_t value; std::string_view unit; };
inline constexpr std::array all{
    NamedLimit{"sequence nesting", nesting, "levels"},
    NamedLimit{"elements in a file", elements_per_file, "elements"},
    NamedLimit{"one value other than pixels", value_bytes, "bytes"},
    NamedLimit{"everything before the pixels", header_bytes, "bytes"},
    NamedLimit{"one file, inflated", inflated_bytes, "bytes"},
    NamedLimit{"inflated over deflated size", inflation_ratio, "times"},
    NamedLimit{"inflated size that any file may have", inflated_bytes_whatever_the_ratio, "bytes"},
    NamedLimit{"all files of an archive, inflated", archive_bytes, "bytes"},
    NamedLimit{"time to decode one image", decode_seconds, "seconds"},
    NamedLimit{"memory to decode one image", decode_bytes, "bytes"},
    NamedLimit{"rows or columns", rows_or_columns, "pixels"},
    NamedLimit{"slices in a series", slices, "slices"},
    NamedLimit{"files in a run", files_per_run, "files"},
};

}  // namespace perisclera::limits
