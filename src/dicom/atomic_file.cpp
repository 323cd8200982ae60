// SPDX-License-Identifier: Apache-2.0
#include "perisclera/dicom/atomic_file.h"

#include <fcntl.h>
#include <unistd.h>

#include <cassert>
#include <cerrno>
#include <utility>

#include "output_error.h"

namespace perisclera {

namespace fs = std::filesystem;

AtomicFile::AtomicFile(int descriptor, fs::path aside, fs::path final)
    : descriptor_(descriptor), aside_(std::move(aside)), final_(std::move(final)) {}

AtomicFile::AtomicFile(AtomicFile&& other) noexcept
    : descriptor_(std::exchange(other.descriptor_, -1)),
      aside_(std::exchange(other.aside_, fs::path{})),
      final_(std::exchange(other.final_, fs::path{})) {}

AtomicFile::~AtomicFile() {
    if (descriptor_ >= 0) ::close(descriptor_);
    if (!aside_.empty()) ::unlink(aside_.c_str());
}

Result<AtomicFile> AtomicFile::create(const fs::path& path) {
    fs::path aside = path;
    aside += ".partial";
    const int descriptor = ::open(aside.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (descriptor < 0) return output_error("file could not be created", errno);
    return AtomicFile(descriptor, std::move(aside), path);
}

Result<Done> AtomicFile::write(std::string_view bytes) {
    assert(descriptor_ >= 0);
    while (!bytes.empty()) {
        const ssize_t written = ::write(descriptor_, bytes.data(), bytes.size());
        if (written < 0 && errno == EINTR) continue;
        if (written <= 0) return output_error("file could not be written", written < 0 ? errno : EIO);
        bytes.remove_prefix(static_cast<std::size_t>(written));
    }
    return Done{};
}

Result<Done> AtomicFile::commit() {
    assert(descriptor_ >= 0);
    if (::fsync(descriptor_) != 0) return output_error("file could not be written", errno);
    if (::close(std::exchange(descriptor_, -1)) != 0) return output_error("file could not be written", errno);
    if (::rename(aside_.c_str(), final_.c_str()) != 0) return output_error("file could not be moved into place", errno);
    aside_.clear();
    return Done{};
}

}  // namespace perisclera
