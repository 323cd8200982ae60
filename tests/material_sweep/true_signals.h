// SPDX-License-Identifier: Apache-2.0
#pragma once
// What a body shows where nothing blurs it, by the simulator's physics, which shares no code with the estimator's.
#include <map>
#include <utility>
#include <vector>

#include "body_kind.h"
#include "phantoms/mr_setting.h"

namespace perisclera::material_sweep {

/// Values of the latent over its range at which tables stand, one where there is no range.
std::vector<double> latent_grid(const BodyKind& kind);

class TrueSignals {
public:
    /// HU at each value of latent_grid; made once for each kind and voltage.
    const std::vector<double>& ct_table(const BodyKind& kind, double kvp);
    /// Linear between the table's values, whose error is below 0.1 HU.
    double ct(const BodyKind& kind, double latent, double kvp);

private:
    std::map<std::pair<const BodyKind*, double>, std::vector<double>> tables_;
};

/// Signal over vitreous' signal; magnitudes.
double ratio_to_vitreous(const BodyKind& kind, double latent, const phantoms::MrSetting& setting);
double ratio_to_vitreous(phantoms::Tissue tissue, const phantoms::MrSetting& setting);

}  // namespace perisclera::material_sweep
