// SPDX-License-Identifier: Apache-2.0
#include "tests/bank/room.h"

#include <algorithm>
#include <cmath>

#include <nlohmann/json.hpp>

#include "phantoms/element_fit.h"
#include "tests/bank/draw.h"

namespace perisclera::bank {

std::string with_room(const std::string& scenario) {
    constexpr double step_mm = 0.2, thinnest_mm = 2.0;
    auto json = nlohmann::ordered_json::parse(scenario);
    const auto fits = [&] {
        auto parsed = phantoms::parse_scenario(json.dump()).value();
        // What fills a part of an eye takes long to level, and no room.
        for (auto& visit : parsed.timepoints)
            for (auto& eye : visit.eyes) eye.contents_share = 1.0;
        return bool(phantoms::elements_fit(parsed));
    };
    for (auto& eye : json["eyes"]) {
        if (!eye.contains("elements")) continue;
        for (auto& element : eye["elements"]) {
            const double drawn = element["thickness_mm"].get<double>();
            const auto thinner = [&](int steps) { element["thickness_mm"] = steps == 0 ? drawn : rounded(drawn - steps * step_mm, 0.05); };
            if (drawn <= thinnest_mm || fits()) continue;
            // The fewest steps with which it fits, at most those that make it as thin as it may become: halved, since what fits fits thinner too.
            int too_few = 0, enough = static_cast<int>(std::ceil((drawn - thinnest_mm) / step_mm - 1e-9));
            while (enough - too_few > 1) {
                const int middle = (too_few + enough) / 2;
                thinner(middle);
                (fits() ? enough : too_few) = middle;
            }
            thinner(enough);
        }
    }
    return json.dump();
}

}  // namespace perisclera::bank
