// SPDX-License-Identifier: Apache-2.0
#include "perisclera/core/text.h"

#include <gtest/gtest.h>

namespace perisclera {

TEST(Text, a_key_gives_the_catalogues_text) { EXPECT_EQ(say("side.right"), "Right eye"); }

TEST(Text, a_key_that_the_catalogue_lacks_is_shown_in_brackets) { EXPECT_EQ(say("no.such_key"), "[no.such_key]"); }

}  // namespace perisclera
