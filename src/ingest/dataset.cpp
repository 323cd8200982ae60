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

#include "dicom_library.h"
#include "perisclera/ingest/dicom_values.h"

namespace perisclera {

struct Dataset::State {
    DcmDataset data;
};

AttributeSet Dataset::top_level() const { return AttributeSet(static_cast<DcmItem*>(&state_->data)); }

Dataset::Dataset(std::unique_ptr<State> state) : state_(std::move(state)) {}
Dataset::Dataset(Dataset&&) noexcept = default;
Dataset& Dataset::operator=(Dataset&&) noexcept = default;
Dataset::~Dataset() = default;

namespace {

DcmElement* find(void* item, Tag tag) {
    DcmElement* element = nullptr;
    const OFCondition found = static_cast<DcmItem*>(item)->findAndGetElement(DcmTagKey(tag.group, tag.element), element);
    return found.good() ? element : nullptr;
}

E_TransferSyntax syntax_of(Encoding encoding) {
    switch (encoding) {
        case Encoding::implicit_little: return EXS_LittleEndianImplicit;
        case Encoding::explicit_big: return EXS_BigEndianExplicit;
        case Encoding::explicit_little:
        case Encoding::encapsulated: return EXS_LittleEndianExplicit;  // up to the pixels
    }
    return EXS_LittleEndianExplicit;
}

}  // namespace

std::optional<Dataset> Dataset::parse(std::span<const unsigned char> bytes, Encoding encoding) {
    prepare_dicom_library();
    auto state = std::make_unique<State>();
    DcmInputBufferStream stream;
    stream.setBuffer(bytes.data(), static_cast<offile_off_t>(bytes.size()));
    stream.setEos();
    state->data.transferInit();
    const OFCondition read = state->data.read(stream, syntax_of(encoding));
    state->data.transferEnd();
    if (read.bad()) return std::nullopt;
    return Dataset(std::move(state));
}

bool AttributeSet::has(Tag tag) const { return find(item_, tag) != nullptr; }

std::vector<AttributeSet> AttributeSet::items(Tag sequence) const {
    std::vector<AttributeSet> result;
    DcmElement* element = find(item_, sequence);
    if (element == nullptr || element->ident() != EVR_SQ) return result;
    // From one to the next: asking for the n-th walks the whole list each time.
    for (DcmObject* item = element->nextInContainer(nullptr); item != nullptr; item = element->nextInContainer(item))
        if (auto* attributes = dynamic_cast<DcmItem*>(item)) result.push_back(AttributeSet(attributes));
    return result;
}

std::string AttributeSet::text(Tag tag) const {
    DcmElement* element = find(item_, tag);
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
        DcmElement* found = find(item_, tag);
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
    DcmSpecificCharacterSet converter;
    OFString converted;
    if (converter.selectCharacterSet(character_set.c_str()).good() && converter.convertString(original.c_str(), converted).good())
        return {converted.data(), converted.size()};
    for (char& c : original)
        if (static_cast<unsigned char>(c) >= 0x80) c = '?';
    return original;
}

std::optional<long> AttributeSet::short_number(Tag tag) const {
    DcmElement* element = find(item_, tag);
    if (element == nullptr || element->getVM() != 1) return std::nullopt;
    if (Uint16 value = 0; element->getUint16(value).good()) return value;
    if (Sint16 value = 0; element->getSint16(value).good()) return value;
    return std::nullopt;
}

}  // namespace perisclera
