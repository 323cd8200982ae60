// SPDX-License-Identifier: Apache-2.0
#include "fluid_level.h"

#include <cmath>
#include <vector>

#include "head_frame.h"

namespace perisclera::phantoms {

namespace {

constexpr double layer_mm = 0.1, step_mm = 0.25;

/// Where in its square the lattice of a layer starts, differently in each, so that the layers' errors are not alike (additive recurrence of the golden
/// ratio and of the plastic number's square).
double start(int layer, double ratio) { return layer * ratio - std::floor(layer * ratio); }

}  // namespace

template <class Frame>
FluidLevel fluid_level(double share_below, Vector<Frame> down, Point<Frame> origin, double reach_mm, const std::function<bool(Point<Frame>)>& contains) {
    const Vector<Frame> aside = std::abs(down.x) < 0.7 ? Vector<Frame>{1.0, 0.0, 0.0} : Vector<Frame>{0.0, 1.0, 0.0};
    const Vector<Frame> u = unit(cross(down, aside)), v = cross(down, u);
    const int layers = static_cast<int>(std::ceil(2.0 * reach_mm / layer_mm));
    std::vector<double> volume(static_cast<std::size_t>(layers));
    double whole = 0.0;
    for (int i = 0; i < layers; ++i) {
        const double depth = -reach_mm + (i + 0.5) * layer_mm;
        const int half = static_cast<int>(std::sqrt(std::max(0.0, reach_mm * reach_mm - depth * depth)) / step_mm);
        const Point<Frame> corner = origin + down * depth + u * (start(i, 0.6180339887) * step_mm) + v * (start(i, 0.5698402910) * step_mm);
        int inside = 0;
        for (int a = -half - 1; a <= half; ++a)
            for (int b = -half - 1; b <= half; ++b) inside += contains(corner + u * (a * step_mm) + v * (b * step_mm));
        volume[static_cast<std::size_t>(i)] = inside * layer_mm * step_mm * step_mm;
        whole += volume[static_cast<std::size_t>(i)];
    }
    double left = share_below * whole, level = -reach_mm + layers * layer_mm;
    for (int i = layers - 1; i >= 0; --i) {
        const double here = volume[static_cast<std::size_t>(i)];
        if (here >= left && here > 0.0) return {level - layer_mm * left / here, whole};
        left -= here;
        level -= layer_mm;
    }
    return {level, whole};
}

template FluidLevel fluid_level(double, Vector<EyeLocal>, Point<EyeLocal>, double, const std::function<bool(Point<EyeLocal>)>&);
template FluidLevel fluid_level(double, Vector<HeadFrame>, Point<HeadFrame>, double, const std::function<bool(Point<HeadFrame>)>&);

}  // namespace perisclera::phantoms
