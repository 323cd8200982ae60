// SPDX-License-Identifier: Apache-2.0
#include "perisclera/assemble/split_stacks.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <tuple>

#include "perisclera/core/text.h"
#include "same_place.h"

namespace perisclera {

namespace {

// Directions of one stack: headers carry about six decimals.
constexpr double same_direction = 1e-3;

bool close(double x, double y) { return std::abs(x - y) <= 1e-4 * std::abs(x); }

/// One thing in which the slices of a stack agree.
struct Trait {
    const char* key;  ///< of its name
    bool (*same)(const SliceHeader&, const SliceHeader&);
};

template <auto member>
bool same_tag(const SliceHeader& a, const SliceHeader& b) {
    return a.acquisition.*member == b.acquisition.*member;
}

constexpr std::array traits{
    Trait{"attribute.size", [](const SliceHeader& a, const SliceHeader& b) { return a.geometry.rows == b.geometry.rows && a.geometry.columns == b.geometry.columns; }},
    Trait{"attribute.pixel_spacing",
          [](const SliceHeader& a, const SliceHeader& b) {
              return close(a.geometry.row_spacing_mm, b.geometry.row_spacing_mm) && close(a.geometry.column_spacing_mm, b.geometry.column_spacing_mm);
          }},
    Trait{"attribute.orientation",
          [](const SliceHeader& a, const SliceHeader& b) {
              return length(a.geometry.row - b.geometry.row) < same_direction && length(a.geometry.column - b.geometry.column) < same_direction;
          }},
    Trait{"attribute.kind_of_image",
          [](const SliceHeader& a, const SliceHeader& b) { return a.modality == b.modality && a.acquisition.image_type == b.acquisition.image_type; }},
    Trait{"attribute.echo_time", same_tag<&AcquisitionTags::echo_time_ms>},
    Trait{"attribute.inversion_time", same_tag<&AcquisitionTags::inversion_time_ms>},
    Trait{"attribute.diffusion_weighting", same_tag<&AcquisitionTags::b_value>},
    Trait{"attribute.stated_contrast", same_tag<&AcquisitionTags::acquisition_contrast>},
    Trait{"attribute.reconstruction_kernel", same_tag<&AcquisitionTags::kernel>},
    Trait{"attribute.contrast_agent", same_tag<&AcquisitionTags::contrast_agent>},
    Trait{"attribute.temporal_position", same_tag<&AcquisitionTags::temporal_position>},
    Trait{"attribute.stack", same_tag<&AcquisitionTags::stack_id>},
};

bool same_stack(const SliceHeader& a, const SliceHeader& b) {
    return std::all_of(traits.begin(), traits.end(), [&](const Trait& trait) { return trait.same(a, b); });
}

/// Numbers that part images only where images share their places: within one stack they may well run on from slice to slice.
struct Counter {
    const char* key;  ///< of its name
    std::optional<double> (*value)(const SliceHeader&);
};

std::optional<double> as_number(std::optional<long> value) { return value ? std::optional(static_cast<double>(*value)) : std::nullopt; }

constexpr std::array counters{
    Counter{"attribute.echo_number", [](const SliceHeader& s) { return as_number(s.acquisition.echo_number); }},
    Counter{"attribute.acquisition_number", [](const SliceHeader& s) { return as_number(s.acquisition.acquisition_number); }},
    Counter{"attribute.trigger_time", [](const SliceHeader& s) { return s.acquisition.trigger_time_ms; }},
};

/// Do different images lie at one place? Copies of one image do no harm.
bool share_places(const std::vector<SliceHeader>& stack) {
    const PatientVector normal = unit(cross(stack.front().geometry.row, stack.front().geometry.column));
    std::vector<std::pair<double, const SliceHeader*>> places;
    for (const SliceHeader& slice : stack) places.emplace_back(dot(slice.geometry.position - PatientPoint{0, 0, 0}, normal), &slice);
    std::sort(places.begin(), places.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    for (std::size_t i = 1; i < places.size(); ++i) {
        const SliceHeader &a = *places[i - 1].second, &b = *places[i].second;
        const bool same_image = std::tie(a.sop_instance_uid, a.frame) == std::tie(b.sop_instance_uid, b.frame);
        if (places[i].first - places[i - 1].first < same_place_mm && !same_image) return true;
    }
    return false;
}

/// The stack in parts of which none has two images at one place, or as it was.
std::vector<std::vector<SliceHeader>> parted_by_counter(std::vector<SliceHeader> stack) {
    if (share_places(stack))
        for (const Counter& counter : counters) {
            std::map<std::optional<double>, std::vector<SliceHeader>> parts;
            for (const SliceHeader& slice : stack) parts[counter.value(slice)].push_back(slice);
            if (parts.size() < 2 || parts.contains(std::nullopt)) continue;
            if (std::any_of(parts.begin(), parts.end(), [](const auto& part) { return share_places(part.second); })) continue;
            // Phases of one acquisition cover the same places; a lone double does not.
            const std::size_t size = parts.begin()->second.size();
            if (std::any_of(parts.begin(), parts.end(), [&](const auto& part) { return part.second.size() != size; })) continue;
            std::vector<std::vector<SliceHeader>> result;
            for (auto& [value, slices] : parts) result.push_back(std::move(slices));
            return result;
        }
    std::vector<std::vector<SliceHeader>> whole;
    whole.push_back(std::move(stack));  // a list of initial values would be copied from
    return whole;
}

}  // namespace

std::vector<std::vector<SliceHeader>> split_into_stacks(std::vector<SliceHeader> slices) {
    std::sort(slices.begin(), slices.end(), by_identifier);
    std::vector<std::vector<SliceHeader>> alike;
    for (SliceHeader& slice : slices) {
        const auto fits = std::find_if(alike.begin(), alike.end(), [&](const auto& stack) { return same_stack(stack.front(), slice); });
        if (fits != alike.end()) {
            fits->push_back(std::move(slice));
        } else {
            alike.emplace_back().push_back(std::move(slice));
        }
    }
    std::vector<std::vector<SliceHeader>> stacks;
    for (auto& stack : alike)
        for (auto& part : parted_by_counter(std::move(stack))) stacks.push_back(std::move(part));
    // Largest first: a stray image does not come before the series it strayed into.
    std::stable_sort(stacks.begin(), stacks.end(), [](const auto& a, const auto& b) { return a.size() > b.size(); });
    return stacks;
}

std::vector<std::string> differences_between(const std::vector<std::vector<SliceHeader>>& stacks) {
    std::vector<std::string> words;
    const auto differ = [&](const auto& same) {
        return std::any_of(stacks.begin(), stacks.end(), [&](const auto& stack) { return !same(stacks.front().front(), stack.front()); });
    };
    for (const Trait& trait : traits)
        if (differ(trait.same)) words.push_back(say(trait.key));
    if (!words.empty()) return words;
    for (const Counter& counter : counters)
        if (differ([&](const SliceHeader& a, const SliceHeader& b) { return counter.value(a) == counter.value(b); })) return {say(counter.key)};
    return words;
}

}  // namespace perisclera
