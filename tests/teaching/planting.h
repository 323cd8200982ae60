// SPDX-License-Identifier: Apache-2.0
#pragma once
// Plants a word, a number, a date and a UID of its own in every attribute that DICOM's data dictionary (PS3.6, as DCMTK carries it) has, in a sequence of each kind, three deep, in private blocks, overlays,
// curves, the meta group and the preamble. Left alone is only what says how the pixels are to be read, or is one of a few defined terms.
#include <dcmtk/config/osconfig.h>
// osconfig.h comes first by the library's rule.
#include <dcmtk/dcmdata/dctk.h>
#include <dcmtk/dcmdata/dcdicent.h>

#include <algorithm>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <string>
#include <vector>

#include "tests/support/dicom_writing.h"
#include "tests/support/test_folder.h"

namespace perisclera::test {

/// Two sets of what is planted, so that what does not depend on it can be told.
struct Planted {
    std::string letters = "Qz", capitals = "QZ", decimal = "73195.28", integer = "731952", date = "19330217", time = "113355", root = "1.2.777.";
    double real = 73195.28;
};

inline Planted other_plant() { return {"Xk", "XK", "84206.39", "842063", "19441128", "224466", "1.2.888.", 84206.39}; }

/// Everything to be looked for.
inline std::vector<std::string> traces_of(const Planted& p) {
    std::string real(sizeof p.real, '\0');
    std::memcpy(real.data(), &p.real, sizeof p.real);
    return {p.letters, p.capitals, p.decimal.substr(0, 5), p.integer, p.date, p.date.substr(0, 4) + "-" + p.date.substr(4, 2) + "-" + p.date.substr(6), p.time, p.root, "077Y", real,
            // true of the images, and not to be told either
            "SIM-SMALL", "20200131", "2020-01-31", "20210312", "2021-03-12"};
}

inline bool left_alone(const DcmTagKey& tag) {
    for (const DcmTagKey& key : {DCM_SOPClassUID, DCM_Modality, DCM_SpecificCharacterSet, DCM_PatientPosition, DCM_KVP, DCM_SliceThickness, DCM_SpacingBetweenSlices, DCM_ImagePositionPatient,
                                 DCM_ImageOrientationPatient, DCM_PixelSpacing, DCM_PhotometricInterpretation, DCM_RescaleIntercept, DCM_RescaleSlope, DCM_RescaleType, DCM_NumberOfFrames, DCM_PatientSex,
                                 DCM_Laterality, DCM_BurnedInAnnotation, DCM_ConversionType, DCM_LossyImageCompression, DCM_PixelDataProviderURL, DCM_RETIRED_ImageLocation, DCM_StudyDate, DCM_SeriesDate,
                                 DCM_AcquisitionDate, DCM_ContentDate, DCM_ImageType, DCM_SeriesDescription, DCM_DerivationDescription, DCM_ConvolutionKernel, DCM_SOPInstanceUID, DCM_StudyInstanceUID,
                                 DCM_SeriesInstanceUID, DCM_FrameOfReferenceUID, DCM_InstanceNumber})
        if (tag == key) return true;
    return false;
}

inline void plant_value(DcmItem& d, const DcmTag& tag, const Planted& p) {
    char place[16];
    std::snprintf(place, sizeof place, "%04x%04x", static_cast<unsigned>(tag.getGroup()), static_cast<unsigned>(tag.getElement()));
    const std::string at = place;
    const auto text = [&](const std::string& value) { d.putAndInsertString(tag, value.c_str()); };
    const auto bytes = [&] {
        const std::string value = p.letters + at + "w_";
        d.putAndInsertUint8Array(tag, reinterpret_cast<const Uint8*>(value.data()), static_cast<unsigned long>(value.size()));
    };
    switch (DcmVR(tag.getVR()).getEVR()) {
        case EVR_DA: return text(p.date);
        case EVR_DT: return text(p.date + p.time);
        case EVR_TM: return text(p.time);
        case EVR_DS: return text(p.decimal);
        case EVR_IS: return text(p.integer);
        case EVR_AS: return text("077Y");
        case EVR_UI: return text(p.root + std::to_string(tag.getGroup()) + "." + std::to_string(tag.getElement()));
        case EVR_CS: return text(p.capitals + "W" + std::to_string(tag.getElement()));
        case EVR_AE: case EVR_LO: case EVR_LT: case EVR_PN: case EVR_SH: case EVR_ST: case EVR_UC: case EVR_UT: case EVR_UR: return text(p.letters + at + "w");
        case EVR_FD: d.putAndInsertFloat64(tag, p.real); return;
        case EVR_FL: d.putAndInsertFloat32(tag, static_cast<Float32>(p.real)); return;
        case EVR_UL: d.putAndInsertUint32(tag, static_cast<Uint32>(std::stoul(p.integer))); return;
        case EVR_SL: d.putAndInsertSint32(tag, static_cast<Sint32>(std::stol(p.integer))); return;
        case EVR_OB: case EVR_UN: return bytes();
        default: return;
    }
}

/// Other sequences in the middle of which the pixels' meaning stands: their presence alone is another object.
inline bool describes_pixels(const DcmTagKey& tag) { return tag.getGroup() == 0x0028 || tag.getGroup() >= 0x5200; }

inline void plant_dictionary(DcmDataset& d, const Planted& p) {
    std::vector<DcmTag> tags;
    DcmDataDictionary& dictionary = dcmDataDict.wrlock();
    for (auto entry = dictionary.normalBegin(); entry != dictionary.normalEnd(); ++entry) {
        const DcmTagKey key = (*entry)->getKey();
        if ((*entry)->getPrivateCreator() == nullptr && key.getGroup() >= 0x0008 && key.getGroup() < 0x7000 && !left_alone(key)) tags.emplace_back(key, (*entry)->getVR());
    }
    dcmDataDict.wrunlock();
    std::sort(tags.begin(), tags.end());  // the order of a data set, in which adding is quick
    for (const DcmTag& tag : tags) {
        const DcmEVR kind = DcmVR(tag.getVR()).getEVR();
        if (kind != EVR_SQ) {
            // Whole numbers among the descriptions of pixels say how to read them.
            if (!(describes_pixels(tag) && (kind == EVR_UL || kind == EVR_SL || kind == EVR_IS || kind == EVR_OB))) plant_value(d, tag, p);
            continue;
        }
        DcmItem* item = nullptr;
        if (describes_pixels(tag) || d.findOrCreateSequenceItem(tag, item, 0).bad()) continue;
        must(item->putAndInsertString(DCM_SeriesDescription, (p.letters + "nestedw").c_str()));
    }
}

inline void plant_deep(DcmDataset& d, const Planted& p) {
    DcmItem *first = nullptr, *second = nullptr, *third = nullptr;
    must(d.findOrCreateSequenceItem(DCM_RequestAttributesSequence, first, 0));
    must(first->findOrCreateSequenceItem(DCM_ReferencedStudySequence, second, 0));
    must(second->putAndInsertString(DCM_ReferencedSOPInstanceUID, (p.root + "5.5").c_str()));
    must(second->findOrCreateSequenceItem(DCM_PurposeOfReferenceCodeSequence, third, 0));
    must(third->putAndInsertString(DCM_CodeMeaning, (p.letters + "deepw").c_str()));
    must(third->putAndInsertString(DcmTag(0x0011, 0x0010, EVR_LO), (p.letters + "deepprivatew").c_str()));
    must(third->putAndInsertString(DcmTag(0x0011, 0x1001, EVR_UT), (p.letters + "deepprivatew").c_str()));
    must(d.putAndInsertString(DcmTag(0x0009, 0x0010, EVR_LO), (p.letters + "privatew").c_str()));
    must(d.putAndInsertString(DcmTag(0x0009, 0x1001, EVR_LO), (p.letters + "privatew").c_str()));
    const std::string drawn = p.letters + "drawnw";
    for (const Uint16 group : {Uint16{0x6000}, Uint16{0x601E}}) {
        must(d.putAndInsertUint16(DcmTag(group, 0x0010, EVR_US), 8));
        must(d.putAndInsertUint16(DcmTag(group, 0x0011, EVR_US), 8));
        must(d.putAndInsertUint8Array(DcmTag(group, 0x3000, EVR_OB), reinterpret_cast<const Uint8*>(drawn.data()), static_cast<unsigned long>(drawn.size())));
    }
    must(d.putAndInsertString(DcmTag(0x5000, 0x0022, EVR_LO), (p.letters + "curvew").c_str()));
}

/// What the images have to keep in kind, with something added.
inline void plant_beside(DcmDataset& d, const Planted& p) {
    const auto extend = [&](const DcmTagKey& tag, const std::string& more) {
        OFString value;
        d.findAndGetOFStringArray(tag, value);
        must(d.putAndInsertString(tag, (std::string(value.c_str()) + more).c_str()));
    };
    extend(DCM_ImageType, "\\" + p.capitals + "TYPEW");
    extend(DCM_SeriesDescription, " " + p.letters + "seriesw");
    extend(DCM_DerivationDescription, " " + p.letters + "derivedw");
    extend(DCM_ConvolutionKernel, "\\" + p.letters + "kernelw");
    for (const DcmTagKey& tag : {DCM_SOPInstanceUID, DCM_StudyInstanceUID, DCM_SeriesInstanceUID, DCM_FrameOfReferenceUID}) {
        OFString uid;
        must(d.findAndGetOFString(tag, uid));
        must(d.putAndInsertString(tag, (p.root + "9." + std::string(uid.c_str()).substr(5)).c_str()));  // after "2.25."
    }
    OFString instance;
    d.findAndGetOFString(DCM_InstanceNumber, instance);
    must(d.putAndInsertString(DCM_InstanceNumber, (p.integer + std::string(instance.c_str())).c_str()));
}

inline void plant(const std::filesystem::path& file, const Planted& p) {
    DcmFileFormat format;
    must(format.loadFile(file.c_str()));
    must(format.loadAllDataIntoMemory());
    plant_dictionary(*format.getDataset(), p), plant_deep(*format.getDataset(), p), plant_beside(*format.getDataset(), p);
    must(format.getMetaInfo()->putAndInsertString(DCM_SourceApplicationEntityTitle, (p.capitals + "SENDERW").c_str()));
    must(format.saveFile(file.c_str(), EXS_LittleEndianExplicit, EET_ExplicitLength, EGL_recalcGL, EPD_withoutPadding, 0, 0, EWM_updateMeta));  // the meta group keeps the sender
    std::string bytes = read_bytes(file);
    const std::string preamble = p.letters + "preamblew";
    bytes.replace(0, preamble.size(), preamble);
    write_bytes(file, bytes);
}

/// A report among the images, of the same patient and study, that says who it is.
inline void write_report(const std::filesystem::path& image, const std::filesystem::path& file, const Planted& p) {
    DcmFileFormat source, format;
    must(source.loadFile(image.c_str()));
    DcmDataset& d = *format.getDataset();
    for (const DcmTagKey& tag : {DCM_PatientName, DCM_PatientID, DCM_PatientBirthDate, DCM_StudyInstanceUID, DCM_StudyDate}) {
        OFString value;
        must(source.getDataset()->findAndGetOFString(tag, value));
        must(d.putAndInsertString(tag, value.c_str()));
    }
    must(d.putAndInsertString(DCM_SOPClassUID, UID_BasicTextSRStorage));
    must(d.putAndInsertString(DCM_SOPInstanceUID, (p.root + "8.1").c_str()));
    must(d.putAndInsertString(DCM_SeriesInstanceUID, (p.root + "8.2").c_str()));
    must(d.putAndInsertString(DCM_Modality, "SR"));
    DcmItem* item = nullptr;
    must(d.findOrCreateSequenceItem(DCM_ContentSequence, item, 0));
    must(item->putAndInsertString(DCM_TextValue, (p.letters + "reportw").c_str()));
    must(format.saveFile(file.c_str(), EXS_LittleEndianExplicit));
}

}  // namespace perisclera::test
