// SPDX-License-Identifier: Apache-2.0
#include "perisclera/dicom/uid.h"

#include <algorithm>

namespace perisclera {

namespace {

__extension__ using Wide = unsigned __int128;

Wide hash(std::string_view text) {
    constexpr Wide offset_basis = (Wide{0x6c62272e07bb0142} << 64) | 0x62b821756295c58d;
    constexpr Wide prime = (Wide{1} << 88) | 0x13b;
    Wide h = offset_basis;
    for (const char c : text) h = (h ^ static_cast<unsigned char>(c)) * prime;
    return h;
}

}  // namespace

std::array<std::uint64_t, 2> fnv1a_128(std::string_view text) {
    const Wide h = hash(text);
    return {static_cast<std::uint64_t>(h >> 64), static_cast<std::uint64_t>(h)};
}

std::string uid_from(std::string_view text) {
    // Hashed twice: a difference in the last character alone would otherwise hardly change the leading digits.
    std::string digest;
    for (Wide h = hash(text); digest.size() < 16; h >>= 8) digest += static_cast<char>(static_cast<unsigned char>(h));
    Wide uuid = hash(digest);
    uuid = (uuid & ~(Wide{0xf} << 76)) | (Wide{8} << 76);  // version
    uuid = (uuid & ~(Wide{3} << 62)) | (Wide{2} << 62);    // variant
    std::string digits;
    for (; uuid != 0; uuid /= 10) digits += static_cast<char>('0' + static_cast<int>(uuid % 10));
    std::reverse(digits.begin(), digits.end());
    return "2.25." + digits;
}

}  // namespace perisclera
