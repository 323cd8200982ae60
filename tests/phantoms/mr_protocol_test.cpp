// SPDX-License-Identifier: Apache-2.0
// What each kind of MR series says of itself, read back from its own DICOM: the tags of PS3.3 C.8.3.1, and the role that the survey gives it.
#include "phantoms/mr_protocol.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "perisclera/assemble/series_role.h"
#include "perisclera/dicom/uid.h"
#include "perisclera/ingest/file_set.h"

namespace perisclera::phantoms {
namespace {

namespace fs = std::filesystem;

struct Expected {
    Kind kind;
    const char* sequence;
    const char* role;
};
constexpr std::array expected{Expected{Kind::t1, "SE", "t1"},
                              Expected{Kind::t1_fatsat, "SE", "t1_fatsat"},
                              Expected{Kind::t1_contrast, "SE", "t1_contrast"},
                              Expected{Kind::t1_contrast_fatsat, "SE", "t1_contrast_fatsat"},
                              Expected{Kind::t1_gradient_echo, "GR", "t1"},
                              Expected{Kind::t1_prepared, "GR", "t1"},
                              Expected{Kind::pd, "SE", "pd"},
                              Expected{Kind::t2, "SE", "t2"},
                              Expected{Kind::t2_fatsat, "SE", "t2_fatsat"},
                              Expected{Kind::t2_star, "GR", "gre"},
                              Expected{Kind::stir, "IR", "stir"},
                              Expected{Kind::flair, "IR", "flair"}};

class MrProtocol : public ::testing::TestWithParam<Expected> {
protected:
    void SetUp() override {
        file_ = fs::temp_directory_path() / ("perisclera-mr-protocol-" + std::to_string(::getpid()) + ".dcm");
        ImageSeriesHeader h;
        h.patient_name = "Simulated^Patient";
        h.patient_id = "T";
        h.study_uid = uid_from("mr protocol study");
        h.series_uid = uid_from("mr protocol series");
        h.frame_of_reference_uid = uid_from("mr protocol frame");
        h.study_date = "20100131";
        h.study_time = h.series_time = "100000";
        h.series_description = "SIMULATED";  // tells no weighting
        MrSetting setting = usual_mr_setting(GetParam().kind);
        setting.bandwidth_hz = 225.0;
        setting.phase_along = PhaseAlong::column;
        const auto geometry = VolumeGeometry::make({0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 3}, {0.5, 0.5}, {8, 8, 1});
        const MrVolume volume(VoxelGrid(geometry.value(), std::vector<float>(64, 100.0f)));
        const auto bytes = mr_image_bytes(h, mr_acquisition(setting, 3.0), volume, 0);
        ASSERT_TRUE(bytes);
        std::ofstream(file_, std::ios::binary) << bytes.value();
    }
    void TearDown() override { fs::remove(file_); }
    fs::path file_;
};

TEST_P(MrProtocol, is_told_by_its_tags_and_recognised_by_the_survey) {
    const auto read = scan_inputs({file_});
    ASSERT_TRUE(read);
    ASSERT_EQ(read.value().slices.size(), 1u);
    const AcquisitionTags& tags = read.value().slices[0].acquisition;
    const MrSetting setting = usual_mr_setting(GetParam().kind);
    EXPECT_EQ(tags.scanning_sequence.at(0), GetParam().sequence);
    EXPECT_EQ(tags.acquisition_type, setting.three_dimensional ? "3D" : "2D");
    EXPECT_EQ(tags.repetition_time_ms, setting.repetition_time_ms);
    EXPECT_EQ(tags.echo_time_ms, setting.echo_time_ms);
    EXPECT_EQ(tags.inversion_time_ms, setting.inversion_time_ms);
    EXPECT_EQ(tags.flip_angle_deg, setting.flip_angle_deg);
    EXPECT_EQ(!tags.contrast_agent.empty(), setting.with_contrast_agent);
    AcquisitionTags named = tags;
    named.series_description = "SIMULATED " + std::string(name(GetParam().kind));
    std::replace(named.series_description.begin(), named.series_description.end(), '_', ' ');
    std::transform(named.series_description.begin(), named.series_description.end(), named.series_description.begin(),
                   [](char c) { return c >= 'a' && c <= 'z' ? static_cast<char>(c - 32) : c; });
    const RoleOpinion opinion = series_role(Modality::mr, named);
    EXPECT_EQ(perisclera::name(opinion.role), GetParam().role) << opinion.why;
    EXPECT_NE(opinion.confidence, Confidence::low) << opinion.why;
    // By physics alone a fast gradient echo may be angiography as well as T1, and nothing is guessed.
    const std::string by_physics = GetParam().kind == Kind::t1_gradient_echo ? "unknown" : GetParam().role;
    EXPECT_EQ(perisclera::name(series_role(Modality::mr, tags).role), by_physics);
}

TEST_P(MrProtocol, satisfies_the_validator) {
    if (std::system("command -v dciodvfy >/dev/null 2>&1") != 0) {
        ASSERT_EQ(std::getenv("PERISCLERA_REQUIRE_TEST_DATA"), nullptr) << "dciodvfy must be installed where the test command installed it";
        GTEST_SKIP() << "dciodvfy is not installed";
    }
    std::string errors;
    FILE* pipe = ::popen(("dciodvfy -new " + file_.string() + " 2>&1").c_str(), "r");
    ASSERT_TRUE(pipe);
    std::array<char, 1024> line{};
    while (std::fgets(line.data(), line.size(), pipe))
        if (std::string(line.data()).find("Error") != std::string::npos) errors += line.data();
    ::pclose(pipe);
    EXPECT_EQ(errors, "");
}

INSTANTIATE_TEST_SUITE_P(kinds, MrProtocol, ::testing::ValuesIn(expected), [](const auto& of) { return std::string(name(of.param.kind)); });

}  // namespace
}  // namespace perisclera::phantoms
