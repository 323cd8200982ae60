// SPDX-License-Identifier: Apache-2.0
// One map of UIDs and one shift of dates over all exports of a patient: the key of an earlier one is given again.
#include <gtest/gtest.h>
#include <sys/stat.h>

#include <nlohmann/json.hpp>
#include <set>

#include "perisclera/teaching/reidentification_key.h"
#include "tests/teaching/teach_run.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;

const PatientText number("4711"), other_number("4712");

/// 31 January 2020 is identified and taught; then 12 March 2021 of the same patient, alone, with the same key.
struct TwoExports {
    TestFolder folder;
    fs::path key = folder.path() / "key.json";
    Json first_key, second_key;
    mode_t rights = 0;
    [[nodiscard]] fs::path images(const char* when) const { return folder.path() / when / "images"; }
    [[nodiscard]] fs::path out(const char* when) const { return folder.path() / when / "taught"; }
    [[nodiscard]] Ended teach(const char* when) const {
        return run_program({"teach", (folder.path() / when / "result").string(), images(when).string(), "--out", out(when).string(), "--key", key.string(), "--quiet"});
    }
    void bring(const char* when, bool later) const {
        fs::create_directories(folder.path() / when);
        fs::copy(small_phantom(), images(when), fs::copy_options::recursive);
        if (!later) {
            fs::copy(result_of_small_phantom(), folder.path() / when / "result", fs::copy_options::recursive);
            return;
        }
        for (const auto& entry : fs::recursive_directory_iterator(images(when)))
            if (entry.is_regular_file()) make_later(entry.path());
        EXPECT_EQ(run_program({"identify", images(when).string(), "--out", (folder.path() / when / "result").string(), "--quiet"}).status, 0);
    }
};

const TwoExports& two_exports() {
    static const TwoExports* const exports = [] {
        auto* made = new TwoExports;
        made->bring("first", false), made->bring("later", true);
        EXPECT_EQ(made->teach("first").status, 0);
        made->first_key = Json::parse(read_bytes(made->key));
        const Ended again = made->teach("later");
        EXPECT_EQ(again.status, 0) << again.error_text;
        made->second_key = Json::parse(read_bytes(made->key));
        struct stat status {};
        EXPECT_EQ(::stat(made->key.c_str(), &status), 0);
        made->rights = status.st_mode & 0777u;
        return made;
    }();
    return *exports;
}

std::set<std::string> values_of(const fs::path& folder, const DcmTagKey& tag) {
    std::set<std::string> values;
    for (const auto& [name, bytes] : contents_of(folder / "dicom")) {
        DcmFileFormat format;
        must(format.loadFile((folder / "dicom" / name).c_str()));
        OFString value;
        if (format.getDataset()->findAndGetOFString(tag, value).good()) values.insert(value.c_str());   // a selection of images states no frame of reference
    }
    return values;
}

teaching::Replacements some_replacements() {
    teaching::Replacements made(teaching::Replacements::Secret{1, 2, 3}, StudyDate::from_dicom("20200131").value());
    for (const char* uid : {"1.2.3", "1.2.4"}) static_cast<void>(made.uid(uid));
    return made;
}

}  // namespace

TEST(KeyAgain, a_later_export_has_the_same_pseudonym_and_frame_and_the_same_shift) {
    const auto &first = two_exports().out("first"), &later = two_exports().out("later");
    EXPECT_EQ(values_of(first, DCM_PatientID), values_of(later, DCM_PatientID));
    EXPECT_EQ(values_of(first, DCM_FrameOfReferenceUID), values_of(later, DCM_FrameOfReferenceUID));  // both state one in the input
    EXPECT_NE(values_of(first, DCM_StudyInstanceUID), values_of(later, DCM_StudyInstanceUID));
    // 406 days after the first, by the calendar: 335 to the year's end (a leap year), 31, 28 and 12 more; 1960 is a leap year as well.
    EXPECT_EQ(values_of(first, DCM_StudyDate), (std::set<std::string>{"19600101"}));
    EXPECT_EQ(values_of(later, DCM_StudyDate), (std::set<std::string>{"19610210"}));
}

TEST(KeyAgain, the_key_is_extended_and_stays_for_its_owner_alone) {
    const Json &before = two_exports().first_key, &after = two_exports().second_key;
    EXPECT_EQ(two_exports().rights, 0600u);
    EXPECT_GT(after["uids"].size(), before["uids"].size());
    for (const auto& [replacement, original] : before["uids"].items()) EXPECT_EQ(after["uids"][replacement], original);
    for (const char* same : {"secret", "pseudonym", "dates_moved_by_days", "patient_mark"}) EXPECT_EQ(after[same], before[same]) << same;
}

TEST(KeyAgain, the_same_export_with_the_same_key_is_the_same_to_the_byte) {
    const auto& exports = two_exports();
    const auto before = contents_of(exports.out("first") / "dicom");
    fs::remove_all(exports.out("first"));
    ASSERT_EQ(exports.teach("first").status, 0);
    EXPECT_EQ(contents_of(exports.out("first") / "dicom"), before);
}

TEST(KeyAgain, another_patients_key_is_refused_and_left_as_it_was) {
    const auto& exports = two_exports();
    const std::string key = read_bytes(exports.key);
    TestFolder folder;
    fs::copy(exports.images("first"), folder.path() / "images", fs::copy_options::recursive);
    for (const auto& entry : fs::recursive_directory_iterator(folder.path() / "images")) {
        if (!entry.is_regular_file()) continue;
        DcmFileFormat format;
        must(format.loadFile(entry.path().c_str()));
        must(format.loadAllDataIntoMemory());
        must(format.getDataset()->putAndInsertString(DCM_PatientID, "SOMEBODY-ELSE"));
        must(format.saveFile(entry.path().c_str(), EXS_LittleEndianExplicit));
    }
    ASSERT_EQ(run_program({"identify", (folder.path() / "images").string(), "--out", (folder.path() / "result").string(), "--quiet"}).status, 0);
    const Ended told = run_program({"teach", (folder.path() / "result").string(), (folder.path() / "images").string(), "--out", (folder.path() / "out").string(), "--key", exports.key.string(), "--quiet"});
    EXPECT_EQ(told.status, 3);
    EXPECT_TRUE(told.error_text.starts_with("error[NOT_SAME_PATIENT]")) << told.error_text;
    EXPECT_FALSE(fs::exists(folder.path() / "out"));
    EXPECT_EQ(read_bytes(exports.key), key);
}

TEST(KeyAgain, a_key_that_was_changed_is_refused) {
    const std::string text = teaching::key_json(some_replacements(), number);
    ASSERT_TRUE(teaching::parse_key(text, number));
    EXPECT_EQ(teaching::parse_key(text, number).value().uids(), some_replacements().uids());
    EXPECT_EQ(teaching::parse_key(text, other_number).error().code, ErrorCode::not_same_patient);
    EXPECT_EQ(teaching::parse_key(text, PatientText()).error().code, ErrorCode::not_same_patient);
    for (const auto& [member, value] : std::initializer_list<std::pair<const char*, Json>>{{"format", "other"}, {"format_version", 1}, {"secret", "00"}, {"secret", std::string(64, 'g')}, {"pseudonym", "TEACH-00000000"},
                                                                                         {"uids", {{"2.25.1", "1.2.3"}}}, {"uids", 3}, {"dates_moved_by_days", "three"}}) {
        Json changed = Json::parse(text);
        changed[member] = value;
        const auto refused = teaching::parse_key(changed.dump(), number);
        ASSERT_FALSE(refused) << member;
        EXPECT_EQ(refused.error().code, ErrorCode::bad_value) << member;
    }
    EXPECT_FALSE(teaching::parse_key("{", number));
}

}  // namespace perisclera::test
