// SPDX-License-Identifier: Apache-2.0
#pragma once
// The codes of our own scheme, for what no public scheme has a word: the one table of them. docs/conformance.md lists it. A code never changes its meaning and is
// never used again; new ones are added.
#include <array>
#include <string_view>

#include "src/report/codes.h"

namespace perisclera::report {

inline constexpr const char* private_scheme = "99PERISCLERA";
inline constexpr const char* private_scheme_name = "Perisclera scleral-buckle explant codes";

struct PrivateCode {
    std::string_view value, meaning;
    std::string_view member;   ///< of report.json, which says the same; empty for the words that are values
};

inline constexpr std::array private_codes{
    // Measurements of an element.
    PrivateCode{"SB-101", "Clockwise start on the dial", "clock_hours.from"},
    PrivateCode{"SB-102", "Clockwise end on the dial", "clock_hours.to"},
    PrivateCode{"SB-103", "Extent round the eye", "clock_hours.span_hours"},
    PrivateCode{"SB-104", "Arc from limbus to front edge", "limbus_mm.anterior"},
    PrivateCode{"SB-105", "Arc from limbus to rear edge", "limbus_mm.posterior"},
    PrivateCode{"SB-106", "Straight line from limbus to front edge", "caliper_mm.anterior"},
    PrivateCode{"SB-107", "Straight line from limbus to rear edge", "caliper_mm.posterior"},
    PrivateCode{"SB-108", "Radial thickness", "thickness_mm"},
    PrivateCode{"SB-109", "Contrast times thickness", "contrast_thickness_hu_mm"},
    PrivateCode{"SB-110", "Clock hour", "clock_hour"},
    PrivateCode{"SB-111", "Indentation of the wall", "indentation_mm"},
    PrivateCode{"SB-112", "Distance from the surface", "surface_distance_mm"},
    PrivateCode{"SB-113", "Distance from the optic nerve", "optic_nerve_distance_mm"},
    PrivateCode{"SB-114", "Number of separate pieces", "fragments"},
    PrivateCode{"SB-115", "Probability of the material", "material.probabilities"},
    PrivateCode{"SB-116", "Water fraction", "material.water_fraction"},
    PrivateCode{"SB-117", "Reading that tells the material", "material.evidence.measured"},
    PrivateCode{"SB-118", "Lowest reading expected", "material.evidence.expected"},
    PrivateCode{"SB-119", "Highest reading expected", "material.evidence.expected"},
    PrivateCode{"SB-120", "Natural logarithm of the likelihood", "material.evidence.log_likelihood"},
    // Measurements of an eye.
    PrivateCode{"SB-121", "Axial length to the outer sclera", "globe.axial_length_mm"},
    PrivateCode{"SB-122", "Equatorial diameter, outer", "globe.equatorial_diameter_mm"},
    PrivateCode{"SB-123", "Uncertainty of the axis of the eye", "globe.axis_uncertainty_deg"},
    PrivateCode{"SB-124", "Share of the cavity above the level", "globe.level.share_above"},
    PrivateCode{"SB-125", "Height of the level", "globe.level.height_mm"},
    PrivateCode{"SB-126", "Probability of an explant", "explant.probability"},
    PrivateCode{"SB-127", "Thinnest band that would be shown", "explant.smallest_shown.band_thickness_mm"},
    PrivateCode{"SB-128", "Thinnest sponge that would be shown", "explant.smallest_shown.sponge_diameter_mm"},
    PrivateCode{"SB-129", "Thinnest hydrogel that would be shown", "explant.smallest_shown.hydrogel_thickness_mm"},
    PrivateCode{"SB-130", "Least water of a hydrogel that would be shown", "explant.smallest_shown.hydrogel_water_fraction"},
    PrivateCode{"SB-131", "Globe upwards of its mirrored fellow", "mass_effect.globe_offset_mm.superior"},
    PrivateCode{"SB-132", "Globe in front of its mirrored fellow", "mass_effect.globe_offset_mm.anterior"},
    PrivateCode{"SB-133", "Globe to the patient's left of its mirrored fellow", "mass_effect.globe_offset_mm.left"},
    PrivateCode{"SB-134", "Rear margin in front of its mirrored fellow", "mass_effect.rear_margin_offset_mm.anterior"},
    PrivateCode{"SB-135", "Length of the interzygomatic line", "mass_effect.interzygomatic_line_mm.length"},
    PrivateCode{"SB-136", "Cornea in front of the interzygomatic line", "mass_effect.interzygomatic_line_mm.cornea_in_front"},
    PrivateCode{"SB-137", "Globe centre in front of the interzygomatic line", "mass_effect.interzygomatic_line_mm.centre_in_front"},
    PrivateCode{"SB-138", "Rear margin behind the interzygomatic line", "mass_effect.interzygomatic_line_mm.rear_margin_behind"},
    PrivateCode{"SB-139", "Axis turned to the patient's left", "mass_effect.turn_deg.left"},
    PrivateCode{"SB-140", "Axis turned upwards", "mass_effect.turn_deg.up"},
    PrivateCode{"SB-141", "Convergence of both axes", "mass_effect.turn_deg.converging"},
    PrivateCode{"SB-142", "Axis higher than that of the fellow", "mass_effect.turn_deg.higher_than_fellow"},
    PrivateCode{"SB-145", "Water fraction by swelling", "material.water_by_swelling"},
    PrivateCode{"SB-146", "Distance from the wall of the orbit", "orbital_wall_distance_mm"},
    // Measurements of a muscle.
    PrivateCode{"SB-151", "Greatest thickness of the belly", "muscles.thickness_mm"},
    PrivateCode{"SB-152", "Arc from limbus to insertion", "muscles.insertion_limbus_mm"},
    PrivateCode{"SB-153", "Front edge of the element to insertion", "muscles.elements.front_edge_to_insertion_mm"},
    // Change between two visits.
    PrivateCode{"SB-161", "Change of volume", "changes.volume_percent"},
    PrivateCode{"SB-162", "Smallest change of volume that would be shown", "changes.smallest_detectable_percent"},
    PrivateCode{"SB-163", "Change of the largest area", "changes.largest_area_percent"},
    PrivateCode{"SB-164", "Change of the largest thickness", "changes.largest_thickness_mm"},
    PrivateCode{"SB-165", "Shift of the front edge towards the limbus", "changes.anterior_margin_shift_mm"},
    PrivateCode{"SB-166", "Change of the water fraction", "changes.water_fraction_change"},
    PrivateCode{"SB-167", "Change of the offset of the globe", "changes.globe_offset_change_mm"},
    PrivateCode{"SB-168", "Days between the visits", "changes.days"},
    PrivateCode{"SB-169", "Trend of the volume", "trends.volume_mm3_per_year"},
    PrivateCode{"SB-170", "Days until a further scan can tell", "trends.next_informative_days"},
    // What a word or a text is about.
    PrivateCode{"SB-201", "Explant for retinal detachment", "explant.presence"},
    PrivateCode{"SB-202", "Form of the element", "form"},
    PrivateCode{"SB-203", "Relation to the wall", "wall_relation"},
    PrivateCode{"SB-204", "Junction", "junction.kind"},
    PrivateCode{"SB-205", "Capsule", "capsule"},
    PrivateCode{"SB-206", "Calcification of the rim", "rim_calcification"},
    PrivateCode{"SB-207", "Material class", "material.label"},
    PrivateCode{"SB-208", "Material not excluded", "material.candidates"},
    PrivateCode{"SB-209", "Study that would tell most next", "material.most_informative_next"},
    PrivateCode{"SB-210", "Section", "sections"},
    PrivateCode{"SB-211", "Globe", "globe.status"},
    PrivateCode{"SB-212", "Contents of the globe", "globe.contents"},
    PrivateCode{"SB-213", "Lens", "globe.lens"},
    PrivateCode{"SB-214", "Fluid above the level", "globe.level.above"},
    PrivateCode{"SB-215", "Fluid below the level", "globe.level.below"},
    PrivateCode{"SB-216", "Fat stranding", "inflammation_signs.fat_stranding"},
    PrivateCode{"SB-217", "Gas outside the element", "inflammation_signs.gas_outside_element"},
    PrivateCode{"SB-218", "Collection", "inflammation_signs.collection"},
    PrivateCode{"SB-219", "Enhancement of the rim", "inflammation_signs.rim_enhancement"},
    PrivateCode{"SB-220", "Metal", "metal.status"},
    PrivateCode{"SB-221", "Place of the globe, forwards or back", "mass_effect.forward_place"},
    PrivateCode{"SB-222", "Continuity of the muscle", "muscles.continuity"},
    PrivateCode{"SB-223", "Relation of the element to the muscle", "muscles.elements.relation"},
    PrivateCode{"SB-224", "Verdict on change", "changes.verdict"},
    PrivateCode{"SB-225", "Both visits measured alike", "changes.same_method"},
    PrivateCode{"SB-238", "Both visits fitted under one CT number", "changes.under_one_number"},
    PrivateCode{"SB-226", "Why there is no value", "why"},
    PrivateCode{"SB-227", "What was read", "material.evidence.quantity"},
    PrivateCode{"SB-228", "Series measured on", "measured_on"},
    PrivateCode{"SB-229", "Role of the series", "series.role"},
    PrivateCode{"SB-230", "Earlier visit", "changes.from"},
    PrivateCode{"SB-231", "Finding in words", "report.html"},
    PrivateCode{"SB-232", "Caution", "statement"},
    PrivateCode{"SB-233", "Warning", "warnings.text"},
    PrivateCode{"SB-235", "Type of finding", "elements"},
    PrivateCode{"SB-236", "What it would be if it is no explant", "material.look_alikes"},
    PrivateCode{"SB-237", "Caution about the material", "material.cautions.code"},
    // Words that are values.
    PrivateCode{"SB-301", "scleral buckle explant", ""},
    PrivateCode{"SB-302", "largest section", ""},
    PrivateCode{"SB-303", "one of the sections", ""},
    PrivateCode{"SB-311", "encircling", ""},
    PrivateCode{"SB-312", "segmental", ""},
    PrivateCode{"SB-313", "radial", ""},
    PrivateCode{"SB-314", "irregular", ""},
    PrivateCode{"SB-321", "solid silicone", ""},
    PrivateCode{"SB-322", "silicone sponge", ""},
    PrivateCode{"SB-323", "hydrogel", ""},
    PrivateCode{"SB-324", "other", ""},
    PrivateCode{"SB-325", "soft tissue", ""},
    PrivateCode{"SB-326", "fluid", ""},
    PrivateCode{"SB-327", "airy", ""},
    PrivateCode{"SB-328", "dense", ""},
    PrivateCode{"SB-331", "outside", ""},
    PrivateCode{"SB-332", "indenting", ""},
    PrivateCode{"SB-333", "possible intrusion", ""},
    PrivateCode{"SB-341", "overlap", ""},
    PrivateCode{"SB-342", "sleeve", ""},
    PrivateCode{"SB-343", "clip", ""},
    PrivateCode{"SB-351", "seen", ""},
    PrivateCode{"SB-352", "not seen", ""},
    PrivateCode{"SB-353", "not seen on ct", ""},
    PrivateCode{"SB-354", "not assessable", ""},
    PrivateCode{"SB-355", "not determinable", ""},
    PrivateCode{"SB-356", "undetermined", ""},
    PrivateCode{"SB-357", "unknown", ""},
    PrivateCode{"SB-358", "none", ""},
    PrivateCode{"SB-359", "yes", ""},
    PrivateCode{"SB-360", "no", ""},
    PrivateCode{"SB-361", "found", ""},
    PrivateCode{"SB-362", "not found", ""},
    PrivateCode{"SB-363", "not imaged", ""},
    PrivateCode{"SB-371", "vitreous", ""},
    PrivateCode{"SB-372", "silicone oil", ""},
    PrivateCode{"SB-373", "gas", ""},
    PrivateCode{"SB-374", "haemorrhage", ""},
    PrivateCode{"SB-375", "heavy liquid", ""},
    PrivateCode{"SB-376", "mixed", ""},
    PrivateCode{"SB-381", "natural", ""},
    PrivateCode{"SB-382", "implant", ""},
    PrivateCode{"SB-391", "ct", ""},
    PrivateCode{"SB-392", "t1", ""},
    PrivateCode{"SB-393", "t2", ""},
    PrivateCode{"SB-394", "second ct energy", ""},
    PrivateCode{"SB-401", "superior rectus muscle", ""},
    PrivateCode{"SB-402", "inferior rectus muscle", ""},
    PrivateCode{"SB-403", "medial rectus muscle", ""},
    PrivateCode{"SB-404", "lateral rectus muscle", ""},
    PrivateCode{"SB-405", "continuous", ""},
    PrivateCode{"SB-406", "interrupted", ""},
    PrivateCode{"SB-407", "beneath muscle", ""},
    PrivateCode{"SB-408", "in front of insertion", ""},
    PrivateCode{"SB-409", "through or superficial", ""},
    PrivateCode{"SB-410", "not crossed", ""},
    PrivateCode{"SB-421", "in front", ""},
    PrivateCode{"SB-422", "behind", ""},
    PrivateCode{"SB-423", "within usual", ""},
    PrivateCode{"SB-431", "enlarged", ""},
    PrivateCode{"SB-432", "unchanged", ""},
    PrivateCode{"SB-433", "shrunk", ""},
    PrivateCode{"SB-434", "removed", ""},
    PrivateCode{"SB-435", "partly removed", ""},
    PrivateCode{"SB-436", "new", ""},
    PrivateCode{"SB-437", "not comparable", ""},
    PrivateCode{"SB-441", "upper temporal", ""},
    PrivateCode{"SB-442", "upper nasal", ""},
    PrivateCode{"SB-443", "lower temporal", ""},
    PrivateCode{"SB-444", "lower nasal", ""},
    PrivateCode{"SB-445", "all round the eye", ""},
    PrivateCode{"SB-461", "infection not excluded", ""},
    PrivateCode{"SB-462", "tumour or abscess not excluded", ""},
    PrivateCode{"SB-463", "gas outside element", ""},
    PrivateCode{"SB-464", "outside table", ""},
    PrivateCode{"SB-465", "water disagrees", ""},
    PrivateCode{"SB-466", "swelling disagrees", ""},
    PrivateCode{"SB-467", "growth without water", ""},
};

/// The code with this meaning; a meaning that the table lacks does not compile.
consteval Code own(std::string_view meaning) {
    for (const PrivateCode& code : private_codes)
        if (code.meaning == meaning) return {code.value, private_scheme, code.meaning};
    throw "the table has no code of this meaning";
}

/// The code of a word of report.json, "possible_intrusion". Precondition: the table holds it.
Code own_word(std::string_view word);

template <class Term>
    requires requires(Term term) { name(term); }
Code own(Term term) { return own_word(name(term)); }

}  // namespace perisclera::report
