// SPDX-License-Identifier: Apache-2.0
#pragma once
// What an examiner found at the patient, given to the program in a small JSON file (docs/findings.schema.json): deviation, movements with forced duction and
// force generation, slit lamp, symptoms. Every member is a word of a closed set, a number or a date; what the file leaves out was not told, which is
// neither normal nor abnormal. The file may hold a free note: that is never kept, so nothing can quote it.
#include <array>
#include <optional>
#include <string_view>
#include <vector>

#include "perisclera/assemble/image_series.h"
#include "perisclera/core/eye.h"
#include "perisclera/core/result.h"

namespace perisclera::report {

enum class Movement { elevation, depression, adduction, abduction, elevation_in_adduction, depression_in_adduction };
inline constexpr std::array<Movement, 6> all_movements{Movement::elevation, Movement::depression, Movement::adduction, Movement::abduction, Movement::elevation_in_adduction,
                                                       Movement::depression_in_adduction};
enum class MovementRange { full, limited };
enum class ForcedDuction { free, restricted };
enum class ForceGeneration { normal, reduced };
enum class SlitLampSign { element_not_seen, element_seen_through_conjunctiva, conjunctiva_raised, element_exposed, redness, discharge };
enum class HorizontalDeviation { none, esotropia, exotropia };
enum class VerticalDeviation { none, right_eye_higher, left_eye_higher };
enum class Torsion { none, excyclotorsion, incyclotorsion };
enum class Symptom { none, double_vision, pain, redness, swelling, foreign_body_sensation, discharge, reduced_vision };

std::string_view name(Movement);
std::string_view name(MovementRange);
std::string_view name(ForcedDuction);
std::string_view name(ForceGeneration);
std::string_view name(SlitLampSign);
std::string_view name(HorizontalDeviation);
std::string_view name(VerticalDeviation);
std::string_view name(Torsion);
std::string_view name(Symptom);

/// Of one movement of one eye, by the patient and by the examiner's forceps.
struct MovementFinding {
    std::optional<MovementRange> range{};
    std::optional<ForcedDuction> forced{};            ///< in the direction of the movement
    std::optional<ForceGeneration> force{};           ///< of the muscle that makes the movement
};

struct EyeExamination {
    std::array<MovementFinding, all_movements.size()> movements{};
    std::vector<SlitLampSign> slit_lamp{};
    [[nodiscard]] const MovementFinding& of(Movement m) const { return movements[static_cast<std::size_t>(m)]; }
};

/// In primary position; prism dioptres.
struct Deviation {
    std::optional<HorizontalDeviation> horizontal{};
    std::optional<double> horizontal_prism_dioptres{};
    std::optional<VerticalDeviation> vertical{};
    std::optional<double> vertical_prism_dioptres{};
    std::optional<Torsion> torsion{};
};

struct Examination {
    std::optional<StudyDate> examined_on{};
    Deviation deviation{};
    std::vector<Symptom> symptoms{};
    EyeExamination right{}, left{};
    [[nodiscard]] const EyeExamination& eye(Eye which) const { return which == Eye::right ? right : left; }
    [[nodiscard]] EyeExamination& eye(Eye which) { return which == Eye::right ? right : left; }
};

/// Error: bad_findings, naming the member by its path of known names; never a word of the file's own.
Result<Examination> parse_examination(std::string_view json);

}  // namespace perisclera::report
