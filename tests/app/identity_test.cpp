// SPDX-License-Identifier: Apache-2.0
// A word of its own in every attribute of text that DICOM's data dictionary (PS3.6, as DCMTK carries it) has, in every file of a patient:
// none of them may stand in anything the program prints or writes, but for the patient's name and ID in the header of page and PDF, and what DICOM objects are filed under.
#include <dcmtk/config/osconfig.h>
// osconfig.h comes first by the library's rule.
#include <dcmtk/dcmdata/dcdeftag.h>
#include <dcmtk/dcmdata/dcdict.h>
#include <dcmtk/dcmdata/dcdicent.h>
#include <dcmtk/dcmdata/dcfilefo.h>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <map>
#include <memory>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "tests/support/child_process.h"
#include "tests/support/dicom_writing.h"
#include "tests/support/inflated.h"
#include "tests/support/small_phantom.h"
#include "tests/support/test_folder.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

/// "Qz00100010w" for the patient's name.
std::string planted(const DcmTagKey& tag) {
    char word[16];
    std::snprintf(word, sizeof word, "Qz%04x%04xw", static_cast<unsigned>(tag.getGroup()), static_cast<unsigned>(tag.getElement()));
    return word;
}

bool holds_free_text(DcmEVR kind) {
    for (const DcmEVR text : {EVR_AE, EVR_LO, EVR_LT, EVR_PN, EVR_SH, EVR_ST, EVR_UC, EVR_UT})
        if (kind == text) return true;
    return false;
}

/// All of images, as the dictionary has them: no commands, no file headers, no directory, nothing private.
std::vector<DcmTag> attributes_of_text() {
    std::vector<DcmTag> tags;
    DcmDataDictionary& dictionary = dcmDataDict.wrlock();  // its iterators are not const
    for (auto entry = dictionary.normalBegin(); entry != dictionary.normalEnd(); ++entry) {
        if ((*entry)->getPrivateCreator() != nullptr || !holds_free_text((*entry)->getEVR())) continue;
        const DcmTagKey key = (*entry)->getKey();
        // "HU" is a term that the scale of CT depends on.
        if (key.getGroup() >= 0x0008 && key != DCM_RescaleType) tags.emplace_back(key, (*entry)->getVR());
    }
    dcmDataDict.wrunlock();
    std::sort(tags.begin(), tags.end());  // the order of a data set, in which adding is quick
    return tags;
}

void plant(const fs::path& file, const std::vector<DcmTag>& tags) {
    DcmFileFormat format;
    must(format.loadFile(file.c_str()));
    must(format.loadAllDataIntoMemory());  // it is written over the file it came from
    for (const DcmTag& tag : tags) must(format.getDataset()->putAndInsertString(tag, planted(tag).c_str()));
    must(format.getDataset()->putAndInsertString(DcmTag(0x0009, 0x0010, EVR_LO), "Qzprivatew"));
    must(format.saveFile(file.c_str(), EXS_LittleEndianExplicit));
}

std::set<std::string> words_in(const std::string& text) {
    static const std::regex word("Qz(private|[0-9a-f]{8})w");
    return {std::sregex_token_iterator(text.begin(), text.end(), word), std::sregex_token_iterator()};
}

std::string all_text_of_pdf(const fs::path& file) { return run_child({"/usr/bin/pdftotext", file.string(), "-"}).output_text; }

class Identity : public ::testing::Test {
protected:
    static void SetUpTestSuite() {
        folder_ = std::make_unique<TestFolder>();
        fs::copy(small_phantom(), in(), fs::copy_options::recursive);
        const auto tags = attributes_of_text();
        ASSERT_GT(tags.size(), 500U);
        for (const auto& entry : fs::recursive_directory_iterator(in()))
            if (entry.is_regular_file()) plant(entry.path(), tags);
        identified_ = run({"identify", in().string(), "--out", out().string(), "--json"});
        named_ = run({"identify", in().string(), "--out", named().string(), "--with-identity"});
    }
    static void TearDownTestSuite() { folder_.reset(); }

    static Ended run(std::vector<std::string> arguments) {
        arguments.insert(arguments.begin(), PERISCLERA_PROGRAM);
        return run_child(arguments);
    }
    static void expect_silent(const Ended& ended) {
        EXPECT_EQ(words_in(ended.output_text), std::set<std::string>{});
        EXPECT_EQ(words_in(ended.error_text), std::set<std::string>{});
    }
    static fs::path in() { return folder_->path() / "in"; }
    static fs::path out() { return folder_->path() / "out"; }
    static fs::path named() { return folder_->path() / "named"; }

    static inline std::unique_ptr<TestFolder> folder_;
    static inline Ended identified_, named_;  ///< the second with the patient's name in fhir.json
    const std::set<std::string> name_and_id_{planted(DCM_PatientName), planted(DCM_PatientID)};
    /// Patient and General Study modules, as docs/conformance.md lists what is copied.
    const std::set<std::string> filed_under_{planted(DCM_PatientName),     planted(DCM_PatientID),       planted(DCM_IssuerOfPatientID),   planted(DCM_StudyID),
                                             planted(DCM_AccessionNumber), planted(DCM_ReferringPhysicianName), planted(DCM_StudyDescription)};
};

}  // namespace

TEST_F(Identity, the_images_are_read_all_the_same) {
    EXPECT_EQ(identified_.status, 0) << identified_.error_text;
    const auto report = nlohmann::json::parse(identified_.output_text);
    EXPECT_TRUE(report["timepoints"][0]["series"][0]["used"]);
    EXPECT_EQ(report["timepoints"][0]["eyes"]["right"]["globe"]["status"], "found");
}

TEST_F(Identity, nothing_printed_holds_a_planted_word) {
    expect_silent(identified_);
    for (const std::vector<std::string>& more : {std::vector<std::string>{}, std::vector<std::string>{"--json"}}) {
        std::vector<std::string> arguments{"survey", in().string()};
        arguments.insert(arguments.end(), more.begin(), more.end());
        const Ended told = run(arguments);
        EXPECT_EQ(told.status, 0);
        expect_silent(told);
    }
}

TEST_F(Identity, no_file_or_its_name_holds_a_planted_word_but_the_header_of_page_and_pdf) {
    std::size_t files = 0, objects = 0, masks = 0;
    for (const auto& [name, bytes] : contents_of(out())) {
        ++files;
        EXPECT_EQ(words_in(name.string()), std::set<std::string>{});
        if (*name.lexically_relative(out()).begin() == "dicom") {  // to be filed with the patient: what the archive files the study under is copied, and no other text
            ++objects;
            for (const std::string& word : words_in(bytes)) EXPECT_TRUE(filed_under_.contains(word)) << name << " holds " << word;
            EXPECT_TRUE(words_in(bytes).contains(planted(DCM_PatientName))) << name;
            continue;
        }
        const bool page = name.filename() == "report.html", pdf = name.filename() == "report.pdf";
        const bool packed = name.extension() == ".gz";
        masks += packed;
        EXPECT_EQ(words_in(pdf ? all_text_of_pdf(out() / name) : packed ? inflated(bytes) : bytes), page || pdf ? name_and_id_ : std::set<std::string>{}) << name;
    }
    EXPECT_GE(files, 5U);
    EXPECT_GE(objects, 5U);
    EXPECT_GE(masks, 2U);
}

TEST_F(Identity, fhir_holds_name_and_number_where_it_is_asked_to_and_nothing_else) {
    EXPECT_EQ(named_.status, 0) << named_.error_text;
    expect_silent(named_);
    EXPECT_EQ(words_in(read_bytes(named() / "fhir.json")), name_and_id_);
    EXPECT_EQ(words_in(read_bytes(named() / "report.json")), std::set<std::string>{});
}

TEST_F(Identity, the_register_and_its_list_hold_name_and_number_where_it_is_asked_to_and_nothing_else) {
    const fs::path place = folder_->path() / "clinic", out = folder_->path() / "for_register";
    fs::create_directory(place);
    const std::string file = (place / "register").string();
    const auto listed = [&](const std::vector<std::string>& more) {
        std::set<std::string> words;
        for (const std::vector<std::string>& form : {std::vector<std::string>{}, std::vector<std::string>{"--json"}, std::vector<std::string>{"--csv", (place / "list.csv").string(), "--force"}}) {
            std::vector<std::string> arguments{"track", "--register", file};
            arguments.insert(arguments.end(), form.begin(), form.end());
            arguments.insert(arguments.end(), more.begin(), more.end());
            const Ended ended = run(arguments);
            EXPECT_EQ(ended.status, 0) << ended.error_text;
            words.merge(words_in(ended.output_text + ended.error_text));
        }
        words.merge(words_in(read_bytes(place / "list.csv")));
        return words;
    };
    const Ended without = run({"identify", in().string(), "--out", out.string(), "--register", file});
    EXPECT_EQ(without.status, 0) << without.error_text;
    expect_silent(without);
    EXPECT_EQ(listed({}), std::set<std::string>{});
    EXPECT_EQ(listed({"--with-identity"}), std::set<std::string>{});
    for (const auto& [name, bytes] : contents_of(place)) EXPECT_EQ(words_in(bytes), std::set<std::string>{}) << name;
    const Ended with = run({"identify", in().string(), "--out", out.string(), "--force", "--register", file, "--with-identity"});
    EXPECT_EQ(with.status, 0) << with.error_text;
    expect_silent(with);
    EXPECT_EQ(words_in(read_bytes(file)), name_and_id_);
    EXPECT_EQ(listed({}), std::set<std::string>{});
    EXPECT_EQ(listed({"--with-identity"}), name_and_id_);
}

// Tracking UID (0062,0021) of the segments, as DCMTK reads them. R4: a DICOM UID as identifier has the system urn:dicom:uid and a value that begins with urn:oid:.
TEST_F(Identity, fhir_names_an_element_by_the_filed_tracking_uid_where_it_names_the_patient_and_only_there) {
    ASSERT_EQ(named_.status, 0) << named_.error_text;
    std::map<std::string, std::string> filed;
    for (const auto& entry : fs::recursive_directory_iterator(named() / "dicom")) {
        if (!entry.path().filename().string().starts_with("segmentation")) continue;
        DcmFileFormat format;
        must(format.loadFile(entry.path().c_str()));
        DcmItem* segment = nullptr;
        for (long k = 0; format.getDataset()->findAndGetSequenceItem(DCM_SegmentSequence, segment, k).good(); ++k) {
            OFString id, uid;
            must(segment->findAndGetOFString(DCM_TrackingID, id));
            must(segment->findAndGetOFString(DCM_TrackingUID, uid));
            filed[id.c_str()] = uid.c_str();
        }
    }
    ASSERT_GE(filed.size(), 2U);
    const std::string without = read_bytes(out() / "fhir.json");
    for (const auto& [id, uid] : filed) EXPECT_EQ(without.find(uid), std::string::npos) << id;
    int elements = 0;
    const auto bundle = nlohmann::json::parse(read_bytes(named() / "fhir.json"));
    for (const auto& entry : bundle["entry"]) {
        const auto& resource = entry["resource"];
        if (resource["resourceType"] != "BodyStructure") continue;
        const auto& names = resource["identifier"];
        ASSERT_EQ(names.size(), 2U);
        EXPECT_EQ(names[1]["system"], "urn:dicom:uid");
        EXPECT_EQ(names[1]["value"], "urn:oid:" + filed.at(names[0]["value"].get<std::string>()));
        ++elements;
    }
    EXPECT_GE(elements, 1);
}

TEST_F(Identity, on_the_page_they_stand_in_the_header_only) {
    const std::string page = read_bytes(out() / "report.html");
    const auto from = page.find("<header"), to = page.find("</header>");
    ASSERT_NE(from, std::string::npos);
    ASSERT_NE(to, std::string::npos);
    EXPECT_EQ(words_in(page.substr(from, to - from)), name_and_id_);
    EXPECT_EQ(words_in(page.substr(0, from)), std::set<std::string>{});
    EXPECT_EQ(words_in(page.substr(to)), std::set<std::string>{});
}

TEST_F(Identity, refusals_hold_no_planted_word) {
    TestFolder mixed;
    fs::copy(in(), mixed.path() / "one", fs::copy_options::recursive);
    fs::copy(small_phantom(), mixed.path() / "two", fs::copy_options::recursive);
    const Ended two_patients = run({"identify", mixed.path().string(), "--out", (folder_->path() / "mixed").string()});
    EXPECT_EQ(two_patients.status, 3);
    expect_silent(two_patients);
    for (const auto& entry : fs::recursive_directory_iterator(mixed.path()))
        if (entry.is_regular_file()) fs::resize_file(entry.path(), fs::file_size(entry.path()) - 700);
    const Ended cut = run({"identify", mixed.path().string(), "--out", (folder_->path() / "cut").string()});
    EXPECT_EQ(cut.status, 3);
    expect_silent(cut);
}

}  // namespace perisclera::test
