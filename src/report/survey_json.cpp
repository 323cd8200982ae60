// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/survey_json.h"

#include <cmath>

#include <nlohmann/json.hpp>

namespace perisclera::report {

std::string to_json(const Survey& survey) {
    using Json = nlohmann::ordered_json;
    const auto rounded = [](double v) { return std::round(v * 1000.0) / 1000.0; };
    Json patients = Json::array();
    for (const SurveyPatient& p : survey.patients) {
        Json studies = Json::array();
        for (const SurveyStudy& study : p.studies) {
            Json series = Json::array();
            for (const SurveySeries& s : study.series) {
                Json entry{{"number", s.number},       {"series_uid", s.series_uid},       {"modality", s.modality == Modality::ct ? "CT" : "MR"},
                           {"role", name(s.role)},     {"confidence", name(s.confidence)}, {"why", s.why}, {"used", s.used},
                           {"simulated", s.simulated}, {"images", s.images}};
                entry["plane"] = s.plane ? Json(name(*s.plane)) : Json();
                entry["spacing_mm"] = s.spacing_mm ? Json{rounded((*s.spacing_mm)[0]), rounded((*s.spacing_mm)[1]), rounded((*s.spacing_mm)[2])} : Json();
                entry["size"] = s.size ? Json(*s.size) : Json();
                entry["kvp"] = s.kvp ? Json(*s.kvp) : Json();
                entry["problems"] = s.problems;
                series.push_back(std::move(entry));
            }
            studies.push_back({{"study_date", study.date.iso()}, {"series", std::move(series)}});
        }
        patients.push_back({{"patient", p.number}, {"studies", std::move(studies)}});
    }
    Json warnings = Json::array();
    for (const Error& w : survey.warnings) warnings.push_back({{"code", name(w.code)}, {"text", w.what + ": " + w.where + ": " + w.hint}});
    const Json out{{"format", "perisclera-survey"},
                   {"format_version", 1},
                   {"files_looked_at", survey.files_looked_at},
                   {"images", survey.images},
                   {"not_dicom", survey.not_dicom},
                   {"not_files", survey.not_files},
                   {"ignored_objects", survey.ignored_objects},
                   {"patients", std::move(patients)},
                   {"warnings", std::move(warnings)}};
    return out.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace perisclera::report
