// SPDX-License-Identifier: Apache-2.0
#pragma once
// The report's plain sentences, shared by page and PDF, so that both say the same. UTF-8, English, no markup, numbers
// without locale. Lengths are given to 0.1 mm, volumes to 1 mm3; an interval always stands beside its value.
#include <string>
#include <string_view>
#include <vector>

#include "perisclera/report/report_model.h"

namespace perisclera::report {

/// `value` with so many decimals, "-" as U+2212; never "-0".
std::string fixed(double value, int decimals);

/// "590 mm³ (95 % interval 545 to 640)", or "not measured: why".
template <class Q>
std::string in_words(const Measurement<Q>& m);
/// "1.5 o'clock, upper nasal", the full turn shown as 12.
std::string hour_in_words(ClockPosition hour, Eye eye);
/// A clock position: "0.1 o'clock, superior (95 % interval 11.8 to 0.4)".
std::string position_in_words(const Measurement<ClockHours>& m, Eye eye);
/// The same with an explicit sign, for changes.
template <class Q>
std::string change_in_words(const Measurement<Q>& m);
/// True where the only reason is that this version does not look at it.
template <class Q>
bool is_not_assessed(const Measurement<Q>& m) {
    return m.unmeasured() && m.unmeasured()->why == not_assessed().why;
}

std::string in_words(SeriesRole role, Modality modality);
std::string in_words(Material material);
/// "hydrogel", or "undetermined; candidates: solid silicone, possible (52 %); hydrogel, possible (44 %)".
std::string label_in_words(const MaterialEntry& material);
/// The same, a label with its own probability: "hydrogel, very likely (97 %)".
std::string label_with_probability(const MaterialEntry& material);
/// "enlarged", "no change shown", ... of one change.
std::string verdict_in_words(Verdict verdict);
std::string in_words(Basis basis);
/// The word of the file format with spaces for underscores.
std::string spaced(std::string_view word);

/// The visit whose images say most recently something about this eye: the last one that shows it, else the last one;
/// nullptr where there is no visit.
const Timepoint* current_visit(const ReportModel& model, Eye eye);
const ElementEntry* find_element(const Timepoint& visit, Eye eye, std::string_view id);

/// Was the run limited to the other eye?
bool was_left_out(const ReportModel& model, Eye eye);

/// Clock hours to the nearest half for a sentence: "12½ to 3 o'clock (upper nasal)", "all round the eye".
std::string place_in_words(const ElementEntry& element, Eye eye);

struct ElementFinding {
    std::string title;                       ///< "R1: segmental element, 12 to 3 o'clock (upper nasal)"
    std::vector<std::string> sentences;
};

struct EyeFinding {
    std::string headline;                    ///< "Right eye: explant present"
    std::vector<std::string> sentences;      ///< on the eye as a whole
    std::vector<ElementFinding> elements;
    std::vector<std::string> globe{};        ///< on globe and muscles, read after the elements
};

/// What the report says of one eye, as of its current visit, with the verdicts on change up to that visit.
EyeFinding finding(const ReportModel& model, Eye eye);

/// "silicone oil", "silicone oil above vitreous or other watery fluid, about 45 % of the cavity above the level", "undetermined".
std::string contents_in_words(const GlobeEntry& globe);
/// "Contents of the globe: gas (evenly -998 HU at 120 kVp). Lens: natural (4 mm thick)."
std::string globe_sentence(const GlobeEntry& globe);

/// Where the globe lies against its mirrored fellow and, on CT, the interzygomatic line, with what is usual; empty where this version did not look.
std::string place_sentence(const MassEffect& position);
/// Which way the eye is turned, apart from where it lies; empty likewise.
std::string turn_sentence(const MassEffect& position);

/// Which rectus muscles end before they reach the globe; empty where none is seen to.
std::string muscle_sentence(const EyeEntry& eye);

/// "None seen; a band thinner than 0.6 mm or a sponge less than 2.5 mm across would be missed by these scans." Without `none_seen` it begins at the band.
std::string detection_limit(const ExplantEntry& explant, bool none_seen);
/// The scan that would tell the material best, and why; one or two sentences.
std::string next_study_in_words(const MaterialEntry& material);
/// What would tell the material, in the order in which it is worth asking for: record and older scans, MR after metal screening, CT where the answer would change the
/// decision. `eye`: the eye that has the element, whose metal is told.
std::vector<std::string> settling_steps(const EyeEntry& eye, const MaterialEntry& material);

/// Text repaired to valid UTF-8 without control characters (both replaced by U+FFFD; tab and line feed become spaces).
std::string clean_text(std::string_view text);

}  // namespace perisclera::report
