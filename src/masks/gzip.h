// SPDX-License-Identifier: Apache-2.0
#pragma once
// A file in gzip's format (RFC 1952), deflated by zlib as its parts come, so that a large grid of mostly zeros is never held whole.
// The header holds neither name, time nor system: equal contents give equal bytes.
#include <cstddef>
#include <memory>
#include <string>
#include <string_view>

namespace perisclera::masks {

class Gzip {
public:
    Gzip();
    ~Gzip();
    Gzip(const Gzip&) = delete;
    Gzip& operator=(const Gzip&) = delete;
    void add(std::string_view bytes);
    void add_zeros(std::size_t count);
    /// The whole file. Nothing may be added afterwards.
    [[nodiscard]] std::string finish() &&;

private:
    struct Stream;
    std::unique_ptr<Stream> stream_;
};

}  // namespace perisclera::masks
