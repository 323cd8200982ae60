// SPDX-License-Identifier: Apache-2.0
#pragma once
// A file that appears whole or not at all: written aside in the same folder, forced to disk, then renamed.
// Destroying it uncommitted removes what was written. The process must ignore SIGXFSZ for a file-size limit to be reported
// as an error. Errors: output_failed.
#include <filesystem>
#include <string_view>

#include "perisclera/core/result.h"

namespace perisclera {

class AtomicFile {
public:
    /// `path` is where the file will appear on commit, replacing a file of that name. Its folder must exist.
    static Result<AtomicFile> create(const std::filesystem::path& path);
    AtomicFile(AtomicFile&& other) noexcept;
    AtomicFile& operator=(AtomicFile&&) = delete;
    ~AtomicFile();

    Result<Done> write(std::string_view bytes);
    /// Nothing may be written afterwards.
    Result<Done> commit();

private:
    AtomicFile(int descriptor, std::filesystem::path aside, std::filesystem::path final);
    int descriptor_;
    std::filesystem::path aside_, final_;
};

}  // namespace perisclera
