// SPDX-License-Identifier: Apache-2.0
// The selections of a teaching file, as DCMTK reads them and dicom3tools' dciodvfy judges them. Code 128710: PS3.16 CID 7014, Key Object Selection titles of teaching files, from this
// project's digest of the standard.
#include <gtest/gtest.h>

#include <map>
#include <set>

#include "tests/teaching/teach_run.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

std::string text_of(DcmItem& item, const DcmTagKey& tag) {
    OFString value;
    return item.findAndGetOFString(tag, value, 0, OFTrue).good() ? value.c_str() : "";
}

struct Read {
    std::map<std::string, std::set<std::string>> images;   ///< by study
    std::vector<fs::path> selections;
};

Read read_teaching_file() {
    Read out;
    for (const auto& entry : fs::recursive_directory_iterator(teach_run().out / "dicom")) {
        if (!entry.is_regular_file()) continue;
        DcmFileFormat format;
        must(format.loadFile(entry.path().c_str()));
        DcmDataset& d = *format.getDataset();
        if (text_of(d, DCM_Modality) == "KO") out.selections.push_back(entry.path());
        else out.images[text_of(d, DCM_StudyInstanceUID)].insert(text_of(d, DCM_SOPInstanceUID));
    }
    return out;
}

}  // namespace

TEST(TeachingKeyObjects, one_for_each_study_names_all_of_its_images_and_so_nothing_that_was_found) {
    const Read read = read_teaching_file();
    EXPECT_EQ(read.selections.size(), 2U);
    std::set<std::string> studies, instances;
    for (const fs::path& file : read.selections) {
        DcmFileFormat format;
        must(format.loadFile(file.c_str()));
        DcmDataset& d = *format.getDataset();
        EXPECT_EQ(text_of(d, DCM_SOPClassUID), UID_KeyObjectSelectionDocumentStorage);
        const std::string study = text_of(d, DCM_StudyInstanceUID);
        EXPECT_TRUE(studies.insert(study).second);
        EXPECT_TRUE(instances.insert(text_of(d, DCM_SOPInstanceUID)).second);
        DcmItem* title = nullptr;
        must(d.findAndGetSequenceItem(DCM_ConceptNameCodeSequence, title));
        EXPECT_EQ(text_of(*title, DCM_CodeValue), "128710");
        EXPECT_EQ(text_of(*title, DCM_CodingSchemeDesignator), "DCM");
        std::set<std::string> named;
        DcmItem* item = nullptr;
        for (long k = 0; d.findAndGetSequenceItem(DCM_ContentSequence, item, k).good(); ++k)
            if (text_of(*item, DCM_ValueType) == "IMAGE") named.insert(text_of(*item, DCM_ReferencedSOPInstanceUID));
        EXPECT_EQ(named, read.images.at(study));
    }
}

TEST(TeachingKeyObjects, are_valid_and_say_that_the_patients_identity_was_removed) {
    for (const fs::path& file : read_teaching_file().selections) {
        const Ended told = run_child({"/usr/bin/dciodvfy", file.string()});
        EXPECT_NE(told.error_text.find("KeyObjectSelection"), std::string::npos) << told.error_text;
        EXPECT_EQ(told.error_text.find("Error"), std::string::npos) << told.error_text;
        DcmFileFormat format;
        must(format.loadFile(file.c_str()));
        DcmDataset& d = *format.getDataset();
        EXPECT_EQ(text_of(d, DCM_PatientIdentityRemoved), "YES");
        EXPECT_EQ(text_of(d, DCM_LongitudinalTemporalInformationModified), "MODIFIED");
        EXPECT_TRUE(text_of(d, DCM_PatientName).starts_with("TEACH-"));
        // Dates of the moved calendar only, as in the images.
        for (const DcmTagKey& tag : {DCM_StudyDate, DCM_SeriesDate, DCM_ContentDate, DCM_InstanceCreationDate}) EXPECT_TRUE(text_of(d, tag).starts_with("196")) << text_of(d, tag);
    }
}

}  // namespace perisclera::test
