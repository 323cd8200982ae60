// SPDX-License-Identifier: Apache-2.0
#include "tests/benchmark/inputs.h"

#include <dcmtk/config/osconfig.h>
// osconfig.h comes first by the library's rule.
#include <dcmtk/dcmdata/dcdeftag.h>
#include <dcmtk/dcmdata/dcfilefo.h>
#include <dcmtk/dcmdata/dcuid.h>

#include <cstdio>
#include <initializer_list>
#include <random>
#include <string>

#include "tests/support/dicom_slice.h"
#include "tests/support/dicom_writing.h"

namespace perisclera::test {

namespace {

using Tags = std::initializer_list<TagNumber>;
constexpr Tags dates{{0x0008, 0x0020}, {0x0008, 0x0021}, {0x0008, 0x0022}, {0x0008, 0x0023}, {0x0008, 0x0012}};
constexpr Tags times{{0x0008, 0x0013}, {0x0008, 0x0030}, {0x0008, 0x0031}, {0x0008, 0x0032}, {0x0008, 0x0033}};
constexpr Tags words{{0x0008, 0x0070}, {0x0008, 0x0080}, {0x0008, 0x0081}, {0x0008, 0x0090}, {0x0008, 0x1010}, {0x0008, 0x1030},
                     {0x0008, 0x103E}, {0x0008, 0x1040}, {0x0008, 0x1090}, {0x0018, 0x0010}, {0x0018, 0x1000}, {0x0018, 0x1020},
                     {0x0018, 0x1030}, {0x0020, 0x1040}, {0x0032, 0x1060}, {0x0040, 0x0254}, {0x0028, 0x1055}};
constexpr Tags decimals{{0x0018, 0x0090}, {0x0018, 0x1100}, {0x0018, 0x1110}, {0x0018, 0x1111}, {0x0018, 0x1130},
                        {0x0018, 0x1190}, {0x0020, 0x1041}, {0x0028, 0x1050}, {0x0028, 0x1051}};
constexpr Tags integers{{0x0018, 0x1150}, {0x0018, 0x1151}, {0x0018, 0x1152}, {0x0018, 0x1170}};
constexpr Tags doubles{{0x0018, 0x9305}, {0x0018, 0x9306}, {0x0018, 0x9307}, {0x0018, 0x9309}, {0x0018, 0x9310}, {0x0018, 0x9311}, {0x0018, 0x9345}};

/// What a CT scanner writes besides that on which the program depends.
void add_clinical_attributes(DicomSlice& slice) {
    for (const TagNumber& tag : dates) slice.text[tag] = "20200131";
    for (const TagNumber& tag : times) slice.text[tag] = "101112.345000";
    for (const TagNumber& tag : words) slice.text[tag] = "INVENTED HEAD";
    for (const TagNumber& tag : decimals) slice.text[tag] = "250.5";
    for (const TagNumber& tag : integers) slice.text[tag] = "300";
    for (const TagNumber& tag : doubles) slice.floats[tag] = 0.625;
    slice.text[{0x0008, 0x0050}] = "1234567890";
    slice.text[{0x0020, 0x0010}] = "4711";
    slice.text[{0x0020, 0x0011}] = "3";
    slice.text[{0x0020, 0x0012}] = "1";
    slice.text[{0x0010, 0x0040}] = "O";
    slice.text[{0x0010, 0x1010}] = "070Y";
    slice.text[{0x0018, 0x0015}] = "HEAD";
    slice.text[{0x0018, 0x0022}] = "HELICAL MODE";
    slice.text[{0x0018, 0x5100}] = "HFS";
    for (const unsigned short group : std::initializer_list<unsigned short>{0x0019, 0x0021, 0x0029, 0x0043}) {
        slice.typed[{group, 0x0010}] = {"LO", "INVENTED BLOCK"};
        for (unsigned short element = 0x1001; element < 0x1011; ++element) slice.typed[{group, element}] = {"LO", "VALUE OF ONE MAKER"};
    }
}

void add_sequences(const std::filesystem::path& file) {
    DcmFileFormat format;
    must(format.loadFile(file.c_str()));
    must(format.loadAllDataIntoMemory());
    DcmDataset& data = *format.getDataset();
    for (const DcmTagKey& sequence : {DCM_ReferencedStudySequence, DCM_ReferencedImageSequence, DCM_SourceImageSequence, DCM_RequestAttributesSequence}) {
        DcmItem* item = nullptr;
        must(data.findOrCreateSequenceItem(sequence, item, -2));
        must(item->putAndInsertString(DCM_ReferencedSOPClassUID, UID_CTImageStorage));
        must(item->putAndInsertString(DCM_ReferencedSOPInstanceUID, "1.2.3.4.5.6"));
    }
    must(format.saveFile(file.c_str(), EXS_LittleEndianExplicit, EET_UndefinedLength, EGL_recalcGL, EPD_noChange));
}

}  // namespace

void write_ct_series(const std::filesystem::path& folder, int series, int slices, int size, HeaderLength length) {
    std::filesystem::create_directories(folder);
    DicomSlice slice;
    slice.rows = slice.columns = size;
    slice.series_uid = "1.2.3." + std::to_string(series);
    if (length == HeaderLength::clinical) add_clinical_attributes(slice);
    slice.stored.resize(static_cast<std::size_t>(size) * static_cast<std::size_t>(size));
    std::minstd_rand random;  // its sequence is fixed by the standard
    for (int i = 0; i < slices; ++i) {
        for (auto& value : slice.stored) value = 1000 + static_cast<std::int32_t>(random() % 200);
        slice.position[2] = i;
        slice.sop_uid = slice.series_uid + "." + std::to_string(i + 1);
        slice.text[{0x0020, 0x0013}] = std::to_string(i + 1);
        char name[32];
        std::snprintf(name, sizeof name, "series_%02d_%04d", series, i + 1);
        write_slice(folder / name, slice);
        if (length == HeaderLength::clinical) add_sequences(folder / name);
    }
}

}  // namespace perisclera::test
