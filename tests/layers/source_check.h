// SPDX-License-Identifier: Apache-2.0
#pragma once
// Reads the C++ sources of a tree laid out like this project (include/perisclera/<layer>, src/<layer>, phantoms) and lists
// every line that breaks the layer table: includes that run back, third-party headers out of place, printing, hidden state.
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace perisclera::layers {

enum class Rule { include_runs_back, unknown_include, third_party_out_of_place, third_party_in_header, printing, hidden_state };

struct Finding {
    Rule rule;
    std::string file;   ///< relative to the tree
    int line;
    std::string text;   ///< the offending include or word
};

/// All findings, ordered by file and line. `files_read` receives how many files were looked at.
std::vector<Finding> check_tree(const std::filesystem::path& tree, int& files_read);

/// May a layer include another, directly or through what it needs? Itself, too.
bool may_include(std::string_view from, std::string_view to);

}  // namespace perisclera::layers
