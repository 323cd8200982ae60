// SPDX-License-Identifier: Apache-2.0
#pragma once
// What one set of samples tells about another at the same places (Shannon's mutual information, in nats a sample), whatever the contrast of either.
#include <vector>

namespace perisclera {

class MutualInformation {
public:
    /// `first`: one value a place. Values are parted into bins of equal width between the 1st and the 99th percentile.
    explicit MutualInformation(const std::vector<float>& first);
    /// The range of the second's bins, which stay while its samples move.
    void set_second_range(const std::vector<float>& second);
    /// `second`: one value a place; NaN where nothing is known. Smooth in the values: each is shared out between two bins.
    [[nodiscard]] double with(const std::vector<float>& second) const;

private:
    static constexpr int bins = 20;
    struct Range {
        float low = 0.0f, scale = 0.0f;
        [[nodiscard]] float bin_of(float value) const;   ///< 0 .. bins - 1
    };
    static Range range_of(std::vector<float> values);
    Range second_range_{};
    std::vector<int> first_bin_;
};

}  // namespace perisclera
