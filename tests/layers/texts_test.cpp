// SPDX-License-Identifier: Apache-2.0
// What people read stands in src/core/texts/english.txt and nowhere else, and each check that says so is itself shown to fail on a wrong line.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <set>

#include "project_files.h"
#include "text_check.h"

namespace perisclera::layers {

namespace fs = std::filesystem;

struct File {
    std::string name;   ///< from the project's root
    Language language;
    Source source;
};

/// Every file of code in these folders.
std::vector<File> files_in(const std::vector<std::string>& folders) {
    std::vector<File> files;
    for (const std::string& folder : folders)
        for (const auto& entry : fs::recursive_directory_iterator(perisclera::source / folder)) {
            const fs::path kind = entry.path().extension();
            if (kind != ".h" && kind != ".cpp" && kind != ".js") continue;
            const Language language = kind == ".js" ? Language::javascript : Language::cpp;
            files.push_back({fs::relative(entry.path(), perisclera::source).string(), language, read_source(content(entry.path()), language)});
        }
    return files;
}

const std::string& catalogue_file() {
    static const std::string file = content(perisclera::source / "src" / "core" / "texts" / "english.txt");
    return file;
}

void expect_none(const std::string& file, const Faults& faults, const std::string& what) {
    for (const std::string& fault : faults) ADD_FAILURE() << file << " " << what << ": " << fault;
}

/// Its texts with a dot are members of report.json.
constexpr std::string_view names_members = "src/report/private_codes.h";

/// Words that are no prose of a report: one literal of a file, or all of them.
struct Allowed {
    std::string_view file, literal, why;
};
constexpr std::array allowed{
    Allowed{"src/report/codes.h", "", "what the codes of the standards mean, in the standards' words"},
    Allowed{"src/report/private_codes.h", "", "what our own codes mean, which docs/conformance.md lists"},
    Allowed{"src/report/filed_object.h", "perisclera device observer", "a UID is made of it"},
    Allowed{"src/assemble/survey.cpp", "", "the table that survey prints on the terminal; its reasons and problems come from the catalogue"},
    Allowed{"src/register/schema.cpp", "", "tables, in the language of databases"},
    Allowed{"src/register/statements.h", "", "statements in the language of databases"},
    Allowed{"src/report/examination.cpp", "", "errors in an examiner's file, told on the terminal"},
    Allowed{"include/perisclera/anatomy/recti.h", "not looked at", "a default that the reading of each series replaces"},
    Allowed{"include/perisclera/teaching/confidentiality_table.h", "and private attributes, curves and overlays by group", "names the edition of a table of the standard"},
    Allowed{"src/report/page/scene.js", "one minus src alpha", "the drawing library's name of a way to blend"},
};
bool covers(const Allowed& a, const std::string& file, const std::string& fault) { return a.file == file && fault.ends_with(a.literal); }

TEST(Texts, the_catalogue_is_well_formed_and_no_key_stands_twice) {
    expect_none("english.txt", faults_of_catalogue(catalogue_file()), "is wrong");
    EXPECT_GT(texts_of(catalogue_file()).size(), 100u) << "the catalogue was not found";
}

TEST(Texts, every_key_in_code_has_a_text) {
    const Catalogue texts = texts_of(catalogue_file());
    for (const File& file : files_in({"include", "src"}))
        if (file.name != names_members) expect_none(file.name, keys_without_text(file.source, texts), "names a text that the catalogue lacks");
}

TEST(Texts, every_text_is_used) {
    const Catalogue texts = texts_of(catalogue_file());
    std::set<std::string> used;
    for (const File& file : files_in({"include", "src"})) used.merge(keys_used(file.source, texts));
    for (const auto& [key, text] : texts) EXPECT_TRUE(used.contains(key)) << key << " is used nowhere";
}

TEST(Texts, calls_give_the_names_that_the_text_holds) {
    const Catalogue texts = texts_of(catalogue_file());
    for (const File& file : files_in({"include", "src"}))
        if (file.language == Language::cpp) expect_none(file.name, names_that_differ(file.source, texts), "gives other names than the text holds");
}

/// Stages whose words a report repeats; the others speak to the terminal alone.
std::vector<std::string> speaking_stages() {
    std::vector<std::string> folders;
    for (const char* stage : {"physics", "assemble", "anatomy", "alignment", "segmentation", "measurement", "material", "timeline", "register", "report", "pipeline", "teaching"})
        for (const char* root : {"include/perisclera/", "src/"}) folders.push_back(std::string(root) + stage);
    return folders;
}

TEST(Texts, no_prose_stands_in_the_code_of_stages_that_a_report_repeats) {
    std::set<std::string_view> needed;
    for (const File& file : files_in(speaking_stages()))
        for (const std::string& fault : prose_in(file.source)) {
            const auto pass = std::find_if(allowed.begin(), allowed.end(), [&](const Allowed& a) { return covers(a, file.name, fault); });
            if (pass == allowed.end()) ADD_FAILURE() << file.name << " holds what belongs in the catalogue: " << fault;
            else needed.insert(pass->why);
        }
    for (const Allowed& a : allowed) EXPECT_TRUE(needed.contains(a.why)) << a.file << " is allowed what it does not hold";
}

// Planted lines: what each check has to find, and what it has to let pass.

const std::string planted_catalogue = "# Notes.\npart.plain = Nothing to fill in.\npart.filled = {first} before {second}.\npart.also_filled = after {second}, {first}\n";

TEST(PlantedText, wrong_lines_of_the_catalogue_are_found) {
    EXPECT_TRUE(faults_of_catalogue(planted_catalogue).empty());
    for (const char* line : {"part.plain = stands twice", "part.no_text = ", "part.no_text", "part = no dot", "Part.capital = x", "part.two words = x", "part.early =  blank before", "part.late = blank after ",
                             "part.markup = in <strong>letters</strong>", "part.entity = a &amp; b", "part.brace = {open", "part.brace = {}", "part.brace = {Two words}", " part.indented = x", "#no blank"})
        EXPECT_EQ(faults_of_catalogue(planted_catalogue + line + "\n").size(), 1u) << line;
}

std::size_t without_text(const std::string& code) { return keys_without_text(read_source(code, Language::cpp), texts_of(planted_catalogue)).size(); }

TEST(PlantedText, key_without_a_text_is_found_also_where_it_is_chosen) {
    EXPECT_EQ(without_text("f(say(\"part.missing\"));"), 1u);
    EXPECT_EQ(without_text("f(say(\"other.missing\"));"), 1u);
    EXPECT_EQ(without_text("f(say(\"no key at all\"));"), 1u);
    EXPECT_EQ(without_text("f(say(a ? \"part.plain\" : \"part.missing\"));"), 1u);
    EXPECT_EQ(without_text("constexpr std::array keys{\"part.plain\", \"part.missing\"};"), 1u);
    EXPECT_EQ(without_text("f(say(\"part.plain\")); // say(\"part.missing\")\n/* \"part.missing\" */ #\n"), 0u);
    EXPECT_EQ(without_text("write(\"part.json\"); write(\"elsewhere.missing\");"), 0u);
}

TEST(PlantedText, key_is_used_where_it_stands_as_a_literal) {
    const Catalogue texts = texts_of(planted_catalogue);
    EXPECT_EQ(keys_used(read_source("x = say(a ? \"part.plain\"\n : b);", Language::cpp), texts), std::set<std::string>{"part.plain"});
    EXPECT_EQ(keys_used(read_source("show('part.plain', `part.filled`)", Language::javascript), texts), (std::set<std::string>{"part.plain", "part.filled"}));
    EXPECT_TRUE(keys_used(read_source("// \"part.plain\"\n", Language::cpp), texts).empty());
}

std::size_t differing(const std::string& code) { return names_that_differ(read_source(code, Language::cpp), texts_of(planted_catalogue)).size(); }

TEST(PlantedText, names_other_than_those_of_the_text_are_found) {
    EXPECT_EQ(differing("say(\"part.filled\", {{\"second\", f({1, 2})}, {\"first\", say(\"part.plain\")}})"), 0u);
    EXPECT_EQ(differing("say(a ? \"part.filled\" : \"part.also_filled\",\n    {{\"first\", x},\n     {\"second\", y}})"), 0u);
    EXPECT_EQ(differing("say(\"part.plain\")"), 0u);
    EXPECT_EQ(differing("say(\"part.filled\")"), 1u);
    EXPECT_EQ(differing("say(\"part.filled\", {{\"first\", x}})"), 1u);
    EXPECT_EQ(differing("say(\"part.filled\", {{\"first\", x}, {\"secnod\", y}})"), 1u);
    EXPECT_EQ(differing("say(\"part.filled\", {{\"first\", x}, {\"second\", y}, {\"third\", z}})"), 1u);
    EXPECT_EQ(differing("say(\"part.plain\", {{\"first\", x}})"), 1u);
    EXPECT_EQ(differing("say(a ? \"part.plain\" : \"part.filled\", {{\"first\", x}, {\"second\", y}})"), 1u);
    EXPECT_EQ(differing("say(\"part.filled\", {{\"first\", say(\"part.also_filled\")}, {\"second\", y}})"), 1u);
}

std::size_t prose(const std::string& code, Language language = Language::cpp) { return prose_in(read_source(code, language)).size(); }

TEST(PlantedText, prose_in_code_is_found) {
    EXPECT_EQ(prose("x = \"no globe was found\";"), 1u);
    EXPECT_EQ(prose("x = \"Volume of the largest \" \"section\";"), 1u);
    EXPECT_EQ(prose("x = \"<p class=\\\"note\\\">A reading speaks for a material</p>\";"), 1u);
    EXPECT_EQ(prose("x = \"\\\" title=\\\"x\\\">what the images show</p>\";"), 1u);
    EXPECT_EQ(prose("x = R\"(one of these words)\";"), 1u);
    EXPECT_EQ(prose("return Unmeasured{\"the patient's eye is not shown\"};"), 1u);
    EXPECT_EQ(prose("warnings.push_back({ErrorCode::no_globe, \"no globe was found\", where});"), 1u);
    EXPECT_EQ(prose("label.textContent = 'turn the wheel here'; b = `and so on ${x}`", Language::javascript), 2u);
    EXPECT_EQ(prose("const int n = 1'000; x = \"no globe was found\";"), 1u);
}

TEST(PlantedText, what_is_no_prose_passes) {
    EXPECT_EQ(prose("// no globe was found\n/* no globe was found */\n#error no \"globe was found here\"\n"), 0u);
    EXPECT_EQ(prose("return Error{ErrorCode::bad_value, \"is refused by the library\", where(\"of the file\"), \"export this file again\"};"), 0u);
    EXPECT_EQ(prose("own(\"one of the sections\"); uid_from(\"frame of reference of \" + uid);"), 0u);
    EXPECT_EQ(prose("x = \"<table class=\\\"wide and plain ones\\\" role=\\\"table\\\">\";"), 0u);
    EXPECT_EQ(prose("s = `void main() { vec3 p = turn * place; light = p.x; }`", Language::javascript), 0u);
    EXPECT_EQ(prose("x = R\"(td { margin: 0 auto; font: inherit; } .note, li { break-inside: avoid; })\";"), 0u);
    EXPECT_EQ(prose("x = \"M 0 0 L 1 1 z\"; y = \"superior rectus\"; z = \"font-size:10px; line-height:1\";"), 0u);
}

}  // namespace perisclera::layers
