// SPDX-License-Identifier: Apache-2.0
#pragma once
// The transfer syntaxes of PS3.6 annex A that may turn up, with what this program does about each.
#include <optional>
#include <string_view>

#include "perisclera/ingest/preflight.h"

namespace perisclera {

struct TransferSyntax {
    std::string_view uid;
    std::string_view in_words;
    Encoding encoding;
    bool readable;  ///< are its pixels read
    bool deflated = false;
};

/// Null for a syntax not in the list.
const TransferSyntax* find_transfer_syntax(std::string_view uid);

}  // namespace perisclera
