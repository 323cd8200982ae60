// SPDX-License-Identifier: Apache-2.0
#include "src/report/report_groups.h"

#include "src/report/measurement_items.h"

namespace perisclera::report {

namespace {

/// Time point by TID 1502: the visit's name and number, and the days since the first.
void put_time_point(ContentTree& tree, const ReportContext& context) {
    const auto context_of = Relation::observation_context;
    const Timepoint& first = context.model.timepoints.front();
    const auto number = static_cast<double>(&context.visit - &first + 1);
    tree.text(context_of, codes::subject_time_point, context.visit.id);
    tree.text(context_of, codes::time_point, context.visit.study_date.iso());
    tree.number(context_of, codes::time_point_order, number, codes::no_units);
    tree.number(context_of, codes::temporal_offset, context.visit.study_date.days_since(first.study_date), codes::day,
                [&] { tree.code(Relation::concept_modifier, codes::temporal_event, codes::baseline); });
}

}  // namespace

void put_group(ContentTree& tree, const ReportContext& context, const GroupHead& head, const ContentTree::Children& rest) {
    tree.container(Relation::contains, codes::measurement_group, [&] {
        tree.text(Relation::observation_context, codes::tracking_identifier, head.tracking_id);
        tree.uid(Relation::observation_context, codes::tracking_uid, head.tracking_uid);
        tree.code(Relation::contains, codes::finding_category, head.category);
        tree.code(Relation::contains, codes::finding, head.finding);
        put_time_point(tree, context);
        if (head.segment) {
            tree.image(Relation::contains, &codes::referenced_segment, head.segment->segmentation, {.segment = head.segment->number});
            tree.uid(Relation::contains, codes::source_series, head.segment->source_series_uid);
        }
        tree.code(Relation::concept_modifier, codes::finding_site, head.site, [&] {
            tree.code(Relation::concept_modifier, codes::laterality, side(head.eye));
            for (const Code& place : head.topography) tree.code(Relation::concept_modifier, codes::topographical_modifier, place);
        });
        rest();
    }, head.segment ? "1411" : "1501");
}

}  // namespace perisclera::report
