// SPDX-License-Identifier: Apache-2.0
#pragma once
// By which mechanisms an element may disturb the eye's movement, and which test tells them apart. Nothing is foretold: where an element lies does not tell
// which movement is limited (Retina 2012;32:1514-1524; Leibovitch I et al., Br J Ophthalmol 2005;89:640). Only where an examiner's findings are given is it
// said which mechanisms fit them, and what none of them explains. A finding that was not told speaks neither for nor against.
#include <array>
#include <optional>
#include <string>
#include <vector>

#include "perisclera/report/examination.h"
#include "perisclera/report/report_model.h"

namespace perisclera::report {

enum class Mechanism { mass_blocks_rotation, muscle_stretched_or_adherent, muscle_bound_by_capsule, muscle_cut_or_slipped, oblique_trapped, globe_displaced };
inline constexpr std::array<Mechanism, 6> all_mechanisms{Mechanism::mass_blocks_rotation, Mechanism::muscle_stretched_or_adherent, Mechanism::muscle_bound_by_capsule,
                                                         Mechanism::muscle_cut_or_slipped, Mechanism::oblique_trapped, Mechanism::globe_displaced};
/// Whether some finding speaks for it and, if none does, whether some speaks against it.
enum class Fit { fits, does_not_fit, not_told };
std::string_view name(Mechanism);
std::string_view name(Fit);

/// What it is and what tells it, the same for every element.
struct MechanismWords {
    std::string what, test;
    Basis basis;
    std::string source;                                 ///< citation; "common practice, no source"
};
MechanismWords words_of(Mechanism mechanism);

struct MechanismEntry {
    Mechanism mechanism;
    std::string on_this_scan;                           ///< what the images say to it
    std::optional<Fit> fit{};                           ///< nothing: no findings were given
    std::string why{};                                  ///< of the fit
};

/// Of one element last seen.
struct ElementMechanisms {
    Eye eye;
    std::string element;
    std::vector<MechanismEntry> entries;                ///< in the order of all_mechanisms
};

struct MechanismsToSeparate {
    std::vector<ElementMechanisms> elements;            ///< explants only; right eye first
    std::vector<std::string> unexplained;               ///< sentences on findings that no mechanism of an element seen explains
};

MechanismsToSeparate mechanisms(const ReportModel& model);
/// That position foretells nothing, with its sources.
std::string position_foretells_nothing();

/// The rectus muscles in whose sector an element lies, by its clock hours and the published widths of insertions; all where its clock hours were not measured.
std::vector<MuscleName> recti_in_sector(const ElementEntry& element, Eye eye);

/// How the findings speak to one mechanism of one element, and which of the six movements it would explain.
struct FitOfFindings {
    Fit fit;
    std::string why;
    std::array<bool, all_movements.size()> explains{};
    bool explains_deviation = false;
};
FitOfFindings fit_of(Mechanism mechanism, const EyeExamination& eye, const Deviation& deviation, const std::vector<Symptom>& symptoms, const std::vector<MuscleName>& in_sector);
/// Is this movement told to be out of order in any way?
bool is_disturbed(const MovementFinding& finding);

}  // namespace perisclera::report
