// SPDX-License-Identifier: Apache-2.0
#include "dataset.h"

#include <dcmtk/config/osconfig.h>
// osconfig.h comes first by the library's rule.
#include <dcmtk/dcmdata/dcbytstr.h>
#include <dcmtk/dcmdata/dcdatset.h>
#include <dcmtk/dcmdata/dcelem.h>
#include <dcmtk/dcmdata/dcistrmb.h>
#include <dcmtk/dcmdata/dcitem.h>
#include <dcmtk/dcmdata/dcsequen.h>
#include <dcmtk/dcmdata/dcspchrs.h>

#include <algorithm>

#include "dicom_library.h"
#include "perisclera/ingest/dicom_values.h"
#include "transfer_syntax.h"

namespace perisclera {

struct Dataset::State {
    DcmDataset data;
    AttributeSet::Index index;
};

AttributeSet Dataset::top_level() const { return AttributeSet(static_cast<DcmItem*>(&state_->data), &state_->index); }

Dataset::Dataset(std::unique_ptr<State> state) : state_(std::move(state)) {}
Dataset::Dataset(Dataset&&) noexcept = default;
Dataset& Dataset::operator=(Dataset&&) noexcept = default;
Dataset::~Dataset() = default;

namespace {

std::uint32_t as_number(unsigned short group, unsigned short element) { return static_cast<std::uint32_t>(group) << 16 | element; }

bool printable_ascii(std::string_view text) {
    return std::all_of(text.begin(), text.end(), [](char c) { return c >= 0x20 && c <= 0x7E; });
}

}  // namespace

std::optional<Dataset> Dataset::parse(std::span<const unsigned char> bytes, Encoding encoding) {
    prepare_dicom_library();
    auto state = std::make_unique<State>();
    DcmInputBufferStream stream;
    stream.setBuffer(bytes.data(), static_cast<offile_off_t>(bytes.size()));
    stream.setEos();
    state->data.transferInit();
    const OFCondition read = state->data.read(stream, DcmXfer(header_syntax(encoding).data()).getXfer());
    state->data.transferEnd();
    if (read.bad()) return std::nullopt;
    // Asking the library walks its list each time. It keeps the list in rising order, each tag once.
    for (DcmObject* element = state->data.nextInContainer(nullptr); element != nullptr; element = state->data.nextInContainer(element))
        state->index.emplace_back(as_number(element->getGTag(), element->getETag()), static_cast<DcmElement*>(element));
    return Dataset(std::move(state));
}

void* AttributeSet::find(Tag tag) const {
    if (index_ == nullptr) {
        DcmElement* element = nullptr;
        const OFCondition found = static_cast<DcmItem*>(item_)->findAndGetElement(DcmTagKey(tag.group, tag.element), element);
        return found.good() ? element : nullptr;
    }
    const std::uint32_t wanted = as_number(tag.group, tag.element);
    const auto found = std::lower_bound(index_->begin(), index_->end(), wanted, [](const auto& entry, std::uint32_t number) { return entry.first < number; });
    return found != index_->end() && found->first == wanted ? found->second : nullptr;
}

bool AttributeSet::has(Tag tag) const { return find(tag) != nullptr; }

std::vector<AttributeSet> AttributeSet::items(Tag sequence) const {
    std::vector<AttributeSet> result;
    auto* element = static_cast<DcmElement*>(find(sequence));
    if (element == nullptr || element->ident() != EVR_SQ) return result;
    // From one to the next: asking for the n-th walks the whole list each time.
    for (DcmObject* item = element->nextInContainer(nullptr); item != nullptr; item = element->nextInContainer(item))
        if (auto* attributes = dynamic_cast<DcmItem*>(item)) result.push_back(AttributeSet(attributes));
    return result;
}

std::string AttributeSet::text(Tag tag) const {
    auto* element = static_cast<DcmElement*>(find(tag));
    OFString value;
    if (element == nullptr || element->getOFStringArray(value).bad()) return {};
    return std::string(trimmed({value.data(), value.size()}));
}

std::string AttributeSet::private_text(unsigned short group, std::string_view creator, unsigned char element) const {
    auto* item = static_cast<DcmItem*>(item_);
    // One walk: asking for each block that may be reserved walks the list each time.
    for (DcmObject* object = item->nextInContainer(nullptr); object != nullptr && object->getGTag() <= group; object = item->nextInContainer(object)) {
        const unsigned short block = object->getETag();
        if (object->getGTag() != group || block < 0x10 || block > 0xFF || text({group, block}) != creator) continue;
        const Tag tag{group, static_cast<unsigned short>(block << 8 | element)};
        auto* found = static_cast<DcmElement*>(find(tag));
        if (found == nullptr) return {};
        Uint8* bytes = nullptr;
        // Of implicit encoding and not in the library's dictionary: the elements read here are text then.
        if (dynamic_cast<DcmByteString*>(found) == nullptr && found->getUint8Array(bytes).good() && bytes != nullptr)
            return std::string(trimmed({reinterpret_cast<const char*>(bytes), found->getLength()}));
        return text(tag);
    }
    return {};
}

std::string Dataset::utf8(Tag tag) const {
    std::string original = top_level().text(tag);
    const std::string character_set = top_level().text({0x0008, 0x0005});
    // Of these sets the lower half is that of ASCII, and so of UTF-8 (PS3.3 C.12.1.1.2).
    const bool holds_ascii = character_set.empty() || character_set == "ISO_IR 100" || character_set == "ISO_IR 192";
    if (holds_ascii && printable_ascii(original)) return original;
    DcmSpecificCharacterSet converter;
    OFString converted;
    if (converter.selectCharacterSet(character_set.c_str()).good() && converter.convertString(original.c_str(), converted).good())
        return {converted.data(), converted.size()};
    for (char& c : original)
        if (static_cast<unsigned char>(c) >= 0x80) c = '?';
    return original;
}

std::optional<long> AttributeSet::short_number(Tag tag) const {
    auto* element = static_cast<DcmElement*>(find(tag));
    if (element == nullptr || element->getVM() != 1) return std::nullopt;
    if (Uint16 value = 0; element->getUint16(value).good()) return value;
    if (Sint16 value = 0; element->getSint16(value).good()) return value;
    return std::nullopt;
}

}  // namespace perisclera
