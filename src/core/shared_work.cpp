// SPDX-License-Identifier: Apache-2.0
#include "perisclera/core/shared_work.h"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <system_error>
#include <thread>
#include <vector>

namespace perisclera {

void share_work(int threads, const std::function<void()>& work) {
    std::mutex guard;
    std::exception_ptr first;
    const auto guarded = [&] {
        try {
            work();
        } catch (...) {
            const std::scoped_lock lock(guard);
            if (!first) first = std::current_exception();
        }
    };
    {
        std::vector<std::jthread> others;
        try {
            for (int t = 1; t < threads; ++t) others.emplace_back(guarded);
        } catch (const std::system_error&) {  // no further thread: fewer do the same work
        } catch (const std::bad_alloc&) {
        }
        guarded();
    }
    if (first) std::rethrow_exception(first);
}

void share_tasks(int threads, std::size_t count, const std::function<void(std::size_t)>& task) {
    std::atomic<std::size_t> next{0};
    share_work(static_cast<int>(std::min(static_cast<std::size_t>(std::max(threads, 1)), count)), [&] {
        for (std::size_t k = next++; k < count; k = next++) task(k);
    });
}

}  // namespace perisclera
