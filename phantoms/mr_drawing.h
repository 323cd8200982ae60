// SPDX-License-Identifier: Apache-2.0
#pragma once
// The transverse magnetisation of a slice, drawn in cells a good deal finer than pixels: every small piece of a label is put where its own
// frequency displaces it to, with the phase that a gradient echo has let it gather.
#include <memory>
#include <optional>
#include <vector>

#include "head_map.h"
#include "mr_field.h"
#include "mr_k_space.h"
#include "scanner.h"
#include "slice_profile.h"
#include "tissue_texture.h"

namespace perisclera::phantoms {

/// How the cells lie over the image. Along x and y of the image; more is drawn than the image shows.
struct DrawnArea {
    std::array<int, 2> image;  ///< pixels shown
    std::array<int, 2> drawn;  ///< pixels drawn, the image in their middle
    int cells_per_pixel;       ///< even
    PhaseAlong phase_along;
    double pixels_per_ppm;  ///< displacement along the frequency direction

    [[nodiscard]] int before(std::size_t direction) const { return (drawn[direction] - image[direction]) / 2; }
};

/// Over so many pixels the object fades out at the edge of what is drawn, so that cut edges do not ring.
inline constexpr int fading_pixels = 6;

/// Of one series. Rows run along the frequency direction.
struct Drawing {
    ComplexPlane still;
    std::optional<ComplexPlane> swinging;  ///< the globes and what lies on them, if the eyes move
};

class Magnetisation {
public:
    /// Keeps a reference to `scans`, which are drawn together.
    Magnetisation(const std::vector<Scan>& scans, const VolumeGeometry& geometry, const DrawnArea& area, unsigned threads);
    /// Of each scan.
    [[nodiscard]] std::vector<Drawing> of_slice(int k) const;

private:
    /// The field at one depth of the slice, and how far a gradient echo has turned there by its time.
    struct Felt {
        double weight, ppm;
        Complex turned;
    };
    /// A square of cells: its corner within the drawing, along x and y, and its side.
    struct Square {
        int x, y, side;
    };
    /// What is being drawn, and what is known of the place.
    struct Work {
        std::vector<Drawing> drawings;
        int slice;
        std::vector<std::array<Label, 2>> corners;  ///< labels at the pixels' corners, at two depths: one more than pixels each way
        std::vector<Felt> depths;
        Felt whole;  ///< all depths together
        std::vector<Label> labels;
        double shading;
        TissueTexture texture;
    };
    [[nodiscard]] HeadPoint head_at(double column, double row, double depth_mm, int k) const {
        return origin_ + step_[0] * column + step_[1] * row + step_[2] * k + normal_ * depth_mm;
    }
    void draw_pixel(Work& work, int x, int y) const;
    void draw_square(Work& work, Square square, HeadPoint middle, std::optional<Label> known) const;
    void send(Work& work, Square square, Label label, const Felt& felt) const;
    /// Does nothing of this label send a signal in any of the series?
    [[nodiscard]] bool dark(Label label) const;
    void feel(Work& work, HeadPoint middle) const;
    [[nodiscard]] bool even_field(Work& work, HeadPoint middle) const;
    [[nodiscard]] Complex turned(double ppm) const;
    [[nodiscard]] double coil(int x, int y, int k) const;
    [[nodiscard]] double fade(int pixel, std::size_t direction) const;

    const std::vector<Scan>& scans_;
    const Scan& scan_;  ///< the first, for what all have in common
    HeadMap map_;
    VolumeGeometry geometry_;
    DrawnArea area_;
    HeadPoint origin_;
    std::array<HeadVector, 3> step_;
    HeadVector normal_;
    double half_diagonal_mm_;  ///< of a voxel
    std::vector<SliceDepth> depths_;
    std::shared_ptr<const FieldMap> field_;
    bool dephases_;         ///< a gradient echo
    double turns_per_ppm_;  ///< by the echo time
    std::vector<std::vector<Complex>> turned_by_shift_;  ///< of each scan and label
};

}  // namespace perisclera::phantoms
