// SPDX-License-Identifier: Apache-2.0
#pragma once
// The measurement groups of a structured report (PS3.16 TID 1411 where a segment shows what was measured, else TID 1501).
#include <utility>
#include <vector>

#include "src/report/content_tree.h"
#include "src/report/structured_report.h"

namespace perisclera::report {

/// All that a group needs of its report.
struct ReportContext {
    const ReportModel& model;
    const Identity& identity;
    const Timepoint& visit;
    const std::vector<FiledSegment>& segments;   ///< of this visit
};

/// Tracking, finding, time point and site that every group begins with, then `rest`. `segment`: the place in the images, or nothing.
struct GroupHead {
    std::string tracking_id, tracking_uid;
    Code category, finding, site;
    Eye eye;
    const FiledSegment* segment = nullptr;
    std::vector<Code> topography{};
};
void put_group(ContentTree& tree, const ReportContext& context, const GroupHead& head, const ContentTree::Children& rest);

/// Category and finding. What fits no explant material may be a growth or an abscess: it is not called an implant. nullptr: of an element no longer seen.
std::pair<Code, Code> finding_codes(const ElementEntry* element);

void put_element_group(ContentTree& tree, const ReportContext& context, Eye eye, const ElementEntry& element);
void put_eye_groups(ContentTree& tree, const ReportContext& context, Eye eye);
/// Changes up to this visit, and after the last one the trends.
bool has_changes(const ReportContext& context);
void put_change_groups(ContentTree& tree, const ReportContext& context);

}  // namespace perisclera::report
