// SPDX-License-Identifier: Apache-2.0
#pragma once
// What a finished result (report.json) says of its images and of what was found in them: enough to know the images again, and to see whether images cut down for teaching still
// tell the same.
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "perisclera/core/result.h"
#include "perisclera/report/report_model.h"

namespace perisclera::teaching {

/// A used series, by UID and by the digest of what it holds.
struct ResultSeries {
    std::string uid, digest;
};

/// One eye at one date: presence, and the label of every element in order.
struct ResultFinding {
    std::string presence;
    std::vector<std::string> labels;
    bool operator==(const ResultFinding&) const = default;
};

struct FinishedResult {
    std::vector<ResultSeries> series;      ///< those used
    std::vector<ResultFinding> findings;   ///< right, left eye of each date, in order
    std::string eye;                       ///< as asked for: "both", "right", "left"
    bool same_patient = false;
    std::optional<report::PerMaterial<double>> material_shares{};   ///< set for it, before any image was seen
    bool simulated = false;
};

/// Errors: bad_value, for a text that is no report.json of this format version or that states no digests (written by an earlier version).
Result<FinishedResult> parse_result(std::string_view report_json);

/// Takes back what was measured against the head, whose symmetry images cut down to the orbits no longer show: the region itself is symmetric.
void withhold_place_in_head(report::ReportModel& model);

std::vector<ResultFinding> findings_of(const report::ReportModel& model);

}  // namespace perisclera::teaching
