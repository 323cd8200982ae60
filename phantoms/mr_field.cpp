// SPDX-License-Identifier: Apache-2.0
#include "mr_field.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <numeric>

#include "fourier.h"
#include "interpolation.h"
#include "perisclera/core/shared_work.h"

namespace perisclera::phantoms {

namespace {

constexpr std::array<int, 3> cells{160, 128, 120};
constexpr double cell_mm = 1.0;

std::size_t offset(int x, int y, int z) {
    return (static_cast<std::size_t>(z) * cells[1] + static_cast<std::size_t>(y)) * cells[0] + static_cast<std::size_t>(x);
}

HeadPoint centre_of(int x, int y, int z) {
    return HeadModel::middle_of_orbits() + HeadVector{x - (cells[0] - 1) / 2.0, y - (cells[1] - 1) / 2.0, z - (cells[2] - 1) / 2.0} * cell_mm;
}

/// The cell at or before a place among them that has one after it.
int cell(double place, std::size_t a) { return std::min(static_cast<int>(place), cells[a] - 2); }

/// Mean of one cell in or beside an orbit, where the gas of interest lies.
double mean_over_cell(HeadPoint centre, const HeadMap& map, const std::vector<float>& by_label) {
    const auto at = [&](HeadPoint p) { return static_cast<double>(by_label[map.label_at(p)]); };
    if (!map.head().near_thin_layers(centre, cell_mm)) return at(centre);
    double sum = 0.0;
    for (const double z : {-0.25, 0.25})
        for (const double y : {-0.25, 0.25})
            for (const double x : {-0.25, 0.25}) sum += at(centre + HeadVector{x, y, z} * cell_mm);
    return sum / 8.0;
}

/// Two cells wide, high and deep: each for itself in the orbits, all alike farther away.
void fill_block(std::vector<float>& susceptibility, std::array<int, 3> first, const HeadMap& map, const std::vector<float>& by_label) {
    const HeadPoint middle = centre_of(first[0], first[1], first[2]) + HeadVector{0.5, 0.5, 0.5} * cell_mm;
    const bool in_orbits = map.head().in_orbits(middle);
    const auto common = in_orbits ? 0.0f : by_label[map.head().label_at(middle)];  // one point of a cube: nothing to be gained by the map
    for (int z = first[2]; z < first[2] + 2; ++z)
        for (int y = first[1]; y < first[1] + 2; ++y)
            for (int x = first[0]; x < first[0] + 2; ++x)
                susceptibility[offset(x, y, z)] = in_orbits ? static_cast<float>(mean_over_cell(centre_of(x, y, z), map, by_label)) : common;
}

/// Takes the constant and the linear parts away that fit best over `places`.
void shim(std::vector<float>& ppm, const std::vector<std::array<int, 3>>& places) {
    const auto value = [](std::size_t term, const std::array<int, 3>& at) { return term == 0 ? 1.0 : at[term - 1] - (cells[term - 1] - 1) / 2.0; };
    std::array<double, 4> fit{};
    // One term after the other, until they agree: they are nearly orthogonal, so a few rounds do.
    for (int round = 0; round < 8; ++round)
        for (std::size_t term = 0; term < 4; ++term) {
            double product = 0.0, square = 0.0;
            for (const auto& at : places) {
                double left = static_cast<double>(ppm[offset(at[0], at[1], at[2])]);
                for (std::size_t t = 0; t < 4; ++t) left -= fit[t] * value(t, at);
                product += left * value(term, at);
                square += value(term, at) * value(term, at);
            }
            fit[term] += product / std::max(square, 1.0);
        }
    for (int z = 0; z < cells[2]; ++z)
        for (int y = 0; y < cells[1]; ++y)
            for (int x = 0; x < cells[0]; ++x) {
                double smooth = 0.0;
                for (std::size_t t = 0; t < 4; ++t) smooth += fit[t] * value(t, {x, y, z});
                ppm[offset(x, y, z)] -= static_cast<float>(smooth);
            }
}

}  // namespace

std::vector<float> dipole_field(const std::vector<float>& susceptibility, std::array<int, 3> size, std::array<double, 3> field) {
    const auto [nx, ny, nz] = size;
    std::vector<Complex> k(susceptibility.begin(), susceptibility.end());
    const LineTransform along_x(nx), along_y(ny), along_z(nz);
    along_x.forward(k.data(), 1, ny * nz, nx);
    for (int z = 0; z < nz; ++z) along_y.forward(k.data() + static_cast<std::ptrdiff_t>(z) * nx * ny, nx, nx, 1);
    along_z.forward(k.data(), nx * ny, nx * ny, 1);
    const auto frequency = [](int i, int n) { return static_cast<double>(i <= n / 2 ? i : i - n) / n; };
    const double scale = 1.0 / static_cast<double>(k.size());
    std::vector<double> along_rows(static_cast<std::size_t>(nx));
    for (int x = 0; x < nx; ++x) along_rows[static_cast<std::size_t>(x)] = frequency(x, nx);
    std::size_t at = 0;
    for (int z = 0; z < nz; ++z)
        for (int y = 0; y < ny; ++y)
            for (int x = 0; x < nx; ++x, ++at) {
                const double kx = along_rows[static_cast<std::size_t>(x)], ky = frequency(y, ny), kz = frequency(z, nz);
                const double along = kx * field[0] + ky * field[1] + kz * field[2], square = kx * kx + ky * ky + kz * kz;
                k[at] *= square == 0.0 ? 0.0 : scale * (1.0 / 3.0 - along * along / square);
            }
    along_x.backward(k.data(), 1, ny * nz, nx);
    for (int z = 0; z < nz; ++z) along_y.backward(k.data() + static_cast<std::ptrdiff_t>(z) * nx * ny, nx, nx, 1);
    along_z.backward(k.data(), nx * ny, nx * ny, 1);
    std::vector<float> out(k.size());
    std::transform(k.begin(), k.end(), out.begin(), [](const Complex& c) { return static_cast<float>(c.real()); });
    return out;
}

FieldMap::FieldMap(const HeadMap& map, const std::vector<float>& susceptibility_ppm, HeadVector field, unsigned threads) {
    std::vector<float> susceptibility(offset(0, 0, cells[2]));
    std::atomic<int> next{0};
    share_work(static_cast<int>(threads), [&] {
        for (int z = 2 * next++; z < cells[2]; z = 2 * next++)
            for (int y = 0; y < cells[1]; y += 2)
                for (int x = 0; x < cells[0]; x += 2) fill_block(susceptibility, {x, y, z}, map, susceptibility_ppm);
    });
    ppm_ = dipole_field(susceptibility, cells, {field.x, field.y, field.z});
    std::vector<std::array<int, 3>> tissue;
    for (int z = 0; z < cells[2]; z += 3)
        for (int y = 0; y < cells[1]; y += 3)
            for (int x = 0; x < cells[0]; x += 3)
                if (susceptibility[offset(x, y, z)] == 0.0f && map.head().in_orbits(centre_of(x, y, z))) tissue.push_back({x, y, z});
    shim(ppm_, tissue);
}

double FieldMap::Column::at(const HeadPoint& point) {
    const HeadVector from_first = (point - centre_of(0, 0, 0)) / cell_mm;
    const auto inside = [](double place, std::size_t a) { return std::clamp(place, 0.0, cells[a] - 1.0); };
    const double x = inside(from_first.x, 0), y = inside(from_first.y, 1), z = inside(from_first.z, 2);
    const int k = cell(z, 2), up = k - k_;
    if (x != x_ || y != y_ || up != 0) {
        const bool next = x == x_ && y == y_ && up == 1;
        x_ = x, y_ = y, k_ = k;
        planes_ = {next ? planes_[1] : in_plane(k), in_plane(k + 1)};
    }
    return between(planes_[0], planes_[1], z - k);
}

double FieldMap::Column::in_plane(int k) const {
    const int i = cell(x_, 0), j = cell(y_, 1);
    const float* corner = field_.ppm_.data() + offset(i, j, k);
    const auto along_x = [&](std::size_t from) { return between(static_cast<double>(corner[from]), static_cast<double>(corner[from + 1]), x_ - i); };
    return between(along_x(0), along_x(cells[0]), y_ - j);
}

std::shared_ptr<const FieldMap> LastField::of(const Series& series, const HeadMap& map, const std::vector<float>& susceptibility_ppm, HeadVector field,
                                              unsigned threads) {
    if (!field_ || gaze_deg_ != series.gaze_deg || pose_deg_ != series.pose_deg || susceptibility_ppm_ != susceptibility_ppm) {
        field_ = std::make_shared<const FieldMap>(map, susceptibility_ppm, field, threads);
        gaze_deg_ = series.gaze_deg;
        pose_deg_ = series.pose_deg;
        susceptibility_ppm_ = susceptibility_ppm;
    }
    return field_;
}

}  // namespace perisclera::phantoms
