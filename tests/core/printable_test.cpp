// SPDX-License-Identifier: Apache-2.0
#include "perisclera/core/printable.h"

#include <gtest/gtest.h>

namespace perisclera {

TEST(Printable, ordinary_text_of_any_script_stays) {
    for (const char* text : {"", "slice 12 of 40", "12,5 mm³ ± 3 %", "Größe", "眼窩", "\xf0\x9f\x91\x81"}) EXPECT_EQ(printable(text), text);
}

TEST(Printable, line_ends_and_terminal_commands_become_visible) {
    EXPECT_EQ(printable("a\r\nerror[X]"), "a\\x0d\\x0aerror[X]");
    EXPECT_EQ(printable("\x1b[31mred"), "\\x1b[31mred");
    EXPECT_EQ(printable(std::string_view("a\0b", 3)), "a\\x00b");
    EXPECT_EQ(printable("\x7f"), "\\x7f");
    EXPECT_EQ(printable("\xc2\x9b" "31m"), "\\xc2\\x9b31m");  // U+009B, the one-character form of ESC [ (ECMA-48)
}

TEST(Printable, marks_that_turn_the_direction_of_text_become_visible) {
    EXPECT_EQ(printable("a\xe2\x80\xae" "b"), "a\\xe2\\x80\\xaeb");  // U+202E right-to-left override (UAX 9)
    EXPECT_EQ(printable("\xe2\x81\xa6"), "\\xe2\\x81\\xa6");          // U+2066 left-to-right isolate
    EXPECT_EQ(printable("\xe2\x80\xa8"), "\\xe2\\x80\\xa8");          // U+2028 line separator
}

// The ill-formed sequences named in RFC 3629, sections 3 and 10.
TEST(Printable, bytes_that_are_not_utf8_become_visible) {
    EXPECT_EQ(printable("\xc0\x80"), "\\xc0\\x80");                          // overlong NUL
    EXPECT_EQ(printable("\xe0\x80\xaf"), "\\xe0\\x80\\xaf");                  // overlong solidus
    EXPECT_EQ(printable("\xed\xa0\x80"), "\\xed\\xa0\\x80");                  // surrogate U+D800
    EXPECT_EQ(printable("\xf4\x90\x80\x80"), "\\xf4\\x90\\x80\\x80");          // above U+10FFFF
    EXPECT_EQ(printable("\xe2\x82"), "\\xe2\\x82");                          // cut short
    EXPECT_EQ(printable("\xfc" "a"), "\\xfca");                              // ISO 8859-1 text
}

}  // namespace perisclera
