// SPDX-License-Identifier: Apache-2.0
// The documents point to files that exist, and the top level of the project holds what it should and nothing else.
#include <gtest/gtest.h>

#include <filesystem>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include "project_files.h"

namespace perisclera {

namespace fs = std::filesystem;

TEST(Documents, every_link_between_them_leads_to_a_file) {
    std::vector<fs::path> pages{source / "README.md", source / "DEVELOPERS.md", source / "phantoms" / "README.md", source / "docs" / "teaching" / "README.md"};
    for (const auto& entry : fs::directory_iterator(source / "docs"))
        if (entry.path().extension() == ".md") pages.push_back(entry.path());
    const std::regex link(R"(\]\(([^)#:]+)(?:#[^)]*)?\))");
    int links = 0;
    for (const auto& page : pages) {
        const std::string text = content(page);
        for (std::sregex_iterator m(text.begin(), text.end(), link), end; m != end; ++m, ++links)
            EXPECT_TRUE(fs::exists(page.parent_path() / (*m)[1].str())) << page << " links to " << (*m)[1].str();
    }
    EXPECT_GT(links, 5);
}

TEST(Documents, every_link_of_the_ready_teaching_cases_leads_to_a_file) {
    const std::regex link(R"re((?:href|src)="([^"#:]+)")re");
    int pages = 0, links = 0;
    for (const auto& entry : fs::recursive_directory_iterator(source / "docs" / "teaching")) {
        if (entry.path().extension() != ".html") continue;
        const std::string text = content(entry.path());
        ++pages;
        EXPECT_NE(text.find("SIMULATED DATA"), std::string::npos) << entry.path();
        for (std::sregex_iterator m(text.begin(), text.end(), link), end; m != end; ++m, ++links)
            EXPECT_TRUE(fs::exists(entry.path().parent_path() / (*m)[1].str())) << entry.path() << " links to " << (*m)[1].str();
    }
    EXPECT_EQ(pages, 12);   // five questions, five answers, two indices
    EXPECT_GT(links, 50);
}

TEST(Documents, every_document_that_the_code_cites_exists) {
    const std::regex cited(R"(\bdocs/[a-z_]+\.(?:md|schema\.json))");
    for (const char* folder : {"include", "src", "phantoms"})
        for (const auto& entry : fs::recursive_directory_iterator(source / folder)) {
            if (!entry.is_regular_file()) continue;
            const std::string text = content(entry.path());
            for (std::sregex_iterator m(text.begin(), text.end(), cited), end; m != end; ++m)
                EXPECT_TRUE(fs::exists(source / m->str())) << entry.path() << " cites " << m->str();
        }
}

TEST(Documents, every_test_that_the_hazards_name_exists) {
    std::set<std::string> tests;
    const std::regex stated(R"((?:TEST(?:_F|_P)?\(\w+,|PERISCLERA_\w+\([0-9]+,(?:\s*\w+,)?)\s*(\w+))");
    for (const auto& entry : fs::recursive_directory_iterator(source / "tests")) {
        if (entry.path().extension() != ".cpp") continue;
        if (entry.path().parent_path().filename() == "compile_fail") tests.insert(entry.path().stem());
        const std::string text = content(entry.path());
        for (std::sregex_iterator m(text.begin(), text.end(), stated), end; m != end; ++m) tests.insert((*m)[1].str());
    }
    const std::string page = content(source / "docs" / "hazards.md");
    const std::regex named("`([a-z0-9]+(?:_[a-z0-9]+)+)`");
    int names = 0;
    for (std::sregex_iterator m(page.begin(), page.end(), named), end; m != end; ++m, ++names) EXPECT_TRUE(tests.contains((*m)[1].str())) << "hazards.md names " << (*m)[1].str();
    EXPECT_GT(names, 30);
}

TEST(Documents, top_level_holds_what_the_map_says_and_nothing_else) {
    const std::set<std::string> expected{"CMakeLists.txt", "README.md", "DEVELOPERS.md", "LICENSE", "src", "include", "tests", "phantoms", "docs"};
    std::set<std::string> found;
    for (const auto& entry : fs::directory_iterator(source)) {
        const std::string name = entry.path().filename().string();
        if (!name.starts_with(".") && !name.starts_with("build")) found.insert(name);  // build folders are no part of the project
    }
    EXPECT_EQ(found, expected);
}

TEST(Documents, every_source_file_names_its_licence_first) {
    for (const char* folder : {"include", "src", "phantoms", "tests"})
        for (const auto& entry : fs::recursive_directory_iterator(source / folder)) {
            if (entry.path().extension() != ".h" && entry.path().extension() != ".cpp") continue;
            EXPECT_TRUE(content(entry.path()).starts_with("// SPDX-License-Identifier: Apache-2.0\n")) << entry.path();
        }
}

}  // namespace perisclera
