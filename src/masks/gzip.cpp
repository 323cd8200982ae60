// SPDX-License-Identifier: Apache-2.0
#include "gzip.h"

#define ZLIB_CONST   // by which zlib.h promises not to write to its input
#include <zlib.h>

#include <algorithm>
#include <array>
#include <new>

namespace perisclera::masks {

struct Gzip::Stream {
    z_stream zlib{};
    gz_header header{};
    std::string file{};

    void deflate(std::string_view bytes, int flush) {
        std::array<char, 1u << 14> piece;
        zlib.next_in = reinterpret_cast<const Bytef*>(bytes.data());
        zlib.avail_in = static_cast<uInt>(bytes.size());
        do {
            zlib.next_out = reinterpret_cast<Bytef*>(piece.data());
            zlib.avail_out = static_cast<uInt>(piece.size());
            ::deflate(&zlib, flush);
            file.append(piece.data(), piece.size() - zlib.avail_out);
        } while (zlib.avail_out == 0);
    }
};

Gzip::Gzip() : stream_(std::make_unique<Stream>()) {
    constexpr int window_and_gzip = 15 + 16, memory = 8, unknown_system = 255;   // the largest window, zlib's own choice of memory
    // Fast: what is put in is nearly all zeros.
    if (::deflateInit2(&stream_->zlib, Z_BEST_SPEED, Z_DEFLATED, window_and_gzip, memory, Z_DEFAULT_STRATEGY) != Z_OK) throw std::bad_alloc();
    stream_->header.os = unknown_system;
    ::deflateSetHeader(&stream_->zlib, &stream_->header);
}

Gzip::~Gzip() { ::deflateEnd(&stream_->zlib); }

void Gzip::add(std::string_view bytes) { stream_->deflate(bytes, Z_NO_FLUSH); }

void Gzip::add_zeros(std::size_t count) {
    static constexpr std::array<char, 1u << 16> zeros{};
    for (; count > 0; count -= std::min(count, zeros.size())) add({zeros.data(), std::min(count, zeros.size())});
}

std::string Gzip::finish() && {
    stream_->deflate({}, Z_FINISH);
    return std::move(stream_->file);
}

}  // namespace perisclera::masks
