// SPDX-License-Identifier: Apache-2.0
#pragma once
// A .zip archive, read only and in memory: nothing is unpacked to disk, and the names inside are never used as paths.
#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "perisclera/core/result.h"

namespace perisclera {

struct ArchiveMember {
    std::uint64_t index = 0;
    std::string name;  ///< for its ending only
    std::uint64_t bytes = 0;
};

class Archive {
public:
    /// Errors: decode_failed (no sound archive), inflates_too_large (all members together).
    static Result<Archive> open(const std::filesystem::path& path, const std::string& where);
    Archive(Archive&&) noexcept;
    Archive& operator=(Archive&&) noexcept;
    ~Archive();

    [[nodiscard]] const std::vector<ArchiveMember>& members() const { return members_; }  ///< without folders, as they lie in the archive
    /// All bytes of a member. Errors: unsupported_encoding (encrypted, or compressed in a way that is not read), inflates_too_large, decode_failed.
    [[nodiscard]] Result<std::vector<unsigned char>> read(std::uint64_t index, const std::string& where) const;

private:
    struct State;
    explicit Archive(std::unique_ptr<State> state);
    std::unique_ptr<State> state_;
    std::vector<ArchiveMember> members_;
};

}  // namespace perisclera
