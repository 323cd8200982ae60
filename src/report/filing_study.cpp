// SPDX-License-Identifier: Apache-2.0
#include "src/report/filing_study.h"

#include <algorithm>
#include <map>

namespace perisclera::report {

std::string filing_study_uid(const Timepoint& visit) {
    struct Weight {
        int elements = 0, series = 0;
        auto operator<=>(const Weight&) const = default;
    };
    std::map<std::string, Weight> studies;   // by UID
    std::map<std::string, std::string> study_of_series;
    for (const SeriesEntry& series : visit.series) {
        if (!series.used) continue;
        ++studies[series.study_uid].series;
        study_of_series[series.series_uid] = series.study_uid;
    }
    for (const Eye eye : both_eyes)
        for (const ElementEntry& element : visit.eye(eye).elements)
            for (const std::string& series : element.measured_on)
                if (const auto at = study_of_series.find(series); at != study_of_series.end()) ++studies[at->second].elements;
    const auto best = std::max_element(studies.begin(), studies.end(), [](const auto& a, const auto& b) { return a.second < b.second; });  // the first of equals
    return best == studies.end() ? "" : best->first;
}

StudyFiling filing_of(const Identity& identity, const std::string& study_uid) {
    const auto at = std::find_if(identity.studies.begin(), identity.studies.end(), [&](const StudyFiling& s) { return s.study_uid == study_uid; });
    return at == identity.studies.end() ? StudyFiling{.study_uid = study_uid, .patient_name = identity.name, .patient_id = identity.id} : *at;
}

}  // namespace perisclera::report
