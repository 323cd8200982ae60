// SPDX-License-Identifier: Apache-2.0
#include "perisclera/dicom/image_object.h"

#include <dcmtk/config/osconfig.h>
#include <dcmtk/dcmdata/dctk.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "perisclera/dicom/part10.h"
#include "perisclera/dicom/uid.h"

namespace perisclera {

namespace {

/// Stored value to what it stands for.
struct Rescale {
    double slope, intercept;
};
constexpr Rescale usual_ct{1.0, -1024.0}, extended_ct{10.0, -10240.0}, as_stored{1.0, 0.0};
constexpr double largest_stored = 4095.0;  // 12 bits

void put(DcmDataset& d, const DcmTagKey& tag, const std::string& text) { d.putAndInsertOFStringArray(tag, text.c_str()); }
void put(DcmDataset& d, const DcmTagKey& tag, double number) { put(d, tag, decimal_string(number)); }
void put(DcmDataset& d, const DcmTagKey& tag, int number) { put(d, tag, std::to_string(number)); }
void put_short(DcmDataset& d, const DcmTagKey& tag, int number) { d.putAndInsertUint16(tag, static_cast<Uint16>(number)); }
std::string triple(double x, double y, double z) { return decimal_string(x) + "\\" + decimal_string(y) + "\\" + decimal_string(z); }

/// Patient, General Study, General Series, Frame of Reference, General Equipment, SOP Common.
void put_common(DcmDataset& d, const ImageSeriesHeader& h, int slice) {
    put(d, DCM_SpecificCharacterSet, "ISO_IR 192");
    put(d, DCM_SOPInstanceUID, uid_from(h.series_uid + "/" + std::to_string(slice)));
    put(d, DCM_StudyDate, h.study_date);
    put(d, DCM_SeriesDate, h.study_date);
    put(d, DCM_AcquisitionDate, h.study_date);
    put(d, DCM_ContentDate, h.study_date);
    put(d, DCM_StudyTime, h.study_time);
    put(d, DCM_SeriesTime, h.series_time);
    put(d, DCM_AcquisitionTime, h.series_time);
    put(d, DCM_ContentTime, h.series_time);
    put(d, DCM_AccessionNumber, "");
    put(d, DCM_ReferringPhysicianName, "");
    put(d, DCM_Manufacturer, h.manufacturer);
    put(d, DCM_ManufacturerModelName, h.model);
    put(d, DCM_SoftwareVersions, h.software_version);
    put(d, DCM_StudyDescription, h.study_description);
    put(d, DCM_SeriesDescription, h.series_description);
    put(d, DCM_DerivationDescription, h.derivation_description);
    put(d, DCM_PatientName, h.patient_name);
    put(d, DCM_PatientID, h.patient_id);
    put(d, DCM_PatientBirthDate, h.patient_birth_date);
    put(d, DCM_PatientSex, h.patient_sex);
    put(d, DCM_BodyPartExamined, "HEAD");  // not paired, so Laterality must be absent (PS3.3 C.7.3.1)
    put(d, DCM_PatientPosition, "HFS");
    put(d, DCM_StudyInstanceUID, h.study_uid);
    put(d, DCM_SeriesInstanceUID, h.series_uid);
    put(d, DCM_StudyID, h.study_id);
    put(d, DCM_SeriesNumber, h.series_number);
    put(d, DCM_AcquisitionNumber, 1);
    put(d, DCM_InstanceNumber, slice + 1);
    put(d, DCM_FrameOfReferenceUID, h.frame_of_reference_uid);
    put(d, DCM_PositionReferenceIndicator, "");
}

/// Image Plane (PS3.3 C.7.6.2).
void put_plane(DcmDataset& d, const VolumeGeometry& g, int slice, double thickness_mm) {
    const PatientPoint corner = g.to_patient({0.0, 0.0, static_cast<double>(slice)});
    const PatientVector row = g.row(), column = g.column();
    put(d, DCM_SliceThickness, thickness_mm);
    put(d, DCM_SpacingBetweenSlices, g.spacing_mm()[2]);
    put(d, DCM_ImagePositionPatient, triple(corner.x, corner.y, corner.z));
    put(d, DCM_ImageOrientationPatient, triple(row.x, row.y, row.z) + "\\" + triple(column.x, column.y, column.z));
    put(d, DCM_PixelSpacing, decimal_string(g.spacing_mm()[1]) + "\\" + decimal_string(g.spacing_mm()[0]));  // rows apart, then columns apart
}

/// Image Pixel (PS3.3 C.7.6.3): the rescaling undone, rounded, clipped to what 12 bits hold.
void put_pixels(DcmDataset& d, const VoxelGrid& grid, int slice, const Rescale& rescale) {
    const auto n = grid.geometry().size();
    const std::size_t count = static_cast<std::size_t>(n[0]) * static_cast<std::size_t>(n[1]);
    std::vector<Uint16> stored(count);
    const auto first = grid.values().begin() + static_cast<std::ptrdiff_t>(grid.offset(0, 0, slice));
    std::transform(first, first + static_cast<std::ptrdiff_t>(count), stored.begin(), [&](float value) {
        return static_cast<Uint16>(std::lround(std::clamp((static_cast<double>(value) - rescale.intercept) / rescale.slope, 0.0, largest_stored)));
    });
    put_short(d, DCM_SamplesPerPixel, 1);
    put(d, DCM_PhotometricInterpretation, "MONOCHROME2");
    put_short(d, DCM_Rows, n[1]);
    put_short(d, DCM_Columns, n[0]);
    put_short(d, DCM_BitsAllocated, 16);
    put_short(d, DCM_BitsStored, 12);
    put_short(d, DCM_HighBit, 11);
    put_short(d, DCM_PixelRepresentation, 0);
    d.putAndInsertUint16Array(DCM_PixelData, stored.data(), static_cast<unsigned long>(count));
}

}  // namespace

Result<std::string> ct_image_bytes(const ImageSeriesHeader& header, const CtAcquisition& acquisition, const CtVolume& volume, int slice) {
    DcmDataset d;
    put(d, DCM_ImageType, "DERIVED\\PRIMARY\\AXIAL");  // AXIAL: any cross-section that is no localizer (C.8.2.1.1.1)
    put(d, DCM_SOPClassUID, UID_CTImageStorage);
    put(d, DCM_Modality, "CT");
    put_common(d, header, slice);
    put(d, DCM_KVP, acquisition.kvp);
    put(d, DCM_ConvolutionKernel, acquisition.kernel);
    if (acquisition.gantry_tilt_deg != 0.0) put(d, DCM_GantryDetectorTilt, acquisition.gantry_tilt_deg);
    put_plane(d, volume.grid().geometry(), slice, acquisition.slice_thickness_mm);
    const Rescale& rescale = acquisition.extended_scale ? extended_ct : usual_ct;
    put_pixels(d, volume.grid(), slice, rescale);
    put(d, DCM_RescaleIntercept, rescale.intercept);
    put(d, DCM_RescaleSlope, rescale.slope);
    put(d, DCM_RescaleType, "HU");
    put(d, DCM_WindowCenter, 40);
    put(d, DCM_WindowWidth, 400);
    return part10_bytes(d);
}

Result<std::string> mr_image_bytes(const ImageSeriesHeader& header, const MrAcquisition& acquisition, const MrVolume& volume, int slice) {
    DcmDataset d;
    put(d, DCM_ImageType, "DERIVED\\PRIMARY\\OTHER");
    put(d, DCM_SOPClassUID, UID_MRImageStorage);
    put(d, DCM_Modality, "MR");
    put_common(d, header, slice);
    put(d, DCM_ScanningSequence, acquisition.scanning_sequence);
    put(d, DCM_SequenceVariant, acquisition.sequence_variant);
    put(d, DCM_ScanOptions, acquisition.scan_options);
    put(d, DCM_MRAcquisitionType, acquisition.three_dimensional ? "3D" : "2D");
    put(d, DCM_RepetitionTime, acquisition.repetition_time_ms);
    put(d, DCM_EchoTime, acquisition.echo_time_ms);
    if (acquisition.inversion_time_ms) put(d, DCM_InversionTime, *acquisition.inversion_time_ms);
    put(d, DCM_FlipAngle, acquisition.flip_angle_deg);
    put(d, DCM_MagneticFieldStrength, acquisition.field_strength_tesla);
    put(d, DCM_EchoTrainLength, acquisition.echo_train_length);
    if (!acquisition.contrast_agent.empty()) put(d, DCM_ContrastBolusAgent, acquisition.contrast_agent);
    if (acquisition.pixel_bandwidth_hz) put(d, DCM_PixelBandwidth, *acquisition.pixel_bandwidth_hz);
    if (acquisition.phase_along_row) put(d, DCM_InPlanePhaseEncodingDirection, *acquisition.phase_along_row ? "ROW" : "COL");
    put_plane(d, volume.grid().geometry(), slice, acquisition.slice_thickness_mm);
    put_pixels(d, volume.grid(), slice, as_stored);
    return part10_bytes(d);
}

}  // namespace perisclera
