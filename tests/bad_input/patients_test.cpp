// SPDX-License-Identifier: Apache-2.0
// Whose images, which eye, and what part of the head.
#include <dcmtk/config/osconfig.h>
// osconfig.h comes first by the library's rule.
#include <dcmtk/dcmdata/dcdeftag.h>
#include <dcmtk/dcmdata/dcfilefo.h>

#include <array>
#include <cmath>
#include <functional>

#include "tests/bad_input/bad_input.h"
#include "tests/support/dicom_writing.h"

namespace perisclera::test {

namespace fs = std::filesystem;

namespace {

/// An unsigned 16-bit image in a file, changed in place.
struct Image {
    Uint16 rows = 0, columns = 0;
    std::vector<Uint16> pixels;
    std::array<double, 3> position{}, spacing{};  ///< of the first pixel; between columns, between rows
    double intercept = 0.0;
};

void change_image(const fs::path& file, const std::function<void(Image&)>& change) {
    DcmFileFormat format;
    must(format.loadFile(file.c_str()));
    DcmDataset& data = *format.getDataset();
    Image image;
    must(data.findAndGetUint16(DCM_Rows, image.rows));
    must(data.findAndGetUint16(DCM_Columns, image.columns));
    const Uint16* pixels = nullptr;
    must(data.findAndGetUint16Array(DCM_PixelData, pixels));
    image.pixels.assign(pixels, pixels + image.rows * image.columns);
    for (unsigned long i = 0; i < 3; ++i) must(data.findAndGetFloat64(DCM_ImagePositionPatient, image.position[i], i));
    must(data.findAndGetFloat64(DCM_PixelSpacing, image.spacing[0], 1));
    must(data.findAndGetFloat64(DCM_PixelSpacing, image.spacing[1], 0));
    must(data.findAndGetFloat64(DCM_RescaleIntercept, image.intercept));
    change(image);
    must(data.putAndInsertUint16(DCM_Columns, image.columns));
    must(data.putAndInsertUint16Array(DCM_PixelData, image.pixels.data(), image.pixels.size()));
    must(format.saveFile(file.c_str(), EXS_LittleEndianExplicit));
}

/// Columns run towards the patient's left, so the first half shows the right side; the first pixel stays where it is.
void keep_right_half(Image& image) {
    const int kept = image.columns / 2;
    std::vector<Uint16> half;
    for (int y = 0; y < image.rows; ++y) {
        const auto row = image.pixels.begin() + y * image.columns;
        half.insert(half.end(), row, row + kept);
    }
    image.columns = static_cast<Uint16>(kept);
    image.pixels = std::move(half);
}

void state_laterality(const fs::path& file, const char* side) {
    DcmFileFormat format;
    must(format.loadFile(file.c_str()));
    must(format.loadAllDataIntoMemory());  // or the pixels would be read from the file being overwritten
    must(format.getDataset()->putAndInsertString(DCM_Laterality, side));
    must(format.saveFile(file.c_str(), EXS_LittleEndianExplicit));
}

void for_each_file(const fs::path& folder, const std::function<void(const fs::path&)>& act) {
    for (const auto& entry : fs::recursive_directory_iterator(folder))
        if (entry.is_regular_file()) act(entry.path());
}

}  // namespace

PERISCLERA_BAD_INPUT(27, which_eye_and_how_the_patient_lies, "prone and feet-first patients; a laterality that agrees with the images, or contradicts them: by their place, or by the shape of the head round the one eye they show",
                     "read; where header and images name different eyes the series is refused and both statements are shown", "EYE_CONFLICT, NO_GLOBE", "0, 3, 4") {
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

    DicomSlice right_side;
    right_side.text[{0x0020, 0x0060}] = "R";
    write_series(in(), series_of(8, {-60, 0, 0}, {0, 0, 1}, right_side));
    expect_warned(identify(), "NO_GLOBE", 4);
    clear();
    write_series(in(), series_of(8, {20, 0, 0}, {0, 0, 1}, right_side));
    const Told placed_left = identify();
    expect_refused(placed_left, "EYE_CONFLICT");
    EXPECT_NE(placed_left.ended.error_text.find("the header says right, but all images lie to the left"), std::string::npos) << placed_left.ended.error_text;

    // Both eyes are shown: the word is about the eye that was asked about.
    give_phantom();
    for_each_file(in(), [](const fs::path& file) { state_laterality(file, "L"); });
    expect_read(identify());
    for_each_file(in(), [](const fs::path& file) { change_image(file, keep_right_half); });
    const Told shows_right = identify();
    expect_refused(shows_right, "EYE_CONFLICT");
    EXPECT_NE(shows_right.ended.error_text.find("the header says left, but by the shape of the head the one globe shown is the right"), std::string::npos) << shows_right.ended.error_text;
    for_each_file(in(), [](const fs::path& file) { state_laterality(file, "R"); });
    expect_warned(identify(), "NO_GLOBE", 4);
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

PERISCLERA_BAD_INPUT(33, an_eye_outside_the_images, "images that hold one globe, or none; a head with one eye removed", "what is there is measured, but an explant in it is not called absent for want of the fellow eye; the other eye has status and reason, and no number", "NO_GLOBE", "4, 0") {
    const auto says_nothing = [](const Told& told, const char* eye, const char* status) {
        const auto& entry = told.json["timepoints"][0]["eyes"][eye];
        EXPECT_EQ(entry["globe"]["status"], status) << eye;
        EXPECT_EQ(entry["globe"]["axial_length_mm"]["value"], nullptr);
        EXPECT_NE(entry["globe"]["axial_length_mm"]["why"], "");
        EXPECT_EQ(entry["explant"]["presence"], "uncertain");
        EXPECT_TRUE(entry["elements"].empty());
    };
    write_series(in(), ct_series());
    const Told none = identify();
    expect_warned(none, "NO_GLOBE", 4);
    for (const char* eye : {"right", "left"}) says_nothing(none, eye, "not_found");
    for (const char* page : {"report.html", "report.pdf"}) EXPECT_TRUE(fs::exists(out() / page)) << page;

    give_phantom();
    const Told both = identify();
    expect_read(both);
    const auto centre_of = [](const Told& told, const char* eye) { return told.json["timepoints"][0]["eyes"][eye]["globe"]["centre_lps_mm"].get<std::array<double, 3>>(); };
    const std::array<double, 3> left = centre_of(both, "left");
    const auto shows_right_eye = [&](const Told& told) {
        expect_warned(told, "NO_GLOBE", 4);
        const auto& entry = told.json["timepoints"][0]["eyes"]["right"];
        ASSERT_EQ(entry["globe"]["status"], "found");
        for (std::size_t i = 0; i < 3; ++i) EXPECT_NEAR(centre_of(told, "right")[i], centre_of(both, "right")[i], 0.3);
        EXPECT_NE(entry["globe"]["equatorial_diameter_mm"]["value"], nullptr);
        EXPECT_NE(entry["explant"]["presence"], "absent");
    };

    // The left eye's place filled with fat, some way beyond the wall.
    for_each_file(in(), [&](const fs::path& file) {
        change_image(file, [&](Image& image) {
            for (int y = 0; y < image.rows; ++y)
                for (int x = 0; x < image.columns; ++x)
                    if (std::hypot(image.position[0] + x * image.spacing[0] - left[0], image.position[1] + y * image.spacing[1] - left[1], image.position[2] - left[2]) < 14.0)
                        image.pixels[static_cast<std::size_t>(y * image.columns + x)] = static_cast<Uint16>(-100.0 - image.intercept);
        });
    });
    const Told removed = identify();
    shows_right_eye(removed);
    says_nothing(removed, "left", "not_found");

    give_phantom();
    for_each_file(in(), [](const fs::path& file) { change_image(file, keep_right_half); });
    const Told half = identify();
    shows_right_eye(half);
    says_nothing(half, "left", "not_imaged");
    // Nobody asked for the other eye.
    expect_read(identify({"--eye", "right"}));
}

}  // namespace perisclera::test
