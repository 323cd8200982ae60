# SPDX-License-Identifier: Apache-2.0
"""Holds schema and report against the names that other programs rely on.

usage: check_contract.py SCHEMA REPORT [CONTRACT]
Every path of PATHS must be a property of the schema, required where the report always has it, and be met in the report. Where the page that states the names (CONTRACT) is at
hand, the names of PATHS must be exactly those of its report.json block.
Exit status 0: all agree; 1: not (printed).
"""
import json
import re
import sys

PATHS = """
format format_version program.version program.reference_table program.options statement simulated
timepoints.id timepoints.study_date timepoints.series timepoints.eyes.right timepoints.eyes.left
timepoints.series.series_uid timepoints.series.modality timepoints.series.role timepoints.series.why timepoints.series.used timepoints.series.spacing_mm timepoints.series.kvp
timepoints.series.problems
changes trends trends.eye trends.element trends.volume_mm3_per_year trends.next_informative_days
considerations considerations.text considerations.basis considerations.source warnings.code warnings.text
EYE.globe.status EYE.globe.frame_of_series EYE.globe.centre_lps_mm EYE.globe.axis_lps EYE.globe.axis_uncertainty_deg EYE.globe.axial_length_mm EYE.globe.equatorial_diameter_mm
EYE.globe.contents EYE.globe.lens
EYE.muscles.name EYE.muscles.thickness_mm EYE.muscles.continuity EYE.muscles.elements EYE.muscles.elements.id EYE.muscles.elements.relation
EYE.muscles.elements.front_edge_to_insertion_mm
EYE.inflammation_signs.fat_stranding EYE.inflammation_signs.gas_outside_element EYE.inflammation_signs.collection EYE.inflammation_signs.rim_enhancement
EYE.metal.status EYE.metal.clock_hours EYE.explant.presence EYE.explant.probability EYE.explant.smallest_shown.band_thickness_mm EYE.explant.smallest_shown.sponge_diameter_mm
EYE.elements.id EYE.elements.form EYE.elements.clock_hours.from EYE.elements.clock_hours.to EYE.elements.clock_hours.span_hours EYE.elements.limbus_mm.anterior
EYE.elements.limbus_mm.posterior EYE.elements.caliper_mm.anterior EYE.elements.caliper_mm.posterior EYE.elements.volume_mm3 EYE.elements.length_mm EYE.elements.wall_relation
EYE.elements.junction.kind EYE.elements.junction.clock_hour EYE.elements.largest_section EYE.elements.sections EYE.elements.indentation_mm EYE.elements.surface_distance_mm
EYE.elements.optic_nerve_distance_mm EYE.elements.fragments EYE.elements.capsule EYE.elements.rim_calcification EYE.elements.measured_on
EYE.elements.largest_section.clock_hour EYE.elements.sections.clock_hour EYE.elements.sections.width_mm EYE.elements.sections.thickness_mm EYE.elements.sections.area_mm2
EYE.elements.sections.contrast_thickness_hu_mm
EYE.elements.material.label EYE.elements.material.candidates EYE.elements.material.probabilities.solid_silicone EYE.elements.material.probabilities.silicone_sponge
EYE.elements.material.probabilities.hydrogel EYE.elements.material.probabilities.other EYE.elements.material.water_fraction EYE.elements.material.evidence.series_uid
EYE.elements.material.evidence.role EYE.elements.material.evidence.quantity EYE.elements.material.evidence.measured EYE.elements.material.evidence.unit
EYE.elements.material.evidence.expected EYE.elements.material.evidence.log_likelihood EYE.elements.material.most_informative_next
EYE.mass_effect.globe_offset_mm.superior EYE.mass_effect.globe_offset_mm.anterior EYE.mass_effect.globe_offset_mm.left EYE.mass_effect.note
changes.eye changes.element changes.from changes.to changes.days changes.same_method changes.volume_percent changes.smallest_detectable_percent changes.largest_area_percent
changes.largest_thickness_mm changes.anterior_margin_shift_mm changes.water_fraction_change changes.globe_offset_change_mm changes.verdict
""".replace("EYE.", "timepoints.eyes.right.").split()


def in_schema(schema, whole, name):
    """What the schema says of a member, and whether it requires it; nothing where it does not name it."""
    if "$ref" in schema:
        schema = {**schema, **whole["$defs"][schema["$ref"].rsplit("/", 1)[1]]}
    if schema.get("type") == "array" or "items" in schema:
        return in_schema(schema["items"], whole, name)
    if name in schema.get("properties", {}):
        return schema["properties"][name], name in schema.get("required", [])
    if name in schema.get("required", []) and "additionalProperties" in schema:
        return schema["additionalProperties"], True
    return None


def in_report(report, path):
    """Is the path met anywhere?"""
    if not path:
        return True
    if isinstance(report, list):
        return any(in_report(item, path) for item in report)
    return isinstance(report, dict) and path[0] in report and in_report(report[path[0]], path[1:])


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        schema = json.load(file)
    with open(sys.argv[2], encoding="utf-8") as file:
        report = json.load(file)
    faults = []
    for path in (p.split(".") for p in PATHS):
        at, required = schema, True
        for name in path:
            found = in_schema(at, schema, name)
            if found is None:
                faults.append("the schema has no " + ".".join(path))
                break
            at, required = found
            if not required:
                faults.append("the schema does not require " + ".".join(path))
                break
        if not in_report(report, path):
            faults.append("the report has no " + ".".join(path))
    if len(sys.argv) > 3:
        with open(sys.argv[3], encoding="utf-8") as file:
            block = re.search(r"## report.json\s+```(.*?)```", file.read(), re.S)[1]
        # The spelling of a quantity, and units given as an example, are described apart.
        stated = set(re.findall(r'"([a-z_0-9]+)"\s*:', block))
        held = {name for path in PATHS for name in path.split(".")}
        faults += ["only the contract names " + name for name in sorted(stated - held)] + ["the contract does not name " + name for name in sorted(held - stated)]
    for fault in faults:
        print(fault)
    return 1 if faults else 0


sys.exit(main())
