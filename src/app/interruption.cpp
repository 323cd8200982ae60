// SPDX-License-Identifier: Apache-2.0
#include "interruption.h"

#include <cassert>
#include <csignal>
#include <thread>

#include <unistd.h>

namespace perisclera::app {

namespace {

std::mutex guard;
std::filesystem::path doomed, doomed_parent;
bool too_late = false;

}  // namespace

void watch_for_interruption() {
    sigset_t signals;
    sigemptyset(&signals);
    sigaddset(&signals, SIGINT);
    sigaddset(&signals, SIGTERM);
    pthread_sigmask(SIG_BLOCK, &signals, nullptr);
    // A reader that left must not end the run: the report is what counts. A file-size limit shows as a failed write.
    std::signal(SIGPIPE, SIG_IGN);
    std::signal(SIGXFSZ, SIG_IGN);
    std::thread([signals] {
        int signal = 0;
        sigwait(&signals, &signal);
        const std::scoped_lock lock(guard);
        if (too_late) return;
        std::error_code ignored;
        // Other threads may still write: what came in behind the removal goes with the next round, and nothing makes the folder anew.
        for (int round = 0; round < 1000 && std::filesystem::exists(doomed, ignored); ++round) std::filesystem::remove_all(doomed, ignored);
        if (!doomed_parent.empty())
            for (auto folder = doomed.parent_path(); ::rmdir(folder.c_str()) == 0 && folder != doomed_parent;) folder = folder.parent_path();
        _exit(128 + signal);
    }).detach();
}

std::unique_lock<std::mutex> hold_interruption() { return std::unique_lock(guard); }

void remove_when_interrupted(std::filesystem::path folder, std::filesystem::path topmost_made, const std::unique_lock<std::mutex>& held) {
    assert(held.owns_lock());
    doomed = std::move(folder);
    doomed_parent = std::move(topmost_made);
}

void ignore_interruption(const std::unique_lock<std::mutex>& held) {
    assert(held.owns_lock());
    too_late = true;
}

}  // namespace perisclera::app
