// SPDX-License-Identifier: Apache-2.0
#include "plane_filter.h"

#include <cmath>

namespace perisclera::phantoms {

std::vector<double> gaussian(double sigma, int count) {
    std::vector<double> w(static_cast<std::size_t>(count));
    double sum = 0.0;
    for (int i = 0; i < count; ++i) {
        const double x = i - (count - 1) / 2.0;
        sum += w[static_cast<std::size_t>(i)] = std::exp(-x * x / (2.0 * sigma * sigma));
    }
    for (double& v : w) v /= sum;
    return w;
}

Image filtered(const Image& in, const std::vector<double>& w, int stride, int width, int height) {
    const int n = static_cast<int>(w.size());
    Image rows(width, in.height), out(width, height);
    for (int y = 0; y < in.height; ++y)
        for (int x = 0; x < width; ++x) {
            double sum = 0.0;
            for (int k = 0; k < n; ++k) sum += w[static_cast<std::size_t>(k)] * static_cast<double>(in.at(x * stride + k, y));
            rows.at(x, y) = static_cast<float>(sum);
        }
    for (int y = 0; y < height; ++y)
        for (int x = 0; x < width; ++x) {
            double sum = 0.0;
            for (int k = 0; k < n; ++k) sum += w[static_cast<std::size_t>(k)] * static_cast<double>(rows.at(x, y * stride + k));
            out.at(x, y) = static_cast<float>(sum);
        }
    return out;
}

Image filtered(const Image& in, const std::vector<WeightedFilter>& filters, int stride, int width, int height) {
    Image sum(width, height);
    for (const WeightedFilter& f : filters) {
        const Image part = filtered(in, f.taps, stride, width, height);
        for (std::size_t i = 0; i < sum.values.size(); ++i) sum.values[i] += static_cast<float>(f.weight) * part.values[i];
    }
    return sum;
}

}  // namespace perisclera::phantoms
