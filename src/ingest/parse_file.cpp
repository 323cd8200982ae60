// SPDX-License-Identifier: Apache-2.0
#include "parse_file.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "dataset.h"
#include "scan_layout.h"
#include "perisclera/core/limits.h"
#include "perisclera/ingest/dicom_values.h"
#include "transfer_syntax.h"

namespace perisclera {

namespace {

constexpr Tag image_type{0x0008, 0x0008}, sop_class{0x0008, 0x0016}, sop_instance{0x0008, 0x0018}, study_date{0x0008, 0x0020};
constexpr Tag series_description{0x0008, 0x103E}, derivation_description{0x0008, 0x2111};
constexpr Tag patient_name{0x0010, 0x0010}, patient_id{0x0010, 0x0020}, birth_date{0x0010, 0x0030};
constexpr Tag contrast_agent{0x0018, 0x0010}, scanning_sequence{0x0018, 0x0020}, sequence_variant{0x0018, 0x0021}, scan_options{0x0018, 0x0022};
constexpr Tag acquisition_type{0x0018, 0x0023}, sequence_name{0x0018, 0x0024}, slice_thickness{0x0018, 0x0050}, tube_voltage{0x0018, 0x0060};
constexpr Tag repetition_time{0x0018, 0x0080}, echo_time{0x0018, 0x0081}, inversion_time{0x0018, 0x0082}, field_strength{0x0018, 0x0087};
constexpr Tag echo_train_length{0x0018, 0x0091}, protocol_name{0x0018, 0x1030}, kernel{0x0018, 0x1210}, flip_angle{0x0018, 0x1314};
constexpr Tag patient_position{0x0018, 0x5100}, spectral_suppression{0x0018, 0x9025}, b_value{0x0018, 0x9087}, kernel_group{0x0018, 0x9316};
constexpr Tag study_instance{0x0020, 0x000D}, series_instance{0x0020, 0x000E}, acquisition_number{0x0020, 0x0012}, instance_number{0x0020, 0x0013};
constexpr Tag image_position{0x0020, 0x0032}, image_orientation{0x0020, 0x0037}, frame_of_reference{0x0020, 0x0052};
constexpr Tag image_laterality{0x0020, 0x0062}, series_laterality{0x0020, 0x0060}, temporal_position{0x0020, 0x0100};
constexpr Tag samples_per_pixel{0x0028, 0x0002}, photometric{0x0028, 0x0004}, number_of_frames{0x0028, 0x0008}, rows{0x0028, 0x0010};
constexpr Tag columns{0x0028, 0x0011}, pixel_spacing{0x0028, 0x0030}, bits_allocated{0x0028, 0x0100}, bits_stored{0x0028, 0x0101};
constexpr Tag high_bit{0x0028, 0x0102}, pixel_representation{0x0028, 0x0103}, padding_value{0x0028, 0x0120}, padding_range_limit{0x0028, 0x0121};
constexpr Tag rescale_intercept{0x0028, 0x1052}, rescale_slope{0x0028, 0x1053}, rescale_type{0x0028, 0x1054}, lossy_compression{0x0028, 0x2110};
constexpr Tag lossy_compression_ratio{0x0028, 0x2112};

// Header directions carry about six decimals; beyond a milliradian they describe no rectangular pixel grid.
constexpr double direction_tolerance = 1e-3;

struct SopClass {
    std::string_view uid, kind;
};
/// Objects that often lie beside the images, with the words to count them by. PS3.4 annex B.5.
constexpr std::array known_objects{
    SopClass{"1.2.840.10008.5.1.4.1.1.7", "secondary capture"},
    SopClass{"1.2.840.10008.5.1.4.1.1.11.1", "presentation state"},
    SopClass{"1.2.840.10008.5.1.4.1.1.66", "raw data"},
    SopClass{"1.2.840.10008.5.1.4.1.1.66.4", "segmentation"},
    SopClass{"1.2.840.10008.5.1.4.1.1.88.11", "structured report"},
    SopClass{"1.2.840.10008.5.1.4.1.1.88.22", "structured report"},
    SopClass{"1.2.840.10008.5.1.4.1.1.88.33", "structured report"},
    SopClass{"1.2.840.10008.5.1.4.1.1.88.34", "structured report"},
    SopClass{"1.2.840.10008.5.1.4.1.1.88.59", "key object selection"},
    SopClass{"1.2.840.10008.5.1.4.1.1.88.67", "dose report"},
    SopClass{"1.2.840.10008.5.1.4.1.1.104.1", "encapsulated PDF"},
};
constexpr std::string_view ct_image = "1.2.840.10008.5.1.4.1.1.2", mr_image = "1.2.840.10008.5.1.4.1.1.4";
constexpr std::array<std::string_view, 4> enhanced_images{"1.2.840.10008.5.1.4.1.1.2.1", "1.2.840.10008.5.1.4.1.1.2.2", "1.2.840.10008.5.1.4.1.1.4.1",
                                                          "1.2.840.10008.5.1.4.1.1.4.4"};

std::string kind_of(std::string_view sop_class_uid) {
    for (const SopClass& known : known_objects)
        if (known.uid == sop_class_uid) return std::string(known.kind);
    return "other DICOM object";
}

/// Reads one file's header; every function returns what is wrong, or nothing.
class HeaderReader {
public:
    HeaderReader(const Dataset& data, const std::string& where, SliceHeader& slice) : data_(data), where_(where), slice_(slice) {}
    using Problem = std::optional<Error>;

    Problem identity() {
        slice_.sop_instance_uid = data_.text(sop_instance);
        slice_.study_uid = data_.text(study_instance);
        for (const std::string* uid : {&slice_.sop_instance_uid, &slice_.series_uid, &slice_.study_uid})
            if (!valid_uid(*uid)) return fail(ErrorCode::bad_uid, "an identifier (UID) is missing or malformed");
        slice_.frame_of_reference_uid = data_.text(frame_of_reference);
        if (!valid_uid(slice_.frame_of_reference_uid)) slice_.frame_of_reference_uid.clear();
        const std::string id = data_.utf8(patient_id), name = data_.utf8(patient_name);
        slice_.patient = PatientKey(id.empty() ? name : id, data_.text(birth_date));
        slice_.patient_id = PatientText(id);
        slice_.patient_name = PatientText(name);
        slice_.study_date = data_.text(study_date);
        return {};
    }

    void acquisition() {
        AcquisitionTags& tags = slice_.acquisition;
        tags.image_type = codes(image_type);
        tags.scanning_sequence = codes(scanning_sequence);
        tags.sequence_variant = codes(sequence_variant);
        tags.scan_options = codes(scan_options);
        tags.acquisition_type = upper_case(data_.text(acquisition_type));
        tags.sequence_name = data_.text(sequence_name);
        tags.spectral_suppression = upper_case(data_.text(spectral_suppression));
        tags.contrast_agent = data_.text(contrast_agent);
        tags.series_description = data_.text(series_description);
        tags.protocol_name = data_.text(protocol_name);
        tags.derivation = data_.text(derivation_description);
        tags.kernel = data_.text(kernel);
        tags.kernel_group = upper_case(data_.text(kernel_group));
        tags.patient_position = upper_case(data_.text(patient_position));
        tags.laterality = upper_case(data_.has(image_laterality) ? data_.text(image_laterality) : data_.text(series_laterality));
        tags.repetition_time_ms = positive(repetition_time);
        tags.echo_time_ms = positive(echo_time);
        tags.inversion_time_ms = positive(inversion_time);
        tags.flip_angle_deg = positive(flip_angle);
        tags.field_strength_tesla = positive(field_strength);
        tags.b_value = parse_decimal(data_.text(b_value));
        tags.kvp = positive(tube_voltage);
        tags.slice_thickness_mm = positive(slice_thickness);
        tags.echo_train_length = parse_integer(data_.text(echo_train_length));
        tags.acquisition_number = parse_integer(data_.text(acquisition_number));
        tags.temporal_position = parse_integer(data_.text(temporal_position));
        tags.instance_number = parse_integer(data_.text(instance_number));
    }

    Problem geometry() {
        SliceGeometry& g = slice_.geometry;
        const auto row_count = data_.short_number(rows), column_count = data_.short_number(columns);
        constexpr long most = limits::rows_or_columns;
        if (!row_count || !column_count || *row_count < 1 || *column_count < 1 || *row_count > most || *column_count > most)
            return fail(ErrorCode::bad_size, "rows or columns are missing or not between 1 and " + std::to_string(most));
        g.rows = static_cast<int>(*row_count);
        g.columns = static_cast<int>(*column_count);

        const auto spacing = parse_decimals(data_.text(pixel_spacing), 2);
        // 1000 mm is the size of the largest field of view, so no spacing.
        if (!spacing || !((*spacing)[0] > 0.0 && (*spacing)[0] < 1000.0) || !((*spacing)[1] > 0.0 && (*spacing)[1] < 1000.0))
            return fail(ErrorCode::bad_spacing, "PixelSpacing is missing or not two positive numbers");
        g.row_spacing_mm = (*spacing)[0];  // PS3.3 10.7.1.3: between rows first
        g.column_spacing_mm = (*spacing)[1];

        const auto direction = parse_decimals(data_.text(image_orientation), 6);
        if (!direction) return fail(ErrorCode::bad_orientation, "ImageOrientationPatient is missing or not six numbers");
        const auto& d = *direction;
        g.row = {d[0], d[1], d[2]};
        g.column = {d[3], d[4], d[5]};
        if (std::abs(length(g.row) - 1.0) > direction_tolerance || std::abs(length(g.column) - 1.0) > direction_tolerance ||
            std::abs(dot(g.row, g.column)) > direction_tolerance)
            return fail(ErrorCode::bad_orientation, "ImageOrientationPatient is not two perpendicular unit vectors");

        const auto position = parse_decimals(data_.text(image_position), 3);
        if (!position || std::any_of(position->begin(), position->end(), [](double p) { return std::abs(p) > 1e5; }))
            return fail(ErrorCode::bad_position, "ImagePositionPatient is missing or not three numbers");
        g.position = {(*position)[0], (*position)[1], (*position)[2]};
        return {};
    }

    Problem pixel_format() {
        if (data_.has(number_of_frames) && parse_integer(data_.text(number_of_frames)) != 1)
            return fail(ErrorCode::unsupported_encoding, "holds several frames or a malformed number of frames");
        const auto number = [&](Tag tag) { return data_.short_number(tag).value_or(-1); };
        const long allocated = number(bits_allocated), stored = number(bits_stored), high = number(high_bit), sign = number(pixel_representation);
        const std::string colours = data_.text(photometric);
        if (number(samples_per_pixel) != 1 || (colours != "MONOCHROME2" && colours != "MONOCHROME1"))
            return fail(ErrorCode::bad_pixel_format, "is not a grey image with one sample per pixel");
        if ((allocated != 8 && allocated != 16) || stored < 1 || stored > allocated || high < stored - 1 || high >= allocated || sign < 0 || sign > 1)
            return fail(ErrorCode::bad_pixel_format, "bits allocated, bits stored, high bit or sign are missing or contradict each other");
        PixelFormat& format = slice_.pixels;
        format.bits_allocated = static_cast<int>(allocated);
        format.bits_stored = static_cast<int>(stored);
        format.high_bit = static_cast<int>(high);
        format.is_signed = sign == 1;
        format.padding_value = as_stored(data_.short_number(padding_value));
        format.padding_range_limit = as_stored(data_.short_number(padding_range_limit));
        const std::string lossy = data_.text(lossy_compression);
        const TransferSyntax* syntax = find_transfer_syntax(slice_.layout.transfer_syntax_uid);
        slice_.lossy = lossy == "01" || syntax->loss == Loss::always || (syntax->loss == Loss::possible && lossy != "00");
        if (slice_.lossy) slice_.lossy_ratio = last_positive(lossy_compression_ratio);
        return {};
    }

    /// CT needs its own statement how stored values become HU; MR values have no unit and a missing rescale means none.
    Problem scale() {
        PixelFormat& format = slice_.pixels;
        const auto slope = parse_decimal(data_.text(rescale_slope)), intercept = parse_decimal(data_.text(rescale_intercept));
        const bool stated = !data_.text(rescale_slope).empty() || !data_.text(rescale_intercept).empty();
        const bool sound = slope && intercept && *slope != 0.0 && std::abs(*slope) < 1e6 && std::abs(*intercept) < 1e6;
        if (slice_.modality == Modality::ct) {
            const std::string unit = upper_case(data_.text(rescale_type));
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

    Problem pixel_length() {
        const FileLayout& layout = slice_.layout;
        if (!layout.has_pixels) return fail(ErrorCode::pixels_short, "holds no pixels");
        if (layout.encoding == Encoding::encapsulated) return {};
        const std::uint64_t expected = static_cast<std::uint64_t>(slice_.geometry.rows) * static_cast<std::uint64_t>(slice_.geometry.columns) *
                                       static_cast<std::uint64_t>(slice_.pixels.bits_allocated / 8);
        const std::uint64_t left = layout.file_bytes - layout.pixel_offset;
        if (layout.pixel_bytes > expected + 1 && layout.pixel_bytes > left)
            return fail(ErrorCode::length_beyond_file, "the pixels are announced longer than the file");
        if (layout.pixel_bytes > expected + 1)  // one byte of padding to even length
            return fail(ErrorCode::bad_size, "more pixels than rows and columns say");
        const std::uint64_t found = std::min(layout.pixel_bytes, left);
        if (found < expected)
            return fail(ErrorCode::pixels_short,
                        "pixels end early (" + std::to_string(expected) + " bytes expected, " + std::to_string(found) + " found)");
        return {};
    }

private:
    Error fail(ErrorCode code, std::string what) const {
        return Error{code, std::move(what), where_, "export this series again from the archive, or leave the file out"};
    }
    std::vector<std::string> codes(Tag tag) const { return split_values(upper_case(data_.text(tag))); }
    std::optional<double> positive(Tag tag) const {
        const auto value = parse_decimal(data_.text(tag));
        return value && *value > 0.0 ? value : std::nullopt;
    }
    /// Compressed several times, the last value tells of the last time (PS3.3 C.7.6.1.1.5.2).
    std::optional<double> last_positive(Tag tag) const {
        const auto values = split_values(data_.text(tag));
        const auto value = values.empty() ? std::nullopt : parse_decimal(values.back());
        return value && *value > 0.0 ? value : std::nullopt;
    }
    /// Padding values are often written with the wrong one of US and SS; their 16 bits are meant.
    std::optional<long> as_stored(std::optional<long> value) const {
        if (!value) return value;
        return slice_.pixels.is_signed ? static_cast<long>(static_cast<std::int16_t>(*value)) : static_cast<long>(static_cast<std::uint16_t>(*value));
    }

    const Dataset& data_;
    const std::string& where_;
    SliceHeader& slice_;
};

bool contains(const std::vector<std::string>& values, std::string_view wanted) {
    return std::find(values.begin(), values.end(), wanted) != values.end();
}

}  // namespace

ParsedFile parse_file(InputFile& file, const FileOrigin& origin) {
    const std::string& where = origin.where;
    const auto refuse = [](Error error, std::string series = {}) { return RefusedFile{std::move(error), std::move(series)}; };
    SliceHeader slice;
    slice.path = origin.path;
    slice.archive_member = origin.archive_member;
    slice.where = where;
    auto layout = scan_layout(file, where);
    if (!layout) return refuse(layout.error());
    if (layout.value().directory) return IgnoredObject{"DICOM directory"};
    slice.layout = layout.value();

    std::vector<unsigned char> bytes(slice.layout.header_bytes - slice.layout.dataset_offset);
    if (!file.read(slice.layout.dataset_offset, bytes)) return refuse({ErrorCode::cannot_read, "cannot be read", where, "copy the file again"});
    const auto data = Dataset::parse(bytes, slice.layout.encoding);
    if (!data) return refuse({ErrorCode::bad_value, "is refused by the DICOM library", where, "export this file again from the archive"});

    slice.sop_class_uid = data->text(sop_class);
    slice.series_uid = data->text(series_instance);
    if (std::find(enhanced_images.begin(), enhanced_images.end(), slice.sop_class_uid) != enhanced_images.end())
        return refuse(
            {ErrorCode::unsupported_encoding, "enhanced multi-frame images are not read", where, "export the series as classic single-frame images"},
            slice.series_uid);
    if (slice.sop_class_uid != ct_image && slice.sop_class_uid != mr_image) return IgnoredObject{kind_of(slice.sop_class_uid)};
    slice.modality = slice.sop_class_uid == ct_image ? Modality::ct : Modality::mr;

    HeaderReader reader(*data, where, slice);
    if (auto error = reader.identity()) return refuse(*error, slice.series_uid);
    reader.acquisition();
    auto problem = reader.geometry();
    if (!problem) problem = reader.pixel_format();
    if (!problem) problem = reader.scale();
    if (!problem) problem = reader.pixel_length();
    if (!problem)
        if (const TransferSyntax* syntax = find_transfer_syntax(slice.layout.transfer_syntax_uid); syntax->codec == PixelCodec::not_read)
            problem = Error{ErrorCode::unsupported_encoding, "pixels compressed as " + std::string(syntax->in_words) + " are not read", where,
                            "export the series uncompressed"};
    if (!problem) return slice;
    // Scout views and screen shots need no geometry and no scale: nobody measures on them.
    if (contains(slice.acquisition.image_type, "LOCALIZER")) return IgnoredObject{"localizer without geometry"};
    if (data->short_number(samples_per_pixel) == 3) return IgnoredObject{"colour picture"};
    return refuse(*problem, slice.series_uid);
}

}  // namespace perisclera
