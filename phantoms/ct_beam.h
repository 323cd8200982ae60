// SPDX-License-Identifier: Apache-2.0
// The X-ray beam of a CT scanner and the CT numbers it shows. Spectrum: Kramers' law for the thick tungsten target (Kramers HA, Philos Mag 1923;46:836),
// photons per energy as (tube voltage - energy) / energy, without characteristic lines; hardened by the tube's own and the scanner's filters and by
// what lies in the beam; weighted by what an energy-integrating detector of gadolinium oxysulphide makes of each photon.
// CT number = 1000 (mu - mu of water) / (mu of water - mu of air), each mu averaged over that weight: what a scanner shows that is calibrated
// on water at this voltage and behind this much of a head.
#pragma once

#include <vector>

#include "ct_attenuation.h"

namespace perisclera::phantoms {

/// What the beam has passed before it is looked at: half of it lies before, half behind a point in the middle, which makes no difference.
struct BeamPath {
    double water_cm, bone_cm;
};
/// A head at the height of the orbits: soft tissue as 14 cm of water, the two walls of the skull as 1 cm of cortical bone (common practice, no source).
inline constexpr BeamPath through_a_head{14.0, 1.0};

class CtBeam {
public:
    /// Tube voltage 40 to 150 kVp.
    explicit CtBeam(double kvp, BeamPath path = through_a_head);
    /// CT number of a piece of this substance large enough to show its own, HU.
    [[nodiscard]] double ct_number(const Substance& substance) const;
    /// Mean attenuation coefficient over the detected spectrum, 1/cm.
    [[nodiscard]] double attenuation_per_cm(const Substance& substance) const;
    /// The energy at which water weakens a ray as it does this beam.
    [[nodiscard]] double effective_kev() const;

    struct Bin {
        double kev;
        double weight;  ///< share of the detected signal; all add up to 1
    };
    [[nodiscard]] const std::vector<Bin>& spectrum() const { return bins_; }

private:
    std::vector<Bin> bins_;
    double water_, air_;  ///< 1/cm
};

}  // namespace perisclera::phantoms
