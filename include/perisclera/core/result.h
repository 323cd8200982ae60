// SPDX-License-Identifier: Apache-2.0
#pragma once
// Result<T>: a value or an Error. Expected failures travel in it; exceptions are left to third-party libraries and
// are caught at the module's door.
#include <cassert>
#include <utility>
#include <variant>

#include "perisclera/core/error.h"

namespace perisclera {

template <class T>
class [[nodiscard]] Result {
public:
    Result(T value) : state_(std::in_place_index<0>, std::move(value)) {}      // NOLINT: implicit on purpose
    Result(Error error) : state_(std::in_place_index<1>, std::move(error)) {}  // NOLINT
    [[nodiscard]] bool ok() const { return state_.index() == 0; }
    explicit operator bool() const { return ok(); }
    /// Precondition: ok().
    [[nodiscard]] const T& value() const& { assert(ok()); return std::get<0>(state_); }
    [[nodiscard]] T& value() & { assert(ok()); return std::get<0>(state_); }
    [[nodiscard]] T&& value() && { assert(ok()); return std::get<0>(std::move(state_)); }
    /// Precondition: !ok().
    [[nodiscard]] const Error& error() const { assert(!ok()); return std::get<1>(state_); }

private:
    std::variant<T, Error> state_;
};

/// For operations that yield nothing but may fail.
struct Done {};

}  // namespace perisclera
