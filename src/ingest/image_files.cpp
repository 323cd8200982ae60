// SPDX-License-Identifier: Apache-2.0
#include "image_files.h"

#include "inflate.h"

namespace perisclera {

Result<InputFile> ImageFiles::open_file(const SliceHeader& slice) {
    if (!slice.archive_member) {
        auto file = InputFile::open(slice.path, slice.where);
        if (file && file.value().stamp() != slice.stamp) return changed_while_reading(slice.where);
        return file;
    }
    if (!archive_ || archive_->path != slice.path) {
        archive_.reset();
        if (stamp_of(slice.path) != slice.stamp) return changed_while_reading(slice.where);
        auto archive = Archive::open(slice.path, slice.where);
        if (!archive) return archive.error();
        archive_ = OpenArchive{slice.path, std::move(archive).value()};
    }
    auto bytes = archive_->archive.read(*slice.archive_member, slice.where);
    if (!bytes) return bytes.error();
    return InputFile(std::move(bytes).value());
}

std::optional<Error> ImageFiles::open(const SliceHeader& slice) {
    if (open_ && open_->path == slice.path && open_->archive_member == slice.archive_member) return {};
    open_.reset();
    auto file = open_file(slice);
    if (!file) return file.error();
    if (slice.layout.deflated)
        if (auto error = inflate_dataset(file.value(), slice.layout.dataset_offset, slice.where)) return error;
    if (file.value().size() != slice.layout.file_bytes) return changed_while_reading(slice.where);
    open_ = Open{slice.path, slice.archive_member, std::move(file).value(), std::nullopt};
    return {};
}

std::optional<Error> ImageFiles::read_native(const SliceHeader& slice, std::span<unsigned char> out) {
    if (auto error = open(slice)) return error;
    const std::uint64_t start = slice.layout.pixel_offset + static_cast<std::uint64_t>(slice.frame) * out.size();
    const bool whole = open_->file.read(start, out);
    if (auto mishap = open_->file.mishap(slice.where)) return mishap;
    if (!whole) return changed_while_reading(slice.where);
    return {};
}

Result<std::vector<unsigned char>> ImageFiles::read_header(const SliceHeader& slice) {
    if (auto error = open(slice)) return *error;
    std::vector<unsigned char> bytes(slice.layout.header_bytes - slice.layout.dataset_offset);
    const bool whole = open_->file.read(slice.layout.dataset_offset, bytes);
    if (auto mishap = open_->file.mishap(slice.where)) return *mishap;
    if (!whole) return changed_while_reading(slice.where);
    return bytes;
}

Result<std::vector<unsigned char>> ImageFiles::read_stream(const SliceHeader& slice) {
    auto stream = gather_stream(slice);
    trouble_ = stream ? std::nullopt : std::optional(stream.error().code);
    return stream;
}

Result<std::vector<unsigned char>> ImageFiles::gather_stream(const SliceHeader& slice) {
    if (auto error = open(slice)) return *error;
    if (!open_->fragments) open_->fragments = fragments_of_frames(open_->file, slice.layout, slice.frames);
    if (auto mishap = open_->file.mishap(slice.where)) return *mishap;
    if (!open_->fragments)
        return Error{ErrorCode::decode_failed, "compressed pixels cannot be told apart into frames", slice.where, "export the series again, uncompressed if possible"};
    std::vector<unsigned char> stream;
    for (const Fragment& fragment : (*open_->fragments)[static_cast<std::size_t>(slice.frame)]) {
        const std::size_t start = stream.size();
        stream.resize(start + fragment.length);
        if (!open_->file.read(fragment.offset, std::span(stream).subspan(start))) break;
    }
    if (auto mishap = open_->file.mishap(slice.where)) return *mishap;
    return stream;
}

}  // namespace perisclera
