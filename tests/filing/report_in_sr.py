# SPDX-License-Identifier: Apache-2.0
"""Do the structured reports say what report.json says: every number with interval or reason, every word, and nothing else? And does all that is referred to exist?

usage: report_in_sr.py CONFORMANCE_MD REPORT_JSON FOLDER_OF_IMAGES FOLDER_OF_OBJECTS
Which member of report.json a code stands for is read from the tables of docs/conformance.md, so these are held to be true as well.
"""
import json
import pathlib
import re
import sys

import pydicom

conformance, report_path, images, objects = sys.argv[1:]
report = json.load(open(report_path))

members = {}
for line in open(conformance, encoding="utf-8"):
    row = [cell.strip().strip("`") for cell in line.strip().strip("|").split("|")]
    if len(row) == 3 and row[0].startswith("SB-") and row[2]:
        members["99PERISCLERA", row[0]] = row[2]
    elif len(row) == 4 and row[1] in ("SCT", "DCM"):
        members[row[1], row[0]] = row[3]

files = [pydicom.dcmread(path) for path in sorted(pathlib.Path(objects).rglob("*.dcm"))]
by_instance = {file.SOPInstanceUID: file for file in files}
sources = {}
for path in pathlib.Path(images).rglob("*"):
    if path.is_file() and path.suffix != ".json":
        image = pydicom.dcmread(path, stop_before_pixels=True)
        sources[image.SOPInstanceUID] = image

said = set()      # paths of report.json


def must(holds, *what):
    if not holds:
        sys.exit("not so: " + " ".join(map(str, what)))


def concept(item):
    code = item.ConceptNameCodeSequence[0]
    return code.CodingSchemeDesignator, code.CodeValue


def meaning(item):
    return item.ConceptCodeSequence[0].CodeMeaning


def children(item, relation=None, kind=None):
    return [c for c in item.get("ContentSequence", []) if relation in (None, c.RelationshipType) and kind in (None, c.ValueType)]


def only(items):
    must(len(items) == 1, "one item, not", len(items))
    return items[0]


def named(item, scheme, code, kind=None):
    return [c for c in children(item, kind=kind) if "ConceptNameCodeSequence" in c and concept(c) == (scheme, code)]


def at(value, path):
    for key in path:
        value = value[key]
    return value


def steps(member):
    return tuple(member.split("."))


UNITS = {"hu_mm": "[hnsf'U].mm", "mm": "mm", "mm2": "mm2", "mm3": "mm3", "percent": "%", "deg": "deg", "hours": "{clock_hour}", "year": "mm3/a", "days": "d"}
EVIDENCE_UNITS = {"HU": "[hnsf'U]", "ratio": "{ratio}", "mm": "mm", "hours": "{clock_hour}", "series": "{series}"}


def check_number(item, path, unit=None):
    """A NUM against a number of report.json, or a quantity with interval or reason."""
    must(path not in said, "said once:", path)
    said.add(path)
    meant = at(report, path)
    quantity = meant if isinstance(meant, dict) else {"value": meant}
    measured = item.get("MeasuredValueSequence", [])
    if quantity["value"] is None:
        must(not measured, path, "has no value")
        must(item.NumericValueQualifierCodeSequence[0].CodeValue in ("114007", "114010"), path, "a qualifier of CID 42")
        must(only(named(item, "99PERISCLERA", "SB-226")).TextValue == quantity["why"], path, "its reason")
        return
    value = float(measured[0].NumericValue)
    must(value == quantity["value"], path, value, quantity["value"])
    written = measured[0].MeasurementUnitsCodeSequence[0].CodeValue
    suffix = next((UNITS[s] for s in UNITS if re.search(r"_" + s + r"($|\.)", ".".join(map(str, path)))), None)
    must(unit is None or written == unit, path, "unit", written)
    must(suffix is None or written == suffix, path, "unit", written)
    if "ci95" in quantity:
        below = float(only(named(item, "SCT", "371885007")).MeasuredValueSequence[0].NumericValue)
        above = float(only(named(item, "SCT", "371886008")).MeasuredValueSequence[0].NumericValue)
        must(abs(value - below - quantity["ci95"][0]) < 1e-9 and abs(value + above - quantity["ci95"][1]) < 1e-9, path, "its interval")


def check_word(item, path):
    must(path not in said, "said once:", path)
    said.add(path)
    meant = at(report, path)
    word = meaning(item).lower().replace(" ", "_")
    if isinstance(meant, bool):
        word = word == "yes"
    must(word == meant, path, word, meant)


def check_hour(item, path):
    hour = named(item, "99PERISCLERA", "SB-110")
    meant = at(report, path)
    must((meant is None) == (not hour), path)
    if hour:
        must(float(hour[0].MeasuredValueSequence[0].NumericValue) == meant, path, meant)


def check_expectations(reading, path):
    """What each material would show, and how well the reading fits it."""
    ends = {"SB-118": 0, "SB-119": 1}
    for item in children(reading, "HAS PROPERTIES", "NUM"):
        if concept(item) not in members or concept(item)[1] not in ("SB-118", "SB-119", "SB-120"):
            continue
        material = meaning(only(named(item, "99PERISCLERA", "SB-207"))).replace(" ", "_")
        number = path + (steps(members[concept(item)])[-1], material)
        if concept(item)[1] == "SB-120":
            check_number(item, number, "1")
        else:
            check_number(item, number + (ends[concept(item)[1]],), EVIDENCE_UNITS[at(report, path)["unit"]])


def check_element(group, base):
    counted = {}
    evidence = candidates = look_alikes = cautions = 0
    for item in children(group, "CONTAINS"):
        if item.ValueType not in ("NUM", "CODE") or concept(item) not in members:
            continue
        member = steps(members[concept(item)])
        if member[-1] == "probabilities":
            check_number(item, base + member + (meaning(only(children(item, "HAS CONCEPT MOD"))).replace(" ", "_"),), "1")
        elif member == ("material", "evidence", "measured"):
            path = base + ("material", "evidence", evidence)
            check_number(item, path + ("measured",), EVIDENCE_UNITS[at(report, path)["unit"]])
            must(only(named(item, "99PERISCLERA", "SB-227")).TextValue == at(report, path)["quantity"], path)
            must(only(named(item, "99PERISCLERA", "SB-228")).UID == at(report, path)["series_uid"], path)
            check_expectations(item, path)
            evidence += 1
        elif member == ("material", "candidates"):
            check_word(item, base + member + (candidates,))
            candidates += 1
        elif member == ("material", "look_alikes"):
            check_word(item, base + member + (look_alikes,))
            look_alikes += 1
        elif member[:2] == ("material", "cautions"):
            check_word(item, base + ("material", "cautions", cautions, "code"))
            cautions += 1
        elif named(item, "99PERISCLERA", "SB-210"):
            section = ("largest_section",)
            if meaning(only(named(item, "99PERISCLERA", "SB-210"))) != "largest section":
                section = ("sections", counted.get(member, 0))
                counted[member] = section[1] + 1
            check_number(item, base + section + member)
            check_hour(item, base + section + ("clock_hour",))
        elif item.ValueType == "CODE":
            if members[concept(item)] == "elements":
                continue      # that it is an explant
            check_word(item, base + member)
            if member[0] == "junction":
                check_hour(item, base + ("junction", "clock_hour"))
        else:
            check_number(item, base + member)
    must([i.UID for i in named(group, "99PERISCLERA", "SB-228")] == at(report, base)["measured_on"], base, "measured on")


def check_eye(group, base):
    fluids = {}
    for item in children(group, "CONTAINS"):
        if item.ValueType not in ("NUM", "CODE") or concept(item) not in members:
            continue
        member = steps(members[concept(item)])
        if member[-1] in ("above", "below"):
            check_word(item, base + member + (fluids.get(member, 0),))
            fluids[member] = fluids.get(member, 0) + 1
        elif item.ValueType == "CODE":
            check_word(item, base + member)
            if member[0] == "metal":
                hours = [float(n.MeasuredValueSequence[0].NumericValue) for n in named(item, "99PERISCLERA", "SB-110")]
                must(hours == at(report, base)["metal"]["clock_hours"], base, "metal")
        else:
            check_number(item, base + member)


def check_muscle(group, base):
    for item in children(group, "CONTAINS"):
        if item.ValueType not in ("NUM", "CODE") or concept(item) not in members:
            continue
        member = steps(members[concept(item)])[1:]
        if member[0] == "elements":
            of = only(named(item, "DCM", "112039")).TextValue
            number = [e["id"] for e in at(report, base)["elements"]].index(of)
            member = ("elements", number) + member[1:]
        (check_word if item.ValueType == "CODE" else check_number)(item, base + member)


def check_change(group, visit, eye, element):
    earlier = named(group, "99PERISCLERA", "SB-230")
    if earlier:
        key, wanted = "changes", {"eye": eye, "element": element, "from": earlier[0].TextValue, "to": visit}
    else:
        key, wanted = "trends", {"eye": eye, "element": element}
    number = only([k for k, c in enumerate(report[key]) if all(c[n] == v for n, v in wanted.items())])
    for item in children(group, "CONTAINS"):
        if item.ValueType in ("NUM", "CODE") and concept(item) in members:
            member = steps(members[concept(item)])
            must(member[0] == key, member)
            (check_word if item.ValueType == "CODE" else check_number)(item, (key, number) + member[1:])


def check_group(group, derived):
    tracking, uid = only(named(group, "DCM", "112039", "TEXT")).TextValue, only(named(group, "DCM", "112040")).UID
    visit = only(named(group, "DCM", "126070")).TextValue
    number = [t["id"] for t in report["timepoints"]].index(visit)
    must(only(named(group, "UMLS", "C2348792")).TextValue == report["timepoints"][number]["study_date"], "date of", visit)
    site = only(named(group, "SCT", "363698007"))
    eye = meaning(only(named(site, "SCT", "272741003"))).lower()
    base = ("timepoints", number, "eyes", eye)
    template = group.ContentTemplateSequence[0].TemplateIdentifier
    segment = named(group, "DCM", "121191")
    must(template == ("1411" if segment else "1501"), template)
    if segment:
        reference = segment[0].ReferencedSOPSequence[0]
        part = by_instance[reference.ReferencedSOPInstanceUID].SegmentSequence[reference.ReferencedSegmentNumber - 1]
        must((part.TrackingID, part.TrackingUID) == (tracking, uid), "tracking of", tracking)
        series = by_instance[reference.ReferencedSOPInstanceUID].ReferencedSeriesSequence[0].SeriesInstanceUID
        must(only(named(group, "DCM", "121232")).UID == series, "source series of", tracking)
    ids = [e["id"] for e in at(report, base)["elements"]]
    if derived:
        check_change(group, visit, eye, tracking)
    elif tracking in ids:
        check_element(group, base + ("elements", ids.index(tracking)))
    elif tracking == eye + " globe":
        check_eye(group, base)
    else:
        muscle = only([k for k, m in enumerate(at(report, base)["muscles"]) if tracking == "%s %s rectus muscle" % (eye, m["name"])])
        check_muscle(group, base + ("muscles", muscle))


def check_presence(evaluations, visit):
    for item in named(evaluations, "99PERISCLERA", "SB-201"):
        eye = meaning(only(named(item, "SCT", "272741003"))).lower()
        check_word(item, ("timepoints", visit, "eyes", eye, "explant", "presence"))
    warnings = [w.TextValue for w in named(evaluations, "99PERISCLERA", "SB-233")]
    must(warnings == [w["text"] for w in report["warnings"]], "warnings")
    cautions = [c.TextValue for c in named(evaluations, "99PERISCLERA", "SB-232")]
    must(report["statement"] in cautions, "the statement")


def referenced(item):
    found = {r.ReferencedSOPInstanceUID for r in item.get("ReferencedSOPSequence", [])} if item.get("ValueType") == "IMAGE" else set()
    return found.union(*(referenced(c) for c in children(item)))


def check_evidence(document, visit):
    listed = {}
    for name in ("CurrentRequestedProcedureEvidenceSequence", "PertinentOtherEvidenceSequence"):
        for study in document.get(name, []):
            must((study.StudyInstanceUID == document.StudyInstanceUID) == name.startswith("Current"), "evidence by study")
            for series in study.ReferencedSeriesSequence:
                for instance in series.ReferencedSOPSequence:
                    listed[instance.ReferencedSOPInstanceUID] = series.SeriesInstanceUID
    must(referenced(document) <= set(listed), "all that is referred to is listed")
    used = {s["series_uid"] for s in report["timepoints"][visit]["series"] if s["used"]}
    for uid, image in sources.items():
        must((image.SeriesInstanceUID in used) == (uid in listed), "source", uid)
    for uid in listed:
        must(uid in sources or uid in by_instance, "exists:", uid)


def leaves(value, path):
    """Every quantity, number and word of the findings."""
    free_text = {"why", "contents_why", "lens_why", "note", "frame_of_series", "id", "name", "quantity", "unit", "role", "series_uid", "eye", "element", "from", "to"}
    elsewhere = {"measured_on", "record", "centre_lps_mm", "axis_lps"}
    # For the reader of page and PDF: what follows from readings and cautions that are in the structured report, in words or taken apart.
    elsewhere |= {"explanation", "by_ct", "by_mr", "water_by_reading", "expected_information_bits"}
    if isinstance(value, dict) and "value" in value:
        yield path
    elif isinstance(value, dict):
        for key, inner in value.items():
            if key == "cautions":
                yield from (path + (key, number, "code") for number in range(len(inner)))   # a code's words stand in the page's texts
            elif key == "from" and isinstance(inner, dict) or key == "to" and isinstance(inner, dict):
                yield path + (key,)
            elif key not in free_text | elsewhere and not key.startswith("clock_hour") or key == "clock_hours" and isinstance(inner, dict):
                yield from leaves(inner, path + (key,))
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            yield from leaves(inner, path + (number,))
    elif value is not None:
        yield path


reports = [f for f in files if f.Modality == "SR"]
must(len(reports) == len([t for t in report["timepoints"] if any(s["used"] for s in t["series"])]), "a report for each visit")
for document in reports:
    must(document.SOPClassUID == "1.2.840.10008.5.1.4.1.1.88.34", "Comprehensive 3D SR")
    must((document.CompletionFlag, document.VerificationFlag) == ("COMPLETE", "UNVERIFIED"), "flags")
    must(document.ContentTemplateSequence[0].TemplateIdentifier == "1500", "template")
    must({s.CodingSchemeDesignator for s in document.CodingSchemeIdentificationSequence} >= {"99PERISCLERA"}, "the scheme is named")
    groups = named(only(named(document, "DCM", "126010")), "DCM", "125007")
    visit = [t["id"] for t in report["timepoints"]].index(only(named(groups[0], "DCM", "126070")).TextValue)
    for group in groups:
        check_group(group, False)
    for derived in named(document, "DCM", "126011"):
        for group in named(derived, "DCM", "125007"):
            check_group(group, True)
    check_presence(only(named(document, "UMLS", "C0034375")), visit)
    check_evidence(document, visit)

pictures = [f for f in files if f.SOPClassUID == "1.2.840.10008.5.1.4.1.1.7"]
for picture in pictures:
    shown = {sources[s.ReferencedSOPInstanceUID].SeriesInstanceUID for s in picture.SourceImageSequence}
    must(len(shown) == 1 and picture.BurnedInAnnotation == "NO", "one source series, no patient's name burned in")
selections = [f for f in files if f.Modality == "KO"]
must({s.StudyInstanceUID for s in selections} == {p.StudyInstanceUID for p in pictures}, "a selection for each study with pictures")
for selection in selections:
    captures = {p.SOPInstanceUID for p in pictures if p.StudyInstanceUID == selection.StudyInstanceUID}
    named_ones = referenced(selection)
    must(captures < named_ones, "every picture and a slice")
    must(all(sources[uid].StudyInstanceUID == selection.StudyInstanceUID for uid in named_ones - captures), "slices of the study")
    shown = {s.ReferencedSOPInstanceUID for p in pictures if p.SOPInstanceUID in captures for s in p.SourceImageSequence}
    must(named_ones - captures <= shown, "slices that a picture shows")

wanted = set()
for number, visit in enumerate(report["timepoints"]):
    if any(s["used"] for s in visit["series"]):
        wanted |= set(leaves(visit["eyes"], ("timepoints", number, "eyes")))
for key in ("changes", "trends"):
    wanted |= set(leaves(report[key], (key,)))
must(wanted == said, "all and nothing else; left out:", sorted(map(str, wanted - said))[:5], "too much:", sorted(map(str, said - wanted))[:5])
print(len(said), "numbers and words,", sum(len(named(only(named(d, "DCM", "126010")), "DCM", "125007")) for d in reports), "groups")
