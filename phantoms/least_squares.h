// SPDX-License-Identifier: Apache-2.0
#pragma once
// Small least squares by the normal equations, and the median.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <optional>
#include <utility>
#include <vector>

namespace perisclera::phantoms {

template <std::size_t N>
using Numbers = std::array<double, N>;
template <std::size_t N>
using Square = std::array<Numbers<N>, N>;

/// Solves m x = v by elimination with pivots; nothing where m is singular.
template <std::size_t N>
std::optional<Numbers<N>> solved(Square<N> m, Numbers<N> v) {
    for (std::size_t c = 0; c < N; ++c) {
        std::size_t pivot = c;
        for (std::size_t r = c + 1; r < N; ++r)
            if (std::abs(m[r][c]) > std::abs(m[pivot][c])) pivot = r;
        if (std::abs(m[pivot][c]) < 1e-12) return std::nullopt;
        std::swap(m[c], m[pivot]);
        std::swap(v[c], v[pivot]);
        for (std::size_t r = c + 1; r < N; ++r) {
            const double f = m[r][c] / m[c][c];
            for (std::size_t k = c; k < N; ++k) m[r][k] -= f * m[c][k];
            v[r] -= f * v[c];
        }
    }
    for (std::size_t c = N; c-- > 0;) {
        for (std::size_t k = c + 1; k < N; ++k) v[c] -= m[c][k] * v[k];
        v[c] /= m[c][c];
    }
    return v;
}

/// One more equation, row . x = value, to the normal equations m x = v.
template <std::size_t N>
void add_row(Square<N>& m, Numbers<N>& v, const Numbers<N>& row, double value) {
    for (std::size_t i = 0; i < N; ++i) {
        v[i] += row[i] * value;
        for (std::size_t j = 0; j < N; ++j) m[i][j] += row[i] * row[j];
    }
}

/// The upper of two middle ones; 0 of none.
inline double median(std::vector<double> values) {
    if (values.empty()) return 0.0;
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

}  // namespace perisclera::phantoms
