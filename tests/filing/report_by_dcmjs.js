// SPDX-License-Identifier: Apache-2.0
// Does dcmjs read a structured report's content tree, and are the volumes in it those of report.json?
// usage: node report_by_dcmjs.js FOLDER_OF_DCMJS REPORT_JSON STRUCTURED_REPORT...
"use strict";
const fs = require("fs");
const path = require("path");
const [folder, reportFile, ...files] = process.argv.slice(2);
const dcmjs = require(path.join(folder, "node_modules", "dcmjs"));

function must(holds, what) {
    if (!holds) throw new Error(what);
}
const list = (items) => (items === undefined ? [] : Array.isArray(items) ? items : [items]);
const first = (items) => list(items)[0];
const nameOf = (item) => (item.ConceptNameCodeSequence ? first(item.ConceptNameCodeSequence).CodeMeaning : "");
const named = (item, name) => list(item.ContentSequence).filter((child) => nameOf(child) === name);

const report = JSON.parse(fs.readFileSync(reportFile, "utf8"));
let volumes = 0;
for (const file of files) {
    const bytes = fs.readFileSync(file);
    const message = dcmjs.data.DicomMessage.readFile(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length));
    const data = dcmjs.data.DicomMetaDictionary.naturalizeDataset(message.dict);
    must(nameOf(data) === "Imaging Measurement Report", "title");
    for (const group of named(first(named(data, "Imaging Measurements")), "Measurement Group")) {
        const tracking = first(named(group, "Tracking Identifier")).TextValue;
        const visit = report.timepoints.find((t) => t.id === first(named(group, "Subject Time Point Identifier")).TextValue);
        const element = [...visit.eyes.right.elements, ...visit.eyes.left.elements].find((e) => e.id === tracking);
        if (!element) continue;
        const measured = first(first(named(group, "Volume")).MeasuredValueSequence);
        must((measured ? Number(measured.NumericValue) : null) === element.volume_mm3.value, "volume of " + tracking);
        ++volumes;
    }
}
const meant = report.timepoints.reduce((sum, t) => sum + t.eyes.right.elements.length + t.eyes.left.elements.length, 0);
must(volumes === meant, meant + " elements, not " + volumes);
console.log(volumes + " volumes");
