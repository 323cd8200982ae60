// SPDX-License-Identifier: Apache-2.0
// Whose images, which eye, and what part of the head.
#include <dcmtk/config/osconfig.h>
// osconfig.h comes first by the library's rule.
#include <dcmtk/dcmdata/dcdeftag.h>
#include <dcmtk/dcmdata/dcfilefo.h>

#include "tests/bad_input/bad_input.h"
#include "tests/support/dicom_writing.h"

namespace perisclera::test {

namespace fs = std::filesystem;

namespace {

/// Columns run towards the patient's left, so the first half shows the right side; the first pixel stays where it is.
void keep_right_half(const fs::path& file) {
    DcmFileFormat format;
    must(format.loadFile(file.c_str()));
    DcmDataset& data = *format.getDataset();
    Uint16 rows = 0, columns = 0;
    must(data.findAndGetUint16(DCM_Rows, rows));
    must(data.findAndGetUint16(DCM_Columns, columns));
    const Uint16* pixels = nullptr;
    must(data.findAndGetUint16Array(DCM_PixelData, pixels));
    const Uint16 kept = columns / 2;
    std::vector<Uint16> half;
    for (int y = 0; y < rows; ++y) half.insert(half.end(), pixels + y * columns, pixels + y * columns + kept);
    must(data.putAndInsertUint16(DCM_Columns, kept));
    must(data.putAndInsertUint16Array(DCM_PixelData, half.data(), half.size()));
    must(format.saveFile(file.c_str(), EXS_LittleEndianExplicit));
}

}  // namespace

PERISCLERA_BAD_INPUT_SHORTFALL(27, "a stated laterality that contradicts the geometry is not refused");
PERISCLERA_BAD_INPUT_SHORTFALL(33, "globes are looked for as a pair: images of one eye are reported as if they showed none");

PERISCLERA_BAD_INPUT(27, how_the_patient_lies, "prone and feet-first patients", "read", "", "0") {
    for (const char* lying : {"HFP", "FFS", "FFP"}) {
        const bool prone = lying[2] == 'P';
        clear();
        DicomSlice prototype;
        prototype.text[{0x0018, 0x5100}] = lying;
        if (prone) prototype.orientation = {-1, 0, 0, 0, -1, 0};
        write_series(in(), series_of(8, {0, 0, 0}, {0, 0, 1}, prototype));
        const Told told = survey();
        expect_read(told);
        EXPECT_TRUE(told.json["patients"][0]["studies"][0]["series"][0]["used"]) << lying;
    }
}

PERISCLERA_BAD_INPUT(28, two_patients_together, "images of two patients, or one number with two birth dates, in one folder or under one series UID", "refused until one is chosen; one series of two patients is never read", "MIXED_PATIENTS",
                     "3, 4") {
    const auto of_other_patient = [](std::vector<DicomSlice> slices, const TagNumber& tag, const char* value, bool own_series) {
        for (DicomSlice& slice : slices) {
            slice.text[tag] = value;
            slice.sop_uid.replace(0, 5, "1.2.7");
            if (own_series) slice.series_uid = "1.2.7", slice.study_uid = "1.6";
        }
        return slices;
    };
    for (const auto& [tag, value] : {std::pair{TagNumber{0x0010, 0x0030}, "19630704"}, {TagNumber{0x0010, 0x0020}, "CASE2"}}) {
        clear();
        fs::create_directories(in() / "a");
        fs::create_directories(in() / "b");
        write_series(in() / "a", ct_series());
        write_series(in() / "b", of_other_patient(ct_series(), tag, value, true));
        expect_refused(identify(), "MIXED_PATIENTS");
        const Told chosen = identify({"--patient", "1"});
        expect_read(chosen, 4);   // read and reported; there is no eye in it
        EXPECT_EQ(chosen.json["timepoints"].size(), 1U);
        EXPECT_EQ(chosen.json["timepoints"][0]["series"].size(), 1U);
        fs::remove_all(out());
        fs::remove_all(in() / "b");
        fs::create_directories(in() / "b");
        write_series(in() / "b", of_other_patient(ct_series(), tag, value, false));
        expect_refused(identify({"--patient", "1"}), "MIXED_PATIENTS");
    }
}

PERISCLERA_BAD_INPUT(30, follow_up_of_another_patient, "a follow-up of another patient, by number, birth date or sex; one date twice; a date to come; no date; later images given first",
                     "another patient is refused, and joined only at the user's word when birth date and sex do not speak against it; dates are ordered, undated series told", "NOT_SAME_PATIENT, MIXED_PATIENTS, JOINED_PATIENTS, NO_DATE", "3, 4") {
    constexpr TagNumber id{0x0010, 0x0020}, birth_date{0x0010, 0x0030}, sex{0x0010, 0x0040}, study_date{0x0008, 0x0020};
    const auto visit = [&](const char* name, const char* uid, const char* date, const std::map<TagNumber, std::string>& text) {
        DicomSlice slice;
        slice.series_uid = slice.study_uid = uid;
        slice.text = text;
        slice.text[study_date] = date;
        auto slices = series_of(8, {0, 0, 0}, {0, 0, 1}, slice);
        for (DicomSlice& one : slices) one.sop_uid.replace(0, 5, uid);
        fs::create_directories(in() / name);
        write_series(in() / name, slices);
    };
    const std::map<TagNumber, std::string> person{{sex, "F"}, {birth_date, "19500101"}};
    const auto other = [&](const TagNumber& tag, const char* value) {
        auto text = person;
        text[tag] = value;
        return text;
    };
    struct Difference {
        TagNumber tag;
        const char* value;
        bool joins;
    };
    for (const auto& [tag, value, joins] : {Difference{id, "CASE2", true}, Difference{birth_date, "19501231", false}, Difference{sex, "M", false}}) {
        clear();
        visit("first", "1.2.5", "20100101", person);
        visit("later", "1.2.6", "20150101", other(tag, value));
        expect_refused(identify(), "MIXED_PATIENTS");
        if (joins)
            expect_warned(identify({"--same-patient"}), "JOINED_PATIENTS", 4);   // there is no eye in it
        else
            expect_refused(identify({"--same-patient"}), "NOT_SAME_PATIENT");
    }
    clear();
    visit("c", "1.2.5", "20100101", person);
    visit("b", "1.2.6", "20100101", person);
    visit("a", "1.2.7", "29991231", person);
    const Told told = identify();
    expect_read(told, 4);
    ASSERT_EQ(told.json["timepoints"].size(), 2U);
    EXPECT_EQ(told.json["timepoints"][0]["study_date"], "2010-01-01");
    EXPECT_EQ(told.json["timepoints"][0]["series"].size(), 2U);
    EXPECT_EQ(told.json["timepoints"][1]["study_date"], "2999-12-31");
    visit("d", "1.2.8", "", person);
    expect_warned(identify(), "NO_DATE", 4);
}

PERISCLERA_BAD_INPUT(33, an_eye_outside_the_images, "images that hold one globe, or none", "reported in part: globes are looked for as a pair, so neither is reported and no number is given", "NO_GLOBE", "4") {
    const auto says_nothing = [](const Told& told) {
        for (const char* eye : {"right", "left"}) {
            const auto& entry = told.json["timepoints"][0]["eyes"][eye];
            EXPECT_NE(entry["globe"]["status"], "found");
            EXPECT_EQ(entry["globe"]["axial_length_mm"]["value"], nullptr);
            EXPECT_EQ(entry["explant"]["presence"], "uncertain");
        }
    };
    write_series(in(), ct_series());
    const Told none = identify();
    expect_warned(none, "NO_GLOBE", 4);
    says_nothing(none);
    for (const char* page : {"report.html", "report.pdf"}) EXPECT_TRUE(fs::exists(out() / page)) << page;

    give_phantom();
    for (const auto& entry : fs::recursive_directory_iterator(in()))
        if (entry.is_regular_file()) keep_right_half(entry.path());
    const Told half = identify();
    expect_warned(half, "NO_GLOBE", 4);
    says_nothing(half);
}

}  // namespace perisclera::test
