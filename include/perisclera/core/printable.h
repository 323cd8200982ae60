// SPDX-License-Identifier: Apache-2.0
#pragma once
// Text from outside made safe to show on a terminal and to put into a one-line message or into JSON.
// Control characters (C0, DEL, C1), line and paragraph separators, marks that change the direction of text, and bytes that are not
// UTF-8 (RFC 3629) become \xNN, byte by byte; everything else stays. The result is always valid UTF-8 on one line.
#include <string>
#include <string_view>

namespace perisclera {

std::string printable(std::string_view text);

}  // namespace perisclera
