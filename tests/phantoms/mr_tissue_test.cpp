// SPDX-License-Identifier: Apache-2.0
// Expected values: published relaxation times, chemical shift and susceptibility. Rows are those of the project's table of reference values.
#include "phantoms/mr_tissue.h"

#include <gtest/gtest.h>

#include <cmath>

#include "phantoms/mr_protocol.h"

namespace perisclera::phantoms {
namespace {

void expect_within(double value, double low, double high, const char* what) {
    EXPECT_GE(value, low) << what;
    EXPECT_LE(value, high) << what;
}

TEST(MrTissue, relaxation_at_1_5_tesla_lies_within_published_ranges) {
    const auto of = [](Tissue tissue) { return tissue_relaxation(tissue, 1.5); };
    // Row 5.01, Patz 2007: mean and standard deviation of 8 eyes; of the aqueous from the pooled fit to the mean's upper end.
    expect_within(of(Tissue::aqueous).t1_ms, 5053, 6233 + 979, "aqueous T1");
    expect_within(of(Tissue::aqueous).t2_ms, 468 - 149, 468 + 149, "aqueous T2");
    expect_within(of(Tissue::vitreous).t2_ms, 468 - 149, 468 + 149, "vitreous T2, as aqueous");
    expect_within(of(Tissue::muscle).t1_ms, 1581 - 646, 1581 + 646, "muscle T1");
    expect_within(of(Tissue::muscle).t2_ms, 41 - 7, 41 + 7, "muscle T2");
    EXPECT_EQ(of(Tissue::uvea).t1_ms, 1717.0);
    EXPECT_EQ(of(Tissue::uvea).t2_ms, 72.0);
    // Rows 5.01 and 5.02: cortex 1712 / 93 ms at 1.5 T, nucleus 996 / 21 at 7 T.
    expect_within(of(Tissue::lens).t1_ms, 996, 1712, "lens T1");
    expect_within(of(Tissue::lens).t2_ms, 21, 93, "lens T2");
    // Row 5.04, common tables.
    expect_within(of(Tissue::fat).t1_ms, 240, 250, "fat T1");
    expect_within(of(Tissue::fat).t2_ms, 60, 80, "fat T2");
    expect_within(of(Tissue::fluid).t1_ms, 4200, 4500, "fluid T1");
    expect_within(of(Tissue::fluid).t2_ms, 2100, 2300, "fluid T2");
    EXPECT_EQ(of(Tissue::grey).t1_ms, 920.0);
    EXPECT_EQ(of(Tissue::grey).t2_ms, 100.0);
    EXPECT_EQ(of(Tissue::white).t1_ms, 780.0);
    EXPECT_EQ(of(Tissue::white).t2_ms, 90.0);
}

TEST(MrTissue, at_3_tesla_t1_is_longer_and_within_published_ranges) {
    for (std::size_t i = 0; i < tissue_count; ++i) {
        const auto tissue = static_cast<Tissue>(i);
        // Row 5.05, Stanisz 2006: T2 about alike, T1 longer for all tissues. Free fluids hardly change.
        EXPECT_GE(tissue_relaxation(tissue, 3.0).t1_ms, tissue_relaxation(tissue, 1.5).t1_ms) << i;
        EXPECT_EQ(tissue_relaxation(tissue, 3.0).t2_ms, tissue_relaxation(tissue, 1.5).t2_ms) << i;
    }
    expect_within(tissue_relaxation(Tissue::white, 3.0).t1_ms, 699, 1735, "white T1, row 5.05");
    expect_within(tissue_relaxation(Tissue::white, 3.0).t1_ms, 600, 1100, "white T1, row 5.06");
    expect_within(tissue_relaxation(Tissue::fat, 3.0).t2_ms, 41, 371, "fat T2, row 5.05");
}

// A real adult head (shared data, adult_mr: 3 T, TR 11730 ms, TE 91 ms, 19 echoes): orbital fat has 0.55 (all of it) to 0.81 (between its septa) of the
// vitreous' signal, measured there. The table itself holds a published T2 (Pai 2008, PMC2849643: 41 to 143 ms at 3 T).
TEST(MrTissue, fat_stays_bright_in_a_train_of_echoes) {
    MrSetting setting = usual_mr_setting(Kind::t2);
    setting.field_strength_tesla = 3.0;
    setting.repetition_time_ms = 11730.0;
    setting.echo_time_ms = 91.0;
    setting.train_length = 19;
    expect_within(mr_look(Tissue::fat, setting).signal / mr_look(Tissue::vitreous, setting).signal, 0.55, 0.81, "fat against vitreous");
    // Henkelman 1992 (J Magn Reson Imaging 2:533): a single echo leaves fat darker than a train does.
    const double in_a_train = mr_look(Tissue::fat, setting).signal;
    setting.train_length = 1;
    EXPECT_LT(mr_look(Tissue::fat, setting).signal, 0.8 * in_a_train);
}

// Row 5.14: pHEMA with 10 % water, T1 13 to 58 ms in two components, T2 about a tenth of that, 1 to 6 ms.
TEST(MrTissue, a_hydrogel_with_little_water_relaxes_as_measured) {
    const Relaxation r = hydrogel_relaxation(0.10, 1.5);
    expect_within(r.t1_ms, 13.1, 58.2, "T1");
    expect_within(r.t2_ms, 1.0, 6.0, "T2");
}

// Row 5.12: 220 Hz at 1.5 T.
TEST(MrTissue, fat_lies_220_hertz_below_water_at_1_5_tesla) {
    EXPECT_NEAR(-fat_shift_ppm() * hertz_per_ppm_and_tesla * 1.5, 220.0, 4.0);
    EXPECT_LT(silicone_shift_ppm(), fat_shift_ppm());
}

// Row 5.17: soft tissue -9.05, air +0.36 ppm.
TEST(MrTissue, gas_differs_from_tissue_by_9_4_ppm) {
    EXPECT_NEAR(gas_susceptibility_ppm(), 9.41, 1e-9);
    EXPECT_NEAR(mr_look(Tissue::gas, usual_mr_setting(Kind::t1)).susceptibility_ppm, 9.41, 1e-9);
    EXPECT_EQ(mr_look(Tissue::fat, usual_mr_setting(Kind::t1)).susceptibility_ppm, 0.0);
    Element sponge{};
    sponge.material = Material::silicone_sponge;
    sponge.hu_at_120_kvp = -550.0;
    // Row 5.18 takes four to eight tenths of gas for a sponge.
    expect_within(mr_look(sponge, usual_mr_setting(Kind::t1)).susceptibility_ppm / 9.41, 0.4, 0.8, "share of gas");
}

// Row 5.08: silicone rubber at 1.5 T gives signal on gradient and spin echoes up to an echo time of 4 ms only. Seen is what rises above the
// mean of noise without signal, sqrt(pi/2) of its deviation, which is 20 units for spin and 4 for gradient echoes unless told otherwise.
TEST(MrTissue, silicone_rubber_is_seen_at_short_echo_times_only) {
    Element band{};
    band.material = Material::solid_silicone;
    for (const auto& [kind, noise] : {std::pair{Kind::t1, 20.0}, {Kind::t1_gradient_echo, 4.0}}) {
        MrSetting setting = usual_mr_setting(kind);
        const auto seen = [&](double echo_ms) {
            setting.echo_time_ms = echo_ms;
            if (setting.sequence == MrSequence::spin_echo) setting.train_spacing_ms = echo_ms;
            return mr_look(band, setting).signal > std::sqrt(3.14159265 / 2.0) * noise;
        };
        for (const double echo : {1.0, 2.0, 4.0}) EXPECT_TRUE(seen(echo)) << echo;
        for (const double echo : {10.0, 12.0, 15.0}) EXPECT_FALSE(seen(echo)) << echo;
    }
    for (const Kind kind : {Kind::t2, Kind::pd, Kind::stir, Kind::flair})
        EXPECT_LT(std::abs(mr_look(band, usual_mr_setting(kind)).signal), 25.0) << static_cast<int>(kind);
}

// Row 1.17: swollen hydrogel bright on T2. Row 5.14: without much water dark on T1 and T2. Row 1.18: it enhances mildly.
TEST(MrTissue, a_hydrogel_shows_its_water) {
    Element gel{};
    gel.material = Material::hydrogel;
    const auto signal = [&](double water, Kind kind) {
        gel.water_fraction = water;
        return mr_look(gel, usual_mr_setting(kind)).signal;
    };
    EXPECT_GT(signal(0.9, Kind::t2), mr_look(Tissue::fat, usual_mr_setting(Kind::t2)).signal);
    for (const Kind kind : {Kind::t1, Kind::t2}) EXPECT_LT(signal(0.15, kind), 0.1 * mr_look(Tissue::fat, usual_mr_setting(kind)).signal);
    EXPECT_GT(signal(0.9, Kind::t1_contrast), 1.05 * signal(0.9, Kind::t1));
    EXPECT_LT(signal(0.9, Kind::t1_contrast), 1.5 * signal(0.9, Kind::t1));
}

// Common practice, no source: muscle, gland and mucosa take contrast agent up; brain and eye's inside do not.
TEST(MrTissue, contrast_agent_stays_out_of_brain_and_vitreous) {
    const auto gain = [](Tissue tissue) {
        return mr_look(tissue, usual_mr_setting(Kind::t1_contrast)).signal / mr_look(tissue, usual_mr_setting(Kind::t1)).signal;
    };
    for (const Tissue tissue : {Tissue::white, Tissue::grey, Tissue::nerve, Tissue::vitreous, Tissue::aqueous, Tissue::lens})
        EXPECT_EQ(gain(tissue), 1.0);
    for (const Tissue tissue : {Tissue::muscle, Tissue::gland, Tissue::mucosa, Tissue::uvea}) EXPECT_GT(gain(tissue), 1.3);
}

// Common practice, no source: a suppressing pulse about fat's frequency spares water, unless the field has moved either.
TEST(MrTissue, fat_saturation_takes_fat_and_spares_water_where_the_field_is_even) {
    EXPECT_LT(left_by_fat_saturation(fat_shift_ppm()), 0.1);
    EXPECT_EQ(left_by_fat_saturation(0.0), 1.0);
    EXPECT_EQ(left_by_fat_saturation(fat_shift_ppm() + 3.0), 1.0);
    EXPECT_LT(left_by_fat_saturation(-3.0), 0.1);
}

// Common practice, no source: fluid dark on FLAIR, fat dark on STIR and bright on T1, vitreous darker than muscle on T1, white matter darker
// than grey on T2.
TEST(MrTissue, sequences_show_their_contrast) {
    const auto signal = [](Tissue tissue, Kind kind) { return mr_look(tissue, usual_mr_setting(kind)).signal; };
    EXPECT_LT(std::abs(signal(Tissue::fluid, Kind::flair)), 0.05 * signal(Tissue::grey, Kind::flair));
    EXPECT_LT(std::abs(signal(Tissue::fat, Kind::stir)), 0.15 * std::abs(signal(Tissue::vitreous, Kind::stir)));
    for (const Kind kind : {Kind::t1, Kind::t1_gradient_echo, Kind::t1_prepared}) {
        EXPECT_GT(signal(Tissue::fat, kind), 2.0 * signal(Tissue::muscle, kind)) << static_cast<int>(kind);
        EXPECT_LT(std::abs(signal(Tissue::vitreous, kind)), signal(Tissue::muscle, kind)) << static_cast<int>(kind);
    }
    for (const Kind kind : {Kind::t2, Kind::t2_fatsat, Kind::pd})
        EXPECT_LT(signal(Tissue::white, kind), signal(Tissue::grey, kind)) << static_cast<int>(kind);
}

}  // namespace
}  // namespace perisclera::phantoms
