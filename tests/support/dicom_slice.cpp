// SPDX-License-Identifier: Apache-2.0
#include "tests/support/dicom_slice.h"

#include <dcmtk/config/osconfig.h>
// osconfig.h comes first by the library's rule.
#include <dcmtk/dcmdata/dcdeftag.h>
#include <dcmtk/dcmdata/dcfilefo.h>
#include <dcmtk/dcmdata/dcrleerg.h>
#include <dcmtk/dcmdata/dcrlerp.h>
#include <dcmtk/dcmdata/dcuid.h>
#include <dcmtk/dcmjpeg/djencode.h>
#include <dcmtk/dcmjpeg/djrploss.h>
#include <dcmtk/dcmjpeg/djrplol.h>
#include <dcmtk/dcmjpls/djencode.h>
#include <dcmtk/dcmjpls/djrparam.h>
#include <dcmtk/oflog/oflog.h>

#include <cstdio>
#include <memory>
#include <stdexcept>

#include "tests/support/dicom_writing.h"

namespace perisclera::test {

namespace {

struct Encoding {
    E_TransferSyntax syntax;
    std::unique_ptr<DcmRepresentationParameter> parameter;
};

Encoding encoding_of(Compression compression) {
    switch (compression) {
        case Compression::implicit_little: return {EXS_LittleEndianImplicit, nullptr};
        case Compression::explicit_little: return {EXS_LittleEndianExplicit, nullptr};
        case Compression::explicit_big: return {EXS_BigEndianExplicit, nullptr};
        case Compression::deflated: return {EXS_DeflatedLittleEndianExplicit, nullptr};
        case Compression::jpeg_baseline: return {EXS_JPEGProcess1, std::make_unique<DJ_RPLossy>(90)};
        case Compression::jpeg_extended: return {EXS_JPEGProcess2_4, std::make_unique<DJ_RPLossy>(90)};
        case Compression::rle: return {EXS_RLELossless, std::make_unique<DcmRLERepresentationParameter>()};
        case Compression::jpeg_lossless_57: return {EXS_JPEGProcess14, std::make_unique<DJ_RPLossless>()};
        case Compression::jpeg_lossless_70: return {EXS_JPEGProcess14SV1, std::make_unique<DJ_RPLossless>()};
        case Compression::jpeg_ls: return {EXS_JPEGLSLossless, std::make_unique<DJLSRepresentationParameter>(2, OFTrue)};
        case Compression::jpeg_ls_near: return {EXS_JPEGLSLossy, std::make_unique<DJLSRepresentationParameter>(2, OFFalse)};
    }
    throw std::runtime_error("no such compression");
}

void prepare() {
    static const bool done = [] {
        OFLog::configure(OFLogger::OFF_LOG_LEVEL);
        DcmRLEEncoderRegistration::registerCodecs();
        DJEncoderRegistration::registerCodecs(ECC_lossyYCbCr, EUC_never);
        DJLSEncoderRegistration::registerCodecs();
        return true;
    }();
    static_cast<void>(done);
}

}  // namespace

std::vector<std::int32_t> ramp(int count) {
    std::vector<std::int32_t> values;
    for (int i = 0; i < count; ++i) values.push_back(100 + i);
    return values;
}

void write_slice(const std::filesystem::path& file, const DicomSlice& slice) {
    prepare();
    DcmFileFormat format;
    DcmDataset& data = *format.getDataset();
    const auto put = [&](const DcmTagKey& tag, const std::string& value) { must(data.putAndInsertString(DcmTag(tag), value.c_str())); };
    const auto put_number = [&](const DcmTagKey& tag, int value) { must(data.putAndInsertUint16(DcmTag(tag), static_cast<Uint16>(value))); };
    const bool ct = slice.modality == "CT";
    put(DCM_SOPClassUID, ct ? UID_CTImageStorage : UID_MRImageStorage);
    put(DCM_SOPInstanceUID, slice.sop_uid);
    put(DCM_SeriesInstanceUID, slice.series_uid);
    put(DCM_StudyInstanceUID, slice.study_uid);
    put(DCM_FrameOfReferenceUID, slice.frame_uid);
    put(DCM_Modality, slice.modality);
    put(DCM_StudyDate, "20200131");
    put(DCM_PatientID, "CASE1");
    put(DCM_PatientName, "Invented^Case");
    put(DCM_PatientBirthDate, "19500101");
    put(DCM_ImageType, ct ? "ORIGINAL\\PRIMARY\\AXIAL" : "ORIGINAL\\PRIMARY\\M");
    put(DCM_SliceThickness, "1");
    put(DCM_ImagePositionPatient, joined(slice.position));
    put(DCM_ImageOrientationPatient, joined(slice.orientation));
    put(DCM_PixelSpacing, "0.5\\0.25");
    if (ct) {
        put(DCM_KVP, "120");
        put(DCM_ConvolutionKernel, "SOFT");
        put(DCM_RescaleIntercept, "-1024");
        put(DCM_RescaleSlope, "1");
        put(DCM_RescaleType, "HU");
    } else {
        put(DCM_ScanningSequence, "SE");
        put(DCM_SequenceVariant, "SK");
        put(DCM_RepetitionTime, "500");
        put(DCM_EchoTime, "12");
    }
    put(DCM_PhotometricInterpretation, "MONOCHROME2");
    put_number(DCM_SamplesPerPixel, 1);
    put_number(DCM_Rows, slice.rows);
    put_number(DCM_Columns, slice.columns);
    put_number(DCM_BitsAllocated, slice.bits_allocated);
    put_number(DCM_BitsStored, slice.bits_stored);
    put_number(DCM_HighBit, slice.bits_stored - 1);
    put_number(DCM_PixelRepresentation, slice.is_signed ? 1 : 0);
    const auto stored = slice.stored.empty() ? ramp(slice.rows * slice.columns) : slice.stored;
    const unsigned mask = (1U << slice.bits_stored) - 1U;
    if (slice.bits_allocated == 8) {
        std::vector<Uint8> values;
        for (const std::int32_t value : stored) values.push_back(static_cast<Uint8>(static_cast<unsigned>(value) & mask));
        must(data.putAndInsertUint8Array(DCM_PixelData, values.data(), values.size()));
    } else {
        std::vector<Uint16> values;
        for (const std::int32_t value : stored) values.push_back(static_cast<Uint16>(static_cast<unsigned>(value) & mask));
        must(data.putAndInsertUint16Array(DCM_PixelData, values.data(), values.size()));
    }

    const Encoding encoding = encoding_of(slice.compression);
    if (encoding.parameter) {
        must(data.chooseRepresentation(encoding.syntax, encoding.parameter.get()));
        put(DCM_SOPInstanceUID, slice.sop_uid);  // lossy compression gives a new one
    }
    // The wrong values come last, so that the encoder has worked on a sound image.
    for (const auto& [tag, value] : slice.text) put(DcmTagKey(tag.first, tag.second), value);
    for (const auto& [tag, value] : slice.numbers) put_number(DcmTagKey(tag.first, tag.second), value);
    for (const auto& [tag, value] : slice.floats) must(data.putAndInsertFloat64(DcmTagKey(tag.first, tag.second), value));
    for (const auto& [tag, typed] : slice.typed) must(data.putAndInsertString(DcmTag(tag.first, tag.second, DcmVR(typed.first.c_str())), typed.second.c_str()));
    for (const auto& tag : slice.absent) data.findAndDeleteElement(DcmTagKey(tag.first, tag.second));
    must(format.saveFile(file.c_str(), encoding.syntax, EET_UndefinedLength, EGL_recalcGL, EPD_noChange));
}

void recode(const std::filesystem::path& file, Compression compression) {
    prepare();
    DcmFileFormat format;
    must(format.loadFile(file.c_str()));
    must(format.loadAllDataIntoMemory());
    DcmDataset& data = *format.getDataset();
    OFString uid;
    must(data.findAndGetOFString(DCM_SOPInstanceUID, uid));
    const Encoding encoding = encoding_of(compression);
    must(data.chooseRepresentation(encoding.syntax, encoding.parameter.get()));
    must(data.putAndInsertString(DCM_SOPInstanceUID, uid.c_str()));  // lossy compression gives a new one
    must(format.saveFile(file.c_str(), encoding.syntax, EET_UndefinedLength, EGL_recalcGL, EPD_noChange));
}

std::vector<DicomSlice> series_of(int count, std::array<double, 3> first, std::array<double, 3> step, DicomSlice prototype) {
    std::vector<DicomSlice> slices;
    for (int i = 0; i < count; ++i) {
        DicomSlice slice = prototype;
        for (std::size_t a = 0; a < 3; ++a) slice.position[a] = first[a] + step[a] * i;
        slice.sop_uid = prototype.series_uid + "." + std::to_string(i + 1);
        slice.stored = ramp(slice.rows * slice.columns);
        for (auto& value : slice.stored) value += i;
        slice.text.try_emplace({0x0020, 0x0013}, std::to_string(i + 1));
        slices.push_back(std::move(slice));
    }
    return slices;
}

void write_series(const std::filesystem::path& folder, const std::vector<DicomSlice>& slices) {
    for (std::size_t i = 0; i < slices.size(); ++i) {
        char name[32];
        std::snprintf(name, sizeof name, "%s_%04zu", slices[i].modality.c_str(), i + 1);
        write_slice(folder / name, slices[i]);
    }
}

}  // namespace perisclera::test
