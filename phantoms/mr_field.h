// SPDX-License-Identifier: Apache-2.0
#pragma once
// How gas and bone disturb the magnet's field around the orbits: the field of every small volume is a dipole's, so that the whole is a
// product in k-space (Salomir R et al., Concepts Magn Reson 2003;19B:26; Marques JP, Bowtell R, ibid. 2005;25B:65).
#include <array>
#include <memory>
#include <vector>

#include "head_map.h"

namespace perisclera::phantoms {

/// Change of the field along its own direction, in the unit of `susceptibility` (ppm in, ppm out), at each cell of a periodic block, x
/// fastest: k-space filter 1/3 - (k.b)^2/k^2. The mean is 0. Preconditions: `size` transformable, cells cubic, `field` a unit vector.
std::vector<float> dipole_field(const std::vector<float>& susceptibility, std::array<int, 3> size, std::array<double, 3> field);

/// The field about the middle of the orbits after shimming to first order over the tissue of the orbits; beyond its block the nearest value.
class FieldMap {
public:
    /// `susceptibility_ppm` by label; `field` is the direction of the magnet's field. The result does not depend on `threads`.
    FieldMap(const HeadMap& map, const std::vector<float>& susceptibility_ppm, HeadVector field, unsigned threads);
    /// ppm of the magnet's field.
    [[nodiscard]] double at(const HeadPoint& point) const { return Column(*this).at(point); }

    /// The same, faster for one point after the other of a line along z.
    class Column {
    public:
        /// Keeps a reference to `field`.
        explicit Column(const FieldMap& field) : field_(field) {}
        [[nodiscard]] double at(const HeadPoint& point);

    private:
        [[nodiscard]] double in_plane(int k) const;
        const FieldMap& field_;
        double x_ = -1.0, y_ = -1.0;      ///< place among the cells
        int k_ = -2;                      ///< the plane below the last point
        std::array<double, 2> planes_{};  ///< the field at this place in it and in the next
    };

private:
    std::vector<float> ppm_;
};

/// The field of the series of a visit that was acquired last: the next one has the same where the head lies and looks the same.
class LastField {
public:
    std::shared_ptr<const FieldMap> of(const Series& series, const HeadMap& map, const std::vector<float>& susceptibility_ppm, HeadVector field, unsigned threads);

private:
    std::array<std::array<double, 2>, 2> gaze_deg_{};
    std::array<double, 3> pose_deg_{};
    std::vector<float> susceptibility_ppm_;
    std::shared_ptr<const FieldMap> field_;
};

}  // namespace perisclera::phantoms
