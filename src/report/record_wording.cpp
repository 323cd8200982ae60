// SPDX-License-Identifier: Apache-2.0
#include "record_wording.h"

#include <algorithm>

#include "perisclera/core/text.h"
#include "perisclera/report/probability_words.h"
#include "perisclera/report/wording.h"

namespace perisclera::report {

std::vector<std::string> record_sentences(const RecordedOperation& record) {
    const std::string year = record.year ? std::to_string(*record.year) : say("record.not_told");
    const std::string material = record.material ? std::string(in_words(*record.material)) : say("record.not_told");
    const Material likeliest = *std::max_element(all_materials.begin(), all_materials.end(), [&](Material a, Material b) { return record.probabilities[a] < record.probabilities[b]; });
    std::vector<std::string> out{say("record.told", {{"year", year}, {"material", material}}),
                                 say("record.both", {{"material", in_words(likeliest)}, {"probability", probability_in_words(record.probabilities[likeliest])}})};
    if (record.year_contradicts) out.push_back(say("record.year_contradicts", {{"year", year}}));
    if (record.material_contradicts) out.push_back(say("record.material_contradicts", {{"material", material}}));
    return out;
}

}  // namespace perisclera::report
