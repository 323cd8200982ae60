// SPDX-License-Identifier: Apache-2.0
#pragma once
// The attributes of one image, asked for by the tags of a classic single-frame one. A classic image has them at its top level; an enhanced
// one keeps those that may vary in functional groups, shared by all frames or per frame, some under other tags (PS3.3 C.7.6.16, C.8.13, C.8.15).
#include <optional>
#include <string>
#include <vector>

#include "dataset.h"
#include "perisclera/core/error.h"
#include "perisclera/core/modality.h"

namespace perisclera {

/// The items that hold an enhanced image's functional groups.
struct FunctionalGroups {
    std::vector<AttributeSet> shared;  ///< one item, or none
    std::vector<AttributeSet> frames;  ///< one item for each frame

    static FunctionalGroups of(const Dataset& data);
    /// What a measurable frame needs and cannot be found exactly once. `number_of_frames` is stated elsewhere.
    /// Errors: bad_size, bad_spacing, bad_position, bad_orientation, no_hounsfield, bad_value, conflicting_values.
    [[nodiscard]] std::optional<Error> problem(Modality modality, long number_of_frames, const std::string& where) const;
};

class ImageAttributes {
public:
    /// Of a classic image.
    explicit ImageAttributes(const Dataset& data) : data_(data), top_level_(data.top_level()) {}
    /// Of a frame, counted from 0, of an enhanced image. The groups have to live as long.
    ImageAttributes(const Dataset& data, const FunctionalGroups& groups, std::size_t frame)
        : data_(data), top_level_(data.top_level()), groups_(&groups), frame_(groups.frames[frame]) {}

    [[nodiscard]] bool has(Tag classic) const { return !text(classic).empty(); }
    [[nodiscard]] std::string text(Tag classic) const;
    [[nodiscard]] std::string utf8(Tag top_level) const { return data_.utf8(top_level); }
    [[nodiscard]] std::string private_text(unsigned short group, std::string_view creator, unsigned char element) const {
        return top_level_.private_text(group, creator, element);
    }
    [[nodiscard]] std::optional<long> short_number(Tag top_level) const { return top_level_.short_number(top_level); }
    /// The frame's group of that name, or the shared one. Empty unless there is exactly one item.
    [[nodiscard]] std::string text_in_group(Tag group, Tag tag) const;
    /// All items of a group.
    [[nodiscard]] std::vector<AttributeSet> group_items(Tag group) const;

private:
    const Dataset& data_;
    AttributeSet top_level_;
    const FunctionalGroups* groups_ = nullptr;  ///< null for a classic image
    std::optional<AttributeSet> frame_;
};

}  // namespace perisclera
