// SPDX-License-Identifier: Apache-2.0
#include "image_attributes.h"

#include <array>
#include <string_view>

#include "tags.h"

namespace perisclera {

using namespace tags;

namespace {

struct Place {
    Tag classic, group, own;
    bool nowhere_else;  ///< geometry and scale are never taken from another place
};
constexpr std::array places{
    Place{pixel_spacing, pixel_measures, pixel_spacing, true},
    Place{slice_thickness, pixel_measures, slice_thickness, true},
    Place{slice_distance, pixel_measures, slice_distance, true},
    Place{image_position, plane_position, image_position, true},
    Place{image_orientation, plane_orientation, image_orientation, true},
    Place{rescale_slope, pixel_transformation, rescale_slope, true},
    Place{rescale_intercept, pixel_transformation, rescale_intercept, true},
    Place{rescale_type, pixel_transformation, rescale_type, true},
    Place{image_type, ct_frame_type, frame_type, true},
    Place{image_type, mr_frame_type, frame_type, true},
    Place{temporal_position, frame_content, temporal_position_index, false},
    Place{acquisition_number, frame_content, frame_acquisition_number, false},
    Place{image_laterality, frame_anatomy, frame_laterality, false},
    Place{tube_voltage, ct_x_ray_details, tube_voltage, false},
    Place{kernel, ct_reconstruction, kernel, false},
    Place{kernel_group, ct_reconstruction, kernel_group, false},
    Place{repetition_time, mr_timing, repetition_time, false},
    Place{flip_angle, mr_timing, flip_angle, false},
    Place{echo_train_length, mr_timing, echo_train_length, false},
    Place{echo_train_length, mr_timing, rf_echo_train_length, false},
    Place{echo_time, mr_echo, effective_echo_time, false},
    Place{inversion_time, mr_modifier, inversion_times, false},
    Place{spectral_suppression, mr_modifier, spectral_suppression, false},
    Place{spectral_excitation, mr_modifier, spectral_excitation, false},
    Place{b_value, mr_diffusion, b_value, false},
};

struct NeededGroup {
    Tag group;
    std::string_view name;
    ErrorCode without;
};
constexpr std::array needed_by_all{
    NeededGroup{pixel_measures, "Pixel Measures", ErrorCode::bad_spacing},
    NeededGroup{plane_position, "Plane Position", ErrorCode::bad_position},
    NeededGroup{plane_orientation, "Plane Orientation", ErrorCode::bad_orientation},
    NeededGroup{frame_content, "Frame Content", ErrorCode::bad_value},
};
constexpr std::array needed_by_ct{
    NeededGroup{ct_frame_type, "CT Image Frame Type", ErrorCode::bad_value},
    NeededGroup{pixel_transformation, "Pixel Value Transformation", ErrorCode::no_hounsfield},
};
constexpr std::array needed_by_mr{NeededGroup{mr_frame_type, "MR Image Frame Type", ErrorCode::bad_value}};

}  // namespace

FunctionalGroups FunctionalGroups::of(const Dataset& data) {
    return {data.top_level().items(shared_groups), data.top_level().items(per_frame_groups)};
}

std::optional<Error> FunctionalGroups::problem(Modality modality, long number_of_frames, const std::string& where) const {
    const auto fail = [&](ErrorCode code, std::string what) {
        return Error{code, std::move(what), where, "export this series again from the archive, or as classic single-frame images"};
    };
    if (shared.size() > 1 || frames.size() != static_cast<std::size_t>(number_of_frames))
        return fail(ErrorCode::bad_size, std::to_string(number_of_frames) + " frames stated, " + std::to_string(frames.size()) + " described");
    const auto check = [&](const NeededGroup& needed) -> std::optional<Error> {
        const std::size_t in_shared = shared.empty() ? 0 : shared.front().items(needed.group).size();
        const std::string group = "the functional group " + std::string(needed.name);
        for (std::size_t i = 0; i < frames.size(); ++i) {
            const std::size_t in_frame = frames[i].items(needed.group).size();
            if (in_shared + in_frame == 0) return fail(needed.without, group + " is missing for frame " + std::to_string(i + 1));
            if (in_shared + in_frame > 1) return fail(ErrorCode::conflicting_values, group + " is given more than once for frame " + std::to_string(i + 1));
        }
        return std::nullopt;
    };
    for (const NeededGroup& needed : needed_by_all)
        if (auto error = check(needed)) return error;
    if (modality == Modality::ct) {
        for (const NeededGroup& needed : needed_by_ct)
            if (auto error = check(needed)) return error;
    } else {
        for (const NeededGroup& needed : needed_by_mr)
            if (auto error = check(needed)) return error;
    }
    return std::nullopt;
}

std::vector<AttributeSet> ImageAttributes::group_items(Tag group) const {
    if (groups_ == nullptr) return {};
    auto items = frame_->items(group);
    return items.empty() && !groups_->shared.empty() ? groups_->shared.front().items(group) : items;
}

std::string ImageAttributes::text_in_group(Tag group, Tag tag) const {
    const auto items = group_items(group);
    return items.size() == 1 ? items.front().text(tag) : std::string();
}

std::string ImageAttributes::text(Tag classic) const {
    if (groups_ == nullptr) return top_level_.text(classic);
    bool only_there = false;
    for (const Place& place : places) {
        if (place.classic != classic) continue;
        if (std::string value = text_in_group(place.group, place.own); !value.empty()) return value;
        only_there = only_there || place.nowhere_else;
    }
    if (only_there) return {};
    if (std::string value = top_level_.text(classic); !value.empty()) return value;
    // Images converted from classic ones keep what has no group of its own here (PS3.3 C.7.6.16.2.25).
    for (const Tag converted : {unassigned_per_frame, unassigned_shared})
        if (std::string value = text_in_group(converted, classic); !value.empty()) return value;
    return {};
}

}  // namespace perisclera
