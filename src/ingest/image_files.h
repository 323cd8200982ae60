// SPDX-License-Identifier: Apache-2.0
#pragma once
// The files that slices lie in, for reading their pixels one after the other. A file stays open (and inflated) as long as the
// slices asked for lie in it, so frames of one file do not cost an opening each. Not for use by several threads at once.
#include <optional>
#include <vector>

#include "archive.h"
#include "fragments.h"
#include "input_file.h"
#include "perisclera/ingest/slice_header.h"

namespace perisclera {

class ImageFiles {
public:
    /// The native pixel bytes of a slice that is not encapsulated. Nothing when all is well.
    std::optional<Error> read_native(const SliceHeader& slice, std::span<unsigned char> out);
    /// The compressed stream of an encapsulated slice.
    Result<std::vector<unsigned char>> read_stream(const SliceHeader& slice);
    /// Everything between the meta group and the pixels.
    Result<std::vector<unsigned char>> read_header(const SliceHeader& slice);
    /// Why the last stream could not be had; nothing when it could.
    [[nodiscard]] std::optional<ErrorCode> trouble() const { return trouble_; }

private:
    struct Open {
        std::filesystem::path path;
        std::optional<std::uint64_t> archive_member;
        InputFile file;
        std::optional<std::vector<std::vector<Fragment>>> fragments;  ///< by frame, once asked for
    };
    struct OpenArchive {
        std::filesystem::path path;
        Archive archive;
    };
    Result<InputFile> open_file(const SliceHeader& slice);
    std::optional<Error> open(const SliceHeader& slice);
    Result<std::vector<unsigned char>> gather_stream(const SliceHeader& slice);
    std::optional<Open> open_;
    std::optional<ErrorCode> trouble_;
    std::optional<OpenArchive> archive_;
};

}  // namespace perisclera
