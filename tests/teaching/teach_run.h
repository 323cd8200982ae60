// SPDX-License-Identifier: Apache-2.0
#pragma once
// The small phantom at two dates with a word, a number and a date of its own in every attribute, identified and made into a teaching file once for all tests of a process.
#include <dcmtk/config/osconfig.h>
// osconfig.h comes first by the library's rule.
#include <dcmtk/dcmdata/dctk.h>
#include <dcmtk/dcmdata/dcdicent.h>

#include <cstdio>
#include <filesystem>
#include <string>
#include <vector>

#include "tests/support/child_process.h"
#include "tests/support/dicom_writing.h"
#include "tests/support/small_phantom.h"
#include "tests/support/test_folder.h"

namespace perisclera::test {

inline Ended run_program(std::vector<std::string> arguments) {
    arguments.insert(arguments.begin(), PERISCLERA_PROGRAM);
    return run_child(arguments);
}

/// Planted: "Qz....w" in text, 73195.28 in decimals, 731952 in integers, 19330217 in dates, 1.2.777.… in UIDs.
inline std::string planted(DcmEVR kind, const DcmTagKey& tag) {
    char word[40];
    switch (kind) {
        case EVR_DA: return "19330217";
        case EVR_DT: return "19330217113355";
        case EVR_TM: return "113355";
        case EVR_DS: return "73195.28";
        case EVR_IS: return "731952";
        case EVR_AS: return "077Y";
        case EVR_UI: std::snprintf(word, sizeof word, "1.2.777.%u.%u", static_cast<unsigned>(tag.getGroup()), static_cast<unsigned>(tag.getElement())); return word;
        case EVR_CS: std::snprintf(word, sizeof word, "QZ%04X%04XW", static_cast<unsigned>(tag.getGroup()), static_cast<unsigned>(tag.getElement())); return word;
        case EVR_AE: case EVR_LO: case EVR_LT: case EVR_PN: case EVR_SH: case EVR_ST: case EVR_UC: case EVR_UT: case EVR_UR:
            std::snprintf(word, sizeof word, "Qz%04x%04xw", static_cast<unsigned>(tag.getGroup()), static_cast<unsigned>(tag.getElement()));
            return word;
        default: return {};
    }
}

/// Attributes that the images could not be read without, or that the run needs to be told truly: left as they are.
inline bool left_alone(const DcmTagKey& tag) {
    for (const DcmTagKey& key : {DCM_SOPClassUID, DCM_SOPInstanceUID, DCM_StudyInstanceUID, DCM_SeriesInstanceUID, DCM_FrameOfReferenceUID, DCM_StudyDate, DCM_SeriesDate, DCM_AcquisitionDate,
                                 DCM_ContentDate, DCM_Modality, DCM_ImageType, DCM_SpecificCharacterSet, DCM_PatientPosition, DCM_KVP, DCM_SliceThickness, DCM_SpacingBetweenSlices,
                                 DCM_ImagePositionPatient, DCM_ImageOrientationPatient, DCM_PixelSpacing, DCM_PhotometricInterpretation, DCM_RescaleIntercept, DCM_RescaleSlope, DCM_RescaleType,
                                 DCM_NumberOfFrames, DCM_PatientBirthDate, DCM_PatientSex, DCM_Laterality, DCM_BurnedInAnnotation, DCM_ConversionType, DCM_SeriesDescription, DCM_DerivationDescription,
                                 DCM_ConvolutionKernel, DCM_RETIRED_ImageLocation, DCM_LossyImageCompression, DCM_LossyImageCompressionRatio, DCM_PixelDataProviderURL, DCM_PatientOrientation, DCM_AcquisitionNumber, DCM_InstanceNumber,
                                 DCM_TemporalPositionIdentifier, DCM_EchoNumbers, DCM_ContrastBolusAgent, DCM_TriggerTime})
        if (tag == key) return true;
    return false;
}

inline void plant(const std::filesystem::path& file) {
    DcmFileFormat format;
    must(format.loadFile(file.c_str()));
    must(format.loadAllDataIntoMemory());
    DcmDataset& d = *format.getDataset();
    std::vector<DcmTag> tags;
    DcmDataDictionary& dictionary = dcmDataDict.wrlock();
    for (auto entry = dictionary.normalBegin(); entry != dictionary.normalEnd(); ++entry) {
        const DcmTagKey key = (*entry)->getKey();
        if ((*entry)->getPrivateCreator() == nullptr && key.getGroup() >= 0x0008 && key.getGroup() < 0x7000 && !left_alone(key)) tags.emplace_back(key, (*entry)->getVR());
    }
    dcmDataDict.wrunlock();
    for (const DcmTag& tag : tags)
        if (const std::string value = planted(DcmVR(tag.getVR()).getEVR(), tag); !value.empty()) d.putAndInsertString(tag, value.c_str());
    must(d.putAndInsertString(DcmTag(0x0009, 0x0010, EVR_LO), "Qzprivatew"));
    must(d.putAndInsertString(DcmTag(0x0009, 0x1001, EVR_LO), "Qzprivatew"));
    DcmItem *item = nullptr, *inner = nullptr;
    must(d.findOrCreateSequenceItem(DCM_RequestAttributesSequence, item, 0));
    must(item->putAndInsertString(DCM_RequestedProcedureDescription, "Qznestedw"));
    must(item->findOrCreateSequenceItem(DCM_ReferencedStudySequence, inner, 0));
    must(inner->putAndInsertString(DCM_ReferencedSOPInstanceUID, "1.2.777.5.5"));
    // An overlay whose bits spell a word.
    must(d.putAndInsertUint16(DcmTag(0x6000, 0x0010, EVR_US), 8));
    must(d.putAndInsertUint16(DcmTag(0x6000, 0x0011, EVR_US), 8));
    must(d.putAndInsertUint8Array(DcmTag(0x6000, 0x3000, EVR_OB), reinterpret_cast<const Uint8*>("Qzdrawnw"), 8));
    must(format.getMetaInfo()->putAndInsertString(DCM_SourceApplicationEntityTitle, "QZSENDERW"));
    must(format.saveFile(file.c_str(), EXS_LittleEndianExplicit, EET_ExplicitLength, EGL_recalcGL, EPD_withoutPadding, 0, 0, EWM_updateMeta));  // the meta group keeps the sender
}

/// Puts the images one year later, under new identifiers of study and series.
inline void make_later(const std::filesystem::path& file) {
    DcmFileFormat format;
    must(format.loadFile(file.c_str()));
    must(format.loadAllDataIntoMemory());
    DcmDataset& d = *format.getDataset();
    for (const DcmTagKey& tag : {DCM_StudyDate, DCM_SeriesDate, DCM_AcquisitionDate, DCM_ContentDate}) must(d.putAndInsertString(tag, "20210312"));
    for (const DcmTagKey& tag : {DCM_SOPInstanceUID, DCM_StudyInstanceUID, DCM_SeriesInstanceUID}) {
        OFString uid;
        must(d.findAndGetOFString(tag, uid));
        must(d.putAndInsertString(tag, (uid + ".1").c_str()));
    }
    must(format.saveFile(file.c_str(), EXS_LittleEndianExplicit));
}

struct TeachRun {
    TestFolder folder;
    std::filesystem::path in = folder.path() / "Qzfolderw", result = folder.path() / "result", out = folder.path() / "taught", key = folder.path() / "key.json";
    Ended identified, taught;
};

inline const TeachRun& teach_run() {
    static const TeachRun* const run = [] {
        auto* made = new TeachRun;
        namespace fs = std::filesystem;
        fs::create_directories(made->in);
        fs::copy(small_phantom(), made->in / "first", fs::copy_options::recursive);
        fs::copy(small_phantom(), made->in / "second", fs::copy_options::recursive);
        for (const auto& entry : fs::recursive_directory_iterator(made->in / "second"))
            if (entry.is_regular_file()) make_later(entry.path());
        for (const auto& entry : fs::recursive_directory_iterator(made->in))
            if (entry.is_regular_file()) plant(entry.path());
        made->identified = run_program({"identify", made->in.string(), "--out", made->result.string(), "--quiet"});
        made->taught = run_program({"teach", made->result.string(), made->in.string(), "--out", made->out.string(), "--key", made->key.string(), "--seed", "7", "--quiet"});
        return made;
    }();
    return *run;
}

}  // namespace perisclera::test
