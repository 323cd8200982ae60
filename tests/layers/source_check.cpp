// SPDX-License-Identifier: Apache-2.0
#include "source_check.h"

#include <algorithm>
#include <cctype>
#include <fstream>
#include <iterator>
#include <optional>
#include <regex>
#include <set>
#include <sstream>

#include "layer_table.h"

namespace perisclera::layers {

namespace {

namespace fs = std::filesystem;

const Layer* find(std::string_view name) {
    const auto at = std::find_if(table().begin(), table().end(), [&](const Layer& l) { return l.name == name; });
    return at == table().end() ? nullptr : &*at;
}

bool contains(const std::vector<std::string_view>& list, std::string_view name) { return std::find(list.begin(), list.end(), name) != list.end(); }

/// The layer a file or an include path of this project belongs to: include/perisclera/X/, perisclera/X/, src/X/, phantoms/.
std::optional<std::string> layer_of(const std::string& path) {
    static const std::regex in_folder(R"(^(?:include/)?perisclera/([^/]+)/.+|^src/([^/]+)/.+|^(phantoms)/.+)");
    std::smatch m;
    if (!std::regex_match(path, m, in_folder)) return std::nullopt;
    for (std::size_t i = 1; i <= 3; ++i)
        if (m[i].matched) return m[i].str();
    return std::nullopt;
}

std::optional<std::string_view> library_of(std::string_view header) {
    for (const auto& library : libraries)
        if (header.starts_with(library.header_prefix)) return library.name;
    return std::nullopt;
}

/// Headers of the C++ library have neither folder nor suffix.
bool is_standard(std::string_view header) { return header.find_first_of("/.") == std::string_view::npos; }

/// Where the comment or literal that starts at `from` ends, or `from` itself if none starts there.
std::size_t end_of_noise(const std::string& text, std::size_t from) {
    const auto after = [&](std::string_view closing, std::size_t begin) {
        const auto at = text.find(closing, begin);
        return at == std::string::npos ? text.size() : at + closing.size();
    };
    const std::string_view rest = std::string_view(text).substr(from);
    if (rest.starts_with("//")) return std::min(text.find('\n', from), text.size());
    if (rest.starts_with("/*")) return after("*/", from + 2);
    if (rest.starts_with("R\"")) {
        const std::size_t open = text.find('(', from);
        return open == std::string::npos ? text.size() : after(")" + text.substr(from + 2, open - from - 2) + "\"", open);
    }
    const char quote = text[from];
    const bool digit_separator = quote == '\'' && from > 0 && std::isalnum(static_cast<unsigned char>(text[from - 1]));
    if ((quote != '"' && quote != '\'') || digit_separator) return from;
    std::size_t at = from + 1;
    while (at < text.size() && text[at] != quote && text[at] != '\n') at += text[at] == '\\' ? 2 : 1;
    return std::min(at + 1, text.size());
}

/// The text with comments and literals blanked out, line ends kept: words in them are no code.
std::string code_only(std::string text) {
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = end_of_noise(text, at);
        for (std::size_t i = at; i < end; ++i)
            if (text[i] != '\n') text[i] = ' ';
        at = std::max(end, at + 1);
    }
    return text;
}

class FileCheck {
public:
    FileCheck(std::string file, std::string layer, std::vector<Finding>& findings)
        : file_(std::move(file)), layer_(std::move(layer)), is_header_(file_.ends_with(".h")), findings_(findings) {}

    void include(int line, bool angled, const std::string& header) {
        if (const auto target = angled ? std::nullopt : layer_of(header)) {
            if (!find(*target)) add(Rule::unknown_include, line, header);
            else if (!may_include(layer_, *target)) add(Rule::include_runs_back, line, header);
        } else if (const auto library = library_of(header)) {
            const Layer* layer = find(layer_);
            if (!layer || !contains(layer->libraries, *library)) add(Rule::third_party_out_of_place, line, header);
            else if (is_header_ && !(layer_ == layer_with_dcmtk_in_headers && *library == "DCMTK")) add(Rule::third_party_in_header, line, header);
        } else if (angled ? !is_standard(header) : header.find('/') != std::string::npos) {
            add(Rule::unknown_include, line, header);  // a plain quoted name lies in the file's own folder
        } else if (header == "iostream" && layer_ != layer_that_talks) {
            add(Rule::printing, line, header);
        }
    }

    void words(int line, const std::string& code) {
        if (layer_ == layer_that_talks) return;
        static const std::regex prints(
            R"(\bstd::(?:cout|cerr|clog|print|println)\b|\bv?printf\s*\(|\bv?fprintf\s*\(\s*(?:stdout|stderr)\b|\bf?put(?:s|c|char)\s*\(|\bperror\s*\()");
        static const std::regex hidden(
            R"(\bgetenv\s*\(|\bsystem_clock\b|\bstd::time\s*\(|\bgettimeofday\s*\(|\bclock_gettime\s*\(|\bsetlocale\s*\(|\bstd::locale\s*\(|\brandom_device\b|\b(?:std::)?s?rand\s*\(|\bstd::(?:exit|quick_exit|_Exit)\s*\()");
        std::smatch m;
        if (std::regex_search(code, m, prints)) add(Rule::printing, line, m.str());
        if (std::regex_search(code, m, hidden)) add(Rule::hidden_state, line, m.str());
    }

private:
    void add(Rule rule, int line, const std::string& text) { findings_.push_back({rule, file_, line, text}); }
    std::string file_, layer_;
    bool is_header_;
    std::vector<Finding>& findings_;
};

void check_file(const fs::path& tree, const fs::path& path, std::vector<Finding>& findings) {
    const std::string file = path.lexically_relative(tree).generic_string();
    std::ifstream stream(path);
    const std::string text{std::istreambuf_iterator<char>(stream), {}};
    FileCheck check(file, layer_of(file).value_or(""), findings);

    static const std::regex include_line(R"(^\s*#\s*include\s*([<"])([^>"]+)[>"])");
    std::istringstream raw(text), code(code_only(text));
    std::string raw_line, code_line;
    for (int line = 1; std::getline(raw, raw_line); ++line) {
        std::getline(code, code_line);
        std::smatch m;
        // The directive must be code, its name stands in what counts as a literal.
        if (code_line.find('#') != std::string::npos && std::regex_search(raw_line, m, include_line)) check.include(line, m[1] == "<", m[2]);
        else check.words(line, code_line);
    }
}

}  // namespace

bool may_include(std::string_view from, std::string_view to) {
    if (from == to) return true;
    const Layer* layer = find(from);
    return layer && std::any_of(layer->needs.begin(), layer->needs.end(), [&](std::string_view need) { return may_include(need, to); });
}

std::vector<Finding> check_tree(const fs::path& tree, int& files_read) {
    std::set<fs::path> files;
    for (const char* folder : {"include", "src", "phantoms"}) {
        if (!fs::is_directory(tree / folder)) continue;
        for (const auto& entry : fs::recursive_directory_iterator(tree / folder))
            if (entry.path().extension() == ".h" || entry.path().extension() == ".cpp") files.insert(entry.path());
    }
    std::vector<Finding> findings;
    for (const auto& file : files) check_file(tree, file, findings);
    files_read = static_cast<int>(files.size());
    return findings;
}

}  // namespace perisclera::layers
