// SPDX-License-Identifier: Apache-2.0
#include "key_file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

namespace perisclera::app {

namespace {

constexpr off_t largest_key = 64 << 20;

/// Closes itself.
struct Descriptor {
    int number;
    ~Descriptor() {
        if (number >= 0) ::close(number);
    }
};

Error refused(const char* what, const char* hint) { return {ErrorCode::usage, what, "--key", hint}; }

}  // namespace

Result<std::optional<std::string>> read_key_file(const std::filesystem::path& path) {
    struct stat status {};
    if (::lstat(path.c_str(), &status) != 0) return std::optional<std::string>();
    if (!S_ISREG(status.st_mode)) return refused("the key file is no regular file", "name a file");
    // What was looked at is what is read: the rights are asked of the open file.
    const Descriptor file{::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW)};
    if (file.number < 0 || ::fstat(file.number, &status) != 0) return Error{ErrorCode::cannot_read, "the key file cannot be read", "--key", "check its rights"};
    if (status.st_uid != ::geteuid() || (status.st_mode & 077u) != 0) return refused("the key file belongs to somebody else, or others may read it", "make it your own, with rights for you alone (chmod 600)");
    if (status.st_size > largest_key) return refused("the key file is too large for a key", "name a key file");
    std::string text(static_cast<std::size_t>(status.st_size), '\0');
    for (std::size_t have = 0; have < text.size();) {
        const ssize_t got = ::read(file.number, text.data() + have, text.size() - have);
        if (got <= 0) return Error{ErrorCode::cannot_read, "the key file cannot be read", "--key", "try again"};
        have += static_cast<std::size_t>(got);
    }
    return std::optional<std::string>(std::move(text));
}

}  // namespace perisclera::app
