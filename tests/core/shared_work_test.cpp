// SPDX-License-Identifier: Apache-2.0
// Work done by several threads is done once, whatever happens to one of them. Expected: the counts that the tests set.
#include "perisclera/core/shared_work.h"

#include <gtest/gtest.h>

#include <atomic>
#include <new>
#include <vector>

namespace perisclera {

TEST(SharedWork, does_every_task_once_for_any_number_of_threads) {
    for (const int threads : {-1, 0, 1, 2, 7, 40}) {
        std::vector<std::atomic<int>> done(100);
        std::atomic<std::size_t> next = 0;
        share_work(threads, [&] {
            for (std::size_t i = next++; i < done.size(); i = next++) ++done[i];
        });
        for (const auto& count : done) EXPECT_EQ(count, 1) << threads;
    }
}

TEST(SharedWork, hands_an_exception_of_any_thread_to_the_caller_once_all_have_ended) {
    for (const int threads : {1, 2, 8}) {
        std::atomic<int> begun = 0, ended = 0;
        const auto work = [&] {
            ++begun;
            struct Count {
                std::atomic<int>& count;
                ~Count() { ++count; }
            } count{ended};
            throw std::bad_alloc();
        };
        EXPECT_THROW(share_work(threads, work), std::bad_alloc);
        EXPECT_EQ(begun, threads);
        EXPECT_EQ(ended, threads);
    }
}

}  // namespace perisclera
