// SPDX-License-Identifier: Apache-2.0
#pragma once
// A whole output folder that appears complete or not at all. Everything is written into a folder aside; commit() moves
// it into place. Destroying it uncommitted removes the folder aside and leaves the output path as it was.
// With `force`, an existing folder keeps whatever the new output does not replace by name. All of it is on disk before it moves, and
// it moves in one step, so that even a run that is killed leaves the old output or the new one; what else a killed run leaves is
// cleared away by the next into the same place. Where the folder cannot be moved (it is a mount point, or the working folder), its
// entries are exchanged one by one, and back again when that fails half-way.
// Errors: output_not_empty (a non-empty folder without force, when opened or when committed), output_failed.
#include <filesystem>
#include <string_view>

#include "perisclera/core/result.h"

namespace perisclera {

class OutputFolder {
public:
    static Result<OutputFolder> open(const std::filesystem::path& path, bool force);
    OutputFolder(OutputFolder&& other) noexcept;
    OutputFolder& operator=(OutputFolder&&) = delete;
    ~OutputFolder();

    /// Writes one file; folders on its way are made. Precondition: `relative_path` is relative and has no "..".
    Result<Done> write(const std::filesystem::path& relative_path, std::string_view bytes);
    /// The folder aside, for writers that need a path of their own. It must hold nothing but output when committed.
    [[nodiscard]] const std::filesystem::path& path() const { return aside_; }
    /// The topmost of the parent folders that had to be made; empty if none.
    [[nodiscard]] const std::filesystem::path& first_made() const { return first_made_; }
    /// Moves everything into place. Nothing may be written afterwards.
    Result<Done> commit();

private:
    OutputFolder(std::filesystem::path aside, int lock, std::filesystem::path final, std::filesystem::path first_made, bool force)
        : aside_(std::move(aside)), final_(std::move(final)), first_made_(std::move(first_made)), lock_(lock), force_(force) {}
    std::filesystem::path aside_, final_;
    std::filesystem::path first_made_;
    int lock_ = -1;  ///< held while this lives, so that nobody takes the folder aside for an abandoned one
    bool force_ = false;
};

}  // namespace perisclera
