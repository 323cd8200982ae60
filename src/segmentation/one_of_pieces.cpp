// SPDX-License-Identifier: Apache-2.0
#include "one_of_pieces.h"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace perisclera {

bool alike(const FoundElement& a, const FoundElement& b) {
    constexpr double standard_uncertainties = 3.0;
    return a.appearance == b.appearance && std::abs(a.core_signal - b.core_signal) <= standard_uncertainties * std::hypot(a.core_signal_uncertainty, b.core_signal_uncertainty);
}

void take_on_signs(const PolarBlock& block, EyeElement& whole, const EyeElement& part) {
    FoundElement& to = whole.found;
    const FoundElement& from = part.found;
    const double a = volume_mm3(block, to), b = volume_mm3(block, from), share = b / std::max(a + b, 1e-6);
    to.core_signal = std::lerp(to.core_signal, from.core_signal, share), to.background_signal = std::lerp(to.background_signal, from.background_signal, share);
    to.core_signal_uncertainty = std::max(to.core_signal_uncertainty, from.core_signal_uncertainty);
    to.thinner_than_blur = to.thinner_than_blur && from.thinner_than_blur;
    to.own_signs = to.own_signs || from.own_signs;
    to.strength += from.strength;
    std::vector<SureColumn> sure;
    std::merge(to.sure_columns.begin(), to.sure_columns.end(), from.sure_columns.begin(), from.sure_columns.end(), std::back_inserter(sure), [](const SureColumn& x, const SureColumn& y) { return x.column < y.column; });
    to.sure_columns = std::move(sure);
    std::vector<std::size_t>& also = whole.also_seen_in;
    also.insert(also.end(), part.also_seen_in.begin(), part.also_seen_in.end());
    std::sort(also.begin(), also.end());
    also.erase(std::unique(also.begin(), also.end()), also.end());
}

}  // namespace perisclera
