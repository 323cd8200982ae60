// SPDX-License-Identifier: Apache-2.0
#pragma once
// A file in gzip's format (RFC 1952) of which nearly all is zeros, as a mask of a few voxels in a large grid is. What is added is deflated piece by piece, none looking
// back into another, so that a piece of zeros is deflated once and its bytes put in wherever it comes again: a hundred times faster than deflating a whole head.
// The header holds neither name nor time: equal contents give equal bytes.
#include <cstddef>
#include <string>
#include <string_view>

namespace perisclera::masks {

class Gzip {
public:
    Gzip();
    /// One piece; worth it from some kilobytes on.
    void add(std::string_view bytes);
    void add_zeros(std::size_t count);
    /// The whole file. Nothing may be added afterwards.
    [[nodiscard]] std::string finish() &&;

private:
    std::string file_, zeros_;
    unsigned long check_, zeros_check_;
    std::size_t size_ = 0;
};

}  // namespace perisclera::masks
