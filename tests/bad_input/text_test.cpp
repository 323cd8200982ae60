// SPDX-License-Identifier: Apache-2.0
// Texts that would lead the reader, the terminal or the file system astray.
#include <algorithm>
#include <sstream>

#include "tests/bad_input/bad_input.h"

namespace perisclera::test {

PERISCLERA_BAD_INPUT(40, identifiers_that_are_paths, "a UID that is a path, `..`, 200 characters long, or empty", "the file is refused; no identifier ever becomes part of a path", "BAD_UID", "3, 0") {
    constexpr TagNumber sop{0x0008, 0x0018}, series{0x0020, 0x000E}, study{0x0020, 0x000D};
    for (const TagNumber& uid : {sop, series, study})
        for (const std::string& value : {std::string("../../x"), std::string(".."), std::string("/etc"), std::string(200, '1'), std::string()}) {
            DicomSlice slice;
            slice.text[uid] = value;
            expect_file_refused(bytes_of(slice), "BAD_UID");
        }
}

PERISCLERA_BAD_INPUT(41, texts_that_mislead, "names with escape sequences, line ends, invalid UTF-8, an unknown character set, marks that turn the direction of writing", "read; nothing of it reaches a message, and every output is valid UTF-8",
                     "NO_GLOBE", "4") {
    const std::vector<std::string> texts{"\x1b[31mZyxwvut\x1b[0m", "Zyxwvut\r\nerror[FAKE] a line: of: its own", "Zyxwvut\xff\xfe\xc0", "\xe2\x80\xaeZyxwvut\xe2\x80\xac", "Zyxwvut^<script>alert(1)</script>"};
    for (const std::string& text : texts)
        for (const char* character_set : {"ISO_IR 192", "ISO_IR 999", ""}) {
            clear();
            auto slices = ct_series(6);
            for (DicomSlice& slice : slices) {
                for (const TagNumber& tag : {TagNumber{0x0010, 0x0010}, {0x0008, 0x103E}, {0x0018, 0x1030}, {0x0008, 0x1030}, {0x0008, 0x0080}}) slice.text[tag] = text;
                slice.text[{0x0008, 0x0005}] = character_set;
            }
            write_series(in(), slices);
            const Told told = identify();   // reads report.json strictly, as any JSON reader does
            expect_warned(told, "NO_GLOBE", 4);
            EXPECT_EQ(read_bytes(out() / "report.json").find("Zyxwvut"), std::string::npos);
            EXPECT_EQ(told.ended.error_text.find('\x1b'), std::string::npos);
            EXPECT_EQ(told.ended.error_text.find("FAKE"), std::string::npos);
            std::istringstream lines(told.ended.error_text);
            for (std::string line; std::getline(lines, line);) EXPECT_TRUE(line.starts_with("warning[")) << line;
            const std::string page = read_bytes(out() / "report.html");
            EXPECT_EQ(page.find("<script>alert"), std::string::npos);
            EXPECT_NO_THROW(static_cast<void>(nlohmann::json(page).dump())) << "the page is valid UTF-8";
            EXPECT_TRUE(std::none_of(page.begin(), page.end(), [](char c) { return c == '\x1b'; }));
        }
}

}  // namespace perisclera::test
