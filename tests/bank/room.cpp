// SPDX-License-Identifier: Apache-2.0
#include "tests/bank/room.h"

#include <nlohmann/json.hpp>

#include "phantoms/element_fit.h"
#include "tests/bank/draw.h"

namespace perisclera::bank {

std::string with_room(const std::string& scenario) {
    constexpr double step_mm = 0.2, thinnest_mm = 2.0;
    auto json = nlohmann::ordered_json::parse(scenario);
    for (auto& eye : json["eyes"]) {
        if (!eye.contains("elements")) continue;
        for (auto& element : eye["elements"])
            while (element["thickness_mm"].get<double>() > thinnest_mm && !phantoms::elements_fit(phantoms::parse_scenario(json.dump()).value()))
                element["thickness_mm"] = rounded(element["thickness_mm"].get<double>() - step_mm, 0.05);
    }
    return json.dump();
}

}  // namespace perisclera::bank
