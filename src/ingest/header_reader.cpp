// SPDX-License-Identifier: Apache-2.0
#include "header_reader.h"

#include <algorithm>
#include <cmath>

#include "perisclera/core/limits.h"
#include "perisclera/ingest/dicom_values.h"
#include "tags.h"
#include "transfer_syntax.h"

namespace perisclera {

using namespace tags;

namespace {

// Header directions carry about six decimals; beyond a milliradian they describe no rectangular pixel grid.
constexpr double direction_tolerance = 1e-3;

}  // namespace

std::optional<Error> HeaderReader::identity() {
    slice_.sop_instance_uid = attributes_.text(sop_instance);
    slice_.study_uid = attributes_.text(study_instance);
    for (const std::string* uid : {&slice_.sop_instance_uid, &slice_.series_uid, &slice_.study_uid})
        if (!valid_uid(*uid)) return fail(ErrorCode::bad_uid, "an identifier (UID) is missing or malformed");
    slice_.frame_of_reference_uid = attributes_.text(frame_of_reference);
    if (!valid_uid(slice_.frame_of_reference_uid)) slice_.frame_of_reference_uid.clear();
    const std::string id = attributes_.utf8(patient_id), name = attributes_.utf8(patient_name);
    slice_.patient = PatientIdentity({id, attributes_.utf8(patient_id_issuer), name, attributes_.text(birth_date), upper_case(attributes_.text(patient_sex)), slice_.study_uid});
    slice_.study_date = attributes_.text(study_date);
    const auto filed = [&](Tag tag) { return PatientText(attributes_.utf8(tag)); };
    slice_.filing = {slice_.study_uid, PatientText(name), PatientText(id), filed(patient_id_issuer), filed(birth_date), filed(patient_sex),
                     filed(study_date), filed(study_time), filed(study_id), filed(accession_number), filed(referring_physician), filed(study_description)};
    return {};
}

void HeaderReader::acquisition() {
    AcquisitionTags& tags = slice_.acquisition;
    tags.image_type = codes(image_type);
    tags.scanning_sequence = codes(scanning_sequence);
    tags.sequence_variant = codes(sequence_variant);
    tags.scan_options = codes(scan_options);
    tags.acquisition_type = upper_case(attributes_.text(acquisition_type));
    tags.sequence_name = attributes_.text(sequence_name);
    tags.spectral_suppression = upper_case(attributes_.text(spectral_suppression));
    tags.spectral_excitation = upper_case(attributes_.text(spectral_excitation));
    tags.angiographic = upper_case(attributes_.text(angio_flag)) == "Y";
    tags.contrast_agent = attributes_.text(contrast_agent);
    tags.series_description = attributes_.text(series_description);
    tags.protocol_name = attributes_.text(protocol_name);
    tags.derivation = attributes_.text(derivation_description);
    tags.kernel = attributes_.text(kernel);
    tags.kernel_group = upper_case(attributes_.text(kernel_group));
    tags.patient_position = upper_case(attributes_.text(patient_position));
    tags.laterality = upper_case(attributes_.has(image_laterality) ? attributes_.text(image_laterality) : attributes_.text(series_laterality));
    tags.repetition_time_ms = positive(repetition_time);
    tags.echo_time_ms = positive(echo_time);
    tags.inversion_time_ms = positive(inversion_time);
    tags.several_inversions = split_values(attributes_.text(inversion_time)).size() > 1;
    tags.flip_angle_deg = positive(flip_angle);
    tags.field_strength_tesla = positive(field_strength);
    if (slice_.modality == Modality::mr) tags.b_value = diffusion_weighting();
    tags.kvp = positive(tube_voltage);
    tags.slice_thickness_mm = positive(slice_thickness);
    tags.stated_slice_distance_mm = parse_decimal(attributes_.text(slice_distance));
    tags.echo_train_length = parse_integer(attributes_.text(echo_train_length));
    tags.trigger_time_ms = parse_decimal(attributes_.text(trigger_time));
    tags.echo_number = parse_integer(attributes_.text(echo_number));
    tags.acquisition_number = parse_integer(attributes_.text(acquisition_number));
    tags.temporal_position = parse_integer(attributes_.text(temporal_position));
    tags.instance_number = parse_integer(attributes_.text(instance_number));
}

std::optional<Error> HeaderReader::geometry() {
    SliceGeometry& g = slice_.geometry;
    const auto row_count = attributes_.short_number(rows), column_count = attributes_.short_number(columns);
    constexpr long most = limits::rows_or_columns;
    if (!row_count || !column_count || *row_count < 1 || *column_count < 1 || *row_count > most || *column_count > most)
        return fail(ErrorCode::bad_size, "rows or columns are missing or not between 1 and " + std::to_string(most));
    g.rows = static_cast<int>(*row_count);
    g.columns = static_cast<int>(*column_count);

    const auto spacing = parse_decimals(attributes_.text(pixel_spacing), 2);
    // 1000 mm is the size of the largest field of view, so no spacing.
    if (!spacing || !((*spacing)[0] > 0.0 && (*spacing)[0] < 1000.0) || !((*spacing)[1] > 0.0 && (*spacing)[1] < 1000.0))
        return fail(ErrorCode::bad_spacing, "PixelSpacing is missing or not two positive numbers");
    g.row_spacing_mm = (*spacing)[0];  // PS3.3 10.7.1.3: between rows first
    g.column_spacing_mm = (*spacing)[1];

    const auto direction = parse_decimals(attributes_.text(image_orientation), 6);
    if (!direction) return fail(ErrorCode::bad_orientation, "ImageOrientationPatient is missing or not six numbers");
    const auto& d = *direction;
    g.row = {d[0], d[1], d[2]};
    g.column = {d[3], d[4], d[5]};
    if (std::abs(length(g.row) - 1.0) > direction_tolerance || std::abs(length(g.column) - 1.0) > direction_tolerance ||
        std::abs(dot(g.row, g.column)) > direction_tolerance)
        return fail(ErrorCode::bad_orientation, "ImageOrientationPatient is not two perpendicular unit vectors");

    const auto position = parse_decimals(attributes_.text(image_position), 3);
    if (!position || std::any_of(position->begin(), position->end(), [](double p) { return std::abs(p) > 1e5; }))
        return fail(ErrorCode::bad_position, "ImagePositionPatient is missing or not three numbers");
    g.position = {(*position)[0], (*position)[1], (*position)[2]};
    slice_.plane = {attributes_.text(image_position), attributes_.text(image_orientation), attributes_.text(pixel_spacing), attributes_.text(slice_thickness)};
    return {};
}

std::optional<Error> HeaderReader::pixel_format() {
    const auto number = [&](Tag tag) { return attributes_.short_number(tag).value_or(-1); };
    const long allocated = number(bits_allocated), stored = number(bits_stored), high = number(high_bit), sign = number(pixel_representation);
    const std::string colours = attributes_.text(photometric);
    if (number(samples_per_pixel) != 1 || (colours != "MONOCHROME2" && colours != "MONOCHROME1"))
        return fail(ErrorCode::bad_pixel_format, "is not a grey image with one sample per pixel");
    if ((allocated != 8 && allocated != 16) || stored < 1 || stored > allocated || high < stored - 1 || high >= allocated || sign < 0 || sign > 1)
        return fail(ErrorCode::bad_pixel_format, "bits allocated, bits stored, high bit or sign are missing or contradict each other");
    PixelFormat& format = slice_.pixels;
    format.bits_allocated = static_cast<int>(allocated);
    format.bits_stored = static_cast<int>(stored);
    format.high_bit = static_cast<int>(high);
    format.is_signed = sign == 1;
    format.padding_value = as_stored(attributes_.short_number(padding_value));
    format.padding_range_limit = as_stored(attributes_.short_number(padding_range_limit));
    const std::string lossy = attributes_.text(lossy_compression);
    const TransferSyntax* syntax = find_transfer_syntax(slice_.layout.transfer_syntax_uid);
    slice_.lossy = lossy == "01" || syntax->loss == Loss::always || (syntax->loss == Loss::possible && lossy != "00");
    if (slice_.lossy) slice_.lossy_ratio = last_positive(lossy_compression_ratio);
    return {};
}

std::optional<Error> HeaderReader::scale() {
    PixelFormat& format = slice_.pixels;
    const auto slope = parse_decimal(attributes_.text(rescale_slope)), intercept = parse_decimal(attributes_.text(rescale_intercept));
    const bool stated = !attributes_.text(rescale_slope).empty() || !attributes_.text(rescale_intercept).empty();
    const bool sound = slope && intercept && *slope != 0.0 && std::abs(*slope) < 1e6 && std::abs(*intercept) < 1e6;
    if (slice_.modality == Modality::ct) {
        const std::string unit = upper_case(attributes_.text(rescale_type));
        if (!sound) return fail(ErrorCode::no_hounsfield, "CT without a usable rescale slope and intercept");
        if (!unit.empty() && unit != "HU") return fail(ErrorCode::no_hounsfield, "CT whose values are not Hounsfield units");
    } else if (stated && !sound) {
        return fail(ErrorCode::bad_value, "rescale slope or intercept is not a usable number");
    }
    if (sound) {
        format.rescale_slope = *slope;
        format.rescale_intercept = *intercept;
    }
    return {};
}

std::optional<Error> HeaderReader::pixel_length() {
    const FileLayout& layout = slice_.layout;
    if (!layout.has_pixels) return fail(ErrorCode::pixels_short, "holds no pixels");
    if (layout.encoding == Encoding::encapsulated) return {};
    const std::uint64_t expected = static_cast<std::uint64_t>(slice_.geometry.rows) * static_cast<std::uint64_t>(slice_.geometry.columns) *
                                   static_cast<std::uint64_t>(slice_.pixels.bits_allocated / 8) * static_cast<std::uint64_t>(slice_.frames);
    const std::uint64_t left = layout.file_bytes - layout.pixel_offset;
    if (layout.pixel_bytes > expected + 1 && layout.pixel_bytes > left)
        return fail(ErrorCode::length_beyond_file, "the pixels are announced longer than the file");
    if (layout.pixel_bytes > expected + 1)  // one byte of padding to even length
        return fail(ErrorCode::bad_size, slice_.frames == 1 ? "more pixels than rows and columns say" : "more pixels than rows, columns and frames say");
    const std::uint64_t found = std::min(layout.pixel_bytes, left);
    if (found < expected)
        return fail(ErrorCode::pixels_short,
                    "pixels end early (" + std::to_string(expected) + " bytes expected, " + std::to_string(found) + " found)");
    return {};
}

Error HeaderReader::fail(ErrorCode code, std::string what) const {
    return Error{code, std::move(what), slice_.where, "export this series again from the archive, or leave the file out"};
}

std::vector<std::string> HeaderReader::codes(Tag tag) const { return split_values(upper_case(attributes_.text(tag))); }

std::optional<double> HeaderReader::positive(Tag tag) const {
    const auto value = parse_decimal(attributes_.text(tag));
    return value && *value > 0.0 ? value : std::nullopt;
}

/// Compressed several times, the last value tells of the last time (PS3.3 C.7.6.1.1.5.2).
std::optional<double> HeaderReader::last_positive(Tag tag) const {
    const auto values = split_values(attributes_.text(tag));
    const auto value = values.empty() ? std::nullopt : parse_decimal(values.back());
    return value && *value > 0.0 ? value : std::nullopt;
}

/// Classic images have no public attribute for it. The private ones, by data dictionaries of open libraries: a whole number, a number, and four
/// whole numbers of which the first is meant, 10^9 added to mark it as valid.
std::optional<double> HeaderReader::diffusion_weighting() const {
    if (const auto stated = parse_decimal(attributes_.text(b_value))) return stated;
    if (const auto stated = parse_decimal(attributes_.private_text(0x0019, "SIEMENS MR HEADER", 0x0C))) return stated;
    if (const auto stated = parse_decimal(attributes_.private_text(0x2001, "Philips Imaging DD 001", 0x03))) return stated;
    const auto values = split_values(attributes_.private_text(0x0043, "GEMS_PARM_01", 0x39));
    constexpr double valid = 1e9;
    const auto first = values.empty() ? std::nullopt : parse_decimal(values.front());
    return first && *first >= valid ? std::optional(*first - valid) : first;
}

/// Padding values are often written with the wrong one of US and SS; their 16 bits are meant.
std::optional<long> HeaderReader::as_stored(std::optional<long> value) const {
    if (!value) return value;
    return slice_.pixels.is_signed ? static_cast<long>(static_cast<std::int16_t>(*value)) : static_cast<long>(static_cast<std::uint16_t>(*value));
}

}  // namespace perisclera
