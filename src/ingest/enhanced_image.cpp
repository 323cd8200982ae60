// SPDX-License-Identifier: Apache-2.0
#include "enhanced_image.h"

#include <algorithm>
#include <array>

#include "fragments.h"
#include "header_reader.h"
#include "perisclera/core/limits.h"
#include "perisclera/ingest/dicom_values.h"
#include "tags.h"

namespace perisclera {

using namespace tags;

namespace {

bool is_yes(const std::string& text) { return upper_case(text) == "YES"; }

/// What classic images say by sequence codes, enhanced ones say by an attribute each (PS3.3 C.8.13.4, C.8.13.5.9).
void pulse_sequence(const ImageAttributes& attributes, AcquisitionTags& tags) {
    const std::string echo = upper_case(attributes.text(echo_pulse_sequence));
    if (tags.scanning_sequence.empty()) {
        if (echo == "SPIN" || echo == "BOTH") tags.scanning_sequence.emplace_back("SE");
        if (echo == "GRADIENT" || echo == "BOTH") tags.scanning_sequence.emplace_back("GR");
        if (is_yes(attributes.text(echo_planar_pulse_sequence))) tags.scanning_sequence.emplace_back("EP");
        if (is_yes(attributes.text_in_group(mr_modifier, inversion_recovery))) tags.scanning_sequence.emplace_back("IR");
    }
    if (tags.sequence_variant.empty()) {
        const std::string steady = upper_case(attributes.text(steady_state_pulse_sequence)), spoiled = upper_case(attributes.text_in_group(mr_modifier, spoiling));
        if (steady == "FREE_PRECESSION" || steady == "TRANSVERSE" || steady == "TIME_REVERSED") tags.sequence_variant.emplace_back("SS");
        if (!spoiled.empty() && spoiled != "NONE") tags.sequence_variant.emplace_back("SP");
    }
    if (tags.sequence_name.empty()) tags.sequence_name = attributes.text(pulse_sequence_name);
}

void describe_frame(const ImageAttributes& attributes, Modality modality, AcquisitionTags& tags) {
    const Tag type = modality == Modality::ct ? ct_frame_type : mr_frame_type;
    const std::string technique = upper_case(attributes.text_in_group(type, calculation_technique)), properties = upper_case(attributes.text_in_group(type, volumetric_properties));
    if (!technique.empty() && technique != "NONE") tags.image_type.push_back(technique);
    if (properties == "DISTORTED" || properties == "MIXED") tags.image_type.push_back(properties);
    tags.stack_id = attributes.text_in_group(frame_content, stack_id);
    for (const AttributeSet& use : attributes.group_items(contrast_usage))
        if (is_yes(use.text(contrast_administered))) tags.contrast_agent = "administered";
    if (modality == Modality::mr) {
        const std::string component = upper_case(attributes.text_in_group(type, complex_component));
        if (!component.empty()) tags.image_type.push_back(component);
        tags.acquisition_contrast = upper_case(attributes.text_in_group(type, acquisition_contrast));
        pulse_sequence(attributes, tags);
    }
}

}  // namespace

std::optional<Modality> enhanced_modality(std::string_view uid) {
    if (uid == "1.2.840.10008.5.1.4.1.1.2.1" || uid == "1.2.840.10008.5.1.4.1.1.2.2") return Modality::ct;
    if (uid == "1.2.840.10008.5.1.4.1.1.4.1" || uid == "1.2.840.10008.5.1.4.1.1.4.4") return Modality::mr;
    return std::nullopt;
}

ParsedFile read_enhanced_image(const Dataset& data, InputFile& file, const SliceHeader& start) {
    const auto refuse = [&](Error error) { return RefusedFile{std::move(error), start.series_uid}; };
    const auto count = parse_integer(data.top_level().text(number_of_frames));
    if (!count || *count < 1 || *count > static_cast<long>(limits::slices))
        return refuse({ErrorCode::bad_size, "the number of frames is missing or not between 1 and " + std::to_string(limits::slices), start.where, "export this series again from the archive"});
    const FunctionalGroups groups = FunctionalGroups::of(data);
    if (auto error = groups.problem(start.modality, *count, start.where)) return refuse(*error);

    std::vector<SliceHeader> slices;
    for (long i = 0; i < *count; ++i) {
        SliceHeader slice = start;
        slice.frame = static_cast<int>(i);
        slice.frames = static_cast<int>(*count);
        slice.where += ", frame " + std::to_string(i + 1);
        const ImageAttributes attributes(data, groups, static_cast<std::size_t>(i));
        HeaderReader reader(attributes, slice);
        if (auto error = reader.identity()) return refuse(*error);
        reader.acquisition();
        describe_frame(attributes, start.modality, slice.acquisition);
        const auto& type = slice.acquisition.image_type;
        if (std::find(type.begin(), type.end(), "LOCALIZER") != type.end()) continue;
        auto problem = reader.geometry();
        if (!problem) problem = reader.pixel_format();
        if (!problem) problem = reader.scale();
        if (!problem) problem = reader.pixel_length();
        if (problem) return refuse(*problem);
        slices.push_back(std::move(slice));
    }
    if (slices.empty()) return IgnoredObject{"localizer", {}};
    if (start.layout.encoding == Encoding::encapsulated && !fragments_of_frames(file, start.layout, static_cast<int>(*count)))
        return refuse({ErrorCode::decode_failed, "compressed pixels cannot be told apart into frames", start.where, "export the series again, uncompressed if possible"});
    return slices;
}

}  // namespace perisclera
