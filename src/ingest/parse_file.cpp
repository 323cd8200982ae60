// SPDX-License-Identifier: Apache-2.0
#include "parse_file.h"

#include <algorithm>
#include <array>

#include "enhanced_image.h"
#include "header_reader.h"
#include "media_directory.h"
#include "scan_layout.h"
#include "tags.h"
#include "perisclera/ingest/dicom_values.h"
#include "transfer_syntax.h"

namespace perisclera {

namespace {

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

std::string kind_of(std::string_view sop_class_uid) {
    for (const SopClass& known : known_objects)
        if (known.uid == sop_class_uid) return std::string(known.kind);
    return "other DICOM object";
}

std::optional<Error> single_frame(const AttributeSet& top_level, const std::string& where) {
    if (!top_level.has(tags::number_of_frames)) return std::nullopt;
    const auto frames = parse_integer(top_level.text(tags::number_of_frames));
    if (frames == 1) return std::nullopt;
    const std::string hint = "export this series again from the archive, or leave the file out";
    if (!frames || *frames < 1) return Error{ErrorCode::bad_size, "the number of frames is no positive number", where, hint};
    return Error{ErrorCode::bad_size, "states several frames in an object for one", where, hint};
}

bool contains(const std::vector<std::string>& values, std::string_view wanted) {
    return std::find(values.begin(), values.end(), wanted) != values.end();
}

ParsedFile read_classic_image(const Dataset& data, SliceHeader slice) {
    const ImageAttributes attributes(data);
    HeaderReader reader(attributes, slice);
    if (auto error = reader.identity()) return RefusedFile{*error, slice.series_uid};
    reader.acquisition();
    auto problem = single_frame(data.top_level(), slice.where);
    if (!problem) problem = reader.geometry();
    if (!problem) problem = reader.pixel_format();
    if (!problem) problem = reader.scale();
    if (!problem) problem = reader.pixel_length();
    if (!problem) {
        std::vector<SliceHeader> only;
        only.push_back(std::move(slice));
        return only;
    }
    // Scout views and screen shots need no geometry and no scale: nobody measures on them.
    if (contains(slice.acquisition.image_type, "LOCALIZER")) return IgnoredObject{"localizer without geometry", {}};
    if (attributes.short_number(tags::samples_per_pixel) == 3 && !attributes.text(tags::photometric).starts_with("MONOCHROME")) return IgnoredObject{"colour picture", {}};
    return RefusedFile{*problem, slice.series_uid};
}

}  // namespace

ParsedFile parse_file(InputFile& file, const FileOrigin& origin) {
    const std::string& where = origin.where;
    const auto refuse = [](Error error, std::string series = {}) { return RefusedFile{std::move(error), std::move(series)}; };
    SliceHeader slice;
    slice.path = origin.path;
    slice.archive_member = origin.archive_member;
    slice.stamp = origin.stamp;
    slice.where = where;
    auto layout = scan_layout(file, where);
    if (!layout) return refuse(layout.error());
    if (layout.value().directory) return IgnoredObject{"DICOM directory", listed_files(file, layout.value())};
    slice.layout = layout.value();

    std::vector<unsigned char> bytes(slice.layout.header_bytes - slice.layout.dataset_offset);
    if (!file.read(slice.layout.dataset_offset, bytes)) return refuse({ErrorCode::cannot_read, "cannot be read", where, "copy the file again"});
    const auto data = Dataset::parse(bytes, slice.layout.encoding);
    if (!data) return refuse({ErrorCode::bad_value, "is refused by the DICOM library", where, "export this file again from the archive"});

    const AttributeSet top_level = data->top_level();
    slice.sop_class_uid = top_level.text(tags::sop_class);
    slice.series_uid = top_level.text(tags::series_instance);
    const auto enhanced = enhanced_modality(slice.sop_class_uid);
    const auto is_image = [](std::string_view uid) { return uid == ct_image || uid == mr_image || enhanced_modality(uid); };
    const std::string& stated_class = slice.layout.media_class_uid;
    if (!stated_class.empty() && stated_class != slice.sop_class_uid && (is_image(stated_class) || is_image(slice.sop_class_uid)))
        return refuse({ErrorCode::conflicting_values, "states two kinds of object", where, "export this file again from the archive"}, slice.series_uid);
    if (!enhanced && slice.sop_class_uid != ct_image && slice.sop_class_uid != mr_image) return IgnoredObject{kind_of(slice.sop_class_uid), {}};
    slice.modality = enhanced.value_or(slice.sop_class_uid == ct_image ? Modality::ct : Modality::mr);

    ParsedFile parsed = enhanced ? read_enhanced_image(*data, file, slice) : read_classic_image(*data, slice);
    const TransferSyntax* syntax = find_transfer_syntax(slice.layout.transfer_syntax_uid);
    if (std::holds_alternative<std::vector<SliceHeader>>(parsed) && syntax->codec == PixelCodec::not_read)
        return refuse({ErrorCode::unsupported_encoding, "pixels compressed as " + std::string(syntax->in_words) + " are not read", where, "export the series uncompressed"},
                      slice.series_uid);
    return parsed;
}

}  // namespace perisclera
