// SPDX-License-Identifier: Apache-2.0
#include "scene_drawing.h"

#include <fcntl.h>
#include <poll.h>
#include <unistd.h>

#include <cstdlib>
#include <sstream>
#include <system_error>

#include "child_program.h"

namespace perisclera::app {

namespace {

namespace fs = std::filesystem;

std::string value_of(const char* variable) {
    const char* value = std::getenv(variable);
    return value != nullptr ? value : "";
}

/// In the folders that the environment names; empty where it is in none.
fs::path found_in_path(const char* program) {
    std::istringstream folders(value_of("PATH"));
    for (std::string folder; std::getline(folders, folder, ':');) {
        const fs::path candidate = fs::path(folder) / program;
        if (candidate.is_absolute() && ::access(candidate.c_str(), X_OK) == 0) return candidate;
    }
    return {};
}

/// A display in memory, and its name; it is gone with this object.
struct Display {
    ChildProgram server;
    std::string name;
};

/// It listens to this user's programs only, on a socket without a file; it takes a number that is free, and leaves no lock file.
std::optional<Display> open_display(const std::vector<std::string>& environment, Deadline deadline) {
    const fs::path program = found_in_path("Xvfb");
    int ends[2];
    if (program.empty() || ::pipe2(ends, O_CLOEXEC) != 0) return std::nullopt;
    const Descriptor read_end(ends[0]);
    Descriptor write_end(ends[1]);
    auto server = ChildProgram::start({program, {"-displayfd", "3", "-screen", "0", "16x16x24", "-nolisten", "tcp", "-nolisten", "unix", "-nolock", "-noreset"}, environment, {-1, -1, -1, write_end.number()}});
    write_end.close();   // so that the end of the server is seen
    if (!server) return std::nullopt;
    std::string number;
    while (!number.ends_with('\n')) {
        const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(deadline - std::chrono::steady_clock::now()).count();
        struct pollfd waiting{read_end.number(), POLLIN, 0};
        char digit = 0;
        if (left <= 0 || ::poll(&waiting, 1, static_cast<int>(left)) != 1 || ::read(read_end.number(), &digit, 1) != 1) return std::nullopt;
        number += digit;
    }
    number.pop_back();
    return Display{std::move(*server), ":" + number};
}

std::vector<scene::GreyPicture> draw(const std::vector<scene::Scene>& scenes, const fs::path& program, Deadline deadline) {
    // Nothing of the user's display, settings and caches, so that the pictures depend on none of them.
    std::vector<std::string> environment{"PATH=" + value_of("PATH"), "LD_LIBRARY_PATH=" + value_of("LD_LIBRARY_PATH"), "LC_ALL=C", "LIBGL_ALWAYS_SOFTWARE=1", "MESA_SHADER_CACHE_DISABLE=true"};
    if (program.empty() || ::access(program.c_str(), X_OK) != 0) return {};
    const auto display = open_display(environment, deadline);
    const auto in = file_in_memory(scene::to_text(scenes)), out = file_in_memory("");
    if (!display || !in || !out) return {};
    environment.push_back("DISPLAY=" + display->name);
    auto drawer = ChildProgram::start({program, {}, environment, {in->number(), out->number(), -1}});
    if (!drawer || !drawer->wait_until(deadline)) return {};
    return scene::graymaps_of(scenes, content_of(*out)).value_or(std::vector<scene::GreyPicture>{});
}

}  // namespace

fs::path beside_this_program(const char* program) {
    std::error_code unknown;
    const fs::path self = fs::read_symlink("/proc/self/exe", unknown);
    return self.empty() ? fs::path() : self.parent_path() / program;
}

SceneDrawing::SceneDrawing(std::vector<scene::Scene> scenes, const fs::path& program, std::chrono::seconds time_limit) {
    if (scenes.empty()) return;
    const Deadline deadline = std::chrono::steady_clock::now() + time_limit;
    try {
        drawn_ = std::async(std::launch::async, [scenes = std::move(scenes), program, deadline] { return draw(scenes, program, deadline); });
    } catch (const std::system_error&) {
        // No thread is to be had; the report does without.
    }
}

std::vector<scene::GreyPicture> SceneDrawing::pictures() {
    if (!drawn_.valid()) return {};
    try {
        return drawn_.get();
    } catch (const std::exception&) {
        return {};
    }
}

}  // namespace perisclera::app
