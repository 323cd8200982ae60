// SPDX-License-Identifier: Apache-2.0
#pragma once
// Choosing and counting bodies for the tables.
#include <algorithm>
#include <functional>
#include <iterator>
#include <string>
#include <vector>

#include "calibration.h"
#include "judged_body.h"

namespace perisclera::material_sweep {

using Bodies = std::vector<const JudgedBody*>;
using Belongs = std::function<bool(const JudgedBody&)>;

inline constexpr std::array series_sets{"CT", "T1", "T2", "CT+T1", "CT+T2", "T1+T2", "CT+T1+T2"};

inline Bodies those(const Bodies& bodies, const Belongs& belongs) {
    Bodies chosen;
    std::copy_if(bodies.begin(), bodies.end(), std::back_inserter(chosen), [&](const JudgedBody* b) { return belongs(*b); });
    return chosen;
}
inline std::size_t count(const Bodies& bodies, const Belongs& is) { return those(bodies, is).size(); }

inline bool found(const JudgedBody& b) { return b.found; }
inline bool right(const JudgedBody& b) { return b.found && b.right(); }
inline bool wrong(const JudgedBody& b) { return b.found && b.wrong(); }
inline bool undetermined(const JudgedBody& b) { return b.found && !b.label; }

/// Of what was found: the largest probability, and whether its class is the true one.
inline std::vector<StatedCase> stated_cases(const Bodies& bodies) {
    std::vector<StatedCase> cases;
    for (const JudgedBody* b : bodies)
        if (b->found) cases.push_back({b->largest(), b->leads_right()});
    return cases;
}

}  // namespace perisclera::material_sweep
