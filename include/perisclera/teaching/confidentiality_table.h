// SPDX-License-Identifier: Apache-2.0
#pragma once
// What DICOM asks to be done with each attribute that may identify: PS3.15 annex E, table E.1-1, as data in this one place.
#include <cstdint>
#include <span>
#include <string_view>

namespace perisclera::teaching {

/// Where the rows come from: facts of the standard, transcribed by tag, action and option, no code. What the table does not list is removed all the same (kept_attributes.h), so that rows
/// of a later edition change no image. Method: the tabulation of edition 2026d in the public repository maziyarpanahi/openmed (openmed/multimodal/dicom.py, commit 277104449852, Apache-2.0)
/// gives every tag, its action and most options; institution identity and clean graphics, which it leaves out, are from the 460 rows of an earlier edition in innolitics/dicom-standard
/// (commit 0d01bf11dfc1, MIT), every one of which the later edition still has.
inline constexpr std::string_view confidentiality_edition = "PS3.15 table E.1-1, edition 2026d: 653 attributes, and private attributes, curves and overlays by group";

struct ConfidentialityRow {
    std::uint32_t tag;          ///< group and element
    std::string_view action;    ///< of the basic profile: D, Z, X, U, or a compound of them
    /// Options that change it, a letter each: u retain UIDs (K), x the same (X), d device identity (K), D the same (C), n institution (K), p patient characteristics (K), P the same (C), t dates
    /// (full K, modified C), s clean descriptors (C), r clean structured content (C), g clean graphics (C), v safe private (C)
    std::string_view options;
};

/// Rows of single attributes, by rising tag.
std::span<const ConfidentialityRow> confidentiality_rows();

/// The row of an attribute, those of private attributes, curves and overlays included; nullptr where none speaks of it.
const ConfidentialityRow* confidentiality_row(std::uint16_t group, std::uint16_t element);

}  // namespace perisclera::teaching
