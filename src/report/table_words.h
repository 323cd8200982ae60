// SPDX-License-Identifier: Apache-2.0
#pragma once
// Fixed words of report.json as the measurement tables print them; name() is the format's own word.
#include <string>

#include "perisclera/report/report_model.h"

namespace perisclera::report {

std::string in_words(GlobeStatus status);
std::string in_words(Lens lens);
std::string in_words(Sign sign);
std::string in_words(MetalStatus status);
std::string in_words(WallRelation relation);
std::string in_words(JunctionKind kind);
std::string in_words(ForwardPlace place);
std::string in_words(Feature feature);
/// One word, where wording.h has verdict_in_words() for a sentence.
std::string in_words(Verdict verdict);

}  // namespace perisclera::report
