// SPDX-License-Identifier: Apache-2.0
#pragma once
// The same work done by several threads at once, the caller's among them. Work shares out its tasks itself (by an atomic counter), so
// it is right with any number of threads: where the system refuses another one, those that run do it all.
// An exception that leaves the work of any thread is thrown to the caller once all have ended; std::bad_alloc is the one expected.
#include <cstddef>
#include <functional>

namespace perisclera {

void share_work(int threads, const std::function<void()>& work);

/// task(0) to task(count - 1), each once, by whichever thread is free. Each has its own result, so that their number changes nothing.
void share_tasks(int threads, std::size_t count, const std::function<void(std::size_t)>& task);

}  // namespace perisclera
