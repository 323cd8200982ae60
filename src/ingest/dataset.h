// SPDX-License-Identifier: Apache-2.0
#pragma once
// The attributes of a DICOM header, held in memory, read by tag. Keeps the DICOM library in one .cpp file.
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "perisclera/ingest/preflight.h"

namespace perisclera {

struct Tag {
    unsigned short group, element;
    bool operator==(const Tag&) const = default;
};

/// One level of attributes: the data set itself or an item of a sequence. Valid as long as the Dataset it comes from.
class AttributeSet {
public:
    [[nodiscard]] bool has(Tag tag) const;
    /// All values as written, backslash between them, outer spaces removed; empty when absent.
    [[nodiscard]] std::string text(Tag tag) const;
    /// A US or SS value. Nullopt when absent or of another type.
    [[nodiscard]] std::optional<long> short_number(Tag tag) const;
    /// As text(), of the element in the block that a private creator reserved (PS3.5 7.8.1).
    [[nodiscard]] std::string private_text(unsigned short group, std::string_view creator, unsigned char element) const;
    /// The items of a sequence; none when it is absent or no sequence.
    [[nodiscard]] std::vector<AttributeSet> items(Tag sequence) const;

private:
    friend class Dataset;
    using Index = std::vector<std::pair<std::uint32_t, void*>>;  ///< by rising tag
    explicit AttributeSet(void* item, const Index* index = nullptr) : item_(item), index_(index) {}
    [[nodiscard]] void* find(Tag tag) const;
    void* item_;                    ///< the library's
    const Index* index_ = nullptr;  ///< of its elements; null for items of sequences, which are short
};

class Dataset {
public:
    /// From the bytes between a file's meta group and its pixels, which the preflight has passed. Nullopt when the library refuses them.
    static std::optional<Dataset> parse(std::span<const unsigned char> bytes, Encoding encoding);
    Dataset(Dataset&&) noexcept;
    Dataset& operator=(Dataset&&) noexcept;
    ~Dataset();

    [[nodiscard]] AttributeSet top_level() const;
    /// A top-level text as UTF-8 by the file's character set; what cannot be converted becomes '?'.
    [[nodiscard]] std::string utf8(Tag tag) const;

private:
    struct State;
    explicit Dataset(std::unique_ptr<State> state);
    std::unique_ptr<State> state_;
};

}  // namespace perisclera
