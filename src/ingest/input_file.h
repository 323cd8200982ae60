// SPDX-License-Identifier: Apache-2.0
#pragma once
// A file opened for reading only, read at any place through a small buffer; or bytes in memory that stand for a file.
#include <array>
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <span>
#include <string>
#include <vector>

#include "perisclera/core/result.h"

namespace perisclera {

class InputFile {
public:
    /// Opens without waiting (a pipe never blocks) and takes only regular files. Errors: cannot_read, not_a_file.
    static Result<InputFile> open(const std::filesystem::path& path, const std::string& where);
    explicit InputFile(std::vector<unsigned char> bytes);
    InputFile(InputFile&& other) noexcept;
    InputFile& operator=(InputFile&& other) noexcept;
    ~InputFile();

    [[nodiscard]] std::uint64_t size() const { return size_; }
    /// Fills all of `out` from `offset`; false if the file ends before or cannot be read.
    [[nodiscard]] bool read(std::uint64_t offset, std::span<unsigned char> out);

private:
    InputFile(int descriptor, std::uint64_t size) : descriptor_(descriptor), size_(size) {}
    [[nodiscard]] std::size_t read_directly(std::uint64_t offset, std::span<unsigned char> out) const;

    int descriptor_;                     ///< -1 for bytes in memory
    std::vector<unsigned char> memory_;
    std::uint64_t size_;
    std::uint64_t buffered_from_ = 0;
    std::size_t buffered_ = 0;
    std::array<unsigned char, 16384> buffer_;
};

}  // namespace perisclera
