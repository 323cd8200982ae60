// SPDX-License-Identifier: Apache-2.0
#pragma once
// The transfer syntaxes of PS3.6 annex A that may turn up, with what this program does about each.
#include <optional>
#include <string_view>

#include "perisclera/ingest/preflight.h"

namespace perisclera {

/// Who turns the pixels into numbers.
enum class PixelCodec { none_needed, dicom_library, jpeg_2000, not_read };

/// Does the syntax alter values? "Possible": the image itself has to say.
enum class Loss { never, possible, always };

struct TransferSyntax {
    std::string_view uid;
    std::string_view in_words;
    Encoding encoding;
    PixelCodec codec;
    Loss loss = Loss::never;
    bool deflated = false;  ///< the whole data set is
};

/// Null for a syntax not in the list.
const TransferSyntax* find_transfer_syntax(std::string_view uid);

/// The UID of the plain syntax in which the data set before the pixels is held: where these are encapsulated, explicit little endian (PS3.5 A.4).
std::string_view header_syntax(Encoding encoding);

}  // namespace perisclera
