// SPDX-License-Identifier: Apache-2.0
// What tissues and materials are made of: mass shares of the elements and density, with the source of each.
#pragma once

#include "ct_attenuation.h"

namespace perisclera::phantoms::substances {

Substance water();
Substance air();

Substance adipose();
Substance muscle();
Substance soft_tissue();
Substance skin();
Substance blood();
Substance lens();
Substance white_matter();
Substance grey_matter();
/// Aqueous, vitreous, cerebrospinal fluid.
Substance tissue_fluid();
Substance sclera();
Substance cornea();
Substance optic_sheath();
Substance uvea();
Substance eyelid();
Substance cortical_bone();
Substance spongy_bone();

/// Rubber of poly-dimethyl siloxane without filler.
Substance silicone_rubber();
/// The amorphous silica that rubber is filled with.
Substance silica();
Substance silicone_oil();
/// Co-polymer of methyl acrylate and 2-hydroxyethyl acrylate with this share of its mass tissue fluid.
Substance hydrogel(double water_fraction);
/// Octafluoropropane diluted in air so that it keeps its volume in the eye.
Substance tamponade_gas();
Substance perfluoro_octane();
Substance acrylic_glass();
Substance polyethylene();
Substance polypropylene();
Substance titanium();
Substance tantalum();
Substance gold();
Substance platinum();
/// Silicone rubber loaded with barium sulphate, as plates are that X-rays are to show.
Substance barium_silicone();
/// Porous spheres whose pores tissue has grown into.
Substance porous_polyethylene();
Substance porous_hydroxyapatite();
/// Sclera with bone mineral in it.
Substance calcified_plaque();
/// Dry.
Substance wood();
Substance pus();

}  // namespace perisclera::phantoms::substances
