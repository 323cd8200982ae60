// SPDX-License-Identifier: Apache-2.0
#pragma once
// How much of a cell a thick element fills, by what the cell shows on all series of the eye at once: the mean over all that explains it, each as likely as it lies near
// (the element mixed with fat, muscle or air; these mixed with each other; what the fellow eye shows there; what lies about the element in this eye).
#include <array>
#include <optional>
#include <vector>

#include "joint_channels.h"
#include "polar_regions.h"

namespace perisclera {

/// What was found of the element, and what it is taken to fill by now; masks of the lead's grid.
struct BodySoFar {
    const PolarMask &found, &filled;
};

class BodyShares {
public:
    /// `lead`: the view whose grid counts. `fellow`: the other eye in the same series, nullptr where it is not shown; `opposite`: columns where it says nothing. All have to
    /// outlive this.
    BodyShares(const std::vector<const EyeView*>& views, const std::vector<const EyeView*>& fellow, std::size_t lead, BodySoFar body, const ColumnMask& opposite);
    /// Does any series show what is taken to be the element?
    [[nodiscard]] bool tells() const { return !channels_.empty(); }
    /// 0 to 1; about a half where nothing tells.
    [[nodiscard]] float at(std::size_t i) const;
    /// Does the cell clearly show something else than the body?
    [[nodiscard]] bool is_unlike_body(std::size_t i) const;
    /// Share of the cell that lies above the wall, 0 to 1.
    [[nodiscard]] float above_wall(std::size_t i) const;

private:
    struct Channel {
        bool ct;
        std::vector<float> value, fellow;   ///< in the grids of lead and fellow's lead; of the fellow not a number beyond its images
        std::vector<char> inside;
        float own, fat, muscle, air, doubt;
    };
    struct Mixture {
        JointSignals signal;
        float share;                        ///< of the element
        bool pure;                          ///< one tissue alone
    };
    void add_channel(const std::vector<const EyeView*>& views, const std::vector<const EyeView*>& fellow, std::size_t lead, std::size_t view, const std::vector<std::size_t>& core);
    void mix_channels();
    void learn_surroundings(const PolarMask& found);
    /// Sum of squares over the series, in units of the doubt.
    [[nodiscard]] float apart(std::size_t i, const JointSignals& from) const;
    [[nodiscard]] float from_fellow(std::size_t i, bool gland_only) const;

    const PolarBlock& block_;
    const ColumnMask& opposite_;
    std::vector<Channel> channels_;
    std::vector<Mixture> mixtures_;
    JointSignals own_{};                    ///< of the body
    std::vector<JointSignals> surroundings_;   ///< of tissues about the element
    std::optional<FellowPlaces> places_;    ///< where the fellow serves
    std::vector<float> before_;             ///< odds of the element before the signals are looked at
    PolarMask near_, surface_;              ///< about what was found, and what it is taken to fill
    std::vector<float> inner_face_;         ///< by columns, mm
};

}  // namespace perisclera
