// SPDX-License-Identifier: Apache-2.0
#include "record_wording.h"

#include <algorithm>

#include "perisclera/core/text.h"
#include "perisclera/report/probability_words.h"
#include "perisclera/report/wording.h"

namespace perisclera::report {

std::vector<std::string> record_sentences(const RecordedOperation& record) {
    std::vector<std::string> out;
    if (record.section) out.push_back(say("record.section", {{"width", fixed(record.section->width.value(), 2)}, {"thickness", fixed(record.section->thickness.value(), 2)}}));
    if (!record.year && !record.material) return out;
    const std::string year = record.year ? std::to_string(*record.year) : say("record.not_told");
    const std::string material = record.material ? std::string(in_words(*record.material)) : say("record.not_told");
    std::vector<Material> open(all_materials.begin(), all_materials.end());
    constexpr double excluded = 0.05;
    std::erase_if(open, [&](Material m) { return record.probabilities[m] < excluded; });
    std::stable_sort(open.begin(), open.end(), [&](Material a, Material b) { return record.probabilities[a] > record.probabilities[b]; });
    std::string both;
    for (const Material m : open) both += (both.empty() ? "" : "; ") + std::string(in_words(m)) + ", " + probability_in_words(record.probabilities[m]);
    out.push_back(say("record.told", {{"year", year}, {"material", material}}));
    out.push_back(say("record.both", {{"materials", both}}));
    if (record.year_contradicts) out.push_back(say("record.year_contradicts", {{"year", year}}));
    if (record.material_contradicts) out.push_back(say("record.material_contradicts", {{"material", material}}));
    return out;
}

}  // namespace perisclera::report
