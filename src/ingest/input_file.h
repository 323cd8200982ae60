// SPDX-License-Identifier: Apache-2.0
#pragma once
// A file opened for reading only, read at any place through a small buffer; or bytes in memory that stand for a file.
#include <array>
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "perisclera/core/result.h"
#include "perisclera/ingest/file_stamp.h"

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
    /// From now on `bytes` are read in the file's stead: its inflated content.
    void read_instead(std::vector<unsigned char> bytes);

    /// As it was opened; for bytes in memory all zero.
    [[nodiscard]] const FileStamp& stamp() const { return stamp_; }
    /// What befell the file itself since it was opened, whatever was made of its content. Errors: cannot_read (a read failed),
    /// changed_while_reading.
    [[nodiscard]] std::optional<Error> mishap(const std::string& where) const;

private:
    InputFile(int descriptor, const FileStamp& stamp) : descriptor_(descriptor), stamp_(stamp), size_(stamp.bytes) {}
    [[nodiscard]] std::size_t read_directly(std::uint64_t offset, std::span<unsigned char> out);

    int descriptor_;                     ///< -1 where there is no file
    FileStamp stamp_;
    int read_error_ = 0;                 ///< the system's reason for the first read that failed
    bool in_memory_ = false;
    std::vector<unsigned char> memory_;
    std::uint64_t size_;
    std::uint64_t buffered_from_ = 0;
    std::size_t buffered_ = 0;
    std::array<unsigned char, 16384> buffer_;
};

/// The one way it is worded.
Error changed_while_reading(const std::string& where);

}  // namespace perisclera
