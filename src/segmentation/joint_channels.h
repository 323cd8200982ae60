// SPDX-License-Identifier: Apache-2.0
#pragma once
// Both eyes of a visit on the series that can be looked at together, and where in the fellow eye what is normal may lie.
#include <algorithm>
#include <array>

#include "candidate_regions.h"
#include "columns.h"
#include "perisclera/segmentation/element_fusion.h"

namespace perisclera {

inline constexpr std::size_t most_joint_series = 4;
using JointSignals = std::array<float, most_joint_series>;  ///< of one place, by channel

/// One series in which fat, muscle and fluid differ.
struct JointChannel {
    std::size_t view;
    const EyeView* own;
    bool ct, t2;
    std::vector<float> value, fellow;  ///< smoothed; of the fellow not a number beyond its images, so that nothing is near it
    float fat, muscle, vitreous;       ///< this patient's, both eyes taken together; on CT generic
};

/// CT, T1 and T2 with bright fat; `own` and `fellow` as in jointly_seen.h.
std::vector<JointChannel> joint_channels(const std::vector<const EyeView*>& own, const std::vector<const EyeView*>& fellow);

/// Two eyes differ by gaze, muscles and lids: 3.8 mm along the clock and 2.5 mm along the meridian about the same place of the eye and of the head. Lacrimal glands
/// differ more: soft tissue anywhere in the gland's place is normal all over it.
class FellowPlaces {
public:
    FellowPlaces(const PolarBlock& own, const PolarBlock& fellow);

    /// Calls visit(index) for every second cell near the place of cell `i`, up to `height_reach` cells higher and lower, until it returns false.
    template <class Visit>
    void look_near(std::size_t i, int height_reach, Visit&& visit) const {
        constexpr int clocks = PolarBlock::clock_count;
        const PolarCell at = PolarBlock::cell(i);
        if (!look_about((clocks - at.clock) % clocks, at.polar, at.height, height_reach, visit)) return;
        if (const auto place = in_head_[column(at.clock, at.polar)]) look_about(column_at(*place).clock, column_at(*place).polar, at.height, height_reach, visit);
    }

    /// The same for every second cell of the fellow's gland's place, if cell `i` lies in this eye's.
    template <class Visit>
    void look_in_gland_place(std::size_t i, Visit&& visit) const {
        if (!in_gland_place(own_, PolarBlock::cell(i))) return;
        for (const std::size_t k : fellow_gland_)
            if (!visit(k)) return;
    }

private:
    template <class Visit>
    static bool look_about(int clock, int polar, int height, int height_reach, Visit&& visit) {
        constexpr int reach = 6, stride = 2, clocks = PolarBlock::clock_count;
        for (int c = -reach; c <= reach; c += stride)
            for (int p = std::max(0, polar - reach); p <= std::min(PolarBlock::polar_count - 1, polar + reach); p += stride)
                for (int h = std::max(0, height - height_reach); h <= std::min(PolarBlock::height_count - 1, height + height_reach); ++h)
                    if (!visit(PolarBlock::index((clock + c + clocks) % clocks, p, h))) return false;
        return true;
    }

    /// Above and to the temple, in front of the equator and a little behind, clear of the wall (textbook).
    static bool in_gland_place(Eye eye, PolarCell cell);

    Eye own_;
    std::vector<std::optional<std::size_t>> in_head_;
    std::vector<std::size_t> fellow_gland_;   ///< every second cell of its place
};

/// No element stands higher above the wall.
inline constexpr double highest_held_mm = 9.0;

/// Where an element may lie: on the wall, behind the limbus and before the muscle cone, in none of the columns left out.
bool may_hold_element(PolarCell cell, const ColumnMask& left_out);

/// Fat and muscle, and all that they mix to, are on T2 no brighter than on T1, both by fat; fluid is, many times over. True where either is missing.
bool is_watery(const std::vector<JointChannel>& channels, std::size_t i);

/// How much darker a cell is than the darkest that is normal there, as a sum of squares over the series. Channels of MR only.
double darker_than_normal(const std::vector<JointChannel>& channels, const FellowPlaces& fellow, std::size_t i);

/// A region as an element on one channel, which the others show too. `cells`: what it fills there, ordered; `strength`: as FoundElement.
EyeElement element_on(const std::vector<JointChannel>& channels, const JointChannel& lead, const std::vector<std::size_t>& region, std::vector<std::size_t> cells, Appearance appearance, double strength);

/// Among tissue that shows nearly the same nothing tells how much of a cell an element fills: where its shares make no more than `least_share` of the region that stands out, that counts whole.
void count_whole_where_hidden(const PolarBlock& block, FoundElement& element, const std::vector<std::size_t>& region, double least_share);
/// Tissue may be as dark as a void; beside a hydrogel only what leaves nothing of it.
inline constexpr double hidden_void_share = 0.5, hidden_hydrogel_share = 0.0;

}  // namespace perisclera
