// SPDX-License-Identifier: Apache-2.0
#pragma once
// A head in which many points are looked up: what may lie in each small cube of it is found once, when first asked for, and every point is compared
// only with that. The labels are the head's own.
#include <array>
#include <atomic>
#include <cstdint>
#include <vector>

#include "head_model.h"

namespace perisclera::phantoms {

class HeadMap {
public:
    /// Keeps a reference to `head`.
    explicit HeadMap(const HeadModel& head);
    /// May be called from several threads at once.
    [[nodiscard]] Label label_at(HeadPoint point) const { return head_.label_at(point, locality(point)); }
    [[nodiscard]] const HeadModel& head() const { return head_; }

private:
    [[nodiscard]] Locality locality(HeadPoint point) const;
    [[nodiscard]] Locality find(std::array<int, 3> cube) const;

    const HeadModel& head_;
    mutable std::vector<std::atomic<std::uint32_t>> bits_;  ///< of each cube's locality, x fastest; 0 until it is found
};

}  // namespace perisclera::phantoms
