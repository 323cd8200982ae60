// SPDX-License-Identifier: Apache-2.0
#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <regex>
#include <set>
#include <string>

#include "perisclera/core/limits.h"
#include "perisclera/core/version.h"

namespace perisclera {

std::string source_text(const std::string& file) {
    std::ifstream stream(std::string(PERISCLERA_SOURCE_DIR) + "/" + file);
    return {std::istreambuf_iterator<char>(stream), {}};
}

TEST(Limits, every_cap_in_the_header_is_listed_once_and_positive) {
    const std::string header = source_text("include/perisclera/core/limits.h");
    const std::regex cap(R"(inline constexpr std::uint64_t (\w+) =)");
    const auto caps = std::distance(std::sregex_iterator(header.begin(), header.end(), cap), std::sregex_iterator());
    EXPECT_GT(caps, 0);
    EXPECT_EQ(static_cast<std::size_t>(caps), limits::all.size());
    std::set<std::string_view> named;
    for (const auto& limit : limits::all) {
        EXPECT_TRUE(named.insert(limit.what).second) << limit.what;
        EXPECT_GT(limit.value, 0u) << limit.what;
        EXPECT_FALSE(limit.unit.empty()) << limit.what;
    }
}

TEST(Version, is_that_of_the_build_and_of_the_changelog) {
    const std::string cmake = source_text("CMakeLists.txt");
    std::smatch m;
    ASSERT_TRUE(std::regex_search(cmake, m, std::regex(R"(project\(perisclera VERSION ([\d.]+))")));
    EXPECT_EQ(m[1].str(), program_version);
    EXPECT_NE(source_text("docs/changelog.md").find("## " + std::string(program_version)), std::string::npos);
}

}  // namespace perisclera
