// SPDX-License-Identifier: Apache-2.0
#pragma once
// A property that has to hold for every input: where it does not, the fuzzer stops and keeps the input.
#include <cstdio>
#include <cstdlib>

namespace perisclera::fuzz {

inline void require(bool holds, const char* what) {
    if (holds) return;
    std::fprintf(stderr, "does not hold: %s\n", what);
    std::abort();
}

}  // namespace perisclera::fuzz
