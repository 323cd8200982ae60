// SPDX-License-Identifier: Apache-2.0
#pragma once
// The eyes of one invented patient of the globe and alignment sweeps: builds, lenses, contents, explants, muscles, and now and then an eye that is missing.
// Dealt from decks, so that every kind comes equally often; sizes within a kind are drawn.
#include <cstdint>

#include <nlohmann/json.hpp>

namespace perisclera::globes {

/// `anatomy` and `eyes` of a scenario. The same seed and number give the same patient.
struct DrawnEyes {
    nlohmann::ordered_json anatomy, eyes;
};
DrawnEyes draw_eyes(std::uint64_t seed, int number);

}  // namespace perisclera::globes
