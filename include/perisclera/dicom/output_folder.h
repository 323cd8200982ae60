// SPDX-License-Identifier: Apache-2.0
#pragma once
// A whole output folder that appears complete or not at all. Everything is written into a folder aside; commit() moves
// it into place. Destroying it uncommitted removes the folder aside and leaves the output path as it was.
// With `force`, an existing folder keeps whatever the new output does not replace by name; a commit that fails half-way
// puts the earlier entries back.
// Errors: output_not_empty (a non-empty folder without force), output_failed.
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
    /// Moves everything into place. Nothing may be written afterwards.
    Result<Done> commit();

private:
    OutputFolder(std::filesystem::path aside, std::filesystem::path final, std::filesystem::path first_made)
        : aside_(std::move(aside)), final_(std::move(final)), first_made_(std::move(first_made)) {}
    Result<Done> exchange_entries();
    std::filesystem::path aside_, final_;
    std::filesystem::path first_made_;  ///< the topmost parent folder that open() had to make; empty if none
};

}  // namespace perisclera
