// SPDX-License-Identifier: Apache-2.0
// A word, number, date and UID of its own in every attribute that DICOM's data dictionary (PS3.6, as DCMTK carries it) has, nested, private, in overlays, in the meta group and in the names of folders:
// none of it may stand in any byte of a teaching file. What is compressed or encoded is opened first, by pdftotext for the PDF.
#include <gtest/gtest.h>
#include <sys/stat.h>

#include <nlohmann/json.hpp>
#include <set>
#include <string_view>

#include "tests/teaching/teach_run.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

const std::vector<std::string> traces{"Qz", "QZ", "73195", "731952", "19330217", "1933-02-17", "113355", "1.2.777.", "SIM-SMALL", "20200131", "2020-01-31", "20210312", "2021-03-12", "077Y"};

void expect_no_trace(const std::string& name, const std::string& bytes) {
    for (const std::string& trace : traces) {
        // Of four letters and fewer, chance alone would find some among compressed pixels.
        const bool packed = name.ends_with(".png") || name.ends_with(".pdf") || name.ends_with(".dcm");
        if (packed && trace.size() < 5) continue;
        EXPECT_EQ(bytes.find(trace), std::string::npos) << name << " holds " << trace;
    }
}

/// Every element as text, whatever its kind.
std::string all_text_of(const fs::path& dicom) { return run_child({"/usr/bin/dcmdump", "+L", "-q", dicom.string()}).output_text; }

/// A page, and apart from it what stands in it encoded by base64: pictures, and the data of its drawings.
struct OpenedPage {
    std::string text, encoded;
};
OpenedPage opened(const std::string& page) {
    constexpr std::string_view digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    constexpr std::size_t shortest = 100;  // no word is as long
    OpenedPage out;
    for (std::size_t at = 0; at < page.size();) {
        const std::size_t end = std::min(page.find_first_not_of(digits, at), page.size());
        if (end - at < shortest) {
            const std::size_t next = std::min(end + 1, page.size());
            out.text.append(page, at, next - at);
            at = next;
            continue;
        }
        unsigned bits = 0;
        for (std::size_t k = at; k < end; ++k) {
            bits = bits << 6 | static_cast<unsigned>(digits.find(page[k]));
            const std::size_t held = 6 * (k - at + 1);
            if (held % 8 < 6) out.encoded += static_cast<char>(bits >> held % 8 & 0xFFu);
        }
        at = end;
    }
    return out;
}

std::string text_at(const fs::path& file, const DcmTagKey& tag) {
    DcmFileFormat format;
    must(format.loadFile(file.c_str()));
    OFString value;
    return format.getDataset()->findAndGetOFStringArray(tag, value).good() ? std::string(value.c_str()) : "absent";
}

std::vector<fs::path> images_below(const fs::path& folder) {
    std::vector<fs::path> files;
    for (const auto& [name, bytes] : contents_of(folder))
        if (name.extension() == ".dcm" && !name.filename().string().starts_with("key-objects")) files.push_back(folder / name);
    return files;
}

}  // namespace

TEST(PlantedIdentity, the_case_is_made) {
    ASSERT_EQ(teach_run().identified.status, 0) << teach_run().identified.error_text;
    ASSERT_EQ(teach_run().taught.status, 0) << teach_run().taught.error_text;
    for (const std::string& trace : traces) {
        EXPECT_EQ(teach_run().taught.output_text.find(trace), std::string::npos) << trace;
        EXPECT_EQ(teach_run().taught.error_text.find(trace), std::string::npos) << trace;
    }
}

TEST(PlantedIdentity, the_planted_traces_do_stand_in_the_input) {
    std::string all;
    for (const auto& [name, bytes] : contents_of(teach_run().in)) all += bytes;
    for (const char* trace : {"Qznestedw", "Qzprivatew", "Qzdrawnw", "QZSENDERW", "73195.28", "19330217", "1.2.777."}) EXPECT_NE(all.find(trace), std::string::npos) << trace;
}

TEST(PlantedIdentity, no_byte_of_the_teaching_file_holds_a_trace) {
    std::size_t files = 0;
    for (const auto& [name, bytes] : contents_of(teach_run().out)) {
        ++files;
        expect_no_trace(name.string(), name.string());
        const fs::path file = teach_run().out / name;
        if (name.extension() == ".html") {
            const OpenedPage page = opened(bytes);
            expect_no_trace(name.string(), page.text);
            expect_no_trace(name.string() + ", decoded.png", page.encoded);
        } else {
            expect_no_trace(name.string(), bytes);
        }
        if (name.extension() == ".dcm") expect_no_trace(name.string() + " as text", all_text_of(file));
        if (name.extension() == ".pdf") expect_no_trace(name.string() + " as text", run_child({"/usr/bin/pdftotext", file.string(), "-"}).output_text);
    }
    EXPECT_GT(files, 60U);
}

TEST(PlantedIdentity, dates_move_by_one_number_of_days_and_uids_stay_consistent) {
    std::set<std::string> days, studies, series, frames, instances;
    const auto files = images_below(teach_run().out / "dicom");
    for (const fs::path& file : files) {
        for (const DcmTagKey& tag : {DCM_StudyDate, DCM_SeriesDate, DCM_AcquisitionDate, DCM_ContentDate}) days.insert(text_at(file, tag));
        studies.insert(text_at(file, DCM_StudyInstanceUID));
        series.insert(text_at(file, DCM_SeriesInstanceUID));
        frames.insert(text_at(file, DCM_FrameOfReferenceUID));
        instances.insert(text_at(file, DCM_SOPInstanceUID));
    }
    // From 2020-01-31 to 2021-03-12 are 406 days, by the calendar: 335 to the year's end (a leap year), 31, 28 and 12 more.
    EXPECT_EQ(days, (std::set<std::string>{"19600101", "19610210"}));
    EXPECT_EQ(studies.size(), 2U);
    EXPECT_EQ(series.size(), 2U);
    EXPECT_EQ(frames.size(), 1U);  // both dates state one in the input
    EXPECT_EQ(instances.size(), files.size());
}

TEST(PlantedIdentity, marks_and_meta_group_are_as_the_standard_asks) {
    const auto files = images_below(teach_run().out / "dicom");
    ASSERT_FALSE(files.empty());
    for (const fs::path& file : files) {
        EXPECT_EQ(text_at(file, DCM_PatientIdentityRemoved), "YES");
        EXPECT_EQ(text_at(file, DCM_BurnedInAnnotation), "NO");
        EXPECT_EQ(text_at(file, DCM_RecognizableVisualFeatures), "NO");
        EXPECT_EQ(text_at(file, DCM_LongitudinalTemporalInformationModified), "MODIFIED");
        DcmFileFormat format;
        must(format.loadFile(file.c_str()));
        std::set<std::string> codes;
        for (long k = 0;; ++k) {
            DcmItem* item = nullptr;
            if (format.getDataset()->findAndGetSequenceItem(DCM_DeidentificationMethodCodeSequence, item, k).bad()) break;
            OFString code;
            must(item->findAndGetOFString(DCM_CodeValue, code));
            codes.insert(code.c_str());
        }
        EXPECT_EQ(codes, (std::set<std::string>{"113100", "113101", "113102", "113103", "113105", "113107"}));  // CID 7050
        OFString text;
        EXPECT_TRUE(format.getMetaInfo()->findAndGetOFString(DCM_SourceApplicationEntityTitle, text).bad());
        EXPECT_EQ(read_bytes(file).substr(0, 128), std::string(128, '\0'));
        EXPECT_EQ(format.getDataset()->getOriginalXfer(), EXS_LittleEndianExplicit);
    }
}

TEST(PlantedIdentity, the_key_leads_back_and_is_for_its_owner_alone) {
    struct stat status {};
    ASSERT_EQ(::stat(teach_run().key.c_str(), &status), 0);
    EXPECT_EQ(status.st_mode & 0777u, 0600u);
    const auto key = nlohmann::json::parse(read_bytes(teach_run().key));
    // From 1960-01-01 to 2020-01-31 are 21,945 days: 60 years of 365 days, 15 leap days before 2020, 30 days of January.
    EXPECT_EQ(key["dates_moved_by_days"], -21945);
    std::set<std::string> originals;
    for (const auto& [replacement, original] : key["uids"].items()) originals.insert(original);
    for (const fs::path& file : images_below(teach_run().out / "dicom")) EXPECT_TRUE(key["uids"].contains(text_at(file, DCM_SOPInstanceUID)));
    DcmFileFormat any;
    for (const auto& [name, bytes] : contents_of(teach_run().in)) {
        must(any.loadFile((teach_run().in / name).c_str()));
        break;
    }
    OFString series;
    must(any.getDataset()->findAndGetOFString(DCM_SeriesInstanceUID, series));
    EXPECT_TRUE(originals.contains(series.c_str()));
}

// The validator is dicom3tools' dciodvfy.
TEST(PlantedIdentity, the_images_are_valid_dicom) {
    const auto files = images_below(teach_run().out / "dicom");
    ASSERT_FALSE(files.empty());
    for (const fs::path& file : files) {
        const Ended told = run_child({"/usr/bin/dciodvfy", file.string()});
        EXPECT_NE(told.error_text.find("Image"), std::string::npos) << "the validator names what it took the object for";
        EXPECT_EQ(told.error_text.find("Error"), std::string::npos) << file << told.error_text;
    }
}

}  // namespace perisclera::test
