# SPDX-License-Identifier: Apache-2.0
"""Writes docs/worked_examples.md and docs/figures/worked_examples from the results of phantoms/worked_examples.sh.

usage: worked_examples.py SOURCE_FOLDER RESULTS
"""
import html
import json
import pathlib
import re
import struct
import subprocess
import sys
import zlib

INTRODUCTION = """# Worked examples: how the material is judged

**Not a medical device. Unverified machine output; licensed clinicians and local rules decide.**

All patients are invented and all images are simulated: they show no person. `bash phantoms/worked_examples.sh` makes this page anew from `report.json` of each patient; scenarios and readings lie in `phantoms/worked_examples/`. How numbers come about: [measurements.md](measurements.md); what the
simulated pictures lack: [known_limits.md](known_limits.md).

In each table `expected` is the central 95 % of what a material shows there; a reading speaks for a material whose likelihood is within a factor of 3 of the best and against one at least 100 times less likely.
"""
MATERIALS = {"solid_silicone": "solid silicone", "silicone_sponge": "silicone sponge", "hydrogel": "hydrogel", "other": "other"}
ROLES = {"ct_soft": "CT", "ct_bone": "CT, bone", "t1": "T1", "t2": "T2"}


def grey_rows(picture, work):
    """Rows of bytes of a PNG, by the decoder of the tests."""
    decoder = pathlib.Path(sys.argv[1]) / "tests/report/png_to_pgm.py"
    subprocess.run([sys.executable, decoder, picture, work], check=True)
    head, pixels = work.read_bytes().split(b"\n", 1)
    width = int(head.split()[1])
    return [pixels[k:k + width] for k in range(0, len(pixels), width)]


def halved(rows):
    return [bytes((a[x] + a[x + 1] + b[x] + b[x + 1]) // 4 for x in range(0, len(a) - 1, 2)) for a, b in zip(rows[0::2], rows[1::2])]


def write_png(rows, path):
    """16 greys, four bits each, the standard's filter "up"."""
    packed, above = b"", None
    for row in rows:
        padded = row + b"\xff" * (len(row) % 2)
        line = bytes(((padded[x] * 15 + 127) // 255 << 4) | (padded[x + 1] * 15 + 127) // 255 for x in range(0, len(padded), 2))
        packed += b"\x02" + bytes((now - then) & 255 for now, then in zip(line, above or bytes(len(line))))
        above = line

    def chunk(kind, body):
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    head = struct.pack(">IIBBBBB", len(rows[0]), len(rows), 4, 0, 0, 0, 0)
    path.write_bytes(b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(packed, 9)) + chunk(b"IEND", b""))


def beside(pictures):
    height = max(len(rows) for rows in pictures)
    for rows in pictures:
        rows += [b"\xff" * len(rows[0])] * (height - len(rows))
    return [b"\xff\xff\xff\xff".join(parts) for parts in zip(*pictures)]


def number(value, unit):
    return f"{value:.0f}" if unit == "HU" else f"{value:.2f}"


def quantity(measured, unit):
    if measured["value"] is None:
        return measured["why"]
    low, high = measured["ci95"]
    return f"{number(measured['value'], unit)} {'' if unit == 'ratio' else unit} ({number(low, unit)} to {number(high, unit)})".replace("  ", " ")


def of_each_series(figures, side):
    """Of one eye: the picture with outlines, where there is one, and those of the other series."""
    plain = sorted(figures.glob(f"[0-9][0-9]-{side}-*-plain.png"))
    outlined = [figures / p.name.replace("plain", "outlined") for p in plain]
    return [with_lines if with_lines.exists() else without for with_lines, without in zip(outlined, plain)][:3]


def evidence_table(element):
    lines = ["| series | reading | measured (95 % interval) | " + " | ".join("expected: " + MATERIALS[m] for m in list(MATERIALS)[:3]) + " | log-likelihood: " + ", ".join(MATERIALS.values()) + " |", "|---" * 7 + "|"]
    for e in element["material"]["evidence"]:
        expected = [" to ".join(number(end, e["unit"]) for end in e["expected"][m]) if m in e["expected"] else "" for m in list(MATERIALS)[:3]]
        likelihood = ", ".join(f"{e['log_likelihood'][m]:.1f}" for m in MATERIALS if m in e["log_likelihood"])
        lines.append(f"| {ROLES.get(e['role'], e['role'])} | {e['quantity']} | {quantity(e['measured'], e['unit'])} | " + " | ".join(expected) + f" | {likelihood} |")
    return "\n".join(lines)


def page_list(page, heading):
    """The list below a heading of the page, as printed."""
    part = re.search("<h2>" + heading + "</h2>(.*?)</section>", page, re.S)
    return [html.unescape(re.sub("<[^>]*>", "", item)) for item in re.findall("<li>(.*?)</li>", part[1], re.S)] if part else []


def record_lines(record):
    told = [f"year {record['surgery_year'] or 'not told'}", f"material {MATERIALS.get(record['recorded_material'], 'not told')}"]
    if record["recorded_section_mm"]:
        told.append("section {width} × {thickness} mm".format(**record["recorded_section_mm"]))
    both = ", ".join(f"{MATERIALS[m]} {100 * p:.0f} %" for m, p in record["probabilities"].items())
    contradicts = [name for name in ("year", "material") if record[name + "_contradicts"]]
    return f"\nTold of the operation: {', '.join(told)}. Images and record together: {both}. Contradicts the images: {', '.join(contradicts) or 'nothing'}.\n"


def example(source, results, name):
    text = (source / "phantoms/worked_examples" / (name + ".txt")).read_text()
    told = dict(line.split(":", 1) for line in text.splitlines()[:2])
    reading = " ".join(text.splitlines()[2:])
    result = results / name / "result"
    report, page = json.loads((result / "report.json").read_text()), (result / "report.html").read_text()
    out = [f"## {name.split('_')[0]}. {told['title'].strip()}\n"]
    if told["options"].strip():
        out.append(f"Given with `{told['options'].strip()}`.\n")
    eyes = report["timepoints"][-1]["eyes"]
    side = max(eyes, key=lambda s: (len(eyes[s]["elements"]), eyes[s]["explant"]["probability"]))
    pictures = [halved(grey_rows(p, results / "picture.pgm")) for p in of_each_series(result / "figures", side)]
    folder = source / "docs/figures/worked_examples"
    folder.mkdir(parents=True, exist_ok=True)
    write_png(beside(pictures), folder / (name + ".png"))
    out.append(f"![{told['title'].strip()}: the plane of the largest section, or an overview, with the program's outlines](figures/worked_examples/{name}.png)\n")
    for side, eye in eyes.items():
        for element in eye["elements"]:
            material = element["material"]
            shares = ", ".join(f"{MATERIALS[m]} {100 * p:.0f} %" for m, p in material["probabilities"].items())
            out.append(f"{element['id']}, {side} eye: **{MATERIALS.get(material['label'], material['label'])}** ({shares}).\n\n{evidence_table(element)}\n\n> {material['explanation']}\n")
            if material["water_fraction"]["value"] is not None:
                out.append(f"Water content by the images: {quantity(material['water_fraction'], '')}.\n")
            if material["water_by_swelling"]["value"] is not None:
                out.append(f"Water content by its swelling: {quantity(material['water_by_swelling'], '')}.\n")
            if "record" in material:
                out.append(record_lines(material["record"]))
            out += [f"- `{c['code']}`: {c['text']}" for c in material["cautions"]]
            out.append("")
        if not eye["elements"] and eye["explant"]["presence"] != "absent":
            # The first sentence says what the globe's offset is measured against.
            note = eye["mass_effect"]["note"].partition("it does not tell.")[2]
            out.append(f"{side.capitalize()} eye: no element; an explant {eye['explant']['presence']} ({100 * eye['explant']['probability']:.0f} %).{note}\n")
    steps = page_list(page, "What would settle it")
    if steps:
        out.append("What would settle it:\n\n" + "\n".join(f"{k}. {step}" for k, step in enumerate(steps, 1)) + "\n")
    out.append(f"**Reading it.** {reading}\n")
    return "\n".join(out)


def main():
    source, results = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2])
    names = sorted(p.stem for p in (source / "phantoms/worked_examples").glob("*.json"))
    (source / "docs/worked_examples.md").write_text(INTRODUCTION + "\n" + "\n".join(example(source, results, name) for name in names))


main()
