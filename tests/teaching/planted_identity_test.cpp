// SPDX-License-Identifier: Apache-2.0
// What tests/teaching/planting.h has put into every attribute, and into the names of files, folders and an archive's members: none of it may stand in any byte of a teaching file, however it is packed
// (tests/teaching/opened.h; pdftotext and dcmdump read the PDF and the objects once more), nor be drawn in a picture.
#include <gtest/gtest.h>
#include <sys/stat.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

#include "perisclera/teaching/kept_attributes.h"
#include "tests/teaching/opened.h"
#include "tests/teaching/teach_run.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

/// Of four letters and fewer, chance alone finds some among packed bytes.
constexpr std::size_t shortest_in_dense = 5;

/// Does it stand there? Not, if it is a number, where it is part of the 30 digits and more after "2.25." of a UID made anew: among those chance puts five given ones once in some
/// three thousand UIDs.
bool holds(const std::string& bytes, const std::string& trace) {
    constexpr std::string_view root = "2.25.";
    constexpr std::size_t least_digits = 30;
    const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
    const bool number = std::ranges::all_of(trace, is_digit);
    const auto in_uid = [&](std::size_t at) {
        std::size_t first = at, end = at + trace.size();
        while (first > 0 && is_digit(bytes[first - 1])) --first;
        while (end < bytes.size() && is_digit(bytes[end])) ++end;
        return end - first >= least_digits && std::string_view(bytes).substr(0, first).ends_with(root);
    };
    for (std::size_t at = bytes.find(trace); at != std::string::npos; at = bytes.find(trace, at + 1))
        if (!number || !in_uid(at)) return true;
    return false;
}

void expect_no_trace(const View& view) {
    for (const std::string& trace : traces_of(teach_run().planted))
        EXPECT_TRUE((view.dense && trace.size() < shortest_in_dense) || !holds(view.bytes, trace)) << view.how << " holds " << trace;
}

/// Every element as text, whatever its kind.
std::string all_text_of(const fs::path& dicom) { return run_child({"/usr/bin/dcmdump", "+L", "-q", dicom.string()}).output_text; }

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
    expect_no_trace({"standard output", teach_run().taught.output_text, false});
    expect_no_trace({"standard error", teach_run().taught.error_text, false});
}

TEST(PlantedIdentity, the_planted_traces_do_stand_in_the_input) {
    std::string all;
    for (const auto& [name, bytes] : contents_of(teach_run().in)) all += name.string() + bytes;
    for (const char* trace : {"Qznestedw", "Qzdeepw", "Qzdeepprivatew", "Qzprivatew", "Qzdrawnw", "Qzcurvew", "QZSENDERW", "Qzpreamblew", "Qzreportw", "Qzfilew", "Qzzipw", "QZTYPEW", "Qzkernelw", "73195.28", "731952",
                              "19330217", "1.2.777.9."})
        EXPECT_NE(all.find(trace), std::string::npos) << trace;
    // Hardly an attribute was left out: how many a file has, counted by another reader than the planter.
    const std::string dump = all_text_of(any_image(teach_run().in / "first"));
    EXPECT_GT(std::count(dump.begin(), dump.end(), '\n'), 4000);
}

TEST(PlantedIdentity, a_number_is_found_unless_a_uid_made_anew_holds_it_by_chance) {
    EXPECT_TRUE(holds("73195", "73195"));
    EXPECT_TRUE(holds("patient 0073195280 came", "73195"));
    EXPECT_FALSE(holds("2.25.314304001015033103731956028135721", "73195"));
    EXPECT_TRUE(holds("2.25.314304001015033103731956028135721, 73195", "73195"));
    EXPECT_TRUE(holds("1.2.777.9.73195", "73195"));
    EXPECT_TRUE(holds("1.2.777.9.314304001015033103731956028135721", "73195")) << "not ours";
    EXPECT_TRUE(holds("2.25.73195", "73195")) << "no number made at random is so short";
    const std::string long_word = "Qzwrittenouttomorethanthirtyletters";
    EXPECT_TRUE(holds("a " + long_word + " b", long_word));
}

// What is looked for is found in each kind of packing, so that silence elsewhere means something.
TEST(PlantedIdentity, the_search_opens_what_is_packed) {
    const std::string secret = "Qzpackedw, written out to a length at which it is worth the packing. Qzpackedw, written out to a length at which it is worth the packing.";
    std::string packed(2 * secret.size() + 100, '\0');
    uLongf length = packed.size();
    ASSERT_EQ(::compress(reinterpret_cast<Bytef*>(packed.data()), &length, reinterpret_cast<const Bytef*>(secret.data()), secret.size()), Z_OK);
    packed.resize(length);
    const auto chunk = [](const std::string& kind, const std::string& body) {
        std::string out;
        for (int shift = 24; shift >= 0; shift -= 8) out += static_cast<char>(body.size() >> shift & 0xFFu);
        return out + kind + body + "CRC.";
    };
    std::string wide, base64 = "UXpwYWNrZWR3", escaped = "\\u0051zpackedw";  // by base64(1)
    while (base64.size() < 120) base64 += "UXpwYWNrZWR3";
    for (const char c : secret) wide += std::string(1, c) + '\0';
    const std::string png(png_signature);
    for (const auto& [name, bytes] : std::vector<std::pair<std::string, std::string>>{{"a.pdf", "stream\n" + packed + "endstream"},
                                                                                    {"b.png", png + chunk("IDAT", packed.substr(0, 20)) + chunk("IDAT", packed.substr(20))},
                                                                                    {"c.png", png + chunk("zTXt", std::string("Comment\0\0", 9) + packed)},
                                                                                    {"d.html", "<img src=\"data:image/png;base64," + base64 + "\">"},
                                                                                    {"e.json", "{\"name\": \"" + escaped + "\"}"},
                                                                                    {"f.html", "<p>&#81;zpackedw</p>"},
                                                                                    {"g.dcm", wide}}) {
        const auto views = opened(name, bytes);
        EXPECT_TRUE(std::any_of(views.begin(), views.end(), [](const View& v) { return v.bytes.find("Qzpackedw") != std::string::npos; })) << name;
    }
}

TEST(PlantedIdentity, no_byte_of_the_teaching_file_holds_a_trace) {
    std::size_t files = 0;
    for (const auto& [name, bytes] : contents_of(teach_run().out)) {
        ++files;
        expect_no_trace({"the name", name.string(), false});
        for (const View& view : opened(name.string(), bytes)) expect_no_trace(view);
        const fs::path file = teach_run().out / name;
        if (name.extension() == ".dcm") expect_no_trace({name.string() + " as text", all_text_of(file), false});
        if (name.extension() == ".pdf") expect_no_trace({name.string() + " as text", run_child({"/usr/bin/pdftotext", file.string(), "-"}).output_text, false});
    }
    EXPECT_GT(files, 150U);
}

// Made from the same pixels with other words planted, the pictures are the same: none of the words is drawn.
TEST(PlantedIdentity, no_picture_depends_on_what_was_planted) {
    const TeachRun first(Planted(), false), second(other_plant(), false);
    ASSERT_EQ(first.taught.status, 0) << first.taught.error_text;
    ASSERT_EQ(second.taught.status, 0) << second.taught.error_text;
    const auto one = contents_of(first.out), other = contents_of(second.out);
    std::size_t pictures = 0;
    for (const auto& [name, bytes] : one) {
        if (name.extension() != ".png") continue;
        ++pictures;
        const auto same = other.find(second.out / name.lexically_relative(first.out));  // names are whole paths
        EXPECT_TRUE(same != other.end() && same->second == bytes) << name;
    }
    EXPECT_GT(pictures, 5U);
}

TEST(PlantedIdentity, the_images_hold_no_attribute_but_those_listed) {
    for (const fs::path& file : images_below(teach_run().out / "dicom")) {
        DcmFileFormat format;
        must(format.loadFile(file.c_str()));
        DcmDataset& d = *format.getDataset();
        for (DcmObject* element = d.nextInContainer(nullptr); element != nullptr; element = d.nextInContainer(element)) {
            EXPECT_NE(teaching::kept_attribute(element->getGTag(), element->getETag()), nullptr) << element->getTag().toString();
            EXPECT_TRUE(element->ident() != EVR_SQ || element->getTag() == DCM_DeidentificationMethodCodeSequence) << element->getTag().toString();
        }
    }
}

// Every image that was planted states an agent (PS3.3 C.7.6.4). On CT only the problems of its series still tell it.
TEST(PlantedIdentity, that_contrast_agent_was_given_is_still_told_but_not_which) {
    const auto files = images_below(teach_run().out / "dicom");
    ASSERT_FALSE(files.empty());
    for (const fs::path& file : files) {
        EXPECT_EQ(text_at(file, DCM_Modality), "CT");
        EXPECT_EQ(text_at(file, DCM_ContrastBolusAgent), "AGENT");
    }
}

// Those of objects, of whatever kind a teaching file may hold, and those of the report.
TEST(PlantedIdentity, every_reference_resolves_within_the_teaching_file) {
    std::set<std::string> instances, series, referenced_instances, referenced_series;
    for (const auto& [name, bytes] : contents_of(teach_run().out)) {
        if (name.extension() != ".dcm") continue;
        std::istringstream lines(run_child({"/usr/bin/dcmdump", "+L", "-Un", "-q", (teach_run().out / name).string()}).output_text);
        for (std::string line; std::getline(lines, line);) {
            const std::size_t tag = line.find_first_not_of(' '), from = line.find('['), to = line.find(']');
            if (from == std::string::npos || to == std::string::npos) continue;
            const std::string value = line.substr(from + 1, to - from - 1);
            if (line.compare(tag, 11, "(0008,0018)") == 0 && tag == 0) instances.insert(value);
            if (line.compare(tag, 11, "(0020,000e)") == 0) (tag == 0 ? series : referenced_series).insert(value);
            if (line.compare(tag, 11, "(0008,1155)") == 0) referenced_instances.insert(value);
        }
    }
    // The answer's report names its series by UID.
    std::size_t named = 0;
    const auto report = nlohmann::json::parse(read_bytes(teach_run().out / "answer/report.json"));
    for (const auto& visit : report["timepoints"])
        for (const auto& told : visit["series"]) {
            ++named;
            EXPECT_TRUE(series.contains(told["series_uid"].get<std::string>())) << told["series_uid"];
        }
    EXPECT_EQ(named, 6U);
    for (const std::string& uid : referenced_instances) EXPECT_TRUE(instances.contains(uid)) << uid;
    for (const std::string& uid : referenced_series) EXPECT_TRUE(series.contains(uid)) << uid;
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
    EXPECT_EQ(series.size(), 6U);
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
    must(any.loadFile(any_image(teach_run().in / "first").c_str()));
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
