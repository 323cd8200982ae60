// SPDX-License-Identifier: Apache-2.0
#pragma once
// The globe of one eye in one series: its surface, its axis and what was seen of lens and cornea.
//
// The surface is the outer sclera as a smooth low-order shape. Along each direction contents, uvea, sclera and surroundings seen through the series' blur are compared with
// the signal, CT and MR alike; the shape is the one on which most directions agree, so that an indentation, an element or the lens does not pull it. Rays in front of the
// ora serrata are left out; the cornea holds the centre along the axis.
#include <algorithm>
#include <array>
#include <functional>
#include <optional>

#include "perisclera/anatomy/eye_frame.h"
#include "perisclera/anatomy/globe_finder.h"
#include "perisclera/core/measured.h"

namespace perisclera {

/// Radius as a smooth function of direction: real spherical harmonics up to degree 2 (9 coefficients), in patient
/// directions about the centre, and by how much the back half lies beyond them, in four terms round the axis. Degree 1 is absorbed
/// by the centre: 0 until the surface is seen from elsewhere. Eyes are long or flat at the back while their front half keeps its shape: without terms of their own that
/// would draw the centre, and with it the limbus, backwards or forwards.
class SmoothRadius {
public:
    static constexpr std::size_t count = 13, posterior = 9;
    /// anterior: unit vector of the optic axis, from which the elongation is counted.
    SmoothRadius(std::array<double, count> coefficients, PatientVector anterior) : c_(coefficients), anterior_(anterior) {}
    /// mm; direction must be a unit vector.
    [[nodiscard]] double at(PatientVector d) const {
        const auto b = basis(d, anterior_);
        double r = 0.0;
        for (std::size_t i = 0; i < count; ++i) r += c_[i] * b[i];
        return r;
    }
    /// The same surface seen from a place `shift` away, to first order in it.
    [[nodiscard]] SmoothRadius seen_from(PatientVector shift) const {
        SmoothRadius moved = *this;
        moved.c_[1] -= shift.x, moved.c_[2] -= shift.y, moved.c_[3] -= shift.z;
        return moved;
    }
    [[nodiscard]] const std::array<double, count>& coefficients() const { return c_; }
    static std::array<double, count> basis(PatientVector d, PatientVector anterior) {
        // Behind the equator half an ellipsoid, to first order, and departures from it round the axis, the finer the farther from the equator, so that none of them stands
        // in for a shift of the centre: by Jacobi's polynomials (0, 8), which owe each other nothing.
        const double behind = std::max(0.0, -dot(d, anterior)), ellipsoid = behind * behind, departs = ellipsoid * ellipsoid;
        return {1.0,
                d.x,
                d.y,
                d.z,
                d.x * d.y,
                d.y * d.z,
                d.x * d.z,
                d.x * d.x - d.y * d.y,
                3.0 * d.z * d.z - 1.0,
                ellipsoid,
                departs,
                departs * (10.0 * behind - 9.0),
                departs * ((66.0 * behind - 110.0) * behind + 45.0)};
    }

private:
    std::array<double, count> c_;
    PatientVector anterior_;
};

/// Retina, choroid and sclera together at the equator. Sclera 0.42 mm (Vurgese S et al., PLoS ONE 2012;7:e29692), retina and choroid about 0.2 mm each (textbook).
inline constexpr double wall_at_equator_mm = 0.82;
/// By how much the wall is thicker than at the equator, by the cosine of the angle from the anterior axis: sclera 0.65 mm half way to the posterior pole, 0.94 mm
/// there (Vurgese, as above).
inline double wall_thickening_mm(double cosine) {
    const double behind = std::max(0.0, std::acos(std::max(-1.0, cosine)) / (0.5 * 3.14159265358979323846) - 1.0);
    return behind < 0.5 ? 0.46 * behind : 0.23 + 0.58 * (behind - 0.5);
}

struct Globe {
    Eye eye;
    EyeFrame frame;                      ///< axis and centre
    Degrees axis_uncertainty;            ///< standard uncertainty of the axis' direction
    Mm centre_uncertainty;               ///< of the component known worst, standard
    SmoothRadius outer_radius;           ///< of the sclera
    Mm radius_uncertainty;               ///< of the outer radius, wall included
    double interior_mean, interior_spread;
    double wall_contrast;                ///< signal that separates vitreous from what surrounds it, >= 0
    Mm residual;                         ///< robust spread of the edge about the fitted surface
    Measurement<Mm> axial_length, equatorial_diameter;
    bool layered = false;                ///< fitted about two fluids that meet at a level

    /// Outer scleral radius towards a patient direction (unit vector), mm.
    [[nodiscard]] double outer_radius_mm(PatientVector direction) const { return outer_radius.at(direction); }
    /// Mean outer radius at the equator, mm.
    [[nodiscard]] double equatorial_radius_mm() const;
};

/// Fits surface and axis. `other_centre` is the fellow globe's centre, which levels the frame; without it the
/// patient's axes do.
Globe fit_globe(const VoxelGrid& grid, Modality modality, Eye eye, const GlobeCandidate& start, std::optional<PatientPoint> other_centre);

/// The same globe as it would lie without an element: centre and surface by the wall elsewhere. `covered`: unit vectors from the globe's centre towards which an element may
/// dent or hide the wall. `fellow`: the other eye's globe in the same series, nearly alike. The axis stays.
Globe fit_away_from(const VoxelGrid& grid, Modality modality, const Globe& globe, const std::function<bool(PatientVector)>& covered, const Globe* fellow);

}  // namespace perisclera
