// SPDX-License-Identifier: Apache-2.0
#pragma once
// JPEG 2000 codestreams (ISO/IEC 15444-1) of one grey component. Runs in a decoding child only (see decode.h).
#include <optional>
#include <span>
#include <vector>

namespace perisclera {

struct GreyCodestream {
    int rows = 0, columns = 0;
    bool is_signed = false;
    std::vector<int> values;  ///< row by row
};

/// Nullopt for a stream that is damaged, cut short, larger than `most_rows` by `most_columns` or no grey image.
std::optional<GreyCodestream> decode_jpeg_2000(std::span<const unsigned char> stream, int most_rows, int most_columns);

}  // namespace perisclera
