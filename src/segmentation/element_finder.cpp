// SPDX-License-Identifier: Apache-2.0
#include "perisclera/segmentation/element_finder.h"

#include <algorithm>

#include "element_shares.h"
#include "mass_support.h"

namespace perisclera {

double volume_mm3(const PolarBlock& block, const FoundElement& element) {
    double sum = 0.0;
    for (const ElementCell& c : element.cells) sum += static_cast<double>(c.share) * block.cell_volume_mm3(PolarBlock::cell(c.index));
    return std::max(sum, 0.0);
}

std::vector<FoundElement> find_elements(const PolarBlock& block, const PolarBlock* fellow, const FinderSettings& settings) {
    std::vector<FoundElement> found;
    const auto take = [&](const std::vector<Candidate>& candidates, Appearance appearance) {
        for (const Candidate& c : candidates) {
            FoundElement element = with_shares(block, c, appearance, settings.kvp);
            // Where little of it departs from what surrounds it there is nothing to measure.
            const bool mass = is_mass(appearance);
            const double least_mm3 = mass ? 0.6 * c.strength * displaced_alone_mm3 : 0.0;
            // What displaces the fat there is known already.
            const bool known = mass && std::any_of(found.begin(), found.end(), [&](const FoundElement& other) {
                return (other.appearance == Appearance::ct_dark || other.appearance == Appearance::ct_bright) && same_columns(element, other);
            });
            if (!known && volume_mm3(block, element) > least_mm3) found.push_back(std::move(element));
        }
    };
    if (settings.modality == Modality::ct) {
        take(ct_dark_regions(block), Appearance::ct_dark);
        take(ct_bright_regions(block, fellow, settings.kvp), Appearance::ct_bright);
        take(displaced_fat_regions(block, fellow, settings), Appearance::ct_mass);
    } else {
        if (settings.t2_weighted) take(t2_bright_regions(block, fellow), Appearance::t2_bright);
        const std::vector<Candidate> masses = displaced_fat_regions(block, fellow, settings);
        take(masses, Appearance::mr_mass);
        if (settings.voids) take(mr_void_regions(block, masses), Appearance::mr_void);
    }
    std::stable_sort(found.begin(), found.end(), [&](const FoundElement& a, const FoundElement& b) { return volume_mm3(block, a) > volume_mm3(block, b); });
    return found;
}

}  // namespace perisclera
