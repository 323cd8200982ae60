// SPDX-License-Identifier: Apache-2.0
#include "tests/support/enhanced_image.h"

#include <dcmtk/config/osconfig.h>
// osconfig.h comes first by the library's rule.
#include <dcmtk/dcmdata/dcdeftag.h>
#include <dcmtk/dcmdata/dcfilefo.h>
#include <dcmtk/dcmdata/dcuid.h>
#include <dcmtk/dcmfg/fginterface.h>
#include <dcmtk/dcmfg/fgplanpo.h>
#include <dcmtk/oflog/oflog.h>

#include <algorithm>
#include <cstdio>
#include <stdexcept>

#include "tests/support/dicom_writing.h"

namespace perisclera::test {

namespace {

void put(DcmItem& item, const DcmTagKey& tag, const std::string& value) { must(item.putAndInsertString(DcmTag(tag), value.c_str())); }

void put_all(DcmItem& item, const std::map<TagNumber, std::string>& values) {
    for (const auto& [tag, value] : values) put(item, DcmTagKey(tag.first, tag.second), value);
}

/// Puts groups where the image wants them.
class Groups {
public:
    Groups(DcmDataset& data, const EnhancedImage& image) : data_(data), image_(image) {}

    template <class Fill>
    void shared(const DcmTagKey& group, Fill fill) {
        if (left_out(group)) return;
        DcmItem* item = nullptr;
        must(data_.findOrCreateSequenceItem(DCM_SharedFunctionalGroupsSequence, item, 0));
        fill(new_item(*item, group));
        if (!listed(image_.doubled_groups, group)) return;
        for (std::size_t i = 0; i < image_.frames.size(); ++i) per_frame(i, group, fill);
    }
    template <class Fill>
    void per_frame(std::size_t frame, const DcmTagKey& group, Fill fill) {
        if (left_out(group) || frame + static_cast<std::size_t>(image_.items_left_out) >= image_.frames.size()) return;
        DcmItem* item = nullptr;
        must(data_.findOrCreateSequenceItem(DCM_PerFrameFunctionalGroupsSequence, item, static_cast<long>(frame)));
        fill(new_item(*item, group));
    }

private:
    static DcmItem& new_item(DcmItem& parent, const DcmTagKey& group) {
        DcmItem* item = nullptr;
        must(parent.findOrCreateSequenceItem(group, item, -2));
        return *item;
    }
    static bool listed(const std::vector<TagNumber>& groups, const DcmTagKey& group) {
        return std::find(groups.begin(), groups.end(), TagNumber{group.getGroup(), group.getElement()}) != groups.end();
    }
    bool left_out(const DcmTagKey& group) const { return listed(image_.absent_groups, group); }

    DcmDataset& data_;
    const EnhancedImage& image_;
};

void put_top_level(DcmDataset& data, const EnhancedImage& image) {
    put(data, DCM_SOPClassUID, image.ct ? UID_EnhancedCTImageStorage : UID_EnhancedMRImageStorage);
    put(data, DCM_SOPInstanceUID, image.sop_uid);
    put(data, DCM_SeriesInstanceUID, image.series_uid);
    put(data, DCM_StudyInstanceUID, "1.2");
    put(data, DCM_FrameOfReferenceUID, "1.9");
    put(data, DCM_Modality, image.ct ? "CT" : "MR");
    put(data, DCM_StudyDate, "20200131");
    put(data, DCM_PatientID, "CASE1");
    put(data, DCM_PatientName, "Invented^Case");
    put(data, DCM_PatientBirthDate, "19500101");
    put(data, DCM_ImageType, "ORIGINAL\\PRIMARY\\VOLUME\\NONE");
    put(data, DCM_PhotometricInterpretation, "MONOCHROME2");
    put(data, DCM_NumberOfFrames, image.number_of_frames.empty() ? std::to_string(image.frames.size()) : image.number_of_frames);
    if (!image.ct) {
        put(data, DCM_EchoPulseSequence, "SPIN");
        put(data, DCM_EchoPlanarPulseSequence, "NO");
        put(data, DCM_SteadyStatePulseSequence, "NONE");
        put(data, DCM_PulseSequenceName, "se");
    }
    put_all(data, image.top_level);
    const auto number = [&](const DcmTagKey& tag, int value) { must(data.putAndInsertUint16(DcmTag(tag), static_cast<Uint16>(value))); };
    number(DCM_SamplesPerPixel, 1);
    number(DCM_Rows, image.rows);
    number(DCM_Columns, image.columns);
    number(DCM_BitsAllocated, image.bits_allocated);
    number(DCM_BitsStored, image.bits_stored);
    number(DCM_HighBit, image.bits_stored - 1);
    number(DCM_PixelRepresentation, 0);
    std::vector<std::int32_t> stored;
    for (const EnhancedFrame& frame : image.frames) stored.insert(stored.end(), frame.stored.begin(), frame.stored.end());
    if (image.bits_allocated == 8) {
        std::vector<Uint8> values;
        for (const std::int32_t value : stored) values.push_back(static_cast<Uint8>(value));
        must(data.putAndInsertUint8Array(DCM_PixelData, values.data(), values.size()));
    } else {
        std::vector<Uint16> values;
        for (const std::int32_t value : stored) values.push_back(static_cast<Uint16>(value));
        must(data.putAndInsertUint16Array(DCM_PixelData, values.data(), values.size()));
    }
}

void put_shared(Groups& groups, const EnhancedImage& image) {
    groups.shared(DCM_PixelMeasuresSequence, [&](DcmItem& item) {
        put(item, DCM_PixelSpacing, image.pixel_spacing);
        put(item, DCM_SliceThickness, image.slice_thickness);
    });
    if (std::none_of(image.frames.begin(), image.frames.end(), [](const EnhancedFrame& f) { return f.orientation.has_value(); }))
        groups.shared(DCM_PlaneOrientationSequence, [&](DcmItem& item) { put(item, DCM_ImageOrientationPatient, joined(image.orientation)); });
    if (image.ct) {
        groups.shared(DCM_CTXRayDetailsSequence, [](DcmItem& item) { put(item, DCM_KVP, "120"); });
        groups.shared(DCM_CTReconstructionSequence, [&](DcmItem& item) { put(item, DCM_ConvolutionKernel, image.kernel.c_str()); });
    } else {
        groups.shared(DCM_MRTimingAndRelatedParametersSequence, [&](DcmItem& item) {
            put(item, DCM_RepetitionTime, "500");
            put(item, DCM_FlipAngle, "90");
            put_all(item, image.timing);
        });
        groups.shared(DCM_MRModifierSequence, [&](DcmItem& item) {
            put(item, DCM_InversionRecovery, "NO");
            put(item, DCM_SpectrallySelectedSuppression, "FAT");
            put_all(item, image.modifier);
        });
    }
}

void put_frame(Groups& groups, const EnhancedImage& image, std::size_t i) {
    const EnhancedFrame& frame = image.frames[i];
    groups.per_frame(i, DCM_FrameContentSequence, [&](DcmItem& item) {
        put(item, DCM_StackID, frame.stack_id);
        must(item.putAndInsertUint32(DCM_InStackPositionNumber, static_cast<Uint32>(i + 1)));
        must(item.putAndInsertUint32(DCM_TemporalPositionIndex, frame.temporal_index));
    });
    groups.per_frame(i, DCM_PlanePositionSequence, [&](DcmItem& item) { put(item, DCM_ImagePositionPatient, joined(frame.position)); });
    if (frame.orientation) groups.per_frame(i, DCM_PlaneOrientationSequence, [&](DcmItem& item) { put(item, DCM_ImageOrientationPatient, joined(*frame.orientation)); });
    groups.per_frame(i, DCM_PixelValueTransformationSequence, [&](DcmItem& item) {
        put(item, DCM_RescaleSlope, joined(std::array{frame.slope}));
        put(item, DCM_RescaleIntercept, joined(std::array{frame.intercept}));
        put(item, DCM_RescaleType, image.ct ? "HU" : "US");
    });
    groups.per_frame(i, image.ct ? DCM_CTImageFrameTypeSequence : DCM_MRImageFrameTypeSequence, [&](DcmItem& item) {
        put(item, DCM_FrameType, frame.frame_type.empty() ? "ORIGINAL\\PRIMARY\\VOLUME\\NONE" : frame.frame_type);
        put(item, DCM_VolumetricProperties, "VOLUME");
        put(item, DCM_VolumeBasedCalculationTechnique, "NONE");
        if (image.ct) return;
        put(item, DCM_ComplexImageComponent, "MAGNITUDE");
        put(item, DCM_AcquisitionContrast, image.acquisition_contrast);
    });
    if (image.ct) return;
    groups.per_frame(i, DCM_MREchoSequence, [&](DcmItem& item) { must(item.putAndInsertFloat64(DCM_EffectiveEchoTime, frame.echo_time)); });
    groups.per_frame(i, DCM_MRDiffusionSequence, [&](DcmItem& item) { must(item.putAndInsertFloat64(DCM_DiffusionBValue, frame.b_value)); });
}

}  // namespace

std::vector<EnhancedFrame> frames_of(int count, std::array<double, 3> first, std::array<double, 3> step, int pixels) {
    std::vector<EnhancedFrame> frames;
    for (int i = 0; i < count; ++i) {
        EnhancedFrame frame;
        for (std::size_t a = 0; a < 3; ++a) frame.position[a] = first[a] + step[a] * i;
        frame.stored = ramp(pixels);
        for (auto& value : frame.stored) value += i;
        frames.push_back(std::move(frame));
    }
    return frames;
}

void write_enhanced(const std::filesystem::path& file, const EnhancedImage& image) {
    OFLog::configure(OFLogger::OFF_LOG_LEVEL);
    DcmFileFormat format;
    DcmDataset& data = *format.getDataset();
    put_top_level(data, image);
    Groups groups(data, image);
    put_shared(groups, image);
    for (std::size_t i = 0; i < image.frames.size(); ++i) put_frame(groups, image, i);
    must(format.saveFile(file.c_str(), EXS_LittleEndianExplicit, EET_UndefinedLength, EGL_recalcGL, EPD_noChange));
}

std::vector<std::array<double, 3>> positions_by_dcmtk(const std::filesystem::path& file) {
    DcmFileFormat format;
    must(format.loadFile(file.c_str()));
    FGInterface groups;
    must(groups.read(*format.getDataset()));
    std::vector<std::array<double, 3>> positions;
    for (size_t i = 0; i < groups.getNumberOfFrames(); ++i) {
        OFBool is_per_frame = OFFalse;
        auto* group = static_cast<FGPlanePosPatient*>(groups.get(static_cast<Uint32>(i), DcmFGTypes::EFG_PLANEPOSPATIENT, is_per_frame));
        auto& p = positions.emplace_back();
        if (group == nullptr) throw std::runtime_error("no plane position");
        must(group->getImagePositionPatient(p[0], p[1], p[2]));
    }
    return positions;
}

}  // namespace perisclera::test
