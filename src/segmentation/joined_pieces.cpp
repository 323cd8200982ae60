// SPDX-License-Identifier: Apache-2.0
#include "joined_pieces.h"

#include <algorithm>
#include <cmath>

#include "one_of_pieces.h"
#include "perisclera/segmentation/body_outline.h"
#include "polar_regions.h"

namespace perisclera {

namespace {

struct Piece {
    EyeElement element;
    std::vector<float> outline;   ///< share of each cell of the grid
};

std::vector<float> shares_of(const std::vector<ElementCell>& cells) {
    std::vector<float> shares(PolarBlock::cell_count, 0.0f);
    for (const ElementCell& c : cells) shares[c.index] = c.share;
    return shares;
}

PolarMask filled(const std::vector<float>& shares) {
    constexpr float from = 0.5f;
    PolarMask mask(shares.size(), 0);
    for (std::size_t i = 0; i < mask.size(); ++i) mask[i] = shares[i] >= from;
    return mask;
}

/// A gap narrower than the blur of a soft kernel, or half a slice, is none that a scan could show.
bool meet(const PolarBlock& block, const Piece& a, const Piece& b) {
    constexpr double blur_mm = 0.6;
    const PolarMask reach = grown_by_mm(block, filled(a.outline), std::max(blur_mm, 0.5 * block.largest_spacing_mm())), other = filled(b.outline);
    for (std::size_t i = 0; i < reach.size(); ++i)
        if (reach[i] && other[i]) return true;
    return false;
}

/// The second becomes part of the first. What parts them is too narrow to be seen, so it is filled.
void take_in(const PolarBlock& block, Piece& whole, const Piece& part) {
    take_on_signs(block, whole.element, part.element);
    std::vector<ElementCell>& cells = whole.element.found.cells;
    const PolarMask one = grown(filled(whole.outline), 1), other = grown(filled(part.outline), 1);
    cells.clear();
    for (std::size_t i = 0; i < whole.outline.size(); ++i) {
        float& here = whole.outline[i];
        here = one[i] && other[i] ? 1.0f : std::max(here, part.outline[i]);
        if (here > 0.0f) cells.push_back({i, here});
    }
}

}  // namespace

std::vector<EyeElement> joined_pieces(std::vector<EyeElement> found, const std::vector<const EyeView*>& views, const std::vector<const EyeView*>& fellow,
                                      const std::vector<const FoundElement*>& of_fellow) {
    if (found.size() < 2) return found;
    std::vector<Piece> pieces;
    std::vector<EyeElement> out;
    for (EyeElement& e : found) {
        auto outline = outline_of_body(views, fellow, e, of_fellow);
        if (outline)
            pieces.push_back({std::move(e), shares_of(outline->cells)});
        else
            out.push_back(std::move(e));
    }
    for (std::size_t i = 0; i < pieces.size(); ++i)
        for (std::size_t k = i + 1; k < pieces.size();) {
            const PolarBlock& block = views[pieces[i].element.view]->block;
            if (!alike(pieces[i].element.found, pieces[k].element.found) || !meet(block, pieces[i], pieces[k])) {
                ++k;
                continue;
            }
            take_in(block, pieces[i], pieces[k]);
            pieces.erase(pieces.begin() + static_cast<std::ptrdiff_t>(k));
            k = i + 1;   // the whole reaches farther than its parts
        }
    for (Piece& p : pieces) out.push_back(std::move(p.element));
    return out;
}

}  // namespace perisclera
