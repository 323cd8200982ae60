// SPDX-License-Identifier: Apache-2.0
#pragma once
// What DICOM asks to be done with each attribute that may identify: PS3.15 annex E, table E.1-1, as data in this one place.
#include <cstdint>
#include <span>
#include <string_view>

namespace perisclera::teaching {

/// Where the rows come from. The copy names no edition; edition 2024b has 621 rows. What the table does not list is removed all the same (kept_attributes.h), so that rows of a
/// later edition change no image.
inline constexpr std::string_view confidentiality_edition =
    "PS3.15 table E.1-1 in 460 rows, an edition before 2024b, as the JSON copy in the public repository innolitics/dicom-standard (commit 0d01bf11dfc1) has it";

struct ConfidentialityRow {
    std::uint32_t tag;          ///< group and element
    std::string_view action;    ///< of the basic profile: D, Z, X, U, or a compound of them
    /// Options that change it, a letter each: u retain UIDs (K), x the same (X), d device identity (K), n institution (K), p patient characteristics (K), P the same (C), t dates
    /// (full K, modified C), s clean descriptors (C), r clean structured content (C), g clean graphics (C), v safe private (C)
    std::string_view options;
};

/// Rows of single attributes, by rising tag.
std::span<const ConfidentialityRow> confidentiality_rows();

/// The row of an attribute, those of private attributes, curves and overlays included; nullptr where none speaks of it.
const ConfidentialityRow* confidentiality_row(std::uint16_t group, std::uint16_t element);

}  // namespace perisclera::teaching
