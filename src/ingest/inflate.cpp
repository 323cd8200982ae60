// SPDX-License-Identifier: Apache-2.0
#include "inflate.h"

#include <zlib.h>

#include <algorithm>
#include <array>

#include "perisclera/core/limits.h"

namespace perisclera {

namespace {

constexpr int raw_deflate = -MAX_WBITS;

/// The library's state, freed on every way out.
class Inflater {
public:
    Inflater() : ready_(::inflateInit2(&stream_, raw_deflate) == Z_OK) {}
    Inflater(const Inflater&) = delete;
    Inflater& operator=(const Inflater&) = delete;
    ~Inflater() {
        if (ready_) ::inflateEnd(&stream_);
    }
    [[nodiscard]] bool ready() const { return ready_; }
    z_stream& stream() { return stream_; }

private:
    z_stream stream_{};
    bool ready_;
};

std::uint32_t little_endian(const unsigned char* bytes) {
    return static_cast<std::uint32_t>(bytes[0]) | static_cast<std::uint32_t>(bytes[1]) << 8 | static_cast<std::uint32_t>(bytes[2]) << 16 |
           static_cast<std::uint32_t>(bytes[3]) << 24;
}

/// One byte may follow to make the length even (PS3.5 A.5). Some writers leave gzip's trailer there, which then has to be right (RFC 1952 2.3.1).
bool lawful_tail(InputFile& file, std::uint64_t tail_bytes, const std::vector<unsigned char>& inflated) {
    if (tail_bytes <= 1) return true;
    std::array<unsigned char, 8> trailer{};
    if (tail_bytes > trailer.size() + 1 || tail_bytes < trailer.size() || !file.read(file.size() - tail_bytes, trailer)) return false;
    const auto checksum = ::crc32_z(::crc32_z(0, nullptr, 0), inflated.data(), inflated.size());
    return little_endian(trailer.data()) == checksum && little_endian(trailer.data() + 4) == static_cast<std::uint32_t>(inflated.size());
}

}  // namespace

std::uint64_t most_inflated_bytes(std::uint64_t compressed_bytes) {
    return std::min(limits::inflated_bytes, std::max(limits::inflated_bytes_whatever_the_ratio, limits::inflation_ratio * compressed_bytes));
}

Result<std::vector<unsigned char>> inflate(InputFile& file, std::uint64_t offset, const std::string& where) {
    const auto fail = [&](ErrorCode code, std::string what) { return Error{code, std::move(what), where, "copy or export this file again from the archive"}; };
    Inflater inflater;
    if (!inflater.ready()) return fail(ErrorCode::limit_reached, "no memory for inflating");
    z_stream& stream = inflater.stream();
    const std::uint64_t most = most_inflated_bytes(file.size() - offset);
    std::vector<unsigned char> out;
    std::array<unsigned char, 65536> in{}, piece{};
    int state = Z_OK;
    while (state != Z_STREAM_END) {
        if (stream.avail_in == 0) {
            const auto count = static_cast<std::size_t>(std::min<std::uint64_t>(in.size(), file.size() - offset));
            if (count == 0) return fail(ErrorCode::truncated, "the deflated data end early");
            if (!file.read(offset, {in.data(), count})) return fail(ErrorCode::cannot_read, "the file cannot be read");
            offset += count;
            stream.next_in = in.data();
            stream.avail_in = static_cast<uInt>(count);
        }
        stream.next_out = piece.data();
        stream.avail_out = static_cast<uInt>(piece.size());
        state = ::inflate(&stream, Z_NO_FLUSH);
        if (state != Z_OK && state != Z_STREAM_END && state != Z_BUF_ERROR) return fail(ErrorCode::decode_failed, "the deflated data are damaged");
        const std::size_t got = piece.size() - stream.avail_out;
        if (out.size() + got > most)
            return fail(ErrorCode::inflates_too_large, "the deflated data become more than " + std::to_string(most) + " bytes");
        out.insert(out.end(), piece.begin(), piece.begin() + static_cast<std::ptrdiff_t>(got));
    }
    const std::uint64_t tail = file.size() - offset + stream.avail_in;
    if (!lawful_tail(file, tail, out)) return fail(ErrorCode::trailing_bytes, "bytes follow the deflated data");
    return out;
}

std::optional<Error> inflate_dataset(InputFile& file, std::uint64_t offset, const std::string& where) {
    auto inflated = inflate(file, offset, where);
    if (!inflated) return inflated.error();
    std::vector<unsigned char> whole(offset);
    if (!file.read(0, whole)) return Error{ErrorCode::cannot_read, "the file cannot be read", where, "copy the file again"};
    whole.insert(whole.end(), inflated.value().begin(), inflated.value().end());
    file.read_instead(std::move(whole));
    return {};
}

}  // namespace perisclera
