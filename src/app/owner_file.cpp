// SPDX-License-Identifier: Apache-2.0
#include "owner_file.h"

#include <sys/stat.h>

#include "perisclera/dicom/atomic_file.h"

namespace perisclera::app {

std::optional<Error> write_owner_file(const std::filesystem::path& path, std::string_view text) {
    const mode_t before = ::umask(0077);
    auto file = AtomicFile::create(path);
    ::umask(before);
    if (!file) return file.error();
    if (const auto written = file.value().write(text); !written) return written.error();
    if (const auto done = file.value().commit(); !done) return done.error();
    return std::nullopt;
}

}  // namespace perisclera::app
