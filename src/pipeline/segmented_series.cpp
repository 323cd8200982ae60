// SPDX-License-Identifier: Apache-2.0
#include "segmented_series.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "share_field.h"

namespace perisclera {

namespace {

using report::Segment;
using report::SegmentedSeries;
using report::SegmentKind;

constexpr double between_points_mm = 0.5;   ///< as the polar grid's step in height
constexpr double least_share = 0.1;         ///< of the element's own level: less is the rim of its blur

/// The voxels within `margin_mm` of points that were shown to it, as far as the grid reaches.
class BoxRound {
public:
    explicit BoxRound(const VolumeGeometry& geometry) : geometry_(geometry) {}
    void add(PatientPoint p) {
        const VoxelPoint v = geometry_.to_voxel(p);
        const std::array<double, 3> at{v.x, v.y, v.z};
        for (std::size_t axis = 0; axis < 3; ++axis) low_[axis] = std::min(low_[axis], at[axis]), high_[axis] = std::max(high_[axis], at[axis]);
    }
    [[nodiscard]] VoxelShares box(double margin_mm) const {
        VoxelShares out;
        for (std::size_t axis = 0; axis < 3; ++axis) {
            const double margin = margin_mm / geometry_.spacing_mm()[axis], last = geometry_.size()[axis] - 1.0;
            const double low = std::max(0.0, std::floor(low_[axis] - margin)), high = std::min(last, std::ceil(high_[axis] + margin));
            if (!(low <= high)) return {};
            out.first[axis] = static_cast<int>(low);
            out.size[axis] = static_cast<int>(high - low) + 1;
        }
        return out;
    }

private:
    const VolumeGeometry& geometry_;
    std::array<double, 3> low_{1e9, 1e9, 1e9}, high_{-1e9, -1e9, -1e9};
};

/// Fills in the mean of `value` over points spread evenly in each voxel.
template <class Value>
void sample(VoxelShares& box, const VolumeGeometry& geometry, Value value) {
    std::array<std::vector<double>, 3> within;   // voxel units from the centre
    for (std::size_t axis = 0; axis < 3; ++axis) {
        const int n = std::max(1, static_cast<int>(std::ceil(geometry.spacing_mm()[axis] / between_points_mm - 0.2)));
        for (int k = 0; k < n; ++k) within[axis].push_back((k + 0.5) / n - 0.5);
    }
    const double weight = 1.0 / static_cast<double>(within[0].size() * within[1].size() * within[2].size());
    box.share.clear();
    for (int z = 0; z < box.size[2]; ++z)
        for (int y = 0; y < box.size[1]; ++y)
            for (int x = 0; x < box.size[0]; ++x) {
                double sum = 0.0;
                for (const double dz : within[2])
                    for (const double dy : within[1])
                        for (const double dx : within[0])
                            sum += static_cast<double>(value(geometry.to_patient({box.first[0] + x + dx, box.first[1] + y + dy, box.first[2] + z + dz})));
                box.share.push_back(static_cast<float>(sum * weight));
            }
}

/// Noise takes from some voxels what it gives to others. Where a share below zero is shown as none, as much of the least ones above is as well: together they stay what they were, and
/// the rim of noise goes.
VoxelShares without_noise(VoxelShares box) {
    const double all = std::accumulate(box.share.begin(), box.share.end(), 0.0, [](double sum, float s) { return sum + static_cast<double>(s); });
    std::vector<std::size_t> order(box.share.size());
    std::iota(order.begin(), order.end(), 0u);
    for (float& s : box.share) s = std::clamp(s, 0.0f, 1.0f);
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return box.share[a] > box.share[b]; });
    double sum = 0.0;
    for (const std::size_t voxel : order) {
        if (sum >= all) box.share[voxel] = 0.0f;
        sum += static_cast<double>(box.share[voxel]);
    }
    return box;
}

/// The box cut down to what is filled.
VoxelMask trimmed(const VoxelShares& box, const std::vector<std::uint8_t>& filled) {
    std::array<int, 3> low = box.size, high{-1, -1, -1};
    std::size_t i = 0;
    for (int z = 0; z < box.size[2]; ++z)
        for (int y = 0; y < box.size[1]; ++y)
            for (int x = 0; x < box.size[0]; ++x) {
                if (filled[i++] == 0) continue;
                const std::array<int, 3> at{x, y, z};
                for (std::size_t axis = 0; axis < 3; ++axis) low[axis] = std::min(low[axis], at[axis]), high[axis] = std::max(high[axis], at[axis]);
            }
    VoxelMask mask;
    if (high[0] < 0) return mask;
    for (std::size_t axis = 0; axis < 3; ++axis) mask.first[axis] = box.first[axis] + low[axis], mask.size[axis] = high[axis] - low[axis] + 1;
    for (int z = low[2]; z <= high[2]; ++z)
        for (int y = low[1]; y <= high[1]; ++y) {
            const auto row = filled.begin() + static_cast<std::ptrdiff_t>(z * box.size[1] + y) * box.size[0];
            mask.filled.insert(mask.filled.end(), row + low[0], row + high[0] + 1);
        }
    return mask;
}

VoxelMask filled_from(const VoxelShares& box, double level) {
    std::vector<std::uint8_t> filled(box.share.size());
    std::transform(box.share.begin(), box.share.end(), filled.begin(), [&](float s) { return static_cast<std::uint8_t>(static_cast<double>(s) >= level); });
    return trimmed(box, filled);
}

/// Takes the `count` fullest of these voxels of a box, all if there are fewer.
void take_fullest(const VoxelShares& box, std::vector<std::size_t> voxels, std::size_t count, std::vector<std::uint8_t>& filled) {
    count = std::min(count, voxels.size());
    std::partial_sort(voxels.begin(), voxels.begin() + static_cast<std::ptrdiff_t>(count), voxels.end(),
                      [&](std::size_t a, std::size_t b) { return box.share[a] > box.share[b] || (box.share[a] == box.share[b] && a < b); });
    for (std::size_t k = 0; k < count; ++k) filled[voxels[k]] = 1;
}

/// The fullest voxels of a box, as many as `wanted` comes to, none below `least`.
VoxelMask fullest(const VoxelShares& box, double wanted, double least) {
    std::vector<std::size_t> voxels;
    for (std::size_t i = 0; i < box.share.size(); ++i)
        if (static_cast<double>(box.share[i]) >= least) voxels.push_back(i);
    std::vector<std::uint8_t> filled(box.share.size());
    take_fullest(box, std::move(voxels), static_cast<std::size_t>(std::lround(wanted)), filled);
    return trimmed(box, filled);
}

/// The same of a band with one section all round: each half hour of the clock gets its part, whatever muscle, lid or bone beside it hide or add there.
VoxelMask fullest_all_round(const VoxelShares& box, const VolumeGeometry& geometry, const EyeFrame& frame, double wanted) {
    constexpr std::size_t sectors = 24;
    std::array<std::vector<std::size_t>, sectors> voxels;
    std::size_t i = 0;
    for (int z = 0; z < box.size[2]; ++z)
        for (int y = 0; y < box.size[1]; ++y)
            for (int x = 0; x < box.size[0]; ++x, ++i) {
                if (!(box.share[i] > 0.0f)) continue;
                const EyePoint at = frame.to_eye(geometry.to_patient({static_cast<double>(box.first[0] + x), static_cast<double>(box.first[1] + y), static_cast<double>(box.first[2] + z)}));
                voxels[std::min(sectors - 1, static_cast<std::size_t>(clock_of(at).hours() * 2.0))].push_back(i);
            }
    std::vector<std::uint8_t> filled(box.share.size());
    for (std::size_t k = 0; k < sectors; ++k) {
        const auto up_to = [&](std::size_t sector) { return std::lround(wanted * static_cast<double>(sector) / static_cast<double>(sectors)); };
        take_fullest(box, std::move(voxels[k]), static_cast<std::size_t>(up_to(k + 1) - up_to(k)), filled);
    }
    return trimmed(box, filled);
}

struct ElementVoxels {
    VoxelShares shares{};
    VoxelMask mask{};
};

/// `measured_on`: the eye where the element was measured; `frame`: where that eye lies in the series of `geometry`.
ElementVoxels element_voxels(const AnalysedElement& element, const PolarBlock& measured_on, const ShareField& share, const EyeFrame& frame, const VolumeGeometry& geometry) {
    constexpr double widest_cell_mm = 1.0;
    BoxRound round(geometry);
    double all = 0.0, shown = 0.0;
    for (const ElementCell& c : element.element.found.cells) {
        const PolarCell cell = PolarBlock::cell(c.index);
        const PatientPoint at = frame.to_patient(measured_on.eye_point(PolarBlock::clock_hours(cell.clock), PolarBlock::polar_radians(cell.polar), PolarBlock::height_mm(cell.height)));
        const double here = static_cast<double>(c.share) * measured_on.cell_volume_mm3(cell);
        all += here;
        if (geometry.contains(at)) shown += here;
        if (c.share > 0.0f) round.add(at);
    }
    VoxelShares box = round.box(widest_cell_mm);
    if (box.size[0] == 0 || all <= 0.0) return {};
    sample(box, geometry, [&](PatientPoint p) { return share.at(frame.to_eye(p)); });
    const auto* volume = element.measured.volume.measured();
    VoxelMask mask;
    if (volume == nullptr) {
        mask = filled_from(box, share.level());
    } else {
        const double wanted = volume->value().value() / geometry.voxel_volume_mm3();
        const bool thin_ring = element.element.found.closed_ring && element.element.found.thinner_than_blur;
        mask = thin_ring ? fullest_all_round(box, geometry, frame, wanted) : fullest(box, wanted * std::clamp(shown / all, 0.0, 1.0), least_share * share.level());
    }
    return {without_noise(std::move(box)), std::move(mask)};
}

VoxelMask globe_mask(const Globe& globe, const VolumeGeometry& geometry) {
    constexpr double beyond_any_globe_mm = 20.0;
    const PatientPoint centre = globe.frame.origin();
    BoxRound round(geometry);
    for (const double x : {-1.0, 1.0})
        for (const double y : {-1.0, 1.0})
            for (const double z : {-1.0, 1.0}) round.add(centre + PatientVector{x, y, z} * beyond_any_globe_mm);
    VoxelShares box = round.box(0.0);
    sample(box, geometry, [&](PatientPoint p) {
        const PatientVector d = p - centre;
        const double r = length(d);
        return r < beyond_any_globe_mm && (r == 0.0 || r <= globe.outer_radius_mm(d / r)) ? 1.0f : 0.0f;
    });
    return filled_from(box, 0.5);
}

}  // namespace

std::vector<SegmentedSeries> segmented_series(const AnalysedVisit& analysed, const Visit& visit, std::array<bool, 2> asked_for,
                                              const std::array<std::vector<std::string>, 2>& names, const std::string& timepoint) {
    std::vector<SegmentedSeries> out;
    for (const ImageSeries& series : visit.series) {
        const SeriesDescription& d = series.description;
        out.push_back({timepoint, d.series_uid, d.study_uid, d.frame_of_reference_uid, d.modality, series.grid().geometry(), series.slices, {}});
    }
    const auto keep = [&](std::size_t s, Segment segment) {
        if (!segment.mask.filled.empty()) out[s].segments.push_back(std::move(segment));
    };
    for (const std::size_t which : {0u, 1u}) {
        if (!asked_for[which]) continue;
        const std::vector<const EyeView*> views = analysed.views(which);
        const std::vector<AnalysedElement>& elements = analysed.eye[which].elements;
        std::vector<std::size_t> order(elements.size());
        std::iota(order.begin(), order.end(), 0u);
        std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
            const std::string &one = names[which][a], &other = names[which][b];
            return one.size() != other.size() ? one.size() < other.size() : one < other;   // R2 before R10
        });
        for (const std::size_t e : order) {
            const EyeView& measured = *views[elements[e].element.view];
            const ShareField share(measured.block, elements[e].element.found);
            for (const EyeView* view : views) {
                if (view != &measured && (view->kept_apart || measured.kept_apart)) continue;
                ElementVoxels voxels = element_voxels(elements[e], measured.block, share, view->block.globe().frame, out[view->series].geometry);
                keep(view->series, {SegmentKind::element, which == 0 ? Eye::right : Eye::left, names[which][e], std::move(voxels.mask), std::move(voxels.shares), view == &measured});
            }
        }
    }
    for (const std::size_t which : {0u, 1u})
        if (asked_for[which])
            for (const EyeView* view : analysed.views(which))
                keep(view->series, {SegmentKind::globe, which == 0 ? Eye::right : Eye::left, {}, globe_mask(view->block.globe(), out[view->series].geometry), {}, false});
    return out;
}

}  // namespace perisclera
