// SPDX-License-Identifier: Apache-2.0
// The same input, options and version give the same report.json to the byte: twice, with other file names and order, another
// number of threads, a locale with comma decimals. And the whole way from scenario to report on one small phantom.
#include <cstdlib>
#include <clocale>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <vector>

#include <gtest/gtest.h>

#include "perisclera/assemble/load_patient.h"
#include "perisclera/dicom/output_folder.h"
#include "perisclera/pipeline/identify.h"
#include "perisclera/report/json.h"
#include "phantoms/scenario.h"
#include "phantoms/synthesise.h"

namespace perisclera {

namespace {

class Repeatability : public ::testing::Test {
protected:
    static void SetUpTestSuite() {
        folder_ = std::filesystem::temp_directory_path() / ("perisclera_repeatability_" + std::to_string(::getpid()));
        const auto scenario = phantoms::parse_scenario(R"({
            "seed": 4, "patient": {"id": "SIM-REPEAT", "birth_year": 1950},
            "eyes": {"left": {"elements": [{"material": "silicone_sponge", "form": "segmental", "from_hour": 1.0, "to_hour": 4.0, "limbus_mm": 12.5,
                                            "width_mm": 4.5, "thickness_mm": 4.0, "indentation_mm": 1.0}]}},
            "timepoints": [{"study_date": "2018-05-02", "series": [{"kind": "ct", "spacing_mm": 0.6, "slice_thickness_mm": 1.5}]}]})");
        ASSERT_TRUE(scenario.ok()) << one_line(scenario.error());
        auto out = OutputFolder::open(folder_, true);
        ASSERT_TRUE(out.ok());
        ASSERT_TRUE(phantoms::synthesise(scenario.value(), out.value(), {}, 2).ok());
        ASSERT_TRUE(out.value().commit().ok());
    }
    static void TearDownTestSuite() { std::filesystem::remove_all(folder_); }

    static report::ReportModel model_of(const std::filesystem::path& folder, int threads) {
        LoadOptions load;
        load.threads = threads;
        const auto patient = read_patient({folder}, load);
        EXPECT_TRUE(patient.ok());
        IdentifyOptions options;
        options.threads = threads;
        return identify(patient.value(), options, {}).value();
    }
    static std::string json_of(const std::filesystem::path& folder, int threads) { return report::to_json(model_of(folder, threads)); }

    static inline std::filesystem::path folder_;
};

}  // namespace

TEST_F(Repeatability, two_runs_and_another_thread_count_give_the_same_bytes) {
    const std::string first = json_of(folder_, 1);
    EXPECT_EQ(first, json_of(folder_, 1));
    EXPECT_EQ(first, json_of(folder_, 3));
}

TEST_F(Repeatability, other_file_names_and_order_give_the_same_bytes) {
    const std::filesystem::path renamed = folder_.string() + "_renamed";
    std::filesystem::create_directories(renamed);
    std::vector<std::filesystem::path> files;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(folder_))
        if (entry.is_regular_file() && entry.path().extension() != ".json") files.push_back(entry.path());
    ASSERT_GT(files.size(), 10U);
    // 7919 is prime: the new names run through the slices in a scattered order.
    for (std::size_t i = 0; i < files.size(); ++i) std::filesystem::copy_file(files[i], renamed / ("f" + std::to_string((i * 7919) % 100003)));
    const std::string there = json_of(renamed, 2);
    std::filesystem::remove_all(renamed);
    EXPECT_EQ(json_of(folder_, 2), there);
}

TEST_F(Repeatability, a_locale_with_comma_decimals_gives_the_same_bytes) {
    const std::string first = json_of(folder_, 2);
    const char* changed = nullptr;
    for (const char* locale : {"de_DE.UTF-8", "fr_FR.UTF-8", "de_DE.utf8"})
        if (changed == nullptr) changed = std::setlocale(LC_ALL, locale);
    if (changed == nullptr) {
        ASSERT_EQ(std::getenv("PERISCLERA_REQUIRE_TEST_DATA"), nullptr) << "the test command makes a locale with comma decimals";
        GTEST_SKIP() << "no locale with comma decimals is installed";
    }
    const std::string second = json_of(folder_, 2);
    std::setlocale(LC_ALL, "C");
    EXPECT_EQ(first, second);
}

// Truth: the scenario above.
TEST_F(Repeatability, the_phantoms_sponge_is_found_on_its_side_with_its_material) {
    const report::ReportModel model = model_of(folder_, 2);
    EXPECT_TRUE(model.simulated);
    const report::EyeEntry& left = model.timepoints.front().left;
    EXPECT_EQ(left.explant.presence, report::Presence::present);
    ASSERT_EQ(left.elements.size(), 1U);
    EXPECT_EQ(left.elements.front().material.label, report::Material::silicone_sponge);
    EXPECT_NEAR(left.elements.front().from.measured()->value().value(), 1.0, 0.5);
    EXPECT_NEAR(left.elements.front().to.measured()->value().value(), 4.0, 0.5);
    EXPECT_TRUE(model.timepoints.front().right.elements.empty());
}

}  // namespace perisclera
