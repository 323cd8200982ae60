// SPDX-License-Identifier: Apache-2.0
#pragma once
// Sampling in k-space: a finely drawn plane of transverse magnetisation becomes the samples of the acquisition matrix, and these the
// image. Ringing at edges, partial volume and point spread follow from it. Rows run along the frequency direction.
#include <array>
#include <vector>

#include "fourier.h"

namespace perisclera::phantoms {

/// One direction of the acquisition. The plane is drawn in cells; `zero_filling` is the image's matrix over the samples'.
class Encoding {
public:
    /// Precondition: `pixels` and `cells_per_pixel` are transformable. `drawn` tells how magnetisation is spread into cells: 1 whole into the cell it
    /// lies in, 2 shared by the two nearest cells in proportion. The attenuation of high frequencies by that is undone.
    Encoding(int pixels, int cells_per_pixel, double zero_filling, int drawn);
    [[nodiscard]] int pixels() const { return image_.length(); }
    [[nodiscard]] int cells() const { return fine_.length(); }
    [[nodiscard]] int samples() const { return samples_; }
    /// Frequency of sample i, in periods over all pixels.
    [[nodiscard]] int frequency(int i) const { return i - samples_ / 2; }

private:
    friend class KSpace;
    LineTransform fine_, image_;
    int samples_;
    std::vector<Complex> correction_;  ///< of each sample: for where the cells lie and how they were filled
};

class KSpace {
public:
    KSpace(Encoding frequency, Encoding phase);
    [[nodiscard]] const Encoding& frequency() const { return frequency_; }
    [[nodiscard]] const Encoding& phase() const { return phase_; }
    /// `drawn` has cells() of both directions; the result samples() of both. A uniform plane of 1 has pixels times pixels at frequency 0.
    [[nodiscard]] ComplexPlane sampled(ComplexPlane drawn) const;
    /// Zero-filled and transformed back: pixels() of both directions; what was 1 is 1.
    [[nodiscard]] ComplexPlane image(const ComplexPlane& samples) const;
    /// Standard deviation in k-space of noise that has `deviation` in both parts of the image's pixels.
    [[nodiscard]] double noise_in_k_space(double deviation) const;

private:
    Encoding frequency_, phase_;
};

/// To and fro between the first line and the last, in pixels of the image: amplitude, and how often.
struct Swing {
    double along_frequency, along_phase, cycles;
};
/// Adds an object's samples, each line taken while it stands elsewhere: a shift is a phase in k-space, and the lines come one after the other
/// (Wood ML, Henkelman RM, Med Phys 1985;12:143).
void add_swinging(ComplexPlane& samples, const ComplexPlane& object, const KSpace& k_space, const Swing& swing);

}  // namespace perisclera::phantoms
