// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "src/report/measurement_items.h"
#include "src/report/report_groups.h"
#include "src/report/tracking.h"

namespace perisclera::report {

namespace {

const ElementEntry* element_at(const ReportModel& model, const std::string& visit_id, Eye eye, const std::string& id) {
    for (const Timepoint& visit : model.timepoints)
        if (visit.id == visit_id) return find_element(visit, eye, id);
    return nullptr;
}

/// The two volumes that a change of volume is inferred from.
void put_volumes(ContentTree& tree, const ReportModel& model, const Change& change) {
    for (const std::string& visit : {change.from, change.to})
        if (const ElementEntry* element = element_at(model, visit, change.eye, change.element); element && element->volume.has_value())
            put_measurement(tree, codes::volume, element->volume, [&] { tree.text(Relation::concept_modifier, codes::subject_time_point, visit); }, Relation::inferred_from);
}

void put_change(ContentTree& tree, const ReportContext& context, const Change& c) {
    const Tracking tracking = tracking_of_element(context.identity, c.eye, c.element);
    const auto [category, what] = finding_codes(find_element(context.visit, c.eye, c.element));
    put_group(tree, context, {tracking.id, tracking.uid, category, what, codes::sclera, c.eye}, [&] {
        tree.number(Relation::contains, own("Days between the visits"), c.days, codes::day);
        put_measurement(tree, own("Change of volume"), c.volume, [&] { put_volumes(tree, context.model, c); });
        put_plain(tree, own("Smallest change of volume that would be shown"), c.smallest_detectable);
        put_measurement(tree, own("Change of the largest area"), c.largest_area);
        put_measurement(tree, own("Change of the largest thickness"), c.largest_thickness);
        put_measurement(tree, own("Shift of the front edge towards the limbus"), c.anterior_margin_shift);
        put_measurement(tree, own("Change of the water fraction"), c.water_fraction);
        put_measurement(tree, own("Change of the offset of the globe"), c.globe_offset);
        tree.code(Relation::contains, own("Verdict on change"), own(c.verdict));
        tree.code(Relation::contains, own("Both visits measured alike"), c.same_method ? own("yes") : own("no"));
        tree.code(Relation::contains, own("Both visits fitted under one CT number"), c.under_one_number ? own("yes") : own("no"));
        tree.text(Relation::contains, own("Earlier visit"), c.from);
    });
}

void put_trend(ContentTree& tree, const ReportContext& context, const Trend& t) {
    const Tracking tracking = tracking_of_element(context.identity, t.eye, t.element);
    const auto [category, what] = finding_codes(find_element(context.visit, t.eye, t.element));
    put_group(tree, context, {tracking.id, tracking.uid, category, what, codes::sclera, t.eye}, [&] {
        put_measurement(tree, own("Trend of the volume"), t.volume);
        if (t.next_informative_days) tree.number(Relation::contains, own("Days until a further scan can tell"), *t.next_informative_days, codes::day);
    });
}

bool is_last(const ReportContext& context) { return &context.visit == &context.model.timepoints.back(); }

}  // namespace

bool has_changes(const ReportContext& context) {
    const auto& changes = context.model.changes;
    return std::any_of(changes.begin(), changes.end(), [&](const Change& c) { return c.to == context.visit.id; }) || (is_last(context) && !context.model.trends.empty());
}

void put_change_groups(ContentTree& tree, const ReportContext& context) {
    for (const Change& change : context.model.changes)
        if (change.to == context.visit.id) put_change(tree, context, change);
    if (!is_last(context)) return;
    for (const Trend& trend : context.model.trends) put_trend(tree, context, trend);
}

}  // namespace perisclera::report
