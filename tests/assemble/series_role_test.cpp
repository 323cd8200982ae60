// SPDX-License-Identifier: Apache-2.0
// Roles of made-up headers. Expected roles follow the parameters that the named sequences commonly have: spin-echo weighting by TR
// and TE as taught (T1: TR < 500-1500, TE < 30; PD: TR > 1500, TE < 30; T2: TR > 1500, TE > 90 ms), inversion times near
// 0.69 x T1 of the tissue nulled (fat about 250 ms, fluid about 4000 ms), Ernst angle arccos(exp(-TR/T1)) for gradient echoes.
#include "perisclera/assemble/series_role.h"

#include <gtest/gtest.h>

#include "perisclera/ingest/dicom_values.h"

namespace perisclera {
namespace {

struct MrCase {
    std::string what;
    std::string scanning_sequence, variant, options;
    double repetition, echo, inversion, flip;  ///< 0: not stated
    std::string description, contrast;
    std::string expected;
};

std::optional<double> stated(double value) { return value > 0.0 ? std::optional(value) : std::nullopt; }

AcquisitionTags tags_of(const MrCase& c) {
    AcquisitionTags tags;
    tags.image_type = {"ORIGINAL", "PRIMARY", "M"};
    tags.scanning_sequence = split_values(c.scanning_sequence);
    tags.sequence_variant = split_values(c.variant);
    tags.scan_options = split_values(c.options);
    tags.repetition_time_ms = stated(c.repetition);
    tags.echo_time_ms = stated(c.echo);
    tags.inversion_time_ms = stated(c.inversion);
    tags.flip_angle_deg = stated(c.flip);
    tags.series_description = c.description;
    tags.contrast_agent = c.contrast;
    return tags;
}

std::ostream& operator<<(std::ostream& out, const MrCase& c) { return out << c.what; }

class MrRole : public ::testing::TestWithParam<MrCase> {};

TEST_P(MrRole, follows_from_physics) {
    const RoleOpinion opinion = series_role(Modality::mr, tags_of(GetParam()));
    EXPECT_EQ(name(opinion.role), GetParam().expected) << opinion.why;
    EXPECT_FALSE(opinion.why.empty());
    EXPECT_FALSE(opinion.simulated);
}

INSTANTIATE_TEST_SUITE_P(
    table, MrRole,
    ::testing::Values(MrCase{"spin echo T1", "SE", "SK", "", 520, 12, 0, 90, "", "", "t1"},
                      MrCase{"fast spin echo T1 at 3 T", "SE", "SK\\SP", "", 800, 10, 0, 140, "", "", "t1"},
                      MrCase{"spin echo T1 with fat saturation", "SE", "SK", "FS", 600, 12, 0, 90, "", "", "t1_fatsat"},
                      MrCase{"spin echo T1 after contrast", "SE", "SK", "", 520, 12, 0, 90, "", "agent", "t1_contrast"},
                      MrCase{"spin echo T1 after contrast with fat saturation", "SE", "SK", "PFP\\FS", 520, 12, 0, 90, "", "agent", "t1_contrast_fatsat"},
                      MrCase{"agent entered for a series named as native", "SE", "SK", "", 520, 12, 0, 90, "t1 native", "agent", "t1"},
                      MrCase{"fast spin echo T2", "SE", "SK\\SP", "", 4200, 96, 0, 150, "", "", "t2"},
                      MrCase{"fast spin echo T2 with fat saturation", "SE", "SK", "FS", 4200, 85, 0, 150, "", "", "t2_fatsat"},
                      MrCase{"fat saturation told by the name alone", "SE", "SK", "", 4200, 85, 0, 150, "t2 tse cor fs", "", "t2_fatsat"},
                      MrCase{"proton density", "SE", "SK", "SP", 2300, 22, 0, 90, "", "", "pd"},
                      MrCase{"a wrong name does not beat physics", "SE", "SK", "", 2300, 22, 0, 90, "T2 axial", "", "pd"},
                      MrCase{"between the weightings", "SE", "SK", "", 2000, 50, 0, 90, "", "", "unknown"},
                      MrCase{"between the weightings, named", "SE", "SK", "", 2000, 60, 0, 90, "AX T2", "", "t2"},
                      MrCase{"STIR", "SE\\IR", "SK\\SP\\MP", "IR", 4500, 40, 160, 150, "", "", "stir"},
                      MrCase{"FLAIR", "SE\\IR", "SK\\SP\\MP", "IR", 9000, 110, 2500, 150, "", "", "flair"},
                      MrCase{"T1 inversion-recovery spin echo", "IR\\SE", "SK", "IR", 2000, 15, 860, 90, "", "", "t1"},
                      MrCase{"inversion recovery without inversion time", "SE\\IR", "SK", "IR", 5000, 80, 0, 150, "", "", "unknown"},
                      MrCase{"inversion recovery named as STIR", "SE\\IR", "SK", "IR", 5000, 50, 0, 150, "STIR cor", "", "stir"},
                      MrCase{"inversion-prepared 3D gradient echo", "GR\\IR", "SP\\MP", "IR", 2530, 1.66, 1100, 7, "", "", "t1"},
                      MrCase{"inversion-prepared 3D gradient echo, no inversion time", "GR\\IR", "SP\\MP", "IR", 2530, 1.66, 0, 7, "", "", "t1"},
                      MrCase{"spoiled 3D gradient echo", "GR", "SP", "", 18, 10, 0, 30, "", "", "t1"},
                      MrCase{"fast spoiled gradient echo with fat saturation", "GR", "SP", "FS", 5, 2, 0, 12, "", "", "t1_fatsat"},
                      MrCase{"spoiled gradient echo below the Ernst angle", "GR", "SP", "", 500, 5, 0, 10, "", "", "unknown"},
                      MrCase{"T2* gradient echo", "GR", "SP", "", 700, 25, 0, 20, "", "", "gre"},
                      MrCase{"steady state", "GR", "SS", "", 6, 3, 0, 60, "", "", "other"},
                      MrCase{"echo-planar diffusion", "EP\\SE", "NONE", "", 6000, 90, 0, 90, "", "", "dwi"},
                      MrCase{"nothing stated", "", "", "", 0, 0, 0, 0, "", "", "unknown"},
                      MrCase{"a name alone is not enough", "", "", "", 0, 0, 0, 0, "T1 axial", "", "unknown"},
                      MrCase{"scout told by its name", "", "", "", 0, 0, 0, 0, "3-plane scout", "", "localizer"}));

AcquisitionTags spin_echo_t1() { return tags_of({"", "SE", "SK", "", 520, 12, 0, 90, "", "", ""}); }

TEST(SeriesRole, image_type_tells_secondary_images) {
    // PS3.3 C.7.6.1.1.2, C.8.3.1.1.1: ImageType values.
    const auto role_with = [](std::vector<std::string> image_type) {
        AcquisitionTags tags = spin_echo_t1();
        tags.image_type = std::move(image_type);
        return name(series_role(Modality::mr, tags).role);
    };
    EXPECT_EQ(role_with({"ORIGINAL", "PRIMARY", "LOCALIZER"}), "localizer");
    EXPECT_EQ(role_with({"DERIVED", "PRIMARY", "PROJECTION IMAGE"}), "derived");
    EXPECT_EQ(role_with({"DERIVED", "SECONDARY", "MPR"}), "derived");
    EXPECT_EQ(role_with({"DERIVED", "PRIMARY", "DIFFUSION", "ADC"}), "derived");
    EXPECT_EQ(role_with({"ORIGINAL", "PRIMARY", "P"}), "other");
    EXPECT_EQ(role_with({"ORIGINAL", "PRIMARY", "M", "NORM"}), "t1");
    EXPECT_EQ(role_with({"ORIGINAL", "PRIMARY", "MPR"}), "t1") << "some scanners mark original images so";
    EXPECT_EQ(role_with({"DERIVED", "PRIMARY", "M", "DIS2D"}), "t1");
    EXPECT_EQ(role_with({"DERIVED", "PRIMARY", "DIXON", "W"}), "t1_fatsat");
}

TEST(SeriesRole, simulated_series_keep_the_role_of_their_physics) {
    AcquisitionTags tags = spin_echo_t1();
    tags.image_type = {"DERIVED", "SECONDARY", "OTHER"};
    tags.series_description = "Simulated T1";
    const RoleOpinion opinion = series_role(Modality::mr, tags);
    EXPECT_EQ(opinion.role, SeriesRole::t1);
    EXPECT_TRUE(opinion.simulated);
}

TEST(SeriesRole, reasons_quote_no_free_text) {
    AcquisitionTags tags = spin_echo_t1();
    tags.series_description = "PLANTED t1";
    tags.protocol_name = "PLANTED";
    tags.contrast_agent = "PLANTED";
    tags.kernel = "PLANTED BONE";
    for (const Modality modality : {Modality::ct, Modality::mr}) {
        const RoleOpinion opinion = series_role(modality, tags);
        EXPECT_EQ(opinion.why.find("PLANTED"), std::string::npos);
        for (const std::string& problem : opinion.problems) EXPECT_EQ(problem.find("PLANTED"), std::string::npos);
    }
}

TEST(SeriesRole, kernels_tell_soft_tissue_from_bone) {
    // Habits of naming that are widely shared; common practice, no source.
    const auto role_of = [](const std::string& kernel, const std::string& group = "") {
        AcquisitionTags tags;
        tags.image_type = {"ORIGINAL", "PRIMARY", "AXIAL"};
        tags.kernel = kernel;
        tags.kernel_group = group;
        return series_role(Modality::ct, tags);
    };
    for (const char* kernel : {"SOFT", "STANDARD", "H40s", "B30f", "Hr40", "FC26", "Brain"}) EXPECT_EQ(role_of(kernel).role, SeriesRole::ct_soft) << kernel;
    for (const char* kernel : {"BONE", "BONEPLUS", "EDGE", "H60s", "B70f", "Hr64", "FC35", "FC81", "LUNG"})
        EXPECT_EQ(role_of(kernel).role, SeriesRole::ct_bone) << kernel;
    EXPECT_EQ(role_of("any", "BONE").role, SeriesRole::ct_bone);
    EXPECT_EQ(role_of("any", "BRAIN").role, SeriesRole::ct_soft);
    for (const char* kernel : {"", "C", "A1"}) {
        const RoleOpinion opinion = role_of(kernel);
        EXPECT_EQ(opinion.role, SeriesRole::ct_soft);
        EXPECT_FALSE(opinion.problems.empty()) << "a kernel that does not tell is told";
    }
}

TEST(SeriesRole, a_stated_contrast_of_an_enhanced_image_is_believed) {
    // PS3.3 C.8.13.3.1.2
    const auto role_of = [](const char* contrast) {
        AcquisitionTags tags;
        tags.acquisition_contrast = contrast;
        tags.scanning_sequence = {"GR"};
        tags.repetition_time_ms = 2500.0;
        tags.echo_time_ms = 3.0;
        tags.flip_angle_deg = 8.0;
        return series_role(Modality::mr, tags).role;
    };
    const std::vector<std::pair<const char*, SeriesRole>> stated{
        {"T1", SeriesRole::t1}, {"T2", SeriesRole::t2}, {"PROTON_DENSITY", SeriesRole::pd}, {"FLUID_ATTENUATED", SeriesRole::flair}, {"STIR", SeriesRole::stir},
        {"DIFFUSION", SeriesRole::dwi}, {"T2_STAR", SeriesRole::gre}, {"PERFUSION", SeriesRole::other}, {"FLOW_ENCODED", SeriesRole::other}, {"TAGGING", SeriesRole::other}};
    for (const auto& [contrast, role] : stated) EXPECT_EQ(role_of(contrast), role) << contrast;
    for (const char* contrast : {"", "UNKNOWN", "MIXED"}) EXPECT_EQ(role_of(contrast), SeriesRole::unknown) << contrast;
}

TEST(SeriesRole, names_are_those_of_the_report) {
    EXPECT_EQ(name(SeriesRole::ct_soft), "ct_soft");
    EXPECT_EQ(name(SeriesRole::t1_contrast_fatsat), "t1_contrast_fatsat");
    EXPECT_EQ(name(SeriesRole::unknown), "unknown");
}

TEST(SeriesRole, only_roles_with_a_known_contrast_are_measured) {
    EXPECT_TRUE(is_measured(SeriesRole::ct_bone));
    EXPECT_TRUE(is_measured(SeriesRole::pd));
    for (const SeriesRole role : {SeriesRole::dwi, SeriesRole::gre, SeriesRole::localizer, SeriesRole::derived, SeriesRole::other, SeriesRole::unknown})
        EXPECT_FALSE(is_measured(role)) << name(role);
}

}  // namespace
}  // namespace perisclera
