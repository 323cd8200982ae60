// SPDX-License-Identifier: Apache-2.0
// How look-alikes of explants show on CT and MR. Expected: published CT numbers and signals, and mixtures worked out here. Row numbers are those of the
// project's table of reference values.
#include <gtest/gtest.h>

#include "phantoms/ct_number.h"
#include "phantoms/ct_substance.h"
#include "phantoms/mr_protocol.h"
#include "phantoms/mr_tissue.h"

namespace perisclera::phantoms {
namespace {

// Rows 2.02 and 2.11, calculated at single energies: a head's beam of 120 kVp lies between 65 and 75 keV for the oil; perfluorocarbon is nearly flat
// (here: within a tenth from 80 to 140 kVp). Row 2.09: gas -994. Row 4.25: blood in the eye between 13 unclotted and 75 clotted.
TEST(LookAlikeSubstance, contents_of_a_globe_have_the_ct_numbers_published) {
    const CtBeam beam(120.0);
    EXPECT_GT(tissue_ct_number(Tissue::silicone_oil, beam), 61.0);
    EXPECT_LT(tissue_ct_number(Tissue::silicone_oil, beam), 115.0);
    EXPECT_NEAR(tissue_ct_number(Tissue::perfluorocarbon, beam), 585.0, 0.03 * 585.0);
    EXPECT_NEAR(tissue_ct_number(Tissue::perfluorocarbon, CtBeam(80.0)), tissue_ct_number(Tissue::perfluorocarbon, CtBeam(140.0)), 58.5);
    EXPECT_NEAR(tissue_ct_number(Tissue::gas, beam), -994.0, 6.0);
    EXPECT_GT(tissue_ct_number(Tissue::haemorrhage, beam), 13.0);
    EXPECT_LT(tissue_ct_number(Tissue::haemorrhage, beam), 75.0);
}

// Row 6.05: polyethylene -87 to -71 from 65 to 75 keV. Row 2.20: PMMA 119, titanium 11,500, hydroxyapatite 4,145 at 70 keV; of metal and mineral a head's
// beam shows less, being a little harder (cube of the energy: 3 % of the energy makes a tenth). Row 2.34: wood. Row 4.25: pus. Gold: the scale's end.
TEST(LookAlikeSubstance, plates_and_the_like_have_the_ct_numbers_published) {
    const CtBeam beam(120.0);
    const auto hu = [&](Tissue tissue) { return tissue_ct_number(tissue, beam); };
    EXPECT_GT(hu(Tissue::polyethylene), -87.0);
    EXPECT_LT(hu(Tissue::polyethylene), -71.0);
    EXPECT_NEAR(hu(Tissue::acrylic), 119.0, 5.0);
    EXPECT_NEAR(hu(Tissue::titanium), 11500.0, 1150.0);
    const double mineral = beam.ct_number(compound("Ca5P3O13H", 3.16));
    EXPECT_NEAR(mineral, 4145.0, 0.1 * 4145.0);
    EXPECT_NEAR(hu(Tissue::wood), -440.0, 20.0);
    EXPECT_GT(hu(Tissue::pus), 0.0);
    EXPECT_LT(hu(Tissue::pus), 45.0);
    EXPECT_GT(beam.ct_number(substances::gold()), 100000.0);
    EXPECT_EQ(hu(Tissue::gold), 30710.0);
    EXPECT_EQ(hu(Tissue::platinum), 30710.0);
    // Calcium density: between spongy and cortical bone.
    EXPECT_GT(hu(Tissue::plaque), hu(Tissue::spongy_bone));
    EXPECT_LT(hu(Tissue::plaque), hu(Tissue::cortical_bone));
}

// Row 1.37: an infected sponge loses its low density. Attenuation adds up by volume: rubber, gas, and pus for a share of the gas.
TEST(LookAlikeSubstance, a_filled_sponge_has_the_ct_number_of_the_mixture) {
    const CtBeam beam(120.0);
    const double rubber = beam.ct_number(mixture(substances::silicone_rubber(), substances::silica(), 0.2)), pus = beam.ct_number(substances::pus());
    Element sponge{};
    sponge.material = Material::silicone_sponge;
    for (const double dry : {-700.0, -550.0, -390.0})
        for (const double filled : {0.0, 0.3, 0.8, 1.0}) {
            sponge.hu_at_120_kvp = dry;
            sponge.filled_share = filled;
            const double pores = (rubber - dry) / (rubber + 1000.0);
            EXPECT_NEAR(element_ct_number(sponge, 120.0), (1.0 - pores) * rubber + pores * (filled * pus - (1.0 - filled) * 1000.0), 0.5);
        }
    EXPECT_GT(element_ct_number(sponge, 120.0), 0.0) << "dense when full";
}

double signal(Tissue tissue, Kind kind) { return std::abs(mr_look(tissue, usual_mr_setting(kind)).signal); }

// Row 2.03: oil bright on T1 against vitreous. Row 2.12: drainage plates dark on both. Row 5.20: vitreous dark on T1, bright on T2. That perfluorocarbon,
// plastics, metals and dry wood hold no protons that an image shows is common practice, no source.
TEST(LookAlikeSubstance, signals_are_bright_and_dark_as_published) {
    EXPECT_GT(signal(Tissue::silicone_oil, Kind::t1), 1.5 * signal(Tissue::vitreous, Kind::t1));
    for (const Kind kind : {Kind::t1, Kind::t2}) {
        EXPECT_LT(signal(Tissue::loaded_silicone, kind), 0.1 * signal(Tissue::muscle, kind));
        for (const Tissue dark : {Tissue::perfluorocarbon, Tissue::polypropylene, Tissue::polyethylene, Tissue::titanium, Tissue::gold, Tissue::platinum,
                                  Tissue::acrylic, Tissue::wood, Tissue::plaque})
            EXPECT_EQ(signal(dark, kind), 0.0);
    }
    EXPECT_GT(signal(Tissue::pus, Kind::t2), signal(Tissue::muscle, Kind::t2));
    EXPECT_LT(signal(Tissue::pus, Kind::t1), signal(Tissue::fat, Kind::t1));
}

// Row 1.03: a sponge is dark on T1 and T2. Full of fluid it has the fluid's signal by the share of its volume that is pores, and no gas to disturb the field.
TEST(LookAlikeSubstance, a_filled_sponge_is_no_longer_dark_on_t2) {
    Element sponge{};
    sponge.material = Material::silicone_sponge;
    sponge.hu_at_120_kvp = -550.0;
    const MrSetting t2 = usual_mr_setting(Kind::t2);
    const MrLook dry = mr_look(sponge, t2);
    sponge.filled_share = 1.0;
    const MrLook full = mr_look(sponge, t2);
    EXPECT_LT(dry.signal, 0.05 * full.signal);
    EXPECT_NEAR(full.signal - dry.signal, (200.0 + 550.0) / 1200.0 * mr_look(Tissue::pus, t2).signal, 1e-6 * full.signal);
    EXPECT_GT(dry.susceptibility_ppm, 5.0);
    EXPECT_EQ(full.susceptibility_ppm, 0.0);
}

}  // namespace
}  // namespace perisclera::phantoms
