// SPDX-License-Identifier: Apache-2.0
#include "fragments.h"

#include <algorithm>
#include <array>

namespace perisclera {

namespace {

constexpr std::uint64_t item_header_bytes = 8;

std::uint32_t little_endian(const unsigned char* bytes) {
    return static_cast<std::uint32_t>(bytes[0]) | static_cast<std::uint32_t>(bytes[1]) << 8 | static_cast<std::uint32_t>(bytes[2]) << 16 |
           static_cast<std::uint32_t>(bytes[3]) << 24;
}

/// All items, the offset table first.
std::optional<std::vector<Fragment>> read_items(InputFile& file, const FileLayout& layout) {
    std::vector<Fragment> items;
    const std::uint64_t end = layout.pixel_offset + layout.pixel_bytes;
    for (std::uint64_t at = layout.pixel_offset; at + item_header_bytes <= end;) {
        std::array<unsigned char, item_header_bytes> header{};
        if (!file.read(at, header)) return std::nullopt;
        constexpr std::array<unsigned char, 4> item_tag{0xFE, 0xFF, 0x00, 0xE0};
        if (!std::equal(item_tag.begin(), item_tag.end(), header.begin())) break;  // the sequence's delimiter
        items.push_back({at + item_header_bytes, little_endian(header.data() + 4)});
        at = items.back().offset + items.back().length;
        if (at > end) return std::nullopt;
    }
    if (items.empty()) return std::nullopt;
    return items;
}

std::optional<std::vector<std::uint64_t>> read_offset_table(InputFile& file, const Fragment& table) {
    std::vector<unsigned char> bytes(table.length);
    if (!file.read(table.offset, bytes)) return std::nullopt;
    std::vector<std::uint64_t> offsets;
    for (std::size_t i = 0; i + 4 <= bytes.size(); i += 4) offsets.push_back(little_endian(bytes.data() + i));
    return offsets;
}

}  // namespace

std::optional<std::vector<std::vector<Fragment>>> fragments_of_frames(InputFile& file, const FileLayout& layout, int frames) {
    const auto items = read_items(file, layout);
    if (!items || items->size() < 2) return std::nullopt;
    const std::vector<Fragment> fragments(items->begin() + 1, items->end());
    std::vector<std::vector<Fragment>> result;
    if (frames == 1) {
        result.push_back(fragments);
        return result;
    }

    const auto table = read_offset_table(file, items->front());
    if (!table) return std::nullopt;
    if (table->empty()) {
        if (fragments.size() != static_cast<std::size_t>(frames)) return std::nullopt;
        for (const Fragment& fragment : fragments) result.push_back({fragment});
        return result;
    }
    // Offsets count from the first item after the table to the item in which a frame begins.
    const std::uint64_t origin = fragments.front().offset;
    for (const Fragment& fragment : fragments) {
        if (result.size() < table->size() && fragment.offset - origin == (*table)[result.size()]) result.emplace_back();
        if (result.empty()) return std::nullopt;
        result.back().push_back(fragment);
    }
    if (table->size() != static_cast<std::size_t>(frames) || result.size() != table->size()) return std::nullopt;
    return result;
}

}  // namespace perisclera
