// SPDX-License-Identifier: Apache-2.0
// Reports, key images, selections and documents of twelve simulated patients: an outside validator finds no error, other programs read them, and what these read is what
// report.json, the page's pictures and report.pdf say.
#include <dcmtk/config/osconfig.h>
// osconfig.h comes first by the library's rule.
#include <dcmtk/dcmdata/dctk.h>
#include <dcmtk/dcmsr/dsrdoc.h>

#include <fstream>
#include <map>
#include <set>
#include <stdexcept>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "perisclera/report/render_dicom.h"
#include "src/report/private_codes.h"
#include "src/report/tracking.h"
#include "tests/filing/filed_patient.h"
#include "tests/support/child_process.h"
#include "tests/support/test_data.h"
#include "tests/support/test_folder.h"

namespace perisclera {

namespace {

namespace fs = std::filesystem;
using nlohmann::json;

/// All dates of a scenario of phantoms/scenarios as one small CT each, or with the MR series that are named.
std::string small(const std::string& name, const std::vector<std::string>& mr = {}) {
    std::ifstream file(fs::path(PERISCLERA_SOURCE_DIR) / "phantoms" / "scenarios" / (name + ".json"));
    json scenario = json::parse(file);
    for (json& visit : scenario["timepoints"]) {
        visit["series"] = json::array({{{"kind", "ct"}, {"spacing_mm", 0.7}, {"slice_thickness_mm", 1.5}, {"field_mm", {110, 60, 45}}}});
        for (const std::string& kind : mr) visit["series"].push_back({{"kind", kind}, {"spacing_mm", 0.7}, {"field_mm", {110, 60, 45}}});
    }
    return scenario.dump();
}

struct Filed {
    test::FiledPatient patient;
    fs::path folder;                    ///< of what the program would write
    std::vector<fs::path> objects{};    ///< DICOM

    [[nodiscard]] std::vector<fs::path> of_kind(const std::string& kind) const {
        std::vector<fs::path> some;
        for (const fs::path& path : objects)
            if (path.filename().string().starts_with(kind)) some.push_back(path);
        return some;
    }
};

std::vector<report::OutputFile> must_have(Result<std::vector<report::OutputFile>> files) {
    if (!files) throw std::runtime_error(one_line(files.error()));
    return std::move(files).value();
}

Filed filed(test::FiledPatient patient, const fs::path& folder) {
    const auto rendered = must_have(report::render_report(patient.model, patient.identity));
    const auto objects = must_have(report::render_dicom(patient.model, patient.identity, rendered, test::some_moment()));
    Filed out{std::move(patient), folder};
    for (const auto* files : {&rendered, &objects})
        for (const report::OutputFile& file : *files) {
            fs::create_directories((folder / file.path).parent_path());
            test::write_bytes(folder / file.path, file.bytes);
        }
    for (const report::OutputFile& file : objects) out.objects.push_back(folder / file.path);
    return out;
}

class FiledDocuments : public ::testing::Test {
protected:
    static void SetUpTestSuite() {
        folder_ = new test::TestFolder;
        const auto add = [](const std::string& name, const std::string& scenario) {
            patients_.emplace(name, filed(test::simulated(scenario, folder_->path() / name), folder_->path() / name / "out"));
        };
        add("two_dates", R"({"seed": 1, "patient": {"id": "SIM-TWO", "birth_year": 1950},
            "eyes": {"right": {"elements": [{"material": "solid_silicone", "form": "segmental", "from_hour": 10, "to_hour": 2, "limbus_mm": 12, "width_mm": 7, "thickness_mm": 3}]}},
            "timepoints": [{"study_date": "2020-01-31", "series": [{"kind": "ct", "spacing_mm": 0.7, "slice_thickness_mm": 1.5, "field_mm": [110, 55, 42]}]},
                           {"study_date": "2023-03-31", "series": [{"kind": "ct", "spacing_mm": 0.7, "slice_thickness_mm": 1.5, "field_mm": [110, 55, 42]}]}]})");
        for (const char* name : {"beside_the_globe", "globe_contents", "hydrogel_encircling", "metal_and_plates", "none", "orbit_disease", "solid_encircling", "sponge_radial", "without_globe"})
            add(name, small(name));
        add("hydrogel_irregular", small("hydrogel_irregular", {"t1", "t2"}));
        test::write_as_enhanced_ct(patients_.at("none").patient.images, folder_->path() / "enhanced" / "images" / "all.dcm");
        patients_.emplace("enhanced", filed(test::analysed(folder_->path() / "enhanced" / "images"), folder_->path() / "enhanced" / "out"));
    }
    static void TearDownTestSuite() {
        patients_.clear();
        delete folder_;
    }

    static inline test::TestFolder* folder_ = nullptr;
    static inline std::map<std::string, Filed> patients_;
};

std::string text_of(DcmItem& item, const DcmTagKey& tag) {
    OFString text;
    item.findAndGetOFStringArray(tag, text);
    return text.c_str();
}

}  // namespace

TEST_F(FiledDocuments, every_visit_has_a_report_with_pictures_and_selection_and_the_last_one_the_document) {
    for (const auto& [name, patient] : patients_) {
        EXPECT_EQ(patient.of_kind("structured-report").size(), patient.patient.model.timepoints.size()) << name;
        EXPECT_EQ(patient.of_kind("key-image").size(), patient.patient.model.key_images.size()) << name;
        EXPECT_EQ(patient.of_kind("document").size(), 1u) << name;
    }
    EXPECT_GE(patients_.at("two_dates").of_kind("key-objects").size(), 2u);
}

// dciodvfy of dicom3tools prints "Error" for what the standard forbids; it does not know private coding schemes and warns of them.
TEST_F(FiledDocuments, an_outside_validator_finds_no_error) {
    const std::map<std::string, std::string> kinds{
        {"structured-report", "Comprehensive3DSR"}, {"key-image", "SCImage"}, {"key-objects", "KeyObjectSelectionDocument"}, {"document", "EncapsulatedPDF"}};
    std::map<std::string, int> looked_at;
    for (const auto& [name, patient] : patients_)
        for (const auto& [kind, called] : kinds)
            for (const fs::path& object : patient.of_kind(kind)) {
                const test::Ended ended = test::run_child({"/usr/bin/dciodvfy", "-new", object.string()});
                const std::string told = ended.output_text + ended.error_text;
                EXPECT_EQ(told.find("Error"), std::string::npos) << name << "\n" << told;
                EXPECT_NE(told.find(called), std::string::npos) << name << "\n" << told;
                ++looked_at[kind];
            }
    for (const auto& [kind, _] : kinds) EXPECT_GE(looked_at[kind], 10) << kind;
}

TEST_F(FiledDocuments, pydicom_reads_from_the_reports_every_number_and_word_of_report_json_and_nothing_else) {
    for (const auto& [name, patient] : patients_) {
        const test::Ended ended = test::run_child({"/usr/bin/python3", PERISCLERA_SOURCE_DIR "/tests/filing/report_in_sr.py", PERISCLERA_SOURCE_DIR "/docs/conformance.md",
                                                   (patient.folder / "report.json").string(), patient.patient.images.string(), (patient.folder / "dicom").string()});
        EXPECT_EQ(ended.status, 0) << name << ": " << ended.error_text;
        EXPECT_NE(ended.output_text.find(" numbers and words"), std::string::npos) << name << ": " << ended.output_text;
    }
}

TEST_F(FiledDocuments, dcmjs_reads_the_volumes_of_report_json) {
    const fs::path dcmjs = test::fetched_data() / "dcmjs";
    if (!fs::exists(dcmjs / "node_modules")) {
        if (test::require_fetched_data()) FAIL() << "no dcmjs: .ci/fetch_dcmjs.sh";
        GTEST_SKIP() << "no dcmjs: .ci/fetch_dcmjs.sh";
    }
    for (const auto& [name, patient] : patients_) {
        std::vector<std::string> arguments{"/usr/bin/env", "node", PERISCLERA_SOURCE_DIR "/tests/filing/report_by_dcmjs.js", dcmjs.string(), (patient.folder / "report.json").string()};
        for (const fs::path& report : patient.of_kind("structured-report")) arguments.push_back(report.string());
        const test::Ended ended = test::run_child(arguments);
        EXPECT_EQ(ended.status, 0) << name << ": " << ended.error_text;
    }
}

// dsrdump of dcmtk, which prints the tree as a person may read it.
TEST_F(FiledDocuments, a_report_prints_with_its_element_volume_and_material_in_words) {
    int elements = 0;
    for (const auto& [name, patient] : patients_)
        for (const report::Timepoint& visit : patient.patient.model.timepoints) {
            const test::Ended ended = test::run_child({"/usr/bin/dsrdump", "+Pl", (patient.folder / "dicom" / visit.id / "structured-report-1.dcm").string()});
            EXPECT_EQ(ended.status, 0) << name << ended.error_text;
            EXPECT_NE(ended.output_text.find("Verification Flag   : UNVERIFIED"), std::string::npos) << name;
            EXPECT_NE(ended.output_text.find("Not a medical device. Unverified machine output."), std::string::npos) << name;
            EXPECT_NE(ended.output_text.find("\"Explant for retinal detachment\")=("), std::string::npos) << name;
            for (const Eye eye : both_eyes)
                for (const report::ElementEntry& e : visit.eye(eye).elements) {
                    ++elements;
                    EXPECT_NE(ended.output_text.find("\"Tracking Identifier\")=\"" + e.id + "\""), std::string::npos) << name;
                    EXPECT_NE(ended.output_text.find("\"Volume\")="), std::string::npos) << name;
                    const std::string material = e.material.label ? std::string(report::own(*e.material.label).meaning) : "undetermined";
                    EXPECT_NE(ended.output_text.find("99PERISCLERA,\"" + material + "\")"), std::string::npos) << name;
                }
        }
    EXPECT_GE(elements, 5);
}

// DCMTK's own check of document type and relationships, on what it reads back.
TEST_F(FiledDocuments, reports_and_selections_are_valid_documents_when_read_back) {
    for (const auto& [name, patient] : patients_)
        for (const char* kind : {"structured-report", "key-objects"})
            for (const fs::path& path : patient.of_kind(kind)) {
                DcmFileFormat format;
                ASSERT_TRUE(format.loadFile(path.c_str()).good());
                DSRDocument document;
                ASSERT_TRUE(document.read(*format.getDataset()).good()) << path;
                EXPECT_TRUE(document.isValid()) << path;
            }
}

// The pixels are those of the page's picture, as the PNG standard decodes it.
TEST_F(FiledDocuments, key_images_are_the_pictures_of_the_page) {
    const Filed& patient = patients_.at("two_dates");
    std::map<std::string, int> of_visit;
    std::size_t number = 0;
    for (const report::KeyImage& image : patient.patient.model.key_images) {
        ++number;
        const std::string begin = (number < 10 ? "0" : "") + std::to_string(number) + "-" + std::string(name(image.eye)) + "-" + image.timepoint_id;
        fs::path picture = patient.folder / "figures" / (begin + "-outlined.png");
        if (!fs::exists(picture)) picture = patient.folder / "figures" / (begin + "-plain.png");
        const fs::path decoded = folder_->path() / "decoded.pgm";
        ASSERT_EQ(test::run_child({"/usr/bin/python3", PERISCLERA_SOURCE_DIR "/tests/report/png_to_pgm.py", picture.string(), decoded.string()}).status, 0);
        const std::string pgm = test::read_bytes(decoded);
        DcmFileFormat format;
        ASSERT_TRUE(format.loadFile((patient.folder / "dicom" / image.timepoint_id / ("key-image-" + std::to_string(++of_visit[image.timepoint_id]) + ".dcm")).c_str()).good());
        const Uint8* pixels = nullptr;
        unsigned long count = 0;
        ASSERT_TRUE(format.getDataset()->findAndGetUint8Array(DCM_PixelData, pixels, &count).good());
        Uint16 rows = 0, columns = 0;
        format.getDataset()->findAndGetUint16(DCM_Rows, rows);
        format.getDataset()->findAndGetUint16(DCM_Columns, columns);
        const std::size_t size = static_cast<std::size_t>(rows) * columns;
        ASSERT_GT(pgm.size(), size);
        EXPECT_TRUE(pgm.starts_with("P5 " + std::to_string(columns) + " " + std::to_string(rows) + " 255\n"));
        EXPECT_EQ(pgm.substr(pgm.size() - size), std::string(reinterpret_cast<const char*>(pixels), size)) << picture;
    }
    EXPECT_GE(number, 4u);
}

TEST_F(FiledDocuments, the_document_is_report_pdf_and_says_that_it_names_the_patient) {
    for (const auto& [name, patient] : patients_) {
        DcmFileFormat format;
        ASSERT_TRUE(format.loadFile(patient.of_kind("document").front().c_str()).good());
        const Uint8* bytes = nullptr;
        Uint32 length = 0;
        ASSERT_TRUE(format.getDataset()->findAndGetUint8Array(DCM_EncapsulatedDocument, bytes).good());
        format.getDataset()->findAndGetUint32(DCM_EncapsulatedDocumentLength, length);
        EXPECT_EQ(std::string(reinterpret_cast<const char*>(bytes), length), test::read_bytes(patient.folder / "report.pdf")) << name;
        EXPECT_EQ(text_of(*format.getDataset(), DCM_BurnedInAnnotation), "YES");
    }
}

TEST_F(FiledDocuments, objects_lie_in_a_study_of_their_visit_and_carry_its_patient) {
    for (const auto& [name, patient] : patients_)
        for (const fs::path& object : patient.objects) {
            DcmFileFormat format;
            ASSERT_TRUE(format.loadFile(object.c_str()).good());
            DcmDataset& data = *format.getDataset();
            std::set<std::string> studies, series;
            for (const report::Timepoint& visit : patient.patient.model.timepoints)
                for (const report::SeriesEntry& s : visit.series) {
                    series.insert(s.series_uid);
                    if (visit.id == object.parent_path().filename()) studies.insert(s.study_uid);
                }
            EXPECT_TRUE(studies.contains(text_of(data, DCM_StudyInstanceUID))) << object;
            EXPECT_FALSE(series.contains(text_of(data, DCM_SeriesInstanceUID))) << object;
            EXPECT_EQ(text_of(data, DCM_PatientID), patient.patient.identity.id.reveal_for_filing()) << object;
            EXPECT_FALSE(text_of(data, DCM_PatientName).empty()) << object;
        }
}

TEST_F(FiledDocuments, no_two_objects_have_the_same_uid) {
    std::set<std::string> uids;
    std::size_t objects = 0;
    for (const auto& [name, patient] : patients_)
        for (const fs::path& object : patient.objects) {
            DcmFileFormat format;
            ASSERT_TRUE(format.loadFile(object.c_str()).good());
            uids.insert(text_of(*format.getDataset(), DCM_SOPInstanceUID));
            ++objects;
        }
    EXPECT_EQ(uids.size(), objects);
}

TEST_F(FiledDocuments, the_same_input_and_moment_give_the_same_bytes_and_another_moment_other_objects) {
    const Filed& patient = patients_.at("two_dates");
    const auto rendered = report::render_report(patient.patient.model, patient.patient.identity).value();
    const auto objects = [&](const report::Moment& now) { return report::render_dicom(patient.patient.model, patient.patient.identity, rendered, now).value(); };
    const auto again = objects(test::some_moment()), later = objects({2026, 2, 3, 14, 5, 7});
    ASSERT_EQ(again.size(), patient.objects.size());
    ASSERT_EQ(later.size(), patient.objects.size());
    for (std::size_t k = 0; k < again.size(); ++k) {
        EXPECT_EQ(again[k].bytes, test::read_bytes(patient.folder / again[k].path)) << again[k].path;
        EXPECT_NE(later[k].bytes, again[k].bytes) << again[k].path;
    }
}

// What the tracking UID is for: the same element in report and segmentation (report_in_sr.py compares these), over dates, and in a run that knows one date only.
TEST_F(FiledDocuments, an_element_keeps_its_tracking_uid_over_dates_and_runs) {
    const Filed& both = patients_.at("two_dates");
    const fs::path first_date = folder_->path() / "first_date" / "images";
    fs::create_directories(first_date);
    for (const report::SeriesEntry& series : both.patient.model.timepoints.front().series)
        for (const fs::path& file : test::files_of_series(both.patient.images, series.series_uid)) fs::copy_file(file, first_date / file.filename());
    const Filed alone = filed(test::analysed(first_date), folder_->path() / "first_date" / "out");
    ASSERT_EQ(alone.patient.model.timepoints.size(), 1u);
    const auto dump = [](const fs::path& report) { return test::run_child({"/usr/bin/dsrdump", "+Pl", report.string()}).output_text; };
    const auto uid_of_element = [](const std::string& printed) {
        const std::size_t at = printed.find("\"Tracking Identifier\")=\"R1\""), uid = printed.find("2.25.", at);
        return at == std::string::npos ? "" : printed.substr(uid, printed.find('"', uid) - uid);
    };
    const std::string one = uid_of_element(dump(both.folder / "dicom" / "t1" / "structured-report-1.dcm"));
    EXPECT_GT(one.size(), 20u);
    EXPECT_EQ(one, uid_of_element(dump(both.folder / "dicom" / "t2" / "structured-report-1.dcm")));
    EXPECT_EQ(one, uid_of_element(dump(alone.folder / "dicom" / "t1" / "structured-report-1.dcm")));
    const auto other = report::tracking_of_element(patients_.at("none").patient.identity, Eye::right, "R1");
    EXPECT_NE(one, other.uid);
}

}  // namespace perisclera
