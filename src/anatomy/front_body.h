// SPDX-License-Identifier: Apache-2.0
#pragma once
// The front of an eye as one body about its axis: chamber, lens or implant or nothing, ciliary body and the wall of sclera and cornea, each of one signal; and how much of
// the samples it leaves unexplained. Patient frame, mm.
#include <array>

#include "front_samples.h"
#include "usual_lens.h"

namespace perisclera {

class FrontBody {
public:
    /// What may move: the axis' tilt from the one that the samples lie about, along two directions, in degrees; inner face of the cornea from the centre, depth of the
    /// chamber and thickness of the lens in mm.
    enum Parameter : std::size_t { tilt_across, tilt_other, cornea, chamber, thickness, count };
    using Parameters = std::array<double, count>;
    struct Usual {
        double mean, spread;
    };

    /// `ahead`: where an eye usually looks.
    FrontBody(const VoxelGrid& grid, Modality modality, const GlobeFit& fit, PatientVector axis, PatientVector ahead, double cornea_mm, int directions);
    /// Two thirds of the front lie in the images.
    [[nodiscard]] bool is_imaged() const;
    [[nodiscard]] const std::vector<FrontSample>& samples() const { return samples_.all; }
    /// Straight ahead as a tilt, degrees.
    [[nodiscard]] std::array<double, 2> ahead() const { return ahead_; }
    /// How far an axis lies off straight ahead, degrees.
    [[nodiscard]] double off_ahead(const Parameters& p) const;
    [[nodiscard]] PatientVector axis(const Parameters& p) const;
    [[nodiscard]] Usual usual(const UsualLens& lens, Parameter k) const;
    /// What is left of the samples with the layers' signals at their best, and how unusual the eye would be: a negative logarithm, doubled. `residual`: of each sample, in
    /// units of what may be.
    double misfit(const UsualLens& lens, const Parameters& p, std::vector<double>& residual);
    /// How far off a sample may lie before it counts less.
    static constexpr double tolerated = 2.5;

private:
    static constexpr std::size_t layers = 6;   // contents, other fluid, chamber, lens, ciliary body, wall
    using Shares = std::array<double, layers>;
    /// Of the layers in a sample; what is left of 1 lies before the eye.
    [[nodiscard]] Shares shares(const UsualLens& lens, const Parameters& p, PatientVector axis, const FrontSample& s) const;

    PatientVector start_, across_, other_;
    std::array<double, 2> ahead_;
    double expected_cornea_mm_;
    FrontSamples samples_;
    std::vector<Shares> rows_;   ///< of the samples, kept to spare allocations
};

}  // namespace perisclera
