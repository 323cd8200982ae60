// SPDX-License-Identifier: Apache-2.0
#include "odd_slices.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <map>
#include <optional>

#include "perisclera/core/text.h"

namespace perisclera {

namespace {

// Our choice: of slices that state something else, up to a quarter stand apart; more of them vary as the scanner made them.
constexpr std::size_t odd_at_most_one_in = 4;

std::string text(double value) {
    std::array<char, 32> digits{};
    return {digits.data(), std::to_chars(digits.data(), digits.data() + digits.size(), value).ptr};
}
std::string text(std::optional<double> value) { return value ? text(*value) : ""; }
std::string text(std::optional<long> value) { return value ? std::to_string(*value) : ""; }
std::string text(const std::vector<std::string>& values) {
    std::string all;
    for (const std::string& value : values) all += value + '\\';
    return all;
}

/// Directions carry six decimals, of which the last may be rounded either way; in ten-thousandths.
std::string rounded(PatientVector v) {
    std::string all;
    for (const double part : {v.x, v.y, v.z}) {
        all += std::to_string(std::lround(part * 1e4)) + ' ';
    }
    return all;
}

struct Attribute {
    const char* key;  ///< of its name
    std::string (*value)(const SliceHeader&);  ///< equal where the attribute is; never shown
};

constexpr std::array attributes{
    Attribute{"attribute.study_identifier", [](const SliceHeader& s) { return s.study_uid; }},
    Attribute{"attribute.patient_name", [](const SliceHeader& s) { return s.filing.patient_name.reveal_for_page_header(); }},
    Attribute{"attribute.rescale_slope_or_intercept", [](const SliceHeader& s) { return text(s.pixels.rescale_slope) + ' ' + text(s.pixels.rescale_intercept); }},
    Attribute{"attribute.pixel_format",
              [](const SliceHeader& s) {
                  const PixelFormat& f = s.pixels;
                  return std::to_string(f.bits_allocated) + ' ' + std::to_string(f.bits_stored) + ' ' + std::to_string(f.high_bit) + (f.is_signed ? " signed" : "");
              }},
    Attribute{"attribute.padding_value", [](const SliceHeader& s) { return text(s.pixels.padding_value) + ' ' + text(s.pixels.padding_range_limit); }},
    Attribute{"attribute.orientation", [](const SliceHeader& s) { return rounded(s.geometry.row) + rounded(s.geometry.column); }},
    Attribute{"attribute.slice_thickness", [](const SliceHeader& s) { return text(s.acquisition.slice_thickness_mm); }},
    Attribute{"attribute.distance_between_slices", [](const SliceHeader& s) { return text(s.acquisition.stated_slice_distance_mm); }},
    Attribute{"attribute.tube_voltage", [](const SliceHeader& s) { return text(s.acquisition.kvp); }},
    Attribute{"attribute.repetition_time", [](const SliceHeader& s) { return text(s.acquisition.repetition_time_ms); }},
    Attribute{"attribute.flip_angle", [](const SliceHeader& s) { return text(s.acquisition.flip_angle_deg); }},
    Attribute{"attribute.field_strength", [](const SliceHeader& s) { return text(s.acquisition.field_strength_tesla); }},
    Attribute{"attribute.echo_train_length", [](const SliceHeader& s) { return text(s.acquisition.echo_train_length); }},
    Attribute{"attribute.pulse_sequence",
              [](const SliceHeader& s) {
                  const AcquisitionTags& tags = s.acquisition;
                  return text(tags.scanning_sequence) + '/' + text(tags.sequence_variant) + '/' + text(tags.scan_options) + '/' + tags.sequence_name + '/' + tags.acquisition_type;
              }},
    Attribute{"attribute.fat_suppression", [](const SliceHeader& s) { return s.acquisition.spectral_suppression; }},
    Attribute{"attribute.kernel_group", [](const SliceHeader& s) { return s.acquisition.kernel_group; }},
    Attribute{"attribute.description", [](const SliceHeader& s) { return s.acquisition.series_description + '\\' + s.acquisition.protocol_name + '\\' + s.acquisition.derivation; }},
    Attribute{"attribute.position_of_the_patient", [](const SliceHeader& s) { return s.acquisition.patient_position; }},
    Attribute{"attribute.laterality", [](const SliceHeader& s) { return s.acquisition.laterality; }},
};

/// The slices' values of one attribute, and which one most of them state.
struct Votes {
    std::vector<std::string> values;
    std::string usual;
    std::size_t odd = 0;

    Votes(const Attribute& attribute, const std::vector<SliceHeader>& stack) {
        std::map<std::string, std::size_t> counts;
        for (const SliceHeader& slice : stack) ++counts[values.emplace_back(attribute.value(slice))];
        const auto most = std::max_element(counts.begin(), counts.end(), [](const auto& a, const auto& b) { return a.second < b.second; });
        usual = most->first;
        odd = stack.size() - most->second;
    }
};

}  // namespace

const SliceHeader& typical_slice(const std::vector<SliceHeader>& stack) {
    std::vector<std::size_t> oddities(stack.size());
    for (const Attribute& attribute : attributes) {
        const Votes votes(attribute, stack);
        for (std::size_t i = 0; i < stack.size(); ++i) oddities[i] += votes.values[i] != votes.usual;
    }
    return stack[static_cast<std::size_t>(std::min_element(oddities.begin(), oddities.end()) - oddities.begin())];
}

std::vector<std::string> odd_slices(const std::vector<SliceHeader>& stack) {
    std::vector<std::string> words;
    for (const Attribute& attribute : attributes) {
        const std::size_t odd = Votes(attribute, stack).odd;
        if (odd == 0 || odd * odd_at_most_one_in > stack.size()) continue;
        words.push_back(say(odd == 1 ? "series_problem.one_odd_slice" : "series_problem.odd_slices",
                            {{"odd", std::to_string(odd)}, {"all", std::to_string(stack.size())}, {"attribute", say(attribute.key)}}));
    }
    return words;
}

}  // namespace perisclera
