// SPDX-License-Identifier: Apache-2.0
#include "element_names.h"

#include <algorithm>
#include <functional>

#include "perisclera/timeline/element_change.h"
#include "perisclera/timeline/part_of_element.h"

namespace perisclera {

std::vector<std::string> ElementNames::name(Eye eye, const std::vector<AnalysedElement>& elements) {
    constexpr double typical_radius_mm = 12.0, mostly = 0.7;
    auto& known = known_[eye == Eye::right ? 0 : 1];
    std::vector<std::string> names(elements.size());
    std::vector<char> taken(known.size(), 0);
    const auto match = [&](const std::function<bool(const Known&, const AnalysedElement&)>& same) {
        for (std::size_t k = 0; k < elements.size(); ++k)
            for (std::size_t i = 0; i < known.size(); ++i) {
                if (taken[i] || !names[k].empty() || !same(known[i], elements[k])) continue;
                taken[i] = 1;
                names[k] = known[i].name;
                known[i] = {names[k], elements[k].measured, elements[k].element.found};
            }
    };
    match([](const Known& k, const AnalysedElement& e) { return likely_same(k.measured, e.measured, typical_radius_mm); });
    match([](const Known& k, const AnalysedElement& e) { return share_within(e.element.found, k.found) >= mostly || share_within(k.found, e.element.found) >= mostly; });
    for (std::size_t k = 0; k < elements.size(); ++k) {
        if (!names[k].empty()) continue;
        names[k] = (eye == Eye::right ? "R" : "L") + std::to_string(known.size() + 1);
        known.push_back({names[k], elements[k].measured, elements[k].element.found});
    }
    return names;
}

}  // namespace perisclera
