// SPDX-License-Identifier: Apache-2.0
#pragma once
// Everything the program says: results on standard output, progress and errors on standard error.
#include <string_view>

#include "perisclera/core/error.h"

namespace perisclera::app {

class Console {
public:
    explicit Console(bool quiet) : quiet_(quiet) {}
    /// 0, or the exit status where the text could not be written; a reader that left has what it wanted.
    [[nodiscard]] int result(std::string_view text) const;
    /// Beside a result that stands alone on standard output.
    void tell(std::string_view text) const;
    /// One line; returns the exit status that goes with it.
    int fail(const Error& error) const;
    void warn(const Error& warning) const;
    /// A bar on a terminal, plain lines otherwise; nothing when quiet.
    void progress(std::string_view stage, int done, int total) const;

private:
    bool quiet_;
};

}  // namespace perisclera::app
