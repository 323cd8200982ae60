// SPDX-License-Identifier: Apache-2.0
#include "input_file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <utility>

namespace perisclera {

namespace {

FileStamp stamp_from(const struct stat& status) {
    return {status.st_dev, status.st_ino, static_cast<std::uint64_t>(status.st_size), status.st_ctim.tv_sec, status.st_ctim.tv_nsec};
}

/// The system's words for a reason, in English whatever the locale.
std::string words(int reason) {
    const char* text = strerrordesc_np(reason);
    return text != nullptr ? text : "unknown reason";
}

}  // namespace

std::optional<FileStamp> stamp_of(const std::filesystem::path& file) {
    struct stat status {};
    if (::stat(file.c_str(), &status) != 0) return std::nullopt;
    return stamp_from(status);
}

Result<InputFile> InputFile::open(const std::filesystem::path& path, const std::string& where) {
    const int descriptor = ::open(path.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC | O_NOCTTY);
    if (descriptor < 0)
        return Error{ErrorCode::cannot_read, "cannot be opened (" + words(errno) + ")", where, "check the file's rights"};
    struct stat status {};
    if (::fstat(descriptor, &status) != 0 || !S_ISREG(status.st_mode)) {
        ::close(descriptor);
        return Error{ErrorCode::not_a_file, "is not a regular file", where, "give DICOM files or folders of them"};
    }
    return InputFile(descriptor, stamp_from(status));
}

InputFile::InputFile(std::vector<unsigned char> bytes) : descriptor_(-1), in_memory_(true), memory_(std::move(bytes)), size_(memory_.size()) {}

InputFile::InputFile(InputFile&& other) noexcept
    : descriptor_(std::exchange(other.descriptor_, -1)),
      stamp_(other.stamp_),
      read_error_(other.read_error_),
      in_memory_(other.in_memory_),
      memory_(std::move(other.memory_)),
      size_(std::exchange(other.size_, 0)) {}

InputFile& InputFile::operator=(InputFile&& other) noexcept {
    std::swap(descriptor_, other.descriptor_);
    std::swap(stamp_, other.stamp_);
    std::swap(read_error_, other.read_error_);
    std::swap(in_memory_, other.in_memory_);
    memory_.swap(other.memory_);
    std::swap(size_, other.size_);
    buffered_ = 0;
    return *this;
}

InputFile::~InputFile() {
    if (descriptor_ >= 0) ::close(descriptor_);
}

std::size_t InputFile::read_directly(std::uint64_t offset, std::span<unsigned char> out) {
    std::size_t done = 0;
    while (done < out.size()) {
        const ssize_t got = ::pread(descriptor_, out.data() + done, out.size() - done, static_cast<off_t>(offset + done));
        if (got < 0 && errno == EINTR) continue;
        if (got < 0 && read_error_ == 0) read_error_ = errno;
        if (got <= 0) break;
        done += static_cast<std::size_t>(got);
    }
    return done;
}

void InputFile::read_instead(std::vector<unsigned char> bytes) {
    memory_ = std::move(bytes);
    size_ = memory_.size();
    in_memory_ = true;
}

std::optional<Error> InputFile::mishap(const std::string& where) const {
    if (read_error_ != 0) return Error{ErrorCode::cannot_read, "cannot be read (" + words(read_error_) + ")", where, "copy the file again from its source"};
    struct stat status {};
    if (descriptor_ >= 0 && (::fstat(descriptor_, &status) != 0 || stamp_from(status) != stamp_)) return changed_while_reading(where);
    return std::nullopt;
}

Error changed_while_reading(const std::string& where) {
    return {ErrorCode::changed_while_reading, "changed or vanished while it was read", where, "wait until the copy is complete, then run again"};
}

bool InputFile::read(std::uint64_t offset, std::span<unsigned char> out) {
    if (in_memory_) {
        if (offset > memory_.size() || out.size() > memory_.size() - offset) return false;
        std::copy_n(memory_.begin() + static_cast<std::ptrdiff_t>(offset), out.size(), out.begin());
        return true;
    }
    if (out.size() > buffer_.size()) return read_directly(offset, out) == out.size();
    if (offset < buffered_from_ || offset + out.size() > buffered_from_ + buffered_) {
        buffered_from_ = offset;
        buffered_ = read_directly(offset, buffer_);
        if (buffered_ < out.size()) return false;
    }
    std::copy_n(buffer_.begin() + static_cast<std::ptrdiff_t>(offset - buffered_from_), out.size(), out.begin());
    return true;
}

}  // namespace perisclera
