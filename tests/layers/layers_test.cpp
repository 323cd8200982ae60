// SPDX-License-Identifier: Apache-2.0
// The arrows between the folders run one way, and the check that says so is itself shown to fail on each kind of wrong line.
#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <regex>
#include <set>

#include "layer_table.h"
#include "project_files.h"
#include "source_check.h"

namespace perisclera::layers {

namespace fs = std::filesystem;

std::string words(Rule rule) {
    switch (rule) {
        case Rule::include_runs_back: return "includes a layer it may not";
        case Rule::unknown_include: return "includes something the layer table does not know";
        case Rule::third_party_out_of_place: return "includes a library outside its folders";
        case Rule::third_party_in_header: return "includes a library in a header";
        case Rule::printing: return "prints outside src/app";
        case Rule::hidden_state: return "looks at clock, environment, locale or chance outside src/app";
    }
    return "";
}

TEST(Layers, no_source_file_breaks_the_layer_table) {
    int files = 0;
    for (const auto& f : check_tree(PERISCLERA_SOURCE_DIR, files)) ADD_FAILURE() << f.file << ":" << f.line << " " << words(f.rule) << ": " << f.text;
    EXPECT_GT(files, 20) << "the tree was not found";
}

TEST(Layers, the_table_has_no_circle_and_only_known_names) {
    std::set<std::string_view> earlier;
    for (const auto& layer : table()) {
        for (const auto need : layer.needs) EXPECT_TRUE(earlier.contains(need)) << layer.name << " needs " << need << ", which does not come before it";
        for (const auto name : layer.libraries)
            EXPECT_TRUE(std::any_of(libraries.begin(), libraries.end(), [&](const Library& l) { return l.name == name; })) << name;
        earlier.insert(layer.name);
    }
}

TEST(Layers, the_build_links_by_the_same_table) {
    const std::string cmake = content(fs::path(PERISCLERA_SOURCE_DIR) / "CMakeLists.txt");
    const std::regex stage(R"(\nperisclera_stage\((\w+)(?: NEEDS ([\w ]+?))?(?: LIBRARIES [^)]*)?\))");
    std::set<std::string> seen;
    for (std::sregex_iterator m(cmake.begin(), cmake.end(), stage), end; m != end; ++m) {
        const std::string name = (*m)[1];
        seen.insert(name);
        const auto layer = std::find_if(table().begin(), table().end(), [&](const Layer& l) { return l.name == name; });
        ASSERT_NE(layer, table().end()) << name;
        std::string needs;
        for (const auto need : layer->needs) needs += (needs.empty() ? "" : " ") + std::string(need);
        EXPECT_EQ((*m)[2].str(), needs) << "stage " << name;
    }
    for (const auto& layer : table()) {
        const bool is_stage = layer.name != "phantoms" && layer.name != "app";
        EXPECT_EQ(seen.contains(std::string(layer.name)), is_stage) << layer.name;
    }
}

// Only clang brings the fuzzing library, and Debian's headers of ITK refuse every compiler but GCC.
TEST(Layers, what_the_fuzzers_link_names_no_itk) {
    const std::string cmake = content(fs::path(PERISCLERA_SOURCE_DIR) / "tests" / "fuzz" / "CMakeLists.txt");
    const std::regex target(R"(\nperisclera_fuzz_target\(\w+((?: perisclera_\w+)+)\))"), stage(R"(perisclera_(\w+))");
    std::string linked;
    for (std::sregex_iterator m(cmake.begin(), cmake.end(), target), end; m != end; ++m) linked += (*m)[1];
    ASSERT_NE(linked, "") << "no fuzzer was found";
    for (std::sregex_iterator m(linked.begin(), linked.end(), stage), end; m != end; ++m)
        for (const auto& layer : table()) {
            const bool names_itk = std::find(layer.libraries.begin(), layer.libraries.end(), "ITK") != layer.libraries.end();
            EXPECT_FALSE(names_itk && may_include((*m)[1].str(), layer.name)) << layer.name << ", which a fuzzer links";
        }
}

std::string listed(const std::vector<std::string_view>& names) {
    std::string text;
    for (const auto name : names) text += (text.empty() ? "" : ", ") + std::string(name);
    return text.empty() ? "—" : text;
}

TEST(Layers, the_map_in_the_documentation_names_every_layer_with_its_needs_and_libraries) {
    const std::string page = content(fs::path(PERISCLERA_SOURCE_DIR) / "docs" / "architecture.md");
    for (const auto& layer : table()) {
        const std::string begin = "| `" + std::string(layer.name) + "` | " + listed(layer.needs) + " |", end = "| " + listed(layer.libraries) + " |";
        const auto at = page.find(begin);
        ASSERT_NE(at, std::string::npos) << "docs/architecture.md lacks the row that begins " << begin;
        EXPECT_TRUE(page.substr(at, page.find('\n', at) - at).ends_with(end)) << "the row of " << layer.name << " should end with " << end;
    }
}

/// A small tree of its own, with one file in it.
class PlantedLine : public testing::Test {
protected:
    void SetUp() override {
        tree_ = fs::temp_directory_path() / ("perisclera_layers_" + std::string(testing::UnitTest::GetInstance()->current_test_info()->name()));
        fs::remove_all(tree_);
    }
    void TearDown() override { fs::remove_all(tree_); }

    std::vector<Finding> check(const std::string& file, const std::string& content) {
        fs::remove_all(tree_);
        fs::create_directories((tree_ / file).parent_path());
        std::ofstream(tree_ / file) << "// SPDX-License-Identifier: Apache-2.0\n" << content << "\n";
        int files = 0;
        auto findings = check_tree(tree_, files);
        EXPECT_EQ(files, 1);
        return findings;
    }
    void expect_refused(Rule rule, const std::string& file, const std::string& content) {
        const auto findings = check(file, content);
        ASSERT_EQ(findings.size(), 1u) << file << ": " << content;
        EXPECT_EQ(findings[0].rule, rule) << file << ": " << content << " was called: " << words(findings[0].rule);
        EXPECT_EQ(findings[0].file, file);
        EXPECT_EQ(findings[0].line, 2);
    }
    void expect_allowed(const std::string& file, const std::string& content) {
        for (const auto& f : check(file, content)) ADD_FAILURE() << f.file << " " << words(f.rule) << ": " << f.text;
    }
    fs::path tree_;
};

TEST_F(PlantedLine, include_against_the_arrows_is_found) {
    expect_refused(Rule::include_runs_back, "src/core/x.cpp", "#include \"perisclera/image/voxel_grid.h\"");
    expect_refused(Rule::include_runs_back, "include/perisclera/image/x.h", "#include \"perisclera/ingest/file_set.h\"");
    expect_refused(Rule::include_runs_back, "src/material/x.cpp", "#include \"perisclera/report/model.h\"");
    expect_refused(Rule::include_runs_back, "src/dicom/x.cpp", "#include \"src/report/json.h\"");
    expect_refused(Rule::include_runs_back, "src/pipeline/x.cpp", "#include \"phantoms/scenario.h\"");
    expect_refused(Rule::include_runs_back, "src/pipeline/x.cpp", "#include \"src/app/arguments.h\"");
}

TEST_F(PlantedLine, include_along_the_arrows_is_allowed_also_over_several_steps) {
    expect_allowed("src/report/x.cpp", "#include \"perisclera/core/units.h\"");
    expect_allowed("src/material/x.cpp", "#include \"perisclera/anatomy/globe.h\"");
    expect_allowed("src/app/x.cpp", "#include \"phantoms/scenario.h\"");
    expect_allowed("src/report/x.cpp", "#include \"own_folder.h\"");
}

TEST_F(PlantedLine, phantoms_share_nothing_with_the_estimator) {
    for (const char* stage : {"physics", "ingest", "assemble", "anatomy", "alignment", "segmentation", "measurement", "material", "timeline", "report", "pipeline"})
        expect_refused(Rule::include_runs_back, "phantoms/x.cpp", "#include \"perisclera/" + std::string(stage) + "/x.h\"");
    for (const char* stage : {"core", "image", "dicom"}) expect_allowed("phantoms/x.cpp", "#include \"perisclera/" + std::string(stage) + "/x.h\"");
}

TEST_F(PlantedLine, third_party_header_outside_its_folder_is_found) {
    expect_refused(Rule::third_party_out_of_place, "src/material/x.cpp", "#include <itkImage.h>");
    expect_refused(Rule::third_party_out_of_place, "src/anatomy/x.cpp", "#include <dcmtk/dcmdata/dctk.h>");
    expect_refused(Rule::third_party_out_of_place, "src/timeline/x.cpp", "#include <nlohmann/json.hpp>");
    expect_refused(Rule::third_party_out_of_place, "src/ingest/x.cpp", "#include <vtkPolyData.h>");
    expect_refused(Rule::third_party_out_of_place, "src/pipeline/x.cpp", "#include <CLI/CLI.hpp>");
    expect_refused(Rule::third_party_out_of_place, "src/core/x.cpp", "#include <unistd.h>");
    expect_refused(Rule::third_party_out_of_place, "src/dicom/x.cpp", "#include <pango/pangocairo.h>");
    expect_allowed("src/anatomy/x.cpp", "#include <itkImage.h>");
    expect_allowed("src/ingest/x.cpp", "#include <dcmtk/dcmdata/dctk.h>");
}

TEST_F(PlantedLine, third_party_header_in_a_header_is_found) {
    expect_refused(Rule::third_party_in_header, "include/perisclera/anatomy/x.h", "#include <itkImage.h>");
    expect_refused(Rule::third_party_in_header, "src/report/x.h", "#include <nlohmann/json.hpp>");
    expect_refused(Rule::third_party_in_header, "include/perisclera/ingest/x.h", "#include <dcmtk/dcmdata/dctk.h>");
    expect_allowed("include/perisclera/dicom/x.h", "#include <dcmtk/dcmdata/dctk.h>");
}

TEST_F(PlantedLine, unknown_header_is_found) {
    expect_refused(Rule::unknown_include, "src/image/x.cpp", "#include <boost/optional.hpp>");
    expect_refused(Rule::unknown_include, "src/image/x.cpp", "#include <stdio.h>");
    expect_refused(Rule::unknown_include, "src/image/x.cpp", "#include \"perisclera/helpers/x.h\"");
    expect_refused(Rule::unknown_include, "src/image/x.cpp", "#include \"tests/image/x.h\"");
}

TEST_F(PlantedLine, printing_is_found) {
    for (const char* line : {"#include <iostream>", "void f() { std::cout << 1; }", "void f() { std::cerr << 1; }", "void f() { printf(\"x\"); }",
                             "void f() { std::fprintf(stderr, \"x\"); }", "void f() { std::puts(\"x\"); }", "void f() { std::putchar('x'); }"}) {
        expect_refused(Rule::printing, "src/image/x.cpp", line);
        expect_refused(Rule::printing, "phantoms/x.cpp", line);
        expect_refused(Rule::printing, "include/perisclera/core/x.h", line);
        expect_allowed("src/app/x.cpp", line);
    }
}

TEST_F(PlantedLine, looking_at_clock_environment_locale_or_chance_is_found) {
    for (const char* line : {"auto a = std::getenv(\"HOME\");", "auto a = std::chrono::system_clock::now();", "auto a = std::time(nullptr);",
                             "auto a = setlocale(LC_ALL, nullptr);", "std::random_device device;", "int a = rand();", "void f() { std::exit(1); }"}) {
        expect_refused(Rule::hidden_state, "src/report/x.cpp", line);
        expect_allowed("src/app/x.cpp", line);
    }
}

TEST_F(PlantedLine, comments_and_text_are_not_code) {
    expect_allowed("src/image/x.cpp", "// #include <itkFoo.h> and std::cout");
    expect_allowed("src/core/x.cpp", "/* std::cerr\n#include \"perisclera/report/model.h\"\n*/ int a;");
    expect_allowed("src/core/x.cpp", "const char* a = \"printf(1)\"; char b[5]; void f() { std::snprintf(b, 5, \"%d\", 1); }");
    expect_allowed("src/core/x.cpp", "const char* page = R\"css(\n\" std::cout )\" printf(1)\n)css\";");
    expect_refused(Rule::printing, "src/core/x.cpp", "int thousand = 1'000; char quote = '\"'; void f() { std::cout << quote; }");
}

}  // namespace perisclera::layers
