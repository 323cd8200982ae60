// SPDX-License-Identifier: Apache-2.0
#include "perisclera/dicom/uid.h"

#include <gtest/gtest.h>

#include <dcmtk/config/osconfig.h>
#include <dcmtk/dcmdata/dcuid.h>
#include <dcmtk/dcmdata/dcvrui.h>

namespace perisclera {

// Expected values: the 128-bit FNV-1a test vectors of RFC 9923 (empty, "a", "foobar").
TEST(Uid, hash_agrees_with_the_published_test_vectors) {
    EXPECT_EQ(fnv1a_128(""), (std::array<std::uint64_t, 2>{0x6c62272e07bb0142, 0x62b821756295c58d}));
    EXPECT_EQ(fnv1a_128("a"), (std::array<std::uint64_t, 2>{0xd228cb696f1a8caf, 0x78912b704e4a8964}));
    EXPECT_EQ(fnv1a_128("foobar"), (std::array<std::uint64_t, 2>{0x343e1662793c64bf, 0x6f0d3597ba446f18}));
}

TEST(Uid, is_valid_by_dcmtk_and_differs_with_the_text) {
    for (const char* text : {"", "a", "b", "series/1", "series/2"})
        EXPECT_TRUE(DcmUniqueIdentifier::checkStringValue(OFString(uid_from(text).c_str()), "1").good()) << text;
    EXPECT_EQ(uid_from("a"), uid_from("a"));
    EXPECT_NE(uid_from("series/1"), uid_from("series/2"));
    EXPECT_EQ(uid_from("a").rfind("2.25.", 0), 0u);  // PS3.5 B.2
}

}  // namespace perisclera
