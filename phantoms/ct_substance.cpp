// SPDX-License-Identifier: Apache-2.0
#include "ct_substance.h"

namespace perisclera::phantoms::substances {

namespace {

/// Collagen and other protein without water: mean of amino acids' elements, density 1.35 g/cm3 (from memory).
Substance protein() { return {{{1, 0.070}, {6, 0.530}, {7, 0.165}, {8, 0.225}, {16, 0.010}}, 1.35}; }
/// 0.9 % of common salt and so much protein in water.
Substance salty_water(double protein_share) { return mixture(mixture(water(), compound("NaCl", 2.16), 0.009), protein(), protein_share); }

/// Parts by volume.
Substance by_volume(const Substance& first, const Substance& second, double second_share) {
    const double second_mass = second_share * second.density_g_cm3;
    return mixture(first, second, second_mass / (second_mass + (1.0 - second_share) * first.density_g_cm3));
}
Substance bone_mineral() { return compound("Ca5P3O13H", 3.16); }  // hydroxyapatite: 4145 HU at 70 keV in row 2.20

}  // namespace

// Water at 20 degrees, as scanners are calibrated on.
Substance water() { return compound("H2O", 0.998); }
Substance air() { return reference_material("Air, Dry (near sea level)", 1.205e-3); }

// Compositions of ICRP in NIST's table, at that table's density except where a comment says otherwise.
Substance adipose() { return reference_material("Adipose Tissue (ICRP)", 0.92); }
Substance muscle() { return reference_material("Muscle, Skeletal", 1.05); }         // density of ICRU Report 44
Substance soft_tissue() { return reference_material("Tissue, Soft (ICRP)", 1.05); }  // the table's 1.00 is a convention of dosimetry; glands and muscle have 1.05
Substance skin() { return reference_material("Skin (ICRP)", 1.06); }                 // instead of 1.10, to lie in the textbook range of CT numbers
Substance blood() { return reference_material("Blood (ICRP)", 1.06); }
Substance lens() { return reference_material("Eye Lens (ICRP)", 1.10); }
// The table knows one brain of 1.03; the two matters differ by the 7 HU measured at 120 kVp (Nakamura 2019, doi 10.4236/act.2019.82003).
Substance white_matter() { return reference_material("Brain (ICRP)", 1.0265); }
Substance grey_matter() { return reference_material("Brain (ICRP)", 1.0335); }
// Watery tissues as salt water with their usual share of protein (common practice, no source).
Substance tissue_fluid() { return salty_water(0.001); }
Substance sclera() { return salty_water(0.28); }
Substance cornea() { return salty_water(0.21); }
Substance optic_sheath() { return salty_water(0.22); }
Substance uvea() { return mixture(soft_tissue(), blood(), 0.5); }
Substance eyelid() { return mixture(soft_tissue(), adipose(), 0.12); }
// ICRU Report 46.
Substance cortical_bone() {
    return {{{1, 0.034}, {6, 0.155}, {7, 0.042}, {8, 0.435}, {11, 0.001}, {12, 0.002}, {15, 0.103}, {16, 0.003}, {20, 0.225}}, 1.92};
}
Substance spongy_bone() {
    return {{{1, 0.085}, {6, 0.404}, {7, 0.028}, {8, 0.367}, {11, 0.001}, {12, 0.001}, {15, 0.034}, {16, 0.002}, {17, 0.002}, {19, 0.001}, {20, 0.074}, {26, 0.001}}, 1.18};
}

Substance silicone_rubber() { return compound("C2H6OSi", 0.97); }
Substance silica() { return compound("SiO2", 2.2); }
Substance silicone_oil() { return compound("C2H6OSi", 0.97); }
Substance hydrogel(double water_fraction) {
    // Equal masses of the monomers; the dry density is assumed. What swells it is tissue fluid.
    return mixture(mixture(compound("C4H6O2", 1.25), compound("C5H8O3", 1.25), 0.5), tissue_fluid(), water_fraction);
}
Substance tamponade_gas() { return mixture(air(), compound("C3F8", 7.8e-3), 0.5); }
Substance perfluoro_octane() { return compound("C8F18", 1.76); }
Substance acrylic_glass() { return compound("C5H8O2", 1.18); }
Substance polyethylene() { return compound("C2H4", 0.94); }
Substance polypropylene() { return compound("C3H6", 0.905); }  // density from memory
Substance titanium() { return compound("Ti", 4.506); }
Substance tantalum() { return compound("Ta", 16.65); }
Substance gold() { return compound("Au", 19.3); }
Substance platinum() { return compound("Pt", 21.45); }

// Rows are those of the project's table of reference values; shares that no row states are assumed. Row 2.12: plates of barium-loaded silicone are dense.
Substance barium_silicone() { return mixture(silicone_rubber(), compound("BaSO4", 4.5), 0.125); }
// Rows 2.18, 2.19: spheres that grow full of tissue. Half of polyethylene is pores, more of coralline hydroxyapatite (from memory).
Substance porous_polyethylene() { return by_volume(polyethylene(), soft_tissue(), 0.5); }
Substance porous_hydroxyapatite() { return by_volume(soft_tissue(), bone_mineral(), 0.35); }
// Row 2.21 has no CT number: mineral by volume such that the plaque lies between spongy and cortical bone.
Substance calcified_plaque() { return by_volume(sclera(), bone_mineral(), 0.18); }
// Cellulose of the density of dry softwood: row 2.34, one splinter of -434 to -446 HU, samples from -618 to 23 HU.
Substance wood() { return compound("C6H10O5", 0.59); }
// Row 4.25: 0 to 20 HU, up to 45.
Substance pus() { return salty_water(0.05); }

}  // namespace perisclera::phantoms::substances
