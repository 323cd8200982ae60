// SPDX-License-Identifier: Apache-2.0
#include "tests/bad_input/bad_input.h"

#include <algorithm>
#include <regex>

#include "tests/support/small_phantom.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

std::vector<BadInputRow>& rows() {
    static std::vector<BadInputRow> all;
    return all;
}

std::set<std::string> words(const std::string& list) {
    std::set<std::string> found;
    const std::regex separator(", ");
    std::copy_if(std::sregex_token_iterator(list.begin(), list.end(), separator, -1), std::sregex_token_iterator(), std::inserter(found, found.end()),
                 [](const std::string& word) { return !word.empty(); });
    return found;
}

/// Files that were refused alone, with their codes: given together, beside a whole patient, when all tests are done.
std::vector<std::pair<std::string, std::string>>& refused_files() {
    static std::vector<std::pair<std::string, std::string>> all;
    return all;
}

class AllTogether : public ::testing::Environment {
public:
    void TearDown() override {
        if (refused_files().empty()) return;
        const TestFolder folder;
        fs::copy(small_phantom(), folder.path() / "in", fs::copy_options::recursive);
        for (std::size_t i = 0; i < refused_files().size(); ++i) write_bytes(folder.path() / "in" / ("bad" + std::to_string(i) + ".dcm"), refused_files()[i].first);
        const auto before = contents_of(folder.path() / "in");
        const Ended ended = run_child({PERISCLERA_PROGRAM, "identify", (folder.path() / "in").string(), "--out", (folder.path() / "out").string(), "--quiet"});
        EXPECT_EQ(ended.status, 0) << "a patient whose series are whole is measured whatever lies beside them: " << ended.error_text;
        EXPECT_EQ(contents_of(folder.path() / "in"), before);
        ASSERT_TRUE(fs::exists(folder.path() / "out" / "report.json"));
        const auto report = nlohmann::json::parse(read_bytes(folder.path() / "out" / "report.json"));
        std::set<std::string> told;
        for (const auto& warning : report["warnings"]) told.insert(warning["code"]);
        for (const auto& [bytes, code] : refused_files()) EXPECT_TRUE(told.contains(code)) << code;
    }
};

[[maybe_unused]] const auto* const all_together = ::testing::AddGlobalTestEnvironment(new AllTogether);

}  // namespace

CasePage case_page() {
    return {"bad_inputs.md",
            "# Bad inputs\n\n"
            "What happens to input that is damaged, contradicts itself or is not what it seems. Each row is a test of the same name in `tests/bad_input`, which makes\n"
            "the input and gives it to the built program; the codes and exit statuses are those the test meets. Exit status 3 leaves nothing written; inputs are never\n"
            "changed. A *file* that is refused costs only itself while its series stays whole: then the run goes on, exit status 0, with the code as a warning.\n"
            "This page is written by `bad_input_tests --table docs/bad_inputs.md`, and a test holds it against the tests.\n",
            "input | what happens | code | exit status", 45};
}

bool list_row(BadInputRow row) {
    list_case({row.number, row.name, row.input + " | " + row.outcome + " | " + (row.codes.empty() ? "none" : row.codes) + " | " + row.statuses});
    rows().push_back(std::move(row));
    return true;
}

std::vector<DicomSlice> ct_series(int count) {
    DicomSlice prototype;
    prototype.rows = prototype.columns = 32;
    prototype.text[{0x0010, 0x0010}] = planted_name;
    return series_of(count, {0, 0, 0}, {0, 0, 1}, prototype);
}

std::string bytes_of(const DicomSlice& slice) {
    const TestFolder folder;
    write_slice(folder.path() / "slice", slice);
    return read_bytes(folder.path() / "slice");
}

std::string with_elements(const DicomSlice& slice, const std::string& elements) {
    std::string bytes = bytes_of(slice);
    return bytes.insert(bytes.find(std::string("\xe0\x7f\x10\x00OW", 6)), elements);
}

void BadInput::SetUp() { fs::create_directories(in()); }

void BadInput::TearDown() {
    const std::string name = ::testing::UnitTest::GetInstance()->current_test_info()->name();
    const auto row = std::find_if(rows().begin(), rows().end(), [&](const BadInputRow& r) { return r.name == name; });
    ASSERT_NE(row, rows().end());
    EXPECT_EQ(codes_, words(row->codes)) << "the codes met are not those that the row states";
    EXPECT_EQ(statuses_, words(row->statuses)) << "the exit statuses met are not those that the row states";
}

void BadInput::clear() const {
    fs::remove_all(in());
    fs::create_directories(in());
}

void BadInput::give_phantom() const {
    fs::remove_all(in());
    fs::copy(small_phantom(), in(), fs::copy_options::recursive);
}

Told BadInput::run(const std::vector<std::string>& arguments) const {
    const auto inputs = [&] {
        auto contents = contents_of(folder());
        std::erase_if(contents, [&](const auto& file) { return file.first.string().starts_with(out().string() + "/"); });
        return contents;
    };
    const auto before = inputs();
    Told told{run_child(arguments), {}, {}, {}, {}};
    EXPECT_TRUE(inputs() == before) << "inputs are left alone and nothing is written beside the output folder";
    EXPECT_EQ((told.ended.output_text + told.ended.error_text).find("Zyxwvut"), std::string::npos);
    std::smatch found;
    if (std::regex_search(told.ended.error_text, found, std::regex(R"(error\[([A-Z0-9_]+)\])"))) told.code = found[1];
    const bool reported = fs::exists(out() / "report.json");
    if (reported || (!told.ended.output_text.empty() && told.ended.output_text.front() == '{'))
        told.json = nlohmann::json::parse(reported ? read_bytes(out() / "report.json") : told.ended.output_text);
    if (told.json.contains("warnings"))
        for (const auto& warning : told.json["warnings"]) told.warnings.insert(warning["code"]);
    const auto add_problems = [&](const nlohmann::json& dates) {
        for (const auto& date : dates)
            for (const auto& series : date["series"])
                for (const auto& problem : series["problems"]) told.problems += problem.get<std::string>() + "\n";
    };
    if (told.json.contains("timepoints")) add_problems(told.json["timepoints"]);
    if (told.json.contains("patients"))
        for (const auto& patient : told.json["patients"]) add_problems(patient["studies"]);
    return told;
}

Told BadInput::survey() const {
    fs::remove_all(out());
    return run({PERISCLERA_PROGRAM, "survey", in().string(), "--json"});
}

Told BadInput::identify(const std::vector<std::string>& more) const {
    fs::remove_all(out());
    std::vector<std::string> arguments{PERISCLERA_PROGRAM, "identify", in().string(), "--out", out().string(), "--quiet"};
    arguments.insert(arguments.end(), more.begin(), more.end());
    return run(arguments);
}

void BadInput::met(const std::string& code, int status) {
    if (!code.empty()) codes_.insert(code);
    statuses_.insert(std::to_string(status));
}

void BadInput::expect_refused(const Told& told, const std::string& code, int status) {
    met(code, status);
    EXPECT_EQ(told.ended.status, status);
    EXPECT_TRUE(std::regex_match(told.ended.error_text, std::regex("error\\[" + code + "\\] [^\n:]+: [^\n:]+: [^\n]+\n"))) << code << " expected: " << told.ended.error_text;
    EXPECT_EQ(told.ended.output_text, "");
    EXPECT_FALSE(fs::exists(out())) << "nothing is written";
}

void BadInput::expect_warned(const Told& told, const std::string& code, int status) {
    met(code, status);
    EXPECT_EQ(told.ended.status, status) << told.ended.error_text;
    EXPECT_TRUE(told.warnings.contains(code)) << code << " expected: " << told.json["warnings"].dump();
}

void BadInput::expect_read(const Told& told, int status) {
    met({}, status);
    EXPECT_EQ(told.ended.status, status) << told.ended.error_text;
}

void BadInput::expect_file_refused(const std::string& bytes, const std::string& code) {
    clear();
    write_bytes(in() / "image.dcm", bytes);
    expect_refused(survey(), code);
    write_series(in(), ct_series(5));
    const Told beside = survey();
    expect_warned(beside, code);
    EXPECT_NE(beside.json["warnings"].dump().find("file 6 of 6"), std::string::npos) << "the file is named by its number";
    EXPECT_NE(beside.json["patients"].dump().find("\"used\":true"), std::string::npos) << "the series beside it is read";
    refused_files().emplace_back(bytes, code);
}

void BadInput::expect_series_refused(const std::vector<DicomSlice>& slices, const std::string& code) {
    clear();
    write_series(in(), slices);
    expect_refused(identify(), code);
}

}  // namespace perisclera::test
