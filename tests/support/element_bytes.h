// SPDX-License-Identifier: Apache-2.0
#pragma once
// DICOM elements byte by byte after PS3.5 chapter 7 and PS3.10 7.1, for files that no library would write.
#include <string>

namespace perisclera::test {

inline std::string little(unsigned long value, int bytes) {
    std::string text;
    for (int i = 0; i < bytes; ++i) text += static_cast<char>(value >> (8 * i) & 0xFF);
    return text;
}

inline std::string tag(unsigned group, unsigned element) { return little(group, 2) + little(element, 2); }

inline std::string short_element(unsigned group, unsigned element, const std::string& vr, const std::string& value) {
    return tag(group, element) + vr + little(value.size(), 2) + value;
}

inline std::string long_header(unsigned group, unsigned element, const std::string& vr, unsigned long length) {
    return tag(group, element) + vr + little(0, 2) + little(length, 4);
}

inline constexpr unsigned long undefined_length = 0xFFFFFFFFUL;
inline const std::string item = tag(0xFFFE, 0xE000), item_end = tag(0xFFFE, 0xE00D) + little(0, 4), sequence_end = tag(0xFFFE, 0xE0DD) + little(0, 4);

}  // namespace perisclera::test
