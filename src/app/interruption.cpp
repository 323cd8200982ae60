// SPDX-License-Identifier: Apache-2.0
#include "interruption.h"

#include <csignal>
#include <mutex>
#include <thread>

#include <unistd.h>

namespace perisclera::app {

namespace {

std::mutex guard;
std::filesystem::path doomed;

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
        std::error_code ignored;
        if (!doomed.empty()) std::filesystem::remove_all(doomed, ignored);
        _exit(128 + signal);
    }).detach();
}

void remove_when_interrupted(std::filesystem::path folder) {
    const std::scoped_lock lock(guard);
    doomed = std::move(folder);
}

}  // namespace perisclera::app
