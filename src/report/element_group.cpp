// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>
#include <cmath>

#include "perisclera/core/text.h"
#include "src/report/material_cautions.h"
#include "src/report/measurement_items.h"
#include "src/report/report_groups.h"
#include "src/report/tracking.h"

namespace perisclera::report {

namespace {

/// The part of the eye round the middle of the element, as place_in_words() says it.
std::vector<Code> topography(const ElementEntry& element, Eye eye) {
    const auto* span = element.span.measured();
    if (element.form == Form::encircling && (!span || span->value() >= ClockHours(11.75))) return {own("all round the eye")};
    const auto *from = element.from.measured(), *to = element.to.measured();
    if (!from || !to) return {};
    const ClockPosition start(from->value().value()), end(to->value().value());
    const std::string words = quadrant_in_words(ClockPosition(start.hours() + start.clockwise_to(end).value() / 2.0), eye);
    constexpr std::array<std::pair<std::string_view, Code>, 8> quadrants{{{"quadrant.superior", codes::superior},
                                                                          {"quadrant.inferior", codes::inferior},
                                                                          {"quadrant.temporal", codes::temporal},
                                                                          {"quadrant.nasal", codes::nasal},
                                                                          {"quadrant.upper_temporal", own("upper temporal")},
                                                                          {"quadrant.upper_nasal", own("upper nasal")},
                                                                          {"quadrant.lower_temporal", own("lower temporal")},
                                                                          {"quadrant.lower_nasal", own("lower nasal")}}};
    for (const auto& [key, code] : quadrants)
        if (words == say(key)) return {code};
    return {};
}

/// The segment on the series that the element was measured on; the first of these that has one.
const FiledSegment* segment_of(const ReportContext& context, Eye eye, const ElementEntry& element) {
    for (const std::string& series : element.measured_on)
        for (const FiledSegment& s : context.segments)
            if (s.kind == SegmentKind::element && s.eye == eye && s.element_id == element.id && s.source_series_uid == series) return &s;
    return nullptr;
}

void put_section(ContentTree& tree, const Section& section, const Code& which) {
    const auto where = [&] {
        tree.code(Relation::concept_modifier, own("Section"), which);
        if (section.clock_hour) {
            const double hours = section.clock_hour->hours();
            tree.number(Relation::properties, own("Clock hour"), rounded(hours + wrap_shift(hours), hour_decimals), codes::clock_hour);
        }
    };
    put_measurement(tree, codes::width, section.width, where);
    put_measurement(tree, own("Radial thickness"), section.thickness, where);
    put_measurement(tree, codes::area, section.area, where);
    put_measurement(tree, own("Contrast times thickness"), section.contrast_thickness, where);
}

Code evidence_unit(std::string_view words) {
    if (words == "HU") return codes::hounsfield;
    if (words == "mm") return codes::millimetre;
    if (words == "hours") return codes::clock_hour;
    return words == "series" ? codes::count_of_series : codes::ratio;
}

/// Of each material that the reading speaks of: what it would show, and how well the reading fits it.
void put_expectations(ContentTree& tree, const Evidence& e) {
    constexpr int decimals = decimals_of<StatedUnit>;
    for (const Material m : all_materials) {
        const auto of_material = [&] { tree.code(Relation::concept_modifier, own("Material class"), own(m)); };
        if (const auto& range = e.expected[m]; range && std::isfinite(range->first) && std::isfinite(range->second)) {
            tree.number(Relation::properties, own("Lowest reading expected"), rounded(range->first, decimals), evidence_unit(e.unit), of_material);
            tree.number(Relation::properties, own("Highest reading expected"), rounded(range->second, decimals), evidence_unit(e.unit), of_material);
        }
        if (const auto& likelihood = e.log_likelihood[m]; likelihood && std::isfinite(*likelihood))
            tree.number(Relation::properties, own("Natural logarithm of the likelihood"), rounded(*likelihood, decimals), codes::no_units, of_material);
    }
}

void put_material(ContentTree& tree, const MaterialEntry& material) {
    put_measurement(tree, own("Water fraction"), material.water_fraction);
    put_measurement(tree, own("Water fraction by swelling"), material.water_by_swelling);
    for (const Material m : all_materials)
        tree.number(Relation::contains, own("Probability of the material"), rounded(material.probabilities[m], probability_decimals), codes::no_units,
                    [&] { tree.code(Relation::concept_modifier, own("Material class"), own(m)); });
    for (const Evidence& e : material.evidence)
        put_measurement(tree, own("Reading that tells the material"), e.measured, stated(e.measured), evidence_unit(e.unit), [&] {
            tree.text(Relation::concept_modifier, own("What was read"), e.quantity);
            tree.uid(Relation::properties, own("Series measured on"), e.series_uid);
            put_expectations(tree, e);
        });
}

void put_material_words(ContentTree& tree, const MaterialEntry& material) {
    tree.code(Relation::contains, own("Material class"), material.label ? own(*material.label) : own("undetermined"));
    for (const Material m : material.candidates) tree.code(Relation::contains, own("Material not excluded"), own(m));
    for (const LookAlike l : material.look_alikes) tree.code(Relation::contains, own("What it would be if it is no explant"), own(l));
    tree.code(Relation::contains, own("Study that would tell most next"), own(material.most_informative_next));
}

}  // namespace

std::pair<Code, Code> finding_codes(const ElementEntry* element) {
    const bool other = element != nullptr && element->material.label == Material::other;
    return other ? std::pair{codes::altered_structure, codes::lesion} : std::pair{codes::physical_object, codes::implant};
}

void put_element_group(ContentTree& tree, const ReportContext& context, Eye eye, const ElementEntry& e) {
    const bool other = e.material.label == Material::other;
    const Tracking tracking = tracking_of_element(context.identity, eye, e.id);
    const auto [category, what] = finding_codes(&e);
    put_group(tree, context, {tracking.id, tracking.uid, category, what, codes::sclera, eye, segment_of(context, eye, e), topography(e, eye)}, [&] {
        put_measurement(tree, codes::volume, e.volume);
        put_measurement(tree, codes::path_length, e.length);
        put_section(tree, e.largest_section, own("largest section"));
        put_measurement(tree, own("Clockwise start on the dial"), e.from, stated_position(e.from), codes::clock_hour);
        put_measurement(tree, own("Clockwise end on the dial"), e.to, stated_position(e.to), codes::clock_hour);
        put_measurement(tree, own("Extent round the eye"), e.span);
        put_measurement(tree, own("Arc from limbus to front edge"), e.limbus_anterior);
        put_measurement(tree, own("Arc from limbus to rear edge"), e.limbus_posterior);
        put_measurement(tree, own("Straight line from limbus to front edge"), e.caliper_anterior);
        put_measurement(tree, own("Straight line from limbus to rear edge"), e.caliper_posterior);
        put_measurement(tree, own("Indentation of the wall"), e.indentation);
        put_measurement(tree, own("Distance from the surface"), e.surface_distance);
        put_measurement(tree, own("Distance from the wall of the orbit"), e.orbital_wall_distance);
        put_measurement(tree, own("Distance from the optic nerve"), e.optic_nerve_distance);
        if (e.fragments) tree.number(Relation::contains, own("Number of separate pieces"), *e.fragments, codes::no_units);
        put_material(tree, e.material);
        for (const Section& section : e.sections) put_section(tree, section, own("one of the sections"));
        if (!other) tree.code(Relation::contains, own("Type of finding"), own("scleral buckle explant"));
        tree.code(Relation::contains, own("Form of the element"), own(e.form));
        tree.code(Relation::contains, own("Relation to the wall"), own(e.wall_relation));
        tree.code(Relation::contains, own("Junction"), own(e.junction.kind), [&] {
            if (!e.junction.clock_hour) return;
            const double hours = e.junction.clock_hour->hours();
            tree.number(Relation::properties, own("Clock hour"), rounded(hours + wrap_shift(hours), hour_decimals), codes::clock_hour);
        });
        tree.code(Relation::contains, own("Capsule"), own(e.capsule));
        tree.code(Relation::contains, own("Calcification of the rim"), own(e.rim_calcification));
        put_material_words(tree, e.material);
        for (const MaterialCaution caution : material_cautions(context.visit.eye(eye), e)) tree.code(Relation::contains, own("Caution about the material"), own(caution));
        for (const std::string& series : e.measured_on) tree.uid(Relation::contains, own("Series measured on"), series);
    });
}

}  // namespace perisclera::report
