// SPDX-License-Identifier: Apache-2.0
// The images of one simulated patient under other names, in another order, twice, among those of somebody else, with odd names in every
// text. Expected: the report of the images by themselves. Source of the attributes that hold text: DCMTK's data dictionary.
#include <dcmtk/config/osconfig.h>
// osconfig.h comes first by the library's rule.
#include <dcmtk/dcmdata/dcdeftag.h>
#include <dcmtk/dcmdata/dcdict.h>
#include <dcmtk/dcmdata/dcdicent.h>
#include <dcmtk/dcmdata/dcfilefo.h>

#include <algorithm>
#include <clocale>
#include <cstdlib>
#include <optional>
#include <random>

#include <nlohmann/json.hpp>

#include "tests/faults/faulty_run.h"
#include "tests/support/dicom_slice.h"
#include "tests/support/dicom_writing.h"
#include "tests/support/small_phantom.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

class AmongOthers : public FaultyRun {
protected:
    void SetUp() override {
        fs::create_directories(in());
        fs::create_directories(out().parent_path());
        for (const auto& entry : fs::recursive_directory_iterator(small_phantom()))
            if (entry.is_regular_file()) images_.push_back(entry.path());
        std::sort(images_.begin(), images_.end());
        ASSERT_EQ(report(small_phantom()).status, 0);
        expected_ = files_below(out());
    }
    [[nodiscard]] Ended report(const fs::path& input, const Words& more = {}, const Words& before_program = {"/usr/bin/env"}) const {
        fs::remove_all(out());
        Words words = before_program;
        words.insert(words.end(), {PERISCLERA_PROGRAM, "identify", input.string(), "--out", out().string()});
        words.insert(words.end(), more.begin(), more.end());
        return run_child(words);
    }
    [[nodiscard]] static nlohmann::json eyes_of(const std::string& report_json) { return nlohmann::json::parse(report_json)["timepoints"][0]["eyes"]; }
    void give(const std::string& name, const fs::path& image) const {
        fs::create_directories((in() / name).parent_path());
        fs::copy_file(image, in() / name, fs::copy_options::overwrite_existing);
    }
    std::vector<fs::path> images_;
    Contents expected_;
};

void change_last_pixel(const fs::path& file) {
    std::string bytes = read_bytes(file);
    bytes.back() = static_cast<char>(bytes.back() ^ 1);
    write_bytes(file, bytes);
}

constexpr const char* planted = "Zqxjk";

/// The planted word in every attribute of the dictionary that holds text, with the attribute's number behind it, and in a private one.
void copy_with_words_planted(const fs::path& from, const fs::path& to) {
    DcmFileFormat format;
    must(format.loadFile(from.c_str()));
    DcmDataset& data = *format.getDataset();
    std::vector<std::pair<DcmTag, std::string>> attributes;
    DcmDataDictionary& dictionary = dcmDataDict.wrlock();  // only this gives the iterators
    for (auto entry = dictionary.normalBegin(); entry != dictionary.normalEnd(); ++entry) {
        const DcmEVR kind = (*entry)->getEVR();
        const bool text = kind == EVR_LO || kind == EVR_SH || kind == EVR_PN || kind == EVR_LT || kind == EVR_ST || kind == EVR_UT || kind == EVR_AE || kind == EVR_UC;
        // RescaleType says what unit the pixels have.
        if (!text || (*entry)->getPrivateCreator() != nullptr || (*entry)->getGroup() < 8 || (*entry)->getKey() == DCM_RescaleType) continue;
        char number[16];
        std::snprintf(number, sizeof number, "%04X%04X", (*entry)->getGroup(), (*entry)->getElement());
        attributes.emplace_back(DcmTag((*entry)->getKey(), kind), std::string(planted) + number);
    }
    dcmDataDict.wrunlock();
    for (const auto& [tag, value] : attributes) must(data.putAndInsertString(tag, value.c_str()));
    must(data.putAndInsertString(DcmTag(0x0029, 0x0010, EVR_LO), planted));
    must(data.putAndInsertString(DcmTag(0x0029, 0x1001, EVR_LO), planted));
    must(format.saveFile(to.c_str(), EXS_LittleEndianExplicit));
}

}  // namespace

PERISCLERA_FAULT(16, AmongOthers, order_names_and_surroundings_change_nothing, "files shuffled into other folders under other names, other time zones, numbers of threads, a locale with comma decimals", "whole") {
    std::mt19937 random(1);
    const char* comma = std::setlocale(LC_ALL, "de_DE.UTF-8");
    if (comma == nullptr) {
        ASSERT_EQ(std::getenv("PERISCLERA_REQUIRE_TEST_DATA"), nullptr) << "the test command makes a locale with comma decimals";
    }
    const std::string locale = comma != nullptr ? "LC_ALL=de_DE.UTF-8" : "LC_ALL=C";
    std::setlocale(LC_ALL, "C");
    for (const char* threads : {"1", "3"}) {
        fs::remove_all(in());
        std::shuffle(images_.begin(), images_.end(), random);
        for (std::size_t i = 0; i < images_.size(); ++i) give(std::to_string(i % 3) + "/" + std::to_string(i), images_[i]);
        const std::string zone = *threads == '1' ? "TZ=UTC-14" : "TZ=America/St_Johns";
        EXPECT_EQ(report(in(), {"--threads", threads}, {"/usr/bin/env", locale, zone}).status, 0);
        EXPECT_TRUE(files_below(out()) == expected_) << threads;
    }
}

PERISCLERA_FAULT(17, AmongOthers, images_that_stand_twice_change_no_number, "copies of images, the same or with another pixel, under other names",
                 "the same eyes, and the copies told; two images under one identifier are refused, SAME_UID_DIFFERENT_IMAGE, exit status 3") {
    for (std::size_t i = 0; i < images_.size(); ++i) {
        give("a/" + std::to_string(i), images_[i]);
        if (i % 3 == 0) give("b/" + std::to_string(i), images_[i]);
    }
    EXPECT_EQ(report(in()).status, 0);
    const std::string text = read_bytes(out() / "report.json");
    EXPECT_EQ(eyes_of(text), eyes_of(expected_.at("report.json")));
    EXPECT_NE(nlohmann::json::parse(text)["timepoints"][0]["series"][0]["problems"].dump().find("cop"), std::string::npos) << "the copies are not told";
    change_last_pixel(in() / "b/3");
    const Ended ended = report(in(), {"--quiet"});
    EXPECT_EQ(ended.status, 3);
    EXPECT_TRUE(is_one_error(ended.error_text, "SAME_UID_DIFFERENT_IMAGE")) << ended.error_text;
}

PERISCLERA_FAULT(17, AmongOthers, images_of_somebody_else_change_no_number, "images of another patient in the same folders",
                 "refused until one is chosen, MIXED_PATIENTS, exit status 3; then the same eyes") {
    for (std::size_t i = 0; i < images_.size(); ++i) give(std::to_string(i), images_[i]);
    DicomSlice other;
    other.text[{0x0010, 0x0020}] = "SOMEBODY-ELSE";
    write_series(in(), series_of(8, {0, 0, 0}, {0, 0, 1}, other));
    const Ended ended = report(in(), {"--quiet"});
    EXPECT_EQ(ended.status, 3);
    EXPECT_TRUE(is_one_error(ended.error_text, "MIXED_PATIENTS")) << ended.error_text;
    int same = 0;
    for (const char* patient : {"1", "2"}) {
        EXPECT_EQ(report(in(), {"--patient", patient}).status % 4, 0);  // 4: the other one's images show no eye
        same += eyes_of(read_bytes(out() / "report.json")) == eyes_of(expected_.at("report.json"));
    }
    EXPECT_EQ(same, 1);
}

PERISCLERA_FAULT(24, AmongOthers, names_in_the_images_get_nowhere, "an odd word in every text attribute of the DICOM dictionary, in private ones, in names of files and folders",
                 "found nowhere in what is printed, in `report.json`, in the metadata and text of the PDF, in names of files; only name and number of the patient in the head of page and PDF, and in `dicom/` what an archive files the study under") {
    const fs::path odd = in() / planted;
    fs::create_directories(odd);
    for (std::size_t i = 0; i < images_.size(); ++i) copy_with_words_planted(images_[i], odd / (planted + std::to_string(i)));
    fs::remove_all(out());
    const Ended reported = run_with_faults({"FAULT_ROOT=" + out().parent_path().string(), "FAULT_LOG=" + log().string()},
                                           {"identify", odd.string(), "--out", out().string(), "--json"});
    EXPECT_EQ(reported.status, 0) << reported.error_text;
    const Ended table = run_child({PERISCLERA_PROGRAM, "survey", odd.string()}), json = run_child({PERISCLERA_PROGRAM, "survey", odd.string(), "--json"});
    const std::vector<std::string> name_and_number{"00100010", "00100020"};
    // Patient and General Study modules, as docs/conformance.md lists what is copied.
    const std::vector<std::string> filed_under{"00100010", "00100020", "00100021", "00200010", "00080050", "00080090", "00081030"};
    const auto searched = [](std::string text, const std::vector<std::string>& words) {
        for (const std::string& permitted : words)
            for (std::size_t at; (at = text.find(std::string(planted) + permitted)) != std::string::npos;) text.erase(at, 13);
        return text.find(planted) == std::string::npos;
    };
    for (const std::string* text : {&reported.output_text, &reported.error_text, &table.output_text, &table.error_text, &json.output_text, &json.error_text})
        EXPECT_EQ(text->find(planted), std::string::npos) << *text;
    const std::string calls = read_bytes(log());
    EXPECT_GT(calls.size(), 100U);
    EXPECT_EQ(calls.find(planted), std::string::npos) << calls;
    for (const auto& [name, bytes] : files_below(out())) {
        EXPECT_EQ(name.string().find(planted), std::string::npos);
        EXPECT_TRUE(searched(bytes, *name.begin() == "dicom" ? filed_under : name_and_number)) << name;
        if (name.extension() == ".json") {
            EXPECT_EQ(bytes.find(planted), std::string::npos) << name;
        }
        if (name.extension() != ".pdf") continue;
        const Ended text = run_child({"/usr/bin/pdftotext", (out() / name).string(), "-"});
        EXPECT_EQ(text.status, 0);
        EXPECT_NE(text.output_text.find(std::string(planted) + "00100020"), std::string::npos) << "the search sees no text";
        EXPECT_TRUE(searched(text.output_text, name_and_number));
    }
    // A broken image among them: messages about it quote nothing either.
    const std::string whole = read_bytes(odd / (planted + std::string("0")));
    write_bytes(odd / (planted + std::string("0")), whole.substr(0, whole.size() / 2));
    const Ended broken = run_child({PERISCLERA_PROGRAM, "identify", odd.string(), "--out", out().string(), "--force"});
    EXPECT_EQ((broken.output_text + broken.error_text).find(planted), std::string::npos) << broken.error_text;
    EXPECT_NE(broken.error_text.find('['), std::string::npos);
}

}  // namespace perisclera::test
