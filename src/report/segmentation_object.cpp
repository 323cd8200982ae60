// SPDX-License-Identifier: Apache-2.0
#include "src/report/segmentation_object.h"

#include <dcmtk/config/osconfig.h>
#include <dcmtk/dcmdata/dctk.h>
#include <dcmtk/dcmfg/fgderimg.h>
#include <dcmtk/dcmfg/fgfracon.h>
#include <dcmtk/dcmfg/fgpixmsr.h>
#include <dcmtk/dcmfg/fgplanor.h>
#include <dcmtk/dcmfg/fgplanpo.h>
#include <dcmtk/dcmseg/segdoc.h>
#include <dcmtk/dcmseg/segment.h>

#include <algorithm>
#include <array>
#include <memory>
#include <set>

#include "perisclera/core/text.h"
#include "perisclera/dicom/part10.h"
#include "perisclera/dicom/uid.h"
#include "perisclera/ingest/dicom_values.h"
#include "perisclera/report/wording.h"
#include "src/report/codes.h"
#include "src/report/filed_object.h"
#include "src/report/filing_study.h"
#include "src/report/report_groups.h"
#include "src/report/tracking.h"

namespace perisclera::report {

namespace {

constexpr int first_series_number = 9100;
constexpr std::size_t small_object = 3u << 20;   // bytes

/// CIELab (D50) of four hues that eyes blind to a colour tell apart, and of the globe's (Okabe M, Ito K: Color Universal Design, 2008).
struct Colour {
    double lightness, a, b;
};
constexpr std::array element_colours{Colour{71.2, 20.1, 74.7}, Colour{54.9, 45.3, 64.2}, Colour{57.6, -44.7, 12.2}, Colour{61.2, 37.7, -10.1}};
constexpr Colour globe_colour{69.3, -16.8, -35.5};

/// 0 to 100 and -128 to 127 as 16 bits (PS3.3 C.10.7.1.1).
void colour(DcmSegment& segment, const Colour& c) {
    const auto scaled = [](double share) { return static_cast<Uint16>(std::clamp(share, 0.0, 1.0) * 65535.0 + 0.5); };
    segment.setRecommendedDisplayCIELabValue(scaled(c.lightness / 100.0), scaled((c.a + 128.0) / 255.0), scaled((c.b + 128.0) / 255.0));
}

CodeSequenceMacro macro(const Code& code) {
    return {OFString(code.value.data(), code.value.size()), OFString(code.scheme.data(), code.scheme.size()), OFString(code.meaning.data(), code.meaning.size())};
}

/// The owner takes a copy on the heap, as DCMTK's lists do.
CodeSequenceMacro* side(Eye eye) { return std::make_unique<CodeSequenceMacro>(macro(eye == Eye::right ? codes::right : codes::left)).release(); }

const ElementEntry* entry_of(const ReportModel& model, const SegmentedSeries& series, const Segment& segment) {
    for (const Timepoint& visit : model.timepoints)
        if (visit.id == series.timepoint_id) return find_element(visit, segment.eye, segment.element_id);
    return nullptr;
}

/// What the receiver shows; the description says what was done.
struct Words {
    std::string label, description;
    Code category, type;
};

Words words_of(const ReportModel& model, const SegmentedSeries& series, const Segment& segment) {
    if (segment.kind == SegmentKind::globe)
        return {say(segment.eye == Eye::right ? "filed.segment_right_globe" : "filed.segment_left_globe"), say("filed.segment_of_globe"), codes::anatomical_structure, codes::eyeball};
    const auto [category, type] = finding_codes(entry_of(model, series, segment));
    return {say(type.value == codes::implant.value ? "filed.segment_explant" : "filed.segment_finding", {{"element", segment.element_id}}), say("filed.segment_of_element"), category, type};
}

/// Owned by whoever asks; null where DCMTK refuses it.
std::unique_ptr<DcmSegment> described(const Segment& segment, const Words& words, const Identity& identity, std::size_t elements_before) {
    const bool globe = segment.kind == SegmentKind::globe;
    const OFString algorithm = say(globe ? "filed.globe_algorithm" : "filed.element_algorithm").c_str();
    DcmSegment* made = nullptr;
    DcmSegment::create(made, words.label.c_str(), macro(words.category), macro(words.type), DcmSegTypes::SAT_AUTOMATIC, algorithm);
    std::unique_ptr<DcmSegment> out(made);
    if (!out) return out;
    out->setSegmentDescription(words.description.c_str());
    out->getSegmentedPropertyTypeModifierCode().push_back(side(segment.eye));
    GeneralAnatomyMacro& place = out->getGeneralAnatomyCode();
    place.getAnatomicRegion() = macro(globe ? codes::eyeball : codes::sclera);
    place.getAnatomicRegionModifier().push_back(side(segment.eye));
    AlgorithmIdentificationMacro how;
    how.getAlgorithmFamilyCode() = macro(globe ? codes::edge_detection : codes::neighborhood_analysis);
    how.setAlgorithmName(algorithm);
    how.setAlgorithmVersion(OFString(program_version.data(), program_version.size()));
    how.setAlgorithmSource(manufacturer);
    out->setSegmentationAlgorithmIdentification(how);
    const Tracking tracking = globe ? tracking_of_globe(identity, segment.eye) : tracking_of_element(identity, segment.eye, segment.element_id);
    out->setTrackingID(tracking.id.c_str());
    out->setTrackingUID(tracking.uid.c_str());
    colour(*out, globe ? globe_colour : element_colours[elements_before % element_colours.size()]);
    return out;
}

/// Slices of the source that a segment's frames show: from the first that it reaches to the last, or all.
struct Range {
    int first, count;
};

std::vector<Range> ranges_of(const SegmentedSeries& series) {
    const auto size = series.geometry.size();
    const std::size_t whole = static_cast<std::size_t>(size[0]) * static_cast<std::size_t>(size[1]) / 8 * static_cast<std::size_t>(size[2]) * series.segments.size();
    std::vector<Range> ranges;
    for (const Segment& s : series.segments) ranges.push_back(whole < small_object ? Range{0, size[2]} : Range{s.mask.first[2], s.mask.size[2]});
    return ranges;
}

/// Does any voxel belong to two segments?
bool overlap(const SegmentedSeries& series) {
    for (std::size_t a = 0; a < series.segments.size(); ++a)
        for (std::size_t b = a + 1; b < series.segments.size(); ++b) {
            const VoxelMask &one = series.segments[a].mask, &other = series.segments[b].mask;
            std::size_t i = 0;
            for (int z = 0; z < one.size[2]; ++z)
                for (int y = 0; y < one.size[1]; ++y)
                    for (int x = 0; x < one.size[0]; ++x)
                        if (one.filled[i++] != 0 && other.at(one.first[0] + x, one.first[1] + y, one.first[2] + z)) return true;
        }
    return false;
}

OFString text(const std::string& s) { return OFString(s.c_str(), s.size()); }

FGPlaneOrientationPatient* orientation_of(const SourceSlice& slice) {
    const std::vector<std::string> v = split_values(slice.plane.orientation);
    return v.size() == 6 ? FGPlaneOrientationPatient::createMinimal(text(v[0]), text(v[1]), text(v[2]), text(v[3]), text(v[4]), text(v[5])) : nullptr;
}

bool one_orientation(const SegmentedSeries& series) {
    return std::all_of(series.slices.begin(), series.slices.end(), [&](const SourceSlice& s) { return s.plane.orientation == series.slices.front().plane.orientation; });
}

OFCondition put_shared_groups(DcmSegmentation& object, const SegmentedSeries& series) {
    const StatedPlane& plane = series.slices.front().plane;
    const std::string between = decimal_string(series.geometry.spacing_mm()[2]);
    FGPixelMeasures measures;
    measures.setPixelSpacing(text(plane.pixel_spacing));
    measures.setSliceThickness(text(plane.slice_thickness.empty() ? between : plane.slice_thickness));
    measures.setSpacingBetweenSlices(text(between));
    OFCondition status = object.addForAllFrames(measures);
    if (status.bad() || !one_orientation(series)) return status;
    const std::unique_ptr<FGPlaneOrientationPatient> orientation(orientation_of(series.slices.front()));
    return orientation ? object.addForAllFrames(*orientation) : EC_InvalidValue;
}

OFCondition put_frame(DcmSegmentation& object, const SegmentedSeries& series, Uint16 segment, int z, Uint32 position, bool own_orientation) {
    const SourceSlice& slice = series.slices[static_cast<std::size_t>(z)];
    const std::vector<std::string> at = split_values(slice.plane.position);
    if (at.size() != 3) return EC_InvalidValue;
    FGFrameContent content;
    content.setDimensionIndexValues(segment, 0);
    content.setDimensionIndexValues(position, 1);
    const std::unique_ptr<FGPlanePosPatient> place(FGPlanePosPatient::createMinimal(text(at[0]), text(at[1]), text(at[2])));
    ImageSOPInstanceReferenceMacro* made = nullptr;
    ImageSOPInstanceReferenceMacro::create(text(slice.sop_class_uid), text(slice.sop_instance_uid), {}, made);
    const std::unique_ptr<ImageSOPInstanceReferenceMacro> reference(made);
    if (!place || !reference) return EC_InvalidValue;
    OFVector<ImageSOPInstanceReferenceMacro> sources;
    sources.push_back(*reference);
    const std::unique_ptr<FGDerivationImage> derivation(DcmSegmentation::createDerivationImageFG(sources, ""));
    const std::unique_ptr<FGPlaneOrientationPatient> orientation(own_orientation ? orientation_of(slice) : nullptr);
    if (!derivation || (own_orientation && !orientation)) return EC_InvalidValue;
    OFVector<FGBase*> groups;
    groups.push_back(&content);
    groups.push_back(place.get());
    groups.push_back(derivation.get());
    if (orientation) groups.push_back(orientation.get());

    const auto size = series.geometry.size();
    std::vector<Uint8> none(static_cast<std::size_t>(size[0]) * static_cast<std::size_t>(size[1]));   // see packed()
    return object.addFrame(none.data(), segment, groups);
}

/// The pixels of all frames, bit after bit from the lowest of each byte on, frames sharing a byte where they do not fill it (PS3.5 8.1.1). DCMTK 3.6.7 gets this wrong
/// where a frame's pixels are no multiple of eight.
std::vector<Uint8> packed(const SegmentedSeries& series, const std::vector<Range>& ranges) {
    const auto size = series.geometry.size();
    const std::size_t frame = static_cast<std::size_t>(size[0]) * static_cast<std::size_t>(size[1]);
    std::size_t frames = 0, begin = 0;
    for (const Range& range : ranges) frames += static_cast<std::size_t>(range.count);
    std::vector<Uint8> bits((frames * frame + 15) / 16 * 2);   // of even length
    for (std::size_t s = 0; s < ranges.size(); ++s) {
        const VoxelMask& mask = series.segments[s].mask;
        std::size_t i = 0;
        for (int z = 0; z < mask.size[2]; ++z)
            for (int y = 0; y < mask.size[1]; ++y)
                for (int x = 0; x < mask.size[0]; ++x) {
                    if (mask.filled[i++] == 0) continue;
                    const std::size_t bit = begin + static_cast<std::size_t>(mask.first[2] + z - ranges[s].first) * frame + static_cast<std::size_t>((mask.first[1] + y) * size[0] + mask.first[0] + x);
                    bits[bit / 8] = static_cast<Uint8>(bits[bit / 8] | (1u << (bit % 8)));
                }
        begin += static_cast<std::size_t>(ranges[s].count) * frame;
    }
    return bits;
}

/// What DCMTK's classes leave out, refuse or get wrong: the pixels, that each voxel of the source is one of ours, which frame of an enhanced image a frame comes from, and of which
/// instances all frames speak (PS3.3 C.12.2).
void complete(DcmDataset& d, const SegmentedSeries& series, const std::vector<Range>& ranges) {
    long number = 0;
    for (const Range& range : ranges)
        for (int z = range.first; z < range.first + range.count; ++z) {
            const SourceSlice& slice = series.slices[static_cast<std::size_t>(z)];
            DcmItem *frame = nullptr, *derivation = nullptr, *source = nullptr;
            d.findOrCreateSequenceItem(DCM_PerFrameFunctionalGroupsSequence, frame, number++);
            frame->findOrCreateSequenceItem(DCM_DerivationImageSequence, derivation, 0);
            derivation->findOrCreateSequenceItem(DCM_SourceImageSequence, source, 0);
            source->putAndInsertString(DCM_SpatialLocationsPreserved, "YES");
            if (slice.frames > 1) source->putAndInsertString(DCM_ReferencedFrameNumber, std::to_string(slice.frame).c_str());
        }
    const std::vector<Uint8> bits = packed(series, ranges);
    d.putAndInsertUint8Array(DCM_PixelData, bits.data(), static_cast<unsigned long>(bits.size()));
    d.putAndInsertString(DCM_SegmentsOverlap, overlap(series) ? "YES" : "NO");
    std::set<std::string> referenced;
    DcmItem* of_series = nullptr;
    d.findOrCreateSequenceItem(DCM_ReferencedSeriesSequence, of_series, -2);
    of_series->putAndInsertString(DCM_SeriesInstanceUID, series.series_uid.c_str());
    for (int z = 0; z < series.geometry.size()[2]; ++z) {
        const SourceSlice& slice = series.slices[static_cast<std::size_t>(z)];
        const bool shown = std::any_of(ranges.begin(), ranges.end(), [&](const Range& r) { return z >= r.first && z < r.first + r.count; });
        if (!shown || !referenced.insert(slice.sop_instance_uid).second) continue;
        DcmItem* instance = nullptr;
        of_series->findOrCreateSequenceItem(DCM_ReferencedInstanceSequence, instance, -2);
        instance->putAndInsertString(DCM_ReferencedSOPClassUID, slice.sop_class_uid.c_str());
        instance->putAndInsertString(DCM_ReferencedSOPInstanceUID, slice.sop_instance_uid.c_str());
    }
}

}  // namespace

SegmentationUids segmentation_uids(const ReportModel& model, const SegmentedSeries& series, const Moment& now) {
    return {filed_uid(model, now, "segmentation series/" + series.series_uid), filed_uid(model, now, "segmentation/" + series.series_uid)};
}

Result<std::string> segmentation_bytes(const ReportModel& model, const Identity& identity, const SegmentedSeries& series, const Moment& now, int number) {
    const auto fault = [](const OFCondition& status) {
        return Error{ErrorCode::internal_fault, std::string("segmentation could not be made: ") + status.text(), "DICOM writer", "report this as a defect"};
    };
    const SegmentationUids uids = segmentation_uids(model, series, now);
    const auto size = series.geometry.size();
    if (series.slices.size() != static_cast<std::size_t>(size[2])) return fault(EC_InvalidValue);
    const IODGeneralEquipmentModule::EquipmentInfo equipment(manufacturer, model_name, device_serial_number, OFString(program_version.data(), program_version.size()));
    const ContentIdentificationMacro content("1", "EXPLANT", say("filed.segmentation_content").c_str(), "");
    DcmSegmentation* made = nullptr;
    if (const auto status = DcmSegmentation::createBinarySegmentation(made, static_cast<Uint16>(size[1]), static_cast<Uint16>(size[0]), equipment, content); status.bad()) return fault(status);
    const std::unique_ptr<DcmSegmentation> object(made);
    // A series without one gets its own, so that its segmentation at least lies in one frame.
    const std::string frame = series.frame_of_reference_uid.empty() ? uid_from("frame of reference of " + series.series_uid) : series.frame_of_reference_uid;
    object->getFrameOfReference().setFrameOfReferenceUID(text(frame));
    const std::string dimensions = uid_from("dimensions of " + uids.sop_instance_uid);
    object->getDimensions().addDimensionIndex(DCM_ReferencedSegmentNumber, text(dimensions), DCM_SegmentIdentificationSequence, say("filed.segment_dimension").c_str());
    object->getDimensions().addDimensionIndex(DCM_ImagePositionPatient, text(dimensions), DCM_PlanePositionSequence, say("filed.slice_dimension").c_str());

    object->setCheckDimensionsOnWrite(OFFalse);   // it looks before the frames are there, and says so on standard error

    OFCondition status = put_shared_groups(*object, series);
    const std::vector<Range> ranges = ranges_of(series);
    const bool own_orientation = !one_orientation(series);
    std::size_t elements = 0;
    for (std::size_t s = 0; s < series.segments.size() && status.good(); ++s) {
        std::unique_ptr<DcmSegment> segment = described(series.segments[s], words_of(model, series, series.segments[s]), identity, elements);
        elements += series.segments[s].kind == SegmentKind::element;
        Uint16 assigned = 0;
        status = segment ? object->addSegment(segment.get(), assigned) : EC_InvalidValue;
        if (status.bad()) break;
        static_cast<void>(segment.release());   // the object's from now on
        for (int z = ranges[s].first; z < ranges[s].first + ranges[s].count && status.good(); ++z)
            status = put_frame(*object, series, assigned, z, static_cast<Uint32>(z + 1), own_orientation);
    }
    if (status.bad()) return fault(status);
    const StudyFiling study = filing_of(identity, series.study_uid);
    object->getStudy().setStudyInstanceUID(text(study.study_uid));
    object->getSeries().setSeriesInstanceUID(text(uids.series_uid));
    object->getSegmentationSeriesModule().setSeriesNumber(std::to_string(first_series_number + number).c_str());
    DcmDataset d;
    if (status = object->writeDataset(d); status.bad()) return fault(status);
    complete(d, series, ranges);
    put_common_modules(d, study, {uids.series_uid, "SEG", series_description(model, "filed.segmentation"), first_series_number + number}, {UID_SegmentationStorage, uids.sop_instance_uid, 1}, now);
    return part10_bytes(d);
}

}  // namespace perisclera::report
