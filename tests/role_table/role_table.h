// SPDX-License-Identifier: Apache-2.0
#pragma once
// Kinds of series that head studies hold, each written as a file and read as the program reads it. The role that a kind has to get is stated
// by hand beside it; what the program tells becomes docs/role_table.md.
#include <map>
#include <string>
#include <vector>

#include "tests/support/dicom_slice.h"

namespace perisclera::test {

// Where parameters come from.
inline constexpr const char* westbrook = "Westbrook and Talbot 2019";
inline constexpr const char* population = "Alfaro-Almagro 2018";
inline constexpr const char* standard = "PS3.3";
inline constexpr const char* practice = "common practice, no source";

/// A header. Numbers of 0 and empty texts are not stated in it.
struct SeriesKind {
    std::string what{};
    std::string expected{};  ///< role, as in report.json
    std::string source{};    ///< of the parameters
    std::string sequence{}, variant{}, options{};  ///< classic: the coded values
    double repetition = 0, echo = 0, inversion = 0, flip = 0;
    int train = 0;
    std::string description{}, agent{};
    std::string image_type = "ORIGINAL\\PRIMARY\\M";
    std::map<TagNumber, std::string> more{};  ///< classic: any attribute; enhanced: at its top level
    std::map<TagNumber, std::pair<std::string, std::string>> secret{};  ///< private elements: value representation and value
    bool implicit = false;                  ///< written without value representations
    std::string contrast{};                   ///< enhanced: the stated acquisition contrast
    std::map<TagNumber, std::string> modifier{};  ///< enhanced: in the MR modifier group
    double b_value = 0;                     ///< enhanced
};

struct ToldRole {
    std::string role, confidence, why;
};

std::vector<SeriesKind> spin_echo_kinds();
std::vector<SeriesKind> gradient_echo_kinds();
std::vector<SeriesKind> other_mr_kinds();
std::vector<SeriesKind> enhanced_kinds();
std::vector<SeriesKind> ct_kinds();
/// All of them.
const std::vector<SeriesKind>& series_kinds();

/// What the program tells of each kind, in their order.
const std::vector<ToldRole>& told_roles();

/// docs/role_table.md
std::string role_table();

}  // namespace perisclera::test
