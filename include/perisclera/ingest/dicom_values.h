// SPDX-License-Identifier: Apache-2.0
#pragma once
// Strict reading of DICOM value texts (PS3.5 6.2): a text that is not exactly what its value representation allows is
// no value. Independent of the locale; "0,5", "nan", "inf", "1e999" and "" are refused.
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace perisclera {

/// One DS value: finite decimal number, leading and trailing spaces allowed.
std::optional<double> parse_decimal(std::string_view text);
/// Exactly `count` DS values separated by backslashes.
std::optional<std::vector<double>> parse_decimals(std::string_view text, std::size_t count);
/// One IS value.
std::optional<long> parse_integer(std::string_view text);
/// Values of a multi-valued code string, trimmed; empty for an empty text.
std::vector<std::string> split_values(std::string_view text);
/// Without leading and trailing spaces and trailing NULs.
std::string_view trimmed(std::string_view text);
/// Digits and single dots, 1 to 64 characters, digits at both ends (PS3.5 9.1; leading zeros are tolerated).
bool valid_uid(std::string_view text);
/// ASCII letters only; the rest unchanged.
std::string upper_case(std::string_view text);

}  // namespace perisclera
