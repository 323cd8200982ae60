// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "src/report/measurement_items.h"
#include "src/report/report_groups.h"
#include "src/report/tracking.h"

namespace perisclera::report {

namespace {

void put_globe(ContentTree& tree, const GlobeEntry& globe) {
    put_measurement(tree, own("Axial length to the outer sclera"), globe.axial_length);
    put_measurement(tree, own("Equatorial diameter, outer"), globe.equatorial_diameter);
    if (globe.place) put_plain(tree, own("Uncertainty of the axis of the eye"), std::optional(globe.place->axis_uncertainty));
    if (!globe.level) return;
    put_measurement(tree, own("Share of the cavity above the level"), globe.level->share_above);
    put_measurement(tree, own("Height of the level"), globe.level->height);
}

void put_place(ContentTree& tree, const MassEffect& m) {
    put_measurement(tree, own("Globe upwards of its mirrored fellow"), m.superior);
    put_measurement(tree, own("Globe in front of its mirrored fellow"), m.anterior);
    put_measurement(tree, own("Globe to the patient's left of its mirrored fellow"), m.left);
    put_measurement(tree, own("Rear margin in front of its mirrored fellow"), m.rear_margin);
    put_measurement(tree, own("Length of the interzygomatic line"), m.line_length);
    put_measurement(tree, own("Cornea in front of the interzygomatic line"), m.cornea_in_front);
    put_measurement(tree, own("Globe centre in front of the interzygomatic line"), m.centre_in_front);
    put_measurement(tree, own("Rear margin behind the interzygomatic line"), m.rear_margin_behind);
    put_measurement(tree, own("Axis turned to the patient's left"), m.turned_left);
    put_measurement(tree, own("Axis turned upwards"), m.turned_up);
    put_measurement(tree, own("Convergence of both axes"), m.converging);
    put_measurement(tree, own("Axis higher than that of the fellow"), m.higher_than_fellow);
}

void put_explant(ContentTree& tree, const ExplantEntry& explant) {
    tree.number(Relation::contains, own("Probability of an explant"), rounded(explant.probability, probability_decimals), codes::no_units);
    put_plain(tree, own("Thinnest band that would be shown"), explant.smallest_band_thickness);
    put_plain(tree, own("Thinnest sponge that would be shown"), explant.smallest_sponge_diameter);
    put_plain(tree, own("Thinnest hydrogel that would be shown"), explant.smallest_hydrogel_thickness);
    put_plain(tree, own("Least water of a hydrogel that would be shown"), explant.least_hydrogel_water);
}

void put_words(ContentTree& tree, const EyeEntry& eye) {
    const auto word = [&](const Code& about, const Code& value) { tree.code(Relation::contains, about, value); };
    word(own("Globe"), own(eye.globe.status));
    word(own("Contents of the globe"), own(eye.globe.contents));
    if (eye.globe.level)
        for (const Fluid fluid : all_fluids) {
            if (eye.globe.level->above.holds(fluid)) word(own("Fluid above the level"), own_word(name(fluid)));
            if (eye.globe.level->below.holds(fluid)) word(own("Fluid below the level"), own_word(name(fluid)));
        }
    word(own("Lens"), own(eye.globe.lens));
    word(own("Fat stranding"), own(eye.inflammation_signs.fat_stranding));
    word(own("Gas outside the element"), own(eye.inflammation_signs.gas_outside_element));
    word(own("Collection"), own(eye.inflammation_signs.collection));
    word(own("Enhancement of the rim"), own(eye.inflammation_signs.rim_enhancement));
    tree.code(Relation::contains, own("Metal"), own(eye.metal.status), [&] {
        for (const ClockPosition& place : eye.metal.clock_hours)
            tree.number(Relation::properties, own("Clock hour"), rounded(place.hours() + wrap_shift(place.hours()), hour_decimals), codes::clock_hour);
    });
    word(own("Place of the globe, forwards or back"), own(eye.mass_effect.forward_place));
}

Code muscle_code(MuscleName muscle) { return own_word(std::string(name(muscle)) + " rectus muscle"); }

void put_muscle_group(ContentTree& tree, const ReportContext& context, Eye eye, const MuscleEntry& muscle) {
    const Tracking tracking = tracking_of_muscle(context.identity, eye, muscle.muscle);
    put_group(tree, context, {tracking.id, tracking.uid, codes::anatomical_structure, muscle_code(muscle.muscle), codes::orbit, eye}, [&] {
        put_measurement(tree, own("Greatest thickness of the belly"), muscle.thickness);
        put_measurement(tree, own("Arc from limbus to insertion"), muscle.insertion);
        for (const MuscleElement& e : muscle.elements)
            put_measurement(tree, own("Front edge of the element to insertion"), e.front_edge_to_insertion, [&] { tree.text(Relation::concept_modifier, codes::tracking_identifier, e.id); });
        tree.code(Relation::contains, own("Continuity of the muscle"), own(muscle.continuity));
        for (const MuscleElement& e : muscle.elements)
            tree.code(Relation::contains, own("Relation of the element to the muscle"), own(e.relation), [&] { tree.text(Relation::concept_modifier, codes::tracking_identifier, e.id); });
    });
}

/// The globe's segment on the series that its place is given in, else the first that there is.
const FiledSegment* segment_of(const ReportContext& context, Eye eye, const GlobeEntry& globe) {
    const FiledSegment* first = nullptr;
    for (const FiledSegment& s : context.segments) {
        if (s.kind != SegmentKind::globe || s.eye != eye) continue;
        if (globe.place && s.source_series_uid == globe.place->frame_of_series) return &s;
        if (!first) first = &s;
    }
    return first;
}

}  // namespace

void put_eye_groups(ContentTree& tree, const ReportContext& context, Eye eye) {
    const EyeEntry& seen = context.visit.eye(eye);
    const Tracking tracking = tracking_of_globe(context.identity, eye);
    put_group(tree, context, {tracking.id, tracking.uid, codes::anatomical_structure, codes::eyeball, codes::eyeball, eye, segment_of(context, eye, seen.globe)}, [&] {
        put_globe(tree, seen.globe);
        put_explant(tree, seen.explant);
        put_place(tree, seen.mass_effect);
        put_words(tree, seen);
    });
    for (const MuscleEntry& muscle : seen.muscles) put_muscle_group(tree, context, eye, muscle);
}

}  // namespace perisclera::report
