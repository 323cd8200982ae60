// SPDX-License-Identifier: Apache-2.0
#include "tests/support/inflated.h"

#include <zlib.h>

#include <stdexcept>

namespace perisclera::test {

std::string inflated(const std::string& gzip_file) {
    z_stream stream{};
    if (::inflateInit2(&stream, 16 + MAX_WBITS) != Z_OK) throw std::runtime_error("no memory");
    std::string from = gzip_file, piece(1u << 16, '\0'), out;
    stream.next_in = reinterpret_cast<Bytef*>(from.data());
    stream.avail_in = static_cast<uInt>(from.size());
    int state = Z_OK;
    while (state == Z_OK) {
        stream.next_out = reinterpret_cast<Bytef*>(piece.data());
        stream.avail_out = static_cast<uInt>(piece.size());
        state = ::inflate(&stream, Z_NO_FLUSH);
        out.append(piece, 0, piece.size() - stream.avail_out);
    }
    const bool all = stream.avail_in == 0;
    ::inflateEnd(&stream);
    if (state != Z_STREAM_END || !all) throw std::runtime_error("not a whole gzip file");
    return out;
}

}  // namespace perisclera::test
