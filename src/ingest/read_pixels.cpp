// SPDX-License-Identifier: Apache-2.0
#include "perisclera/ingest/read_pixels.h"

#include <algorithm>
#include <atomic>
#include <cassert>
#include <optional>
#include <utility>

#include "decode.h"
#include "image_files.h"
#include "perisclera/core/shared_work.h"

namespace perisclera {

namespace {

std::size_t pixel_count(const SliceHeader& slice) {
    return static_cast<std::size_t>(slice.geometry.rows) * static_cast<std::size_t>(slice.geometry.columns);
}

constexpr double top_of_12_bits_hu = 3071.0;

/// Stored values of any layout to rescaled numbers.
PixelTally to_numbers(const SliceHeader& slice, std::span<const unsigned char> bytes, std::span<float> out) {
    const PixelFormat& format = slice.pixels;
    const bool big_endian = slice.layout.encoding == Encoding::explicit_big;
    const int shift = format.high_bit + 1 - format.bits_stored;
    const unsigned mask = (1U << format.bits_stored) - 1U;
    const unsigned sign_bit = 1U << (format.bits_stored - 1);
    const bool masks_padding = slice.modality == Modality::ct && format.padding_value.has_value();
    const long padding = format.padding_value.value_or(0), other_padding = format.padding_range_limit.value_or(padding);
    const long padding_low = std::min(padding, other_padding), padding_high = std::max(padding, other_padding);
    const bool is_ct = slice.modality == Modality::ct;
    const long top = static_cast<long>(format.is_signed ? mask >> 1 : mask);
    const unsigned allocated = (1U << format.bits_allocated) - 1U;
    PixelTally tally;
    for (std::size_t i = 0; i < out.size(); ++i) {
        unsigned raw = bytes[i];
        if (format.bits_allocated == 16) {
            const unsigned first = bytes[2 * i], second = bytes[2 * i + 1];
            raw = big_endian ? first << 8 | second : second << 8 | first;
        }
        const unsigned whole = raw;
        raw = raw >> shift & mask;
        const long stored = format.is_signed && (raw & sign_bit) != 0 ? static_cast<long>(raw) - static_cast<long>(mask) - 1 : static_cast<long>(raw);
        const bool padded = masks_padding && stored >= padding_low && stored <= padding_high;
        const double value = static_cast<double>(stored) * format.rescale_slope + format.rescale_intercept;
        out[i] = padded ? padded_hounsfield : static_cast<float>(value);
        // A negative number may fill the bits above its own with its sign.
        const bool surplus = whole != raw << shift && whole != (static_cast<unsigned>(stored) << shift & allocated);
        tally.padded += padded;
        tally.saturated += is_ct && !padded && (stored == top || value >= top_of_12_bits_hu);
        tally.surplus_bits += surplus;
    }
    return tally;
}

/// `bytes` is room that is used again from slice to slice.
std::optional<Error> read_native_slice(ImageFiles& files, const SliceHeader& slice, std::vector<unsigned char>& bytes, std::span<float> out, PixelTally& tally) {
    bytes.resize(out.size() * static_cast<std::size_t>(slice.pixels.bits_allocated / 8));
    if (auto error = files.read_native(slice, bytes)) return error;
    tally = to_numbers(slice, bytes, out);
    return {};
}

bool is_encapsulated(const SliceHeader& slice) { return slice.layout.encoding == Encoding::encapsulated; }

}  // namespace

PixelTally& PixelTally::operator+=(const PixelTally& other) {
    padded += other.padded;
    saturated += other.saturated;
    surplus_bits += other.surplus_bits;
    return *this;
}

Result<std::vector<float>> read_pixels(const SliceHeader& slice) {
    std::vector<float> out(pixel_count(slice));
    const auto done = read_stack({&slice, 1}, out, 1);
    if (!done) return done.error();
    return out;
}

Result<PixelTally> read_stack(std::span<const SliceHeader> slices, std::span<float> out, int threads) {
    if (slices.empty()) return PixelTally{};
    const std::size_t pixels = pixel_count(slices.front());
    assert(out.size() == pixels * slices.size());
    const auto place = [&](std::size_t i) { return out.subspan(i * pixels, pixels); };
    std::vector<std::optional<Error>> errors(slices.size());
    std::vector<PixelTally> tallies(slices.size());

    // Children first: forking is safest while no other thread of ours runs.
    std::vector<const SliceHeader*> compressed;
    std::vector<std::size_t> indices;
    for (std::size_t i = 0; i < slices.size(); ++i)
        if (is_encapsulated(slices[i])) {
            compressed.push_back(&slices[i]);
            indices.push_back(i);
        }
    auto decoding = decode_slices(compressed, threads,
                                  [&](std::size_t i, std::span<const unsigned char> bytes) { tallies[indices[i]] = to_numbers(*compressed[i], bytes, place(indices[i])); });
    for (std::size_t i = 0; i < indices.size(); ++i) errors[indices[i]] = std::move(decoding[i]);

    std::atomic<std::size_t> next = 0;
    const auto work = [&] {
        ImageFiles files;
        std::vector<unsigned char> bytes;
        for (std::size_t i = next++; i < slices.size(); i = next++)
            if (!is_encapsulated(slices[i])) errors[i] = read_native_slice(files, slices[i], bytes, place(i), tallies[i]);
    };
    if (compressed.size() < slices.size()) share_work(threads, work);
    for (const auto& error : errors)
        if (error) return *error;
    PixelTally all;
    for (const PixelTally& tally : tallies) all += tally;
    return all;
}

}  // namespace perisclera
