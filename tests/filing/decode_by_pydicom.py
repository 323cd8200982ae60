# SPDX-License-Identifier: Apache-2.0
"""Does pydicom read from a segmentation the voxels that were meant, and lie they where the source images lie?

usage: decode_by_pydicom.py SEGMENTATION VOXELS IMAGE...
VOXELS: a line for each run of filled voxels along a row: segment, SOP instance UID and frame of the source, row, first column, length.
"""
import collections
import sys

import numpy
import pydicom
from pydicom.sr.codedict import Code, codes


def sources_of(paths):
    """By instance and frame: position and orientation as written, spacing, and the image itself."""
    sources = {}
    for path in paths:
        image = pydicom.dcmread(path, stop_before_pixels=True)
        frames = image.get("PerFrameFunctionalGroupsSequence")
        if frames is None:
            sources[image.SOPInstanceUID, 1] = (image.ImagePositionPatient, image.ImageOrientationPatient, image.PixelSpacing, image)
            continue
        shared = image.SharedFunctionalGroupsSequence[0]
        for number, frame in enumerate(frames, 1):
            def group(name):
                return (frame.get(name) or shared.get(name))[0]
            sources[image.SOPInstanceUID, number] = (group("PlanePositionSequence").ImagePositionPatient, group("PlaneOrientationSequence").ImageOrientationPatient,
                                                     group("PixelMeasuresSequence").PixelSpacing, image)
    return sources


def check_segments(data):
    """What a receiver needs to know of each: codes of PS3.16 CID 7150, 7151 and 244 as pydicom lists them, and under which name it is followed."""
    for number, segment in enumerate(data.SegmentSequence, 1):
        assert segment.SegmentNumber == number and segment.SegmentAlgorithmType == "AUTOMATIC"
        kind = segment.SegmentedPropertyTypeCodeSequence[0]
        side = kind.SegmentedPropertyTypeModifierCodeSequence[0]
        category, region = segment.SegmentedPropertyCategoryCodeSequence[0], segment.AnatomicRegionSequence[0]
        globe = segment.TrackingID.endswith("globe")
        assert Code(kind.CodeValue, "SCT", "") == (codes.SCT.Eyeball if globe else codes.SCT.Implant)
        assert category.CodeValue == (codes.cid7150.AnatomicalStructure if globe else codes.cid7150.PhysicalObject).value
        right = segment.TrackingID.upper().startswith("R")
        for given in (side, region.AnatomicRegionModifierSequence[0]):
            assert Code(given.CodeValue, "SCT", "") == (codes.SCT.Right if right else codes.SCT.Left)
        assert segment.TrackingUID.is_valid and len(segment.RecommendedDisplayCIELabValue) == 3
        assert segment.SegmentationAlgorithmIdentificationSequence[0].AlgorithmVersion == data.SoftwareVersions


def texts(values):
    return [str(value.original_string if hasattr(value, "original_string") else value) for value in values]


def main(segmentation, voxels, images):
    sources = sources_of(images)
    expected = collections.defaultdict(list)
    for line in open(voxels, encoding="ascii"):
        segment, instance, frame, row, column, length = line.split()
        expected[int(segment), instance, int(frame)].append((int(row), int(column), int(length)))

    data = pydicom.dcmread(segmentation)
    pixels = data.pixel_array
    if pixels.ndim == 2:
        pixels = pixels[numpy.newaxis]
    assert set(numpy.unique(pixels)) <= {0, 1} and len(pixels) == data.NumberOfFrames
    shared = data.SharedFunctionalGroupsSequence[0]
    referenced = {item.ReferencedSOPInstanceUID for item in data.ReferencedSeriesSequence[0].ReferencedInstanceSequence}
    check_segments(data)
    shown = set()
    places = collections.defaultdict(list)
    overlap = collections.Counter()
    for mask, frame in zip(pixels, data.PerFrameFunctionalGroupsSequence):
        segment = frame.SegmentIdentificationSequence[0].ReferencedSegmentNumber
        source = frame.DerivationImageSequence[0].SourceImageSequence[0]
        number = int(source.get("ReferencedFrameNumber", 1))
        position, orientation, spacing, image = sources[source.ReferencedSOPInstanceUID, number]
        own = (frame.get("PlaneOrientationSequence") or shared.get("PlaneOrientationSequence"))[0].ImageOrientationPatient
        assert texts(frame.PlanePositionSequence[0].ImagePositionPatient) == texts(position)
        assert texts(own) == texts(orientation)
        assert texts(shared.PixelMeasuresSequence[0].PixelSpacing) == texts(spacing)
        assert (data.Rows, data.Columns) == (image.Rows, image.Columns)
        assert data.StudyInstanceUID == image.StudyInstanceUID and data.SeriesInstanceUID != image.SeriesInstanceUID
        assert data.PatientID == image.PatientID and data.PatientName == image.PatientName
        assert data.ReferencedSeriesSequence[0].SeriesInstanceUID == image.SeriesInstanceUID
        assert data.FrameOfReferenceUID == image.FrameOfReferenceUID
        assert source.ReferencedSOPClassUID == image.SOPClassUID and source.ReferencedSOPInstanceUID in referenced
        meant = numpy.zeros_like(mask)
        for row, column, length in expected.get((segment, source.ReferencedSOPInstanceUID, number), []):
            meant[row, column:column + length] = 1
        assert numpy.array_equal(mask, meant), f"segment {segment}, frame {number}: {mask.sum()} voxels, {meant.sum()} meant"
        shown.add((segment, source.ReferencedSOPInstanceUID, number))
        index = frame.FrameContentSequence[0].DimensionIndexValues
        assert index[0] == segment
        places[segment].append(index[1])
        for row, column in zip(*numpy.nonzero(mask)):
            overlap[source.ReferencedSOPInstanceUID, number, row, column] += 1
    assert set(expected) <= shown, "a slice with voxels has no frame"
    for indices in places.values():
        assert indices == list(range(indices[0], indices[0] + len(indices))), "slices are left out"
    assert data.SegmentsOverlap == ("YES" if max(overlap.values()) > 1 else "NO")
    print(f"{len(pixels)} frames, {sum(overlap.values())} voxels")


main(sys.argv[1], sys.argv[2], sys.argv[3:])
