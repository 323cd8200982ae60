// SPDX-License-Identifier: Apache-2.0
#include "merge.h"

#include <algorithm>

namespace perisclera {

namespace {

/// Two clock hours, as for the same element at two dates (timeline/element_change.h). What goes all round, or has no place measured, agrees with its like.
bool same_place(const ElementRecord& a, const ElementRecord& b) {
    if (!a.middle || !b.middle) return a.middle.has_value() == b.middle.has_value();
    return a.middle->distance_to(*b.middle).value() < 2.0;
}

void take_later(ElementRecord& kept, const ElementRecord& other) {
    if (other.last_change && (!kept.last_change || kept.last_change->on < other.last_change->on)) {
        kept.last_change = other.last_change;
        kept.rate = other.rate;
    }
    if (!(kept.measured_on < other.measured_on)) return;
    kept.form = other.form;
    kept.middle = other.middle;
    kept.measured_on = other.measured_on;
    kept.volume = other.volume;
    kept.material = other.material;
    kept.probability = other.probability;
}

}  // namespace

std::optional<std::vector<ElementRecord>> merged(std::vector<ElementRecord> stored, const RegisterEntry& entry, bool covers) {
    if (covers) {
        std::erase_if(stored, [&](const ElementRecord& e) { return std::find(entry.eyes.begin(), entry.eyes.end(), e.eye) != entry.eyes.end(); });
        stored.insert(stored.end(), entry.elements.begin(), entry.elements.end());
        return stored;
    }
    for (const ElementRecord& element : entry.elements) {
        const auto known = std::find_if(stored.begin(), stored.end(), [&](const ElementRecord& e) { return e.eye == element.eye && e.id == element.id; });
        if (known == stored.end()) stored.push_back(element);
        else if (!same_place(*known, element)) return std::nullopt;
        else take_later(*known, element);
    }
    return stored;
}

}  // namespace perisclera
