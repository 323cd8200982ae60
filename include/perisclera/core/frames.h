// SPDX-License-Identifier: Apache-2.0
#pragma once
// Points and vectors that know their frame. Only VolumeGeometry converts between patient and voxel
// coordinates, and only EyeFrame between patient and eye coordinates.
#include <array>
#include <cmath>

namespace perisclera {

/// DICOM patient coordinates, mm: +x to the patient's left, +y posterior, +z superior (PS3.3 C.7.6.2.1.1).
struct PatientLps {};
/// Continuous voxel indices: x along a row (column index), y down a column (row index), z the slice.
struct VoxelIndex {};
/// Eye coordinates, mm: origin the globe's centre; x to the patient's left, y superior, z anterior along the eye's axis.
struct EyeLocal {};

template <class Frame>
struct Vector {
    double x, y, z;
    friend constexpr Vector operator+(Vector a, Vector b) { return {a.x + b.x, a.y + b.y, a.z + b.z}; }
    friend constexpr Vector operator-(Vector a, Vector b) { return {a.x - b.x, a.y - b.y, a.z - b.z}; }
    friend constexpr Vector operator-(Vector a) { return {-a.x, -a.y, -a.z}; }
    friend constexpr Vector operator*(Vector a, double s) { return {a.x * s, a.y * s, a.z * s}; }
    friend constexpr Vector operator*(double s, Vector a) { return a * s; }
    friend constexpr Vector operator/(Vector a, double s) { return {a.x / s, a.y / s, a.z / s}; }
    constexpr bool operator==(const Vector&) const = default;
};

template <class Frame>
struct Point {
    double x, y, z;
    friend constexpr Vector<Frame> operator-(Point a, Point b) { return {a.x - b.x, a.y - b.y, a.z - b.z}; }
    friend constexpr Point operator+(Point a, Vector<Frame> b) { return {a.x + b.x, a.y + b.y, a.z + b.z}; }
    friend constexpr Point operator-(Point a, Vector<Frame> b) { return {a.x - b.x, a.y - b.y, a.z - b.z}; }
    constexpr bool operator==(const Point&) const = default;
};

template <class F>
constexpr double dot(Vector<F> a, Vector<F> b) { return a.x * b.x + a.y * b.y + a.z * b.z; }
template <class F>
constexpr Vector<F> cross(Vector<F> a, Vector<F> b) {
    return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
template <class F>
double length(Vector<F> a) { return std::sqrt(dot(a, a)); }
/// Precondition: a is not the zero vector.
template <class F>
Vector<F> unit(Vector<F> a) { return a / length(a); }

using PatientPoint = Point<PatientLps>;
using PatientVector = Vector<PatientLps>;
using VoxelPoint = Point<VoxelIndex>;
using EyePoint = Point<EyeLocal>;
using EyeVector = Vector<EyeLocal>;

}  // namespace perisclera
