// SPDX-License-Identifier: Apache-2.0
// Does dcmjs read from a segmentation the voxels that were meant, and lie they where the source images lie?
// usage: node decode_by_dcmjs.js FOLDER_OF_DCMJS SEGMENTATION VOXELS IMAGE...      VOXELS as for decode_by_pydicom.py
"use strict";
const fs = require("fs");
const path = require("path");
const [folder, segmentation, voxels, ...images] = process.argv.slice(2);
const dcmjs = require(path.join(folder, "node_modules", "dcmjs"));

function read(file) {
    const bytes = fs.readFileSync(file);
    const message = dcmjs.data.DicomMessage.readFile(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length));
    return dcmjs.data.DicomMetaDictionary.naturalizeDataset(message.dict);
}
function must(holds, what) {
    if (!holds) throw new Error(what);
}
const first = (items) => (Array.isArray(items) ? items[0] : items);
const list = (items) => (Array.isArray(items) ? items : [items]);
const same = (a, b) => a.length === b.length && a.every((value, k) => Number(value) === Number(b[k]));

const sources = new Map();
for (const file of images) {
    const image = read(file);
    const frames = image.PerFrameFunctionalGroupsSequence;
    if (!frames) {
        sources.set(image.SOPInstanceUID + " 1", { position: image.ImagePositionPatient, rows: image.Rows, columns: image.Columns });
        continue;
    }
    list(frames).forEach((frame, k) => sources.set(image.SOPInstanceUID + " " + (k + 1), {
        position: first(frame.PlanePositionSequence).ImagePositionPatient, rows: image.Rows, columns: image.Columns }));
}

const expected = new Map();
for (const line of fs.readFileSync(voxels, "ascii").split("\n").filter((text) => text)) {
    const [segment, instance, frame, row, column, length] = line.split(" ");
    const key = [segment, instance, frame].join(" ");
    if (!expected.has(key)) expected.set(key, []);
    expected.get(key).push([Number(row), Number(column), Number(length)]);
}

const data = read(segmentation);
const size = data.Rows * data.Columns;
const pixels = dcmjs.data.BitArray.unpack(first(data.PixelData));
const frames = list(data.PerFrameFunctionalGroupsSequence);
must(frames.length === Number(data.NumberOfFrames), "as many frames as described");
let filled = 0;
frames.forEach((frame, k) => {
    const source = first(first(frame.DerivationImageSequence).SourceImageSequence);
    const instance = source.ReferencedSOPInstanceUID + " " + (source.ReferencedFrameNumber === undefined ? 1 : Number(source.ReferencedFrameNumber));
    const image = sources.get(instance);
    must(image && image.rows === data.Rows && image.columns === data.Columns, "a source image of that size");
    must(same(first(frame.PlanePositionSequence).ImagePositionPatient, image.position), "the position of the source image");
    const key = first(frame.SegmentIdentificationSequence).ReferencedSegmentNumber + " " + instance;
    const meant = new Uint8Array(size);
    for (const [row, column, length] of expected.get(key) || []) meant.fill(1, row * data.Columns + column, row * data.Columns + column + length);
    for (let i = 0; i < size; ++i) {
        const here = pixels[k * size + i] !== 0;
        must(here === (meant[i] === 1), "frame " + (k + 1) + ": the voxels that were meant");
        filled += here;
    }
    expected.delete(key);
});
must(expected.size === 0, "a frame for every slice with voxels");
console.log(frames.length + " frames, " + filled + " voxels");
