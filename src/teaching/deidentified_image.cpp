// SPDX-License-Identifier: Apache-2.0
#include "perisclera/teaching/deidentified_image.h"

#include <dcmtk/config/osconfig.h>
// osconfig.h comes first by the library's rule.
#include <dcmtk/dcmdata/dctk.h>

#include <algorithm>
#include <cmath>
#include <initializer_list>

#include "perisclera/core/text.h"
#include "perisclera/dicom/part10.h"
#include "perisclera/ingest/dicom_values.h"
#include "perisclera/ingest/read_pixels.h"
#include "source_header.h"

namespace perisclera::teaching {

namespace {

void put(DcmItem& d, const DcmTagKey& tag, const std::string& text) { d.putAndInsertOFStringArray(tag, text.c_str()); }
void put(DcmItem& d, const DcmTagKey& tag, int number) { put(d, tag, std::to_string(number)); }
void put(DcmItem& d, const DcmTagKey& tag, const std::optional<double>& number) {
    if (number) put(d, tag, decimal_string(*number));
}
void put_short(DcmItem& d, const DcmTagKey& tag, int number) { d.putAndInsertUint16(tag, static_cast<Uint16>(number)); }
std::string triple(double x, double y, double z) { return decimal_string(x) + "\\" + decimal_string(y) + "\\" + decimal_string(z); }

/// Those that the standard defines; anything else may be anybody's word.
std::string defined_terms(const std::vector<std::string>& values, std::initializer_list<std::string_view> terms) {
    std::string out;
    for (const std::string& value : values)
        if (std::find(terms.begin(), terms.end(), value) != terms.end()) out += (out.empty() ? "" : "\\") + value;
    return out;
}

/// Words from which the role follows again.
std::string role_in_words(const SeriesDescription& series) {
    const auto words = [&]() -> std::string {
        switch (series.role) {
            case SeriesRole::ct_soft: return "CT";
            case SeriesRole::ct_bone: return "CT BONE";
            case SeriesRole::t1: return "T1";
            case SeriesRole::t1_fatsat: return "T1 FS";
            case SeriesRole::t1_contrast: return "T1 POST";
            case SeriesRole::t1_contrast_fatsat: return "T1 FS POST";
            case SeriesRole::t2: return "T2";
            case SeriesRole::t2_fatsat: return "T2 FS";
            case SeriesRole::stir: return "STIR";
            case SeriesRole::flair: return "FLAIR";
            case SeriesRole::pd: return "PD";
            default: return "MR";
        }
    }();
    return words + (series.simulated ? " SIMULATED" : "");
}

bool after_contrast(const SeriesDescription& series) {
    return series.role == SeriesRole::t1_contrast || series.role == SeriesRole::t1_contrast_fatsat ||
           std::find(series.problems.begin(), series.problems.end(), say("series_problem.contrast_agent")) != series.problems.end();
}

/// PS3.15 E.1, and the options chosen: CID 7050.
void put_method(DcmDataset& d, bool recognizable) {
    struct Code {
        const char *value, *meaning;
    };
    put(d, DCM_PatientIdentityRemoved, "YES");
    put(d, DCM_DeidentificationMethod, "perisclera teach");
    int item = 0;
    for (const Code& code : {Code{"113100", "Basic Application Confidentiality Profile"}, Code{"113101", "Clean Pixel Data Option"}, Code{"113102", "Clean Recognizable Visual Features Option"},
                             Code{"113103", "Clean Graphics Option"}, Code{"113105", "Clean Descriptors Option"},
                             Code{"113107", "Retain Longitudinal Temporal Information Modified Dates Option"}}) {
        if (recognizable && std::string_view(code.value) == "113102") continue;
        DcmItem* entry = nullptr;
        d.findOrCreateSequenceItem(DCM_DeidentificationMethodCodeSequence, entry, item++);
        put(*entry, DCM_CodeValue, code.value);
        put(*entry, DCM_CodingSchemeDesignator, "DCM");
        put(*entry, DCM_CodeMeaning, code.meaning);
    }
    put(d, DCM_BurnedInAnnotation, "NO");
    put(d, DCM_RecognizableVisualFeatures, recognizable ? "YES" : "NO");
    put(d, DCM_LongitudinalTemporalInformationModified, "MODIFIED");
}

void put_identity(DcmDataset& d, const SliceHeader& slice, const SourceHeader& source, const ImagePlace& place, Replacements& replacements) {
    put(d, DCM_SOPClassUID, slice.sop_class_uid);
    put(d, DCM_SOPInstanceUID, replacements.uid(slice.sop_instance_uid));
    put(d, DCM_StudyInstanceUID, replacements.uid(slice.study_uid));
    put(d, DCM_SeriesInstanceUID, replacements.uid(slice.series_uid));
    if (!slice.frame_of_reference_uid.empty()) put(d, DCM_FrameOfReferenceUID, replacements.uid(slice.frame_of_reference_uid));
    put(d, DCM_PositionReferenceIndicator, "");
    for (const DcmTagKey& tag : {DCM_StudyDate, DCM_SeriesDate, DCM_AcquisitionDate, DCM_ContentDate})
        if (const auto date = replacements.date(source.text(tag.getGroup(), tag.getElement()))) put(d, tag, *date);
    for (const DcmTagKey& tag : {DCM_StudyTime, DCM_AccessionNumber, DCM_Manufacturer, DCM_ReferringPhysicianName, DCM_PatientBirthDate, DCM_PatientSex, DCM_StudyID, DCM_AcquisitionNumber})
        put(d, tag, "");
    put(d, DCM_PatientName, replacements.pseudonym());
    put(d, DCM_PatientID, replacements.pseudonym());
    put(d, DCM_SeriesNumber, place.series_number);
    put(d, DCM_InstanceNumber, place.slice + 1);
}

void put_scan(DcmDataset& d, const SliceHeader& slice, const SeriesDescription& series) {
    const AcquisitionTags& tags = slice.acquisition;
    const bool is_ct = slice.modality == Modality::ct;
    put(d, DCM_ImageType, is_ct ? "DERIVED\\PRIMARY\\AXIAL" : "DERIVED\\PRIMARY\\OTHER");
    put(d, DCM_Modality, is_ct ? "CT" : "MR");
    put(d, DCM_SeriesDescription, role_in_words(series));
    put(d, DCM_DerivationDescription, say(series.simulated ? "deidentification.derived_simulated" : "deidentification.derived"));
    if (after_contrast(series)) put(d, DCM_ContrastBolusAgent, "AGENT");
    const bool sided = tags.laterality == "R" || tags.laterality == "L";
    put(d, DCM_BodyPartExamined, sided ? "ORBIT" : "HEAD");  // a side belongs to paired parts only (PS3.3 C.7.3.1)
    if (sided) put(d, DCM_Laterality, tags.laterality);
    put(d, DCM_PatientPosition, defined_terms({tags.patient_position}, {"HFP", "HFS", "HFDR", "HFDL", "FFDR", "FFDL", "FFP", "FFS"}));
    put(d, DCM_SliceThickness, tags.slice_thickness_mm);
    if (is_ct) {
        put(d, DCM_KVP, tags.kvp ? decimal_string(*tags.kvp) : "");
        const bool told = series.confidence != Confidence::low;
        put(d, DCM_ConvolutionKernel, !told ? "" : series.role == SeriesRole::ct_bone ? "BONE" : "SOFT");
        return;
    }
    const std::string sequence = defined_terms(tags.scanning_sequence, {"SE", "IR", "GR", "EP", "RM"}), variant = defined_terms(tags.sequence_variant, {"SK", "MTC", "SS", "TRSS", "SP", "MP", "OSP", "NONE"});
    put(d, DCM_ScanningSequence, sequence.empty() ? "RM" : sequence);
    put(d, DCM_SequenceVariant, variant.empty() ? "NONE" : variant);
    put(d, DCM_ScanOptions, defined_terms(tags.scan_options, {"PER", "RG", "CG", "PPG", "FC", "PFF", "PFP", "SP", "FS"}));
    put(d, DCM_MRAcquisitionType, defined_terms({tags.acquisition_type}, {"2D", "3D"}));
    put(d, DCM_RepetitionTime, tags.repetition_time_ms);
    put(d, DCM_EchoTime, tags.echo_time_ms ? decimal_string(*tags.echo_time_ms) : "");
    put(d, DCM_InversionTime, tags.inversion_time_ms);
    put(d, DCM_FlipAngle, tags.flip_angle_deg);
    put(d, DCM_MagneticFieldStrength, tags.field_strength_tesla);
    put(d, DCM_EchoTrainLength, tags.echo_train_length ? std::to_string(*tags.echo_train_length) : "");
}

void put_place(DcmDataset& d, const SliceGeometry& g, const OrbitRegion& region, double slice_distance_mm) {
    const PatientPoint corner = g.position + g.row * (g.column_spacing_mm * region.first[0]) + g.column * (g.row_spacing_mm * region.first[1]);
    put(d, DCM_ImagePositionPatient, triple(corner.x, corner.y, corner.z));
    put(d, DCM_ImageOrientationPatient, triple(g.row.x, g.row.y, g.row.z) + "\\" + triple(g.column.x, g.column.y, g.column.z));
    put(d, DCM_PixelSpacing, decimal_string(g.row_spacing_mm) + "\\" + decimal_string(g.column_spacing_mm));
    put(d, DCM_SpacingBetweenSlices, decimal_string(slice_distance_mm));
}

void put_pixels(DcmDataset& d, const CaseSeries& series, const SliceHeader& slice, const OrbitRegion& region, int z) {
    const PixelFormat& format = slice.pixels;
    const bool is_ct = slice.modality == Modality::ct;
    const double low = format.is_signed ? -32768.0 : 0.0, high = format.is_signed ? 32767.0 : 65535.0;
    const auto stored = [&](double value) { return static_cast<Uint16>(std::lround(std::clamp((value - format.rescale_intercept) / format.rescale_slope, low, high))); };
    const Uint16 blank = stored(is_ct ? static_cast<double>(padded_hounsfield) : 0.0);
    const VoxelGrid& grid = series.images.grid();
    std::vector<Uint16> pixels;
    for (int y = 0; y < region.size[1]; ++y)
        for (int x = 0; x < region.size[0]; ++x) {
            const std::size_t i = grid.offset(x + region.first[0], y + region.first[1], z);
            pixels.push_back(region.kept[i] != 0 ? stored(static_cast<double>(grid.values()[i])) : blank);
        }
    put_short(d, DCM_SamplesPerPixel, 1);
    put(d, DCM_PhotometricInterpretation, "MONOCHROME2");
    put_short(d, DCM_Rows, region.size[1]);
    put_short(d, DCM_Columns, region.size[0]);
    put_short(d, DCM_BitsAllocated, 16);
    put_short(d, DCM_BitsStored, 16);
    put_short(d, DCM_HighBit, 15);
    put_short(d, DCM_PixelRepresentation, format.is_signed ? 1 : 0);
    if (is_ct || format.rescale_slope != 1.0 || format.rescale_intercept != 0.0) {
        put(d, DCM_RescaleIntercept, decimal_string(format.rescale_intercept));
        put(d, DCM_RescaleSlope, decimal_string(format.rescale_slope));
        put(d, DCM_RescaleType, is_ct ? "HU" : "US");
    }
    d.putAndInsertUint16Array(DCM_PixelData, pixels.data(), static_cast<unsigned long>(pixels.size()));
}

}  // namespace

Result<std::string> deidentified_image(const CaseSeries& series, const OrbitRegion& region, const ImagePlace& place, Replacements& replacements, AttributeFates& fates) {
    const int z = region.first[2] + place.slice;
    const SliceHeader& slice = series.stack.slices()[static_cast<std::size_t>(z)];
    const auto source = SourceHeader::read(slice, place.drop_overlays);
    if (!source) return source.error();
    source.value().account(fates);
    DcmDataset d;
    put_identity(d, slice, source.value(), place, replacements);
    put_scan(d, slice, series.images.description);
    put_place(d, slice.geometry, region, series.images.grid().geometry().spacing_mm()[2]);
    put_method(d, place.recognizable);
    put_pixels(d, series, slice, region, z);
    return part10_bytes(d);
}

}  // namespace perisclera::teaching
