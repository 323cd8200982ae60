// SPDX-License-Identifier: Apache-2.0
#pragma once
// Ends the run on SIGINT or SIGTERM with 130 or 143, leaving no half-written output behind. Signals are taken by a thread
// of their own, so that no stage needs to look out for them; make this before any other thread.
#include <filesystem>
#include <mutex>

namespace perisclera::app {

void watch_for_interruption();

/// While this is held a signal waits; once one has begun to end the run, whoever asks for it waits for that end.
[[nodiscard]] std::unique_lock<std::mutex> hold_interruption();

/// The folder to remove when interrupted, and with it the folders above up to `topmost_made`, which were made for it (empty: none).
void remove_when_interrupted(std::filesystem::path folder, std::filesystem::path topmost_made, const std::unique_lock<std::mutex>& held);

/// Output is in its place: from here on the run comes to its own end, so that a status of 130 or 143 means that there is none.
void ignore_interruption(const std::unique_lock<std::mutex>& held);

}  // namespace perisclera::app
