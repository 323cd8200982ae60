// SPDX-License-Identifier: Apache-2.0
#include "perisclera/teaching/finished_result.h"

#include <nlohmann/json.hpp>

#include "perisclera/core/text.h"
#include "perisclera/report/material_shares.h"

namespace perisclera::teaching {

namespace {

using Json = nlohmann::json;

Error refused(const std::string& what) {
    return Error{ErrorCode::bad_value, what, "report.json of the result", "give the folder that identify or track of this version wrote"};
}

FinishedResult read(const Json& report) {
    FinishedResult result;
    const Json& options = report.at("program").at("options");
    result.eye = options.value("eye", "both");
    result.same_patient = options.value("same_patient", false);
    result.material_shares = report::read_material_shares(options.value(report::material_shares_option, ""));
    result.simulated = report.at("simulated").get<bool>();
    for (const Json& visit : report.at("timepoints")) {
        for (const Json& series : visit.at("series")) {
            if (!series.at("used").get<bool>()) continue;
            const auto digest = series.find("digest");
            result.series.push_back({series.at("series_uid").get<std::string>(), digest != series.end() && digest->is_string() ? digest->get<std::string>() : ""});
        }
        for (const char* eye : {"right", "left"}) {
            const Json& entry = visit.at("eyes").at(eye);
            ResultFinding finding{entry.at("explant").at("presence").get<std::string>(), {}};
            for (const Json& element : entry.at("elements")) finding.labels.push_back(element.at("material").at("label").get<std::string>());
            result.findings.push_back(std::move(finding));
        }
    }
    return result;
}

}  // namespace

Result<FinishedResult> parse_result(std::string_view report_json) {
    try {
        const Json report = Json::parse(report_json);
        if (report.at("format") != "perisclera-report") return refused("the file is no result of this program");
        if (report.at("format_version") != 1) return refused("the result is of another format version");
        FinishedResult result = read(report);
        if (result.series.empty()) return refused("the result used no series");
        for (const ResultSeries& series : result.series)
            if (series.digest.empty()) return refused("the result states no digests of its images, as earlier versions did not");
        return result;
    } catch (const Json::exception&) {
        return refused("the file cannot be read as a result");
    }
}

void withhold_place_in_head(report::ReportModel& model) {
    const Unmeasured taken_away{say("reason.head_taken_away")};
    for (report::Timepoint& visit : model.timepoints)
        for (const Eye eye : both_eyes) {
            report::MassEffect withheld;
            for (auto* length : {&withheld.superior, &withheld.anterior, &withheld.left, &withheld.rear_margin, &withheld.line_length, &withheld.cornea_in_front, &withheld.centre_in_front,
                                 &withheld.rear_margin_behind})
                *length = taken_away;
            for (auto* angle : {&withheld.turned_left, &withheld.turned_up, &withheld.converging, &withheld.higher_than_fellow}) *angle = taken_away;
            visit.eye(eye).mass_effect = withheld;
        }
}

std::vector<ResultFinding> findings_of(const report::ReportModel& model) {
    std::vector<ResultFinding> all;
    for (const report::Timepoint& visit : model.timepoints)
        for (const Eye eye : both_eyes) {
            const report::EyeEntry& entry = visit.eye(eye);
            ResultFinding finding{std::string(name(entry.explant.presence)), {}};
            for (const report::ElementEntry& element : entry.elements) finding.labels.emplace_back(element.material.label ? name(*element.material.label) : "undetermined");
            all.push_back(std::move(finding));
        }
    return all;
}

}  // namespace perisclera::teaching
