// SPDX-License-Identifier: Apache-2.0
#include "src/report/key_image_object.h"

#include <dcmtk/config/osconfig.h>
#include <dcmtk/dcmdata/dctk.h>

#include <algorithm>
#include <map>
#include <set>

#include "perisclera/core/text.h"
#include "perisclera/dicom/part10.h"
#include "perisclera/report/canvas.h"
#include "src/report/figure_path.h"
#include "src/report/filed_object.h"
#include "src/report/filing_study.h"

namespace perisclera::report {

namespace {

constexpr int series_number = 9300;

void put(DcmItem& d, const DcmTagKey& tag, const std::string& text) { d.putAndInsertString(tag, text.c_str()); }

void put_code(DcmItem& d, const DcmTagKey& sequence, const Code& code) {
    DcmItem* item = nullptr;
    d.findOrCreateSequenceItem(sequence, item, -2);
    put(*item, DCM_CodeValue, std::string(code.value));
    put(*item, DCM_CodingSchemeDesignator, std::string(code.scheme));
    put(*item, DCM_CodeMeaning, std::string(code.meaning));
}

/// "right", then "down" as PS3.3 C.7.6.1.1.1 has them: feet and head for inferior and superior.
std::string orientation(const BorderLetters& letters) {
    std::string text = letters.right + "\\" + letters.bottom;
    std::replace(text.begin(), text.end(), 'I', 'F');
    std::replace(text.begin(), text.end(), 'S', 'H');
    return text;
}

/// Image Pixel (PS3.3 C.7.6.3), and how large a pixel of the drawn plane is.
void put_pixels(DcmDataset& d, const GreyPixels& pixels, const KeyImage& image) {
    const std::string spacing = decimal_string(image.pixel_size.value() * static_cast<double>(image.width) / pixels.width);
    put(d, DCM_PixelSpacing, spacing + "\\" + spacing);
    d.putAndInsertUint16(DCM_SamplesPerPixel, 1);
    put(d, DCM_PhotometricInterpretation, "MONOCHROME2");
    d.putAndInsertUint16(DCM_Rows, static_cast<Uint16>(pixels.height));
    d.putAndInsertUint16(DCM_Columns, static_cast<Uint16>(pixels.width));
    d.putAndInsertUint16(DCM_BitsAllocated, 8);
    d.putAndInsertUint16(DCM_BitsStored, 8);
    d.putAndInsertUint16(DCM_HighBit, 7);
    d.putAndInsertUint16(DCM_PixelRepresentation, 0);
    put(d, DCM_WindowCenter, "128");
    put(d, DCM_WindowWidth, "256");
    std::vector<std::uint8_t> even = pixels.bytes;
    if (even.size() % 2 != 0) even.push_back(0);
    d.putAndInsertUint8Array(DCM_PixelData, even.data(), even.size());
}

/// Where the picture comes from (PS3.3 C.7.6.1, General Image and Derivation).
void put_derivation(DcmDataset& d, const KeyImage& image, const FiledPicture& picture) {
    put(d, DCM_ImageType, "DERIVED\\SECONDARY");
    put(d, DCM_DerivationDescription, say("filed.picture_derivation"));
    put_code(d, DCM_DerivationCodeSequence, codes::multiplanar);
    for (const InstanceReference& source : picture.sources) {
        DcmItem* item = nullptr;
        d.findOrCreateSequenceItem(DCM_SourceImageSequence, item, -2);
        put(*item, DCM_ReferencedSOPClassUID, source.sop_class_uid);
        put(*item, DCM_ReferencedSOPInstanceUID, source.sop_instance_uid);
        put_code(*item, DCM_PurposeOfReferenceCodeSequence, codes::source_image);
    }
    put(d, DCM_ConversionType, "WSD");
    // Burned in are directions, scale, the visit's date and what is shown; nothing that names the patient (PS3.3 C.7.6.1).
    put(d, DCM_BurnedInAnnotation, "NO");
    put(d, DCM_BodyPartExamined, "EYE");
    put(d, DCM_ImageLaterality, image.eye == Eye::right ? "R" : "L");
    put(d, DCM_PatientOrientation, orientation(image.letters));
    put(d, DCM_ImageComments, image.note.empty() ? image.plane : say("filed.picture_comment", {{"plane", image.plane}, {"note", image.note}}));
}

const std::string* find(const std::vector<OutputFile>& files, const std::string& path) {
    const auto at = std::find_if(files.begin(), files.end(), [&](const OutputFile& f) { return f.path == path; });
    return at == files.end() ? nullptr : &at->bytes;
}

const SegmentedSeries* series_of(const ReportModel& model, const KeyImage& image) {
    const auto at = std::find_if(model.segmented.begin(), model.segmented.end(), [&](const SegmentedSeries& s) { return s.timepoint_id == image.timepoint_id && s.series_uid == image.series_uid; });
    return at == model.segmented.end() ? nullptr : &*at;
}

std::string study_of(const ReportModel& model, const KeyImage& image) {
    for (const Timepoint& visit : model.timepoints)
        for (const SeriesEntry& series : visit.series)
            if (visit.id == image.timepoint_id && series.series_uid == image.series_uid) return series.study_uid;
    return {};
}

void name_sources(const SegmentedSeries& series, const KeyImage& image, FiledPicture& picture) {
    std::set<std::string> seen;
    const auto reference = [&](const SourceSlice& s) { return InstanceReference{series.study_uid, series.series_uid, s.sop_class_uid, s.sop_instance_uid}; };
    for (const std::size_t k : image.slices)
        if (k < series.slices.size() && seen.insert(series.slices[k].sop_instance_uid).second) picture.sources.push_back(reference(series.slices[k]));
    if (image.slices.empty() || image.nearest_slice >= series.slices.size()) return;
    const SourceSlice& nearest = series.slices[image.nearest_slice];
    picture.nearest_source = reference(nearest);
    picture.nearest_frame = nearest.frames > 1 ? nearest.frame : 0;
}

}  // namespace

Result<std::vector<FiledPicture>> key_image_objects(const ReportModel& model, const Identity& identity, const std::vector<OutputFile>& report, const Moment& now) {
    std::vector<FiledPicture> pictures;
    std::map<std::string, int> in_study;
    for (std::size_t k = 0; k < model.key_images.size(); ++k) {
        const KeyImage& image = model.key_images[k];
        const std::string* png = find(report, figure_path(k + 1, image, "outlined"));
        if (!png) png = find(report, figure_path(k + 1, image, "plain"));
        const std::string study_uid = study_of(model, image);
        if (!png || study_uid.empty()) return Error{ErrorCode::internal_fault, "a key image was not drawn or names no series", "report", "report this fault"};
        const auto pixels = grey_pixels(*png);
        if (!pixels) return pixels.error();
        FiledPicture picture{{study_uid, filed_uid(model, now, "key image series/" + study_uid), UID_SecondaryCaptureImageStorage, filed_uid(model, now, "key image/" + std::to_string(k + 1))},
                             {}, {}, 0, image.timepoint_id, {}, ++in_study[study_uid]};
        if (const SegmentedSeries* series = series_of(model, image)) name_sources(*series, image, picture);
        DcmDataset d;
        put_common_modules(d, filing_of(identity, study_uid),
                           {picture.capture.series_uid, "OT", series_description(model, "filed.key_images"), series_number},
                           {UID_SecondaryCaptureImageStorage, picture.capture.sop_instance_uid, picture.number}, now);
        put_derivation(d, image, picture);
        put_pixels(d, pixels.value(), image);
        auto bytes = part10_bytes(d);
        if (!bytes) return bytes.error();
        picture.bytes = std::move(bytes).value();
        pictures.push_back(std::move(picture));
    }
    return pictures;
}

}  // namespace perisclera::report
