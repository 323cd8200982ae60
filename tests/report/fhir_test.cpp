// SPDX-License-Identifier: Apache-2.0
// The outside truth: HL7's JSON schema of FHIR R4 and HL7's structure definitions as an npm package's validator reads them (.ci/fetch_fhir_validator.sh), and R4's own
// text: "dataAbsentReason only where there is no value" (obs-6), entries named by fullUrl (bdl-7), references that lead to them.
#include "perisclera/report/fhir.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <regex>
#include <set>

#include "tests/report/example_report.h"
#include "tests/report/outside_check.h"

namespace perisclera::report {
namespace {

using Json = nlohmann::json;
constexpr int valid = 0, not_valid = 1;

std::vector<ReportModel> examples() { return {example::full(), example::undetermined(), example::minimal(), example::unmeasured(), ReportModel{}}; }

ReportModel with_studies() {
    ReportModel m = example::full();
    for (Timepoint& t : m.timepoints)
        for (SeriesEntry& s : t.series) s.study_uid = t.id == "t1" ? "2.25.2001" : "2.25.2002";
    return m;
}

/// Every resource of the bundle that `kind` names, or all.
std::vector<Json> resources(const Json& bundle, const std::string& kind = "") {
    std::vector<Json> found;
    for (const Json& entry : bundle["entry"])
        if (kind.empty() || entry["resource"]["resourceType"] == kind) found.push_back(entry["resource"]);
    return found;
}
Json bundle_of(const ReportModel& m, const Identity* identity = nullptr) { return Json::parse(to_fhir(m, identity)); }

class FhirByOthers : public ::testing::Test {
protected:
    void SetUp() override {
        const char* data = std::getenv("PERISCLERA_TEST_DATA");
        folder_ = data == nullptr ? "" : std::string(data) + "/fhir";
        if (data != nullptr && std::filesystem::exists(folder_ + "/complete")) return;
        ASSERT_EQ(std::getenv("PERISCLERA_REQUIRE_TEST_DATA"), nullptr) << "no FHIR validator";
        GTEST_SKIP() << "no FHIR validator: .ci/fetch_fhir_validator.sh fetches it";
    }
    [[nodiscard]] int by_schema(const std::string& files) const { return outside::run("validate_fhir_schema.py", folder_ + "/fhir.schema.json" + files); }
    [[nodiscard]] int by_definitions(const std::string& files) const {
        const int status = std::system(("node " + std::string(PERISCLERA_SOURCE_DIR) + "/tests/report/validate_fhir.cjs " + folder_ + files).c_str());
        return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    }

private:
    std::string folder_;
};

TEST_F(FhirByOthers, every_bundle_is_valid_with_and_without_identity) {
    std::string files;
    std::vector<ReportModel> all = examples();
    all.push_back(with_studies());
    const Identity identity = example::identity();
    for (std::size_t k = 0; k < all.size(); ++k)
        for (const Identity* given : {static_cast<const Identity*>(nullptr), &identity}) files += " " + outside::written("bundle" + std::to_string(k) + (given == nullptr ? "" : "n") + ".json", to_fhir(all[k], given)).string();
    EXPECT_EQ(by_schema(files), valid);
    EXPECT_EQ(by_definitions(files), valid);
}

// So that the validators are known to look.
TEST_F(FhirByOthers, damaged_bundles_are_refused) {
    const auto damaged = [](const std::string& kind, const std::function<void(Json&)>& damage) {
        Json bundle = bundle_of(with_studies());
        for (Json& entry : bundle["entry"])
            if (entry["resource"]["resourceType"] == kind) {
                damage(entry["resource"]);
                break;
            }
        static int number = 0;
        return " " + outside::written("damaged" + std::to_string(++number) + ".json", bundle.dump()).string();
    };
    const std::string without_code = damaged("Observation", [](Json& r) { r.erase("code"); });
    const std::string unknown_member = damaged("Device", [](Json& r) { r["colour"] = "red"; });
    const std::string value_and_absence = damaged("Observation", [](Json& r) { r["dataAbsentReason"] = {{"text", "although there is a value"}}; });
    const std::string wrong_status = damaged("DiagnosticReport", [](Json& r) { r["status"] = "nearly"; });
    for (const std::string& file : {without_code, unknown_member, value_and_absence}) EXPECT_EQ(by_definitions(file), not_valid) << file;
    for (const std::string& file : {unknown_member, wrong_status}) EXPECT_EQ(by_schema(file), not_valid) << file;
}

TEST(Fhir, every_reference_leads_to_an_entry_and_every_entry_has_its_own_name) {
    for (const ReportModel& m : examples()) {
        const Json bundle = bundle_of(m);
        std::set<std::string> names;
        for (const Json& entry : bundle["entry"]) {
            const std::string name = entry["fullUrl"];
            EXPECT_TRUE(names.insert(name).second) << name;
            // RFC 9562: version 8, variant 10.
            EXPECT_TRUE(std::regex_match(name, std::regex("urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-8[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}"))) << name;
        }
        const std::function<void(const Json&)> follow = [&](const Json& json) {
            if (json.is_object() && json.contains("reference")) {
                EXPECT_TRUE(names.contains(json["reference"].get<std::string>())) << json;
            }
            for (const Json& part : json)
                if (part.is_structured()) follow(part);
        };
        follow(bundle["entry"]);
    }
}

TEST(Fhir, a_value_or_the_reason_for_its_absence_and_never_both) {
    for (const ReportModel& m : examples())
        for (const Json& o : resources(bundle_of(m), "Observation")) {
            const bool has_value = o.contains("valueQuantity") || o.contains("valueCodeableConcept");
            EXPECT_NE(has_value, o.contains("dataAbsentReason")) << o;
            if (!o.contains("dataAbsentReason")) continue;
            EXPECT_FALSE(o["dataAbsentReason"]["text"].get<std::string>().empty());
            EXPECT_FALSE(o.contains("component")) << "no interval without a value";
        }
}

TEST(Fhir, explants_carry_no_invented_identifier_and_codes_are_known_ones) {
    // SNOMED CT and LOINC as the DICOM standard's own tables print them (PS3.16 CID 4028, 7151, 218, 7469, 244, 7000).
    const std::map<std::string, std::string> known{{"79652003", "Eyeball"}, {"40388003", "Implant"}, {"118565006", "Volume"}, {"24028007", "Right"}, {"7771000", "Left"}, {"18748-4", "Diagnostic Imaging Report"}};
    const std::string text = to_fhir(with_studies(), nullptr);
    for (const char* word : {"udiCarrier", "distinctIdentifier", "serialNumber", "lotNumber", "\"manufacturer", "\"extension\""}) EXPECT_EQ(text.find(word), std::string::npos) << word;
    const std::function<void(const Json&)> look = [&](const Json& json) {
        if (json.is_object() && json.contains("system") && json.contains("code") && (json["system"] == "http://snomed.info/sct" || json["system"] == "http://loinc.org")) {
            ASSERT_TRUE(known.contains(json["code"].get<std::string>())) << json;
            EXPECT_EQ(json["display"], known.at(json["code"].get<std::string>()));
        }
        for (const Json& part : json)
            if (part.is_structured()) look(part);
    };
    look(Json::parse(text));
}

TEST(Fhir, studies_explants_and_sides_are_named) {
    const Json bundle = bundle_of(with_studies());
    std::set<std::string> studies;
    for (const Json& s : resources(bundle, "ImagingStudy")) studies.insert(s["identifier"][0]["value"].get<std::string>());
    EXPECT_EQ(studies, (std::set<std::string>{"urn:oid:2.25.2001", "urn:oid:2.25.2002"}));
    const auto bodies = resources(bundle, "BodyStructure");
    ASSERT_EQ(bodies.size(), 1U);
    EXPECT_EQ(bodies[0]["identifier"][0]["value"], "R1");
    EXPECT_EQ(bodies[0]["locationQualifier"][0]["text"], "Right");
    EXPECT_EQ(resources(bundle, "Device").size(), 2U) << "the program and the explant";
    const auto reports = resources(bundle, "DiagnosticReport");
    ASSERT_EQ(reports.size(), 1U);
    const std::string conclusion = reports[0]["conclusion"];
    for (const char* words : {"SIMULATED DATA", "Right eye: explant present", "Not a medical device", "Unverified machine output"}) EXPECT_NE(conclusion.find(words), std::string::npos) << words;
    EXPECT_EQ(reports[0]["status"], "preliminary");
}

TEST(Fhir, names_the_patient_only_where_that_is_asked_for) {
    const ReportModel m = with_studies();
    const Identity identity = example::identity();
    EXPECT_EQ(to_fhir(m, nullptr).find("Invented"), std::string::npos);
    EXPECT_EQ(to_fhir(m, nullptr).find("PAT-0001"), std::string::npos);
    const auto patients = resources(bundle_of(m, &identity), "Patient");
    ASSERT_EQ(patients.size(), 1U);
    EXPECT_EQ(patients[0]["name"][0]["text"], "Invented <Name> & \"Example\"");
    EXPECT_EQ(patients[0]["identifier"][1]["value"], "PAT-0001");
}

TEST(Fhir, the_same_report_gives_the_same_bytes_and_another_study_other_names) {
    EXPECT_EQ(to_fhir(with_studies(), nullptr), to_fhir(with_studies(), nullptr));
    ReportModel other = with_studies();
    other.timepoints[0].series[0].study_uid = "2.25.2003";
    EXPECT_NE(bundle_of(other)["identifier"]["value"], bundle_of(with_studies())["identifier"]["value"]);
}

}  // namespace
}  // namespace perisclera::report
