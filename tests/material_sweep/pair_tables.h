// SPDX-License-Identifier: Apache-2.0
#pragma once
// Materials that are hard to tell apart, beside the best that can be made of the same readings; what imitates; what was wrong.
#include <string>

#include "bodies.h"

namespace perisclera::material_sweep {

/// Firm hydrogel against lightly filled silicone, by set of series.
std::string firm_table(const Bodies& bodies);
/// Swollen hydrogel and soft tissue or fluid on CT only.
std::string swollen_on_ct_table(const Bodies& bodies);
/// Both silicones without CT.
std::string silicones_on_mr_table(const Bodies& bodies);
/// What imitates, and infected sponges, by kind.
std::string look_alike_table(const Bodies& bodies);
/// How far the best possible itself errs at 0.9 and more: what no program can better on these measurements.
std::string best_errors(const Bodies& bodies);
/// A line for each error at a stated probability of 0.9 and more.
std::string sure_errors(const Bodies& bodies);

}  // namespace perisclera::material_sweep
