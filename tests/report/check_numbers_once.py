# SPDX-License-Identifier: Apache-2.0
"""Reads the same facts from every form of one report, each in its own way, and compares them.

usage: check_numbers_once.py report.json report.html report.txt fhir.json
report.txt is what pdftotext gives. Each form has a reader that returns {fact: value}; facts are named by element, and a reader gives those that its form shows. A number
may differ by half the last decimal that either form shows, a word not at all. A further form is one more reader in main()'s `forms`.
Exit status 0: all agree, and every form gave every fact it must; 1: not (printed).
"""
import html
import json
import re
import sys

MATERIALS = {"solid_silicone": "solid silicone", "silicone_sponge": "silicone sponge", "hydrogel": "hydrogel", "other": "other material", "undetermined": "undetermined"}
VERDICTS = {"Enlarged since": "enlarged", "Smaller than on": "shrunk", "No change shown since": "unchanged", "Partly removed since": "partly_removed", "New: not seen": "new",
            "Cannot be compared": "not_comparable"}
NUMBER = r"([+−-]?[0-9.]+)"
INTERVAL = r" \(95 % interval " + NUMBER + " to " + NUMBER + r"\)"


class Number:
    """A value and how far from it another form may be."""

    def __init__(self, value, half_step):
        self.value, self.half_step = float(value), half_step

    def agrees(self, other):
        return abs(self.value - other.value) <= self.half_step + other.half_step + 1e-9

    def __repr__(self):
        return f"{self.value:g}±{self.half_step:g}"


def triple(facts, name, value, low, high, half_step):
    for part, number in (("", value), (" low", low), (" high", high)):
        facts[name + part] = Number(str(number).replace("−", "-"), half_step)


def current(report, side):
    shown = [v for v in report["timepoints"] if v["eyes"][side]["globe"]["status"] != "not_imaged" or v["eyes"][side]["elements"]]
    return (shown or report["timepoints"])[-1]


def elements(report):
    for side in ("right", "left"):
        if report["timepoints"]:
            visit = current(report, side)
            for element in visit["eyes"][side]["elements"]:
                yield side, visit, element


QUANTITIES = {"volume": lambda e: e["volume_mm3"], "width": lambda e: e["largest_section"]["width_mm"], "thickness": lambda e: e["largest_section"]["thickness_mm"],
              "front edge": lambda e: e["limbus_mm"]["anterior"], "rear edge": lambda e: e["limbus_mm"]["posterior"], "indentation": lambda e: e["indentation_mm"]}


def read_json(report):
    facts = {}
    for side, visit, e in elements(report):
        key = e["id"] + " "
        for name, quantity in QUANTITIES.items():
            q = quantity(e)
            if q["value"] is not None:
                triple(facts, key + name, q["value"], *q["ci95"], 0.05 if name == "volume" else 0.005)
        for end in ("from", "to"):
            if e["clock_hours"][end]["value"] is not None and e["form"] != "encircling":
                facts[key + end] = Number(e["clock_hours"][end]["value"], 0.005)
        facts[key + "material"] = MATERIALS[e["material"]["label"]]
        for change in report["changes"]:
            if change["element"] == e["id"] and change["eye"] == side and change["to"] == visit["id"]:
                facts[key + "verdict"] = change["verdict"]
        facts[side + " presence"] = visit["eyes"][side]["explant"]["presence"]
    return facts


def hours(text):
    return float(text.replace("½", ".5"))


def read_text(text, report):
    """Page and PDF: the finding's sentences, element by element."""
    text = re.sub(r"\s+", " ", text)
    finding = text[text.index(" Finding ", text.index("Comparison.")):]
    finding = finding[:finding.index(" Images ")]
    facts = {}
    for side in ("right", "left"):
        head = re.search(side.capitalize() + r" eye: (explant present|no explant seen|uncertain)", finding)
        ids = [e["id"] for s, _, e in elements(report) if s == side]
        if head and ids:
            facts[side + " presence"] = {"explant present": "present", "no explant seen": "absent", "uncertain": "uncertain"}[head[1]]
    for _, _, e in elements(report):
        key = e["id"] + " "
        part = finding[finding.index(e["id"] + ": " + e["form"] + " element"):]
        part = re.split(r" (?:Left eye: |Contents of the globe|[RL][0-9]+: [a-z]+ element)", part[1:])[0]
        place = re.match(r"[0-9]+: \w+ element, ([0-9]+½?|½)(?: to ([0-9]+½?))? o'clock \((?:centred )?[a-z ]+\)", part)
        if place and place[2] and e["form"] != "encircling":
            facts[key + "from"], facts[key + "to"] = Number(hours(place[1]) % 12, 0.25), Number(hours(place[2]) % 12, 0.25)
        facts[key + "material"] = re.search(r"Material: ([a-z ]+)", part)[1].strip()
        for words, verdict in VERDICTS.items():
            if words in part:
                facts[key + "verdict"] = verdict
        for name, pattern, half_step in (("volume", "Volume " + NUMBER + " mm³", 0.5), ("width", "width " + NUMBER + " mm", 0.05), ("thickness", r"thickness \(outward\) " + NUMBER + " mm", 0.05),
                                         ("front edge", "front edge " + NUMBER + " mm", 0.05), ("rear edge", "rear edge " + NUMBER + " mm", 0.05),
                                         ("indentation", r"Indentation \(buckle height, inward\) " + NUMBER + " mm", 0.05)):
            found = re.search(pattern + INTERVAL, part)
            if found:
                triple(facts, key + name, *found.groups(), half_step)
    return facts


def read_answer(text, report, heading):
    """The two sentences at the top ("Answer"), and again under "Impression"."""
    text = re.sub(r"\s+", " ", text)
    facts = {}
    for occurrence in re.finditer(" " + heading + " Right eye: ", text):
        part = text[occurrence.start():occurrence.start() + 3000]
        for _, _, e in elements(report):
            found = re.search(re.escape(e["id"]) + r", (\w+), (.*?), (hydrogel|solid silicone|silicone sponge|other material|undetermined).*?, volume (?:" + NUMBER + " mm³" + INTERVAL + ")?", part)
            if found is None:
                continue
            facts[e["id"] + " material"] = found[3]
            if found[4]:
                triple(facts, e["id"] + " volume", found[4], found[5], found[6], 0.5)
    return facts


def read_fhir(bundle, report):
    names = {"Volume": "volume", "Width of the largest section, along the sclera": "width", "Thickness (outward) of the largest section": "thickness",
             "Limbus to the front edge, arc along the sclera": "front edge", "Limbus to the rear edge, arc along the sclera": "rear edge", "Indentation (buckle height, inward)": "indentation"}
    entries = {entry["fullUrl"]: entry["resource"] for entry in bundle["entry"]}
    dates = {e["id"]: visit["study_date"] for _, visit, e in elements(report)}
    facts = {}
    for o in entries.values():
        if o["resourceType"] != "Observation":
            continue
        side, text = o["bodySite"]["text"].split()[0], o["code"]["text"]
        if text == "Scleral-buckle explant" and o["effectiveDateTime"] == current(report, side)["study_date"] and any(s == side for s, _, _ in elements(report)):
            facts[side + " presence"] = o["valueCodeableConcept"]["coding"][0]["code"]
        if "focus" not in o:
            continue
        key = entries[o["focus"][0]["reference"]]["identifier"][0]["value"]
        if o["effectiveDateTime"] != dates.get(key):
            continue
        key += " "
        if text in names and "valueQuantity" in o:
            triple(facts, key + names[text], o["valueQuantity"]["value"], *(c["valueQuantity"]["value"] for c in o["component"]), 0.0)
        for end, start in (("from", "Clockwise start"), ("to", "Clockwise end")):
            if text.startswith(start) and "valueQuantity" in o:
                facts[key + end] = Number(o["valueQuantity"]["value"], 0.0)
        if text == "Material of the explant":
            facts[key + "material"] = MATERIALS[o["valueCodeableConcept"]["coding"][0]["code"]]
        if text.startswith("Change since"):
            facts[key + "verdict"] = o["valueCodeableConcept"]["coding"][0]["code"]
    return facts


def page_text(source):
    return html.unescape(re.sub(r"<[^>]*>", " ", source[source.index("</style>"):]))


def same(a, b):
    if isinstance(a, Number):
        # 0 and 12 o'clock are one place.
        return a.agrees(b) or Number(a.value - 12, a.half_step).agrees(b) or Number(a.value + 12, a.half_step).agrees(b)
    return a == b


def main():
    contents = [open(path, encoding="utf-8").read() for path in sys.argv[1:5]]
    report, page, pdf, bundle = json.loads(contents[0]), page_text(contents[1]), contents[2], json.loads(contents[3])
    truth, faults = read_json(report), []
    # Form, its facts, and which of report.json's facts it must show.
    every, answered = set(truth), {f for f in truth if f.endswith(" material")} | {f for f in truth if " volume" in f}
    forms = [("FHIR", read_fhir(bundle, report), every)]
    for form, text in (("page", page), ("PDF", pdf)):
        forms.append((form, read_text(text, report), every))
        forms += [(form + "'s " + heading.lower(), read_answer(text, report, heading), answered) for heading in ("Answer", "Impression")]
    for form, facts, wanted in forms:
        faults += [f"{form} lacks {name} ({truth[name]})" for name in sorted(wanted - set(facts))]
        for name, value in sorted(facts.items()):
            if name in truth and not same(truth[name], value):
                faults.append(f"{form} says {name} {value}, report.json {truth[name]}")
    for fault in faults:
        print(fault)
    print(f"{len(truth)} facts in {len(forms)} forms")
    return 1 if faults or not truth else 0


sys.exit(main())
