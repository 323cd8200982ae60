// SPDX-License-Identifier: Apache-2.0
#pragma once
// Which file this is and in which state: equal stamps mean that nobody has replaced, grown, cut or rewritten it in between, as far as
// the file system tells. The time is that of the last change of status, stat(2): unlike that of the content nobody can set it back. It is
// noted to a few milliseconds.
#include <cstdint>
#include <filesystem>
#include <optional>

namespace perisclera {

struct FileStamp {
    std::uint64_t device = 0, number = 0, bytes = 0;
    std::int64_t changed_seconds = 0, changed_nanoseconds = 0;
    bool operator==(const FileStamp&) const = default;
};

/// Nullopt where there is no file.
std::optional<FileStamp> stamp_of(const std::filesystem::path& file);

}  // namespace perisclera
