// SPDX-License-Identifier: Apache-2.0
#include "gzip.h"

#define ZLIB_CONST   // by which zlib.h promises not to write to its input
#include <zlib.h>

#include <new>

namespace perisclera::masks {

namespace {

constexpr std::size_t piece_of_zeros = 1u << 16;

/// The piece by RFC 1951, ended by a full flush: at a whole byte, and with nothing kept for what follows.
std::string deflated(std::string_view bytes) {
    constexpr int raw = -15, memory = 8;   // the largest window, zlib's own choice of memory
    z_stream stream{};
    if (::deflateInit2(&stream, Z_DEFAULT_COMPRESSION, Z_DEFLATED, raw, memory, Z_DEFAULT_STRATEGY) != Z_OK) throw std::bad_alloc();
    std::string out(::deflateBound(&stream, static_cast<uLong>(bytes.size())) + 16, '\0');   // and the flush
    stream.next_in = reinterpret_cast<const Bytef*>(bytes.data());
    stream.avail_in = static_cast<uInt>(bytes.size());
    stream.next_out = reinterpret_cast<Bytef*>(out.data());
    stream.avail_out = static_cast<uInt>(out.size());
    ::deflate(&stream, Z_FULL_FLUSH);
    out.resize(stream.total_out);
    ::deflateEnd(&stream);
    return out;
}

unsigned long check_of(std::string_view bytes) { return ::crc32(0, reinterpret_cast<const Bytef*>(bytes.data()), static_cast<uInt>(bytes.size())); }

void put_four_bytes(std::string& file, std::size_t value) {
    for (int k = 0; k < 4; ++k) file += static_cast<char>((value >> (8 * k)) & 0xFF);
}

}  // namespace

Gzip::Gzip() : file_("\x1f\x8b\x08\0\0\0\0\0\0\xff", 10), check_(check_of({})) {   // deflated; no name, no time, no system
    const std::string zeros(piece_of_zeros, '\0');
    zeros_ = deflated(zeros);
    zeros_check_ = check_of(zeros);
}

void Gzip::add(std::string_view bytes) {
    if (bytes.empty()) return;
    file_ += deflated(bytes);
    check_ = ::crc32_combine(check_, check_of(bytes), static_cast<z_off_t>(bytes.size()));
    size_ += bytes.size();
}

void Gzip::add_zeros(std::size_t count) {
    for (; count >= piece_of_zeros; count -= piece_of_zeros) {
        file_ += zeros_;
        check_ = ::crc32_combine(check_, zeros_check_, static_cast<z_off_t>(piece_of_zeros));
        size_ += piece_of_zeros;
    }
    add(std::string(count, '\0'));
}

std::string Gzip::finish() && {
    file_ += std::string_view("\x03\0", 2);   // an empty last block
    put_four_bytes(file_, check_);
    put_four_bytes(file_, size_);
    return std::move(file_);
}

}  // namespace perisclera::masks
