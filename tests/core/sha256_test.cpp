// SPDX-License-Identifier: Apache-2.0
// Examples of NIST for SHA-256 (FIPS 180-2 appendix B): one block, two blocks, a million letters.
#include "perisclera/core/sha256.h"

#include <gtest/gtest.h>

namespace perisclera {

namespace {

std::string digest_of(std::string_view text) { return hexadecimal(Sha256().add(text).digest()); }

}  // namespace

TEST(Sha256, gives_the_published_digests) {
    EXPECT_EQ(digest_of("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    EXPECT_EQ(digest_of("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"), "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    EXPECT_EQ(digest_of(std::string(1'000'000, 'a')), "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST(Sha256, does_not_depend_on_how_the_bytes_come) {
    const std::string text(1000, 'x');
    Sha256 in_pieces;
    for (std::size_t at = 0, piece = 1; at < text.size(); at += piece, piece = piece % 97 + 1) in_pieces.add(std::string_view(text).substr(at, piece));
    EXPECT_EQ(hexadecimal(in_pieces.digest()), digest_of(text));
}

}  // namespace perisclera
