// SPDX-License-Identifier: Apache-2.0
#include "element_header.h"

#include <algorithm>

namespace perisclera {

namespace {

/// Attributes without which nothing is measured, as PS3.6 types them.
struct NeededType {
    std::uint32_t tag;
    std::string_view vr;
};
constexpr std::array needed_types{
    NeededType{0x00080016, "UI"}, NeededType{0x00080018, "UI"}, NeededType{0x0020000D, "UI"}, NeededType{0x0020000E, "UI"}, NeededType{0x00200032, "DS"},
    NeededType{0x00200037, "DS"}, NeededType{0x00280002, "US"}, NeededType{0x00280004, "CS"}, NeededType{0x00280008, "IS"}, NeededType{0x00280010, "US"},
    NeededType{0x00280011, "US"}, NeededType{0x00280030, "DS"}, NeededType{0x00280100, "US"}, NeededType{0x00280101, "US"}, NeededType{0x00280102, "US"},
    NeededType{0x00280103, "US"}, NeededType{0x00281052, "DS"}, NeededType{0x00281053, "DS"},
};

}  // namespace

bool has_long_header(std::string_view vr) {
    for (const std::string_view short_vr :
         {"AE", "AS", "AT", "CS", "DA", "DS", "DT", "FL", "FD", "IS", "LO", "LT", "PN", "SH", "SL", "SS", "ST", "TM", "UI", "UL", "US"})
        if (vr == short_vr) return false;
    return vr[0] >= 'A' && vr[0] <= 'Z' && vr[1] >= 'A' && vr[1] <= 'Z';
}

bool has_small_letters(std::string_view vr) {
    return std::any_of(vr.begin(), vr.end(), [](char c) { return c >= 'a' && c <= 'z'; });
}

bool states_wrong_type(const ElementHeader& header) {
    const auto needed = std::find_if(needed_types.begin(), needed_types.end(), [&](const NeededType& n) { return n.tag == header.tag; });
    return needed != needed_types.end() && (header.vr_text() != needed->vr || (needed->vr == "US" && header.length % 2 != 0));
}

}  // namespace perisclera
