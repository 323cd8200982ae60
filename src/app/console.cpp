// SPDX-License-Identifier: Apache-2.0
#include "console.h"

#include <cerrno>
#include <cstdio>
#include <string>

#include <unistd.h>

#include "interruption.h"

namespace perisclera::app {

int Console::result(std::string_view text) const {
    const bool written = std::fwrite(text.data(), 1, text.size(), stdout) == text.size() && std::fflush(stdout) == 0;
    if (written || errno == EPIPE) return 0;
    return fail({ErrorCode::output_failed, "standard output could not be written", "standard output", "check free space where it leads to"});
}

void Console::tell(std::string_view text) const { std::fwrite(text.data(), 1, text.size(), stderr); }

int Console::fail(const Error& error) const {
    const auto held = hold_interruption();  // a write that failed because the run is being ended is no failure to tell
    std::fprintf(stderr, "%s\n", one_line(error).c_str());
    return exit_status(error.code);
}

void Console::warn(const Error& warning) const {
    // The form of an error line, under its own word: a warning ends nothing.
    const std::string line = one_line(warning);
    std::fprintf(stderr, "warning%s\n", line.substr(std::string_view("error").size()).c_str());
}

void Console::progress(std::string_view stage, int done, int total) const {
    if (quiet_ || total <= 0) return;
    const int width = static_cast<int>(stage.size());
    if (isatty(STDERR_FILENO) == 0) {
        std::fprintf(stderr, "%.*s %d of %d\n", width, stage.data(), done, total);
        return;
    }
    constexpr int cells = 30;
    const int filled = cells * done / total;
    std::fprintf(stderr, "\r%-10.*s [%s%s] %d/%d%s", width, stage.data(), std::string(static_cast<std::size_t>(filled), '#').c_str(),
                 std::string(static_cast<std::size_t>(cells - filled), '.').c_str(), done, total, done == total ? "\n" : "");
}

}  // namespace perisclera::app
