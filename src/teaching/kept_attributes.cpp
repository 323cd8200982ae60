// SPDX-License-Identifier: Apache-2.0
#include "perisclera/teaching/kept_attributes.h"

#include <algorithm>
#include <iterator>

namespace perisclera::teaching {

namespace {

constexpr std::string_view uid = "kept.one_map", date = "kept.dates_moved",
                           needed = "kept.asked_for", scan = "kept.how_made",
                           place = "kept.where_pixels_lie", pixels = "kept.describes_pixels", told = "kept.says_what_was_done";

constexpr KeptAttribute attributes[] = {
    {0x00080008, Origin::replaced, "kept.derived"},
    {0x00080016, Origin::kept, "kept.kind_of_object"},
    {0x00080018, Origin::replaced, uid},
    {0x00080020, Origin::replaced, date},
    {0x00080021, Origin::replaced, date},
    {0x00080022, Origin::replaced, date},
    {0x00080023, Origin::replaced, date},
    {0x00080030, Origin::emptied, needed},
    {0x00080050, Origin::emptied, needed},
    {0x00080060, Origin::kept, "kept.kind_of_image"},
    {0x00080070, Origin::emptied, needed},
    {0x00080090, Origin::emptied, needed},
    {0x0008103E, Origin::replaced, "kept.role_in_words"},
    {0x00082111, Origin::replaced, "kept.says_cut_down"},
    {0x00100010, Origin::replaced, "kept.pseudonym"},
    {0x00100020, Origin::replaced, "kept.pseudonym"},
    {0x00100030, Origin::emptied, needed},
    {0x00100040, Origin::emptied, needed},
    {0x00120062, Origin::added, told},
    {0x00120063, Origin::added, told},
    {0x00120064, Origin::added, told},
    {0x00180010, Origin::replaced, "kept.agent_given"},
    {0x00180015, Origin::replaced, "kept.part_left"},
    {0x00180020, Origin::kept, scan},
    {0x00180021, Origin::kept, scan},
    {0x00180022, Origin::kept, scan},
    {0x00180023, Origin::kept, scan},
    {0x00180050, Origin::kept, scan},
    {0x00180060, Origin::kept, scan},
    {0x00180080, Origin::kept, scan},
    {0x00180081, Origin::kept, scan},
    {0x00180082, Origin::kept, scan},
    {0x00180087, Origin::kept, scan},
    {0x00180088, Origin::replaced, "kept.slice_distance"},
    {0x00180091, Origin::kept, scan},
    {0x00181210, Origin::replaced, "kept.kernel"},
    {0x00181314, Origin::kept, scan},
    {0x00185100, Origin::kept, "kept.way_down"},
    {0x0020000D, Origin::replaced, uid},
    {0x0020000E, Origin::replaced, uid},
    {0x00200010, Origin::emptied, needed},
    {0x00200011, Origin::replaced, "kept.counted_anew"},
    {0x00200012, Origin::emptied, needed},
    {0x00200013, Origin::replaced, "kept.counted_anew"},
    {0x00200032, Origin::replaced, place},
    {0x00200037, Origin::kept, place},
    {0x00200052, Origin::replaced, uid},
    {0x00200060, Origin::kept, "kept.side"},
    {0x00201040, Origin::emptied, needed},
    {0x00280002, Origin::kept, pixels},
    {0x00280004, Origin::replaced, pixels},
    {0x00280010, Origin::replaced, place},
    {0x00280011, Origin::replaced, place},
    {0x00280030, Origin::kept, place},
    {0x00280100, Origin::replaced, pixels},
    {0x00280101, Origin::replaced, pixels},
    {0x00280102, Origin::replaced, pixels},
    {0x00280103, Origin::kept, pixels},
    {0x00280301, Origin::added, told},
    {0x00280302, Origin::added, told},
    {0x00280303, Origin::added, told},
    {0x00281052, Origin::kept, pixels},
    {0x00281053, Origin::kept, pixels},
    {0x00281054, Origin::replaced, pixels},
    {0x7FE00010, Origin::replaced, "kept.pixels"},
};

}  // namespace

std::span<const KeptAttribute> kept_attributes() { return attributes; }

const KeptAttribute* kept_attribute(std::uint16_t group, std::uint16_t element) {
    const std::uint32_t tag = static_cast<std::uint32_t>(group) << 16 | element;
    const auto* const found = std::lower_bound(std::begin(attributes), std::end(attributes), tag, [](const KeptAttribute& a, std::uint32_t wanted) { return a.tag < wanted; });
    return found != std::end(attributes) && found->tag == tag ? found : nullptr;
}

}  // namespace perisclera::teaching
