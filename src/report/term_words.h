// SPDX-License-Identifier: Apache-2.0
#pragma once
// The fixed words of report.json and of an examiner's findings where they are printed: the catalogue's text of each, apart from name(), which is the format's.
#include <string>
#include <vector>

#include "perisclera/report/examination.h"
#include "perisclera/report/eye_words.h"
#include "perisclera/report/report_model.h"

namespace perisclera::report {

std::string in_words(Form form);
std::string in_words(Feature feature);
/// "superior"; rectus_in_words() "superior rectus".
std::string in_words(MuscleName muscle);
std::string rectus_in_words(MuscleName muscle);
std::string in_words(Continuity continuity);
std::string in_words(MuscleRelation relation);

std::string in_words(GlobeStatus status);
std::string in_words(Lens lens);
std::string in_words(Sign sign);
std::string in_words(MetalStatus status);
std::string in_words(WallRelation relation);
std::string in_words(JunctionKind kind);
std::string in_words(ForwardPlace place);
/// One word, where wording.h has verdict_in_words() for a sentence.
std::string in_words(Verdict verdict);

std::string in_words(Movement movement);
std::string in_words(SlitLampSign sign);
std::string in_words(HorizontalDeviation deviation);
std::string in_words(VerticalDeviation deviation);
std::string in_words(Torsion torsion);
std::string in_words(Symptom symptom);
std::string in_words(MovementRange range);
/// What was told beside the range: "forced duction restricted", "force generation reduced".
std::vector<std::string> tests_in_words(const MovementFinding& finding);

}  // namespace perisclera::report
