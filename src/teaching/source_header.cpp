// SPDX-License-Identifier: Apache-2.0
#include "source_header.h"

#include <dcmtk/config/osconfig.h>
// osconfig.h comes first by the library's rule.
#include <dcmtk/dcmdata/dctk.h>
#include <dcmtk/dcmdata/dcistrmb.h>

#include <cstdio>

#include "perisclera/core/text.h"
#include "perisclera/ingest/dicom_values.h"
#include "perisclera/ingest/read_header.h"
#include "perisclera/teaching/confidentiality_table.h"
#include "perisclera/teaching/kept_attributes.h"

namespace perisclera::teaching {

namespace {

std::string number_of(DcmObject& element) {
    char text[16];
    std::snprintf(text, sizeof text, "%04x,%04x", static_cast<unsigned>(element.getGTag()), static_cast<unsigned>(element.getETag()));
    return text;
}

std::string name_of(DcmObject& element) {
    if (element.getGTag() % 2 == 1) return {};  // what a maker calls it may be anything
    const std::string name = DcmTag(element.getTag().getXTag()).getTagName();
    return name.starts_with("Unknown") ? "" : name;
}

/// Curves are groups 5000 to 50FF, overlays 6000 to 60FF (PS3.5 7.6); an overlay within unused bits of the pixels has its description there too. An icon or a private block may hold some as well, and
/// goes with it.
bool has_graphics(DcmDataset& data) {
    for (DcmObject* child = data.nextInContainer(nullptr); child != nullptr; child = data.nextInContainer(child))
        if (const unsigned group = child->getGTag() >> 8; child->getGTag() % 2 == 0 && (group == 0x50 || group == 0x60)) return true;
    return false;
}

std::string_view word(Origin origin) {
    switch (origin) {
        case Origin::kept: return "kept";
        case Origin::emptied: return "emptied";
        case Origin::replaced: return "replaced";
        case Origin::added: return "added";
    }
    return "added";
}

AttributeFate fate_of(DcmObject& element, bool top_level) {
    const std::uint16_t group = element.getGTag(), number = element.getETag();
    AttributeFate fate{name_of(element), "removed", {}, {}, 0};
    if (const ConfidentialityRow* row = confidentiality_row(group, number)) fate.standard = row->action;
    if (const KeptAttribute* kept = top_level ? kept_attribute(group, number) : nullptr) {
        fate.done = kept->origin == Origin::added ? "replaced" : word(kept->origin);
        fate.why = say(kept->why);
    } else if (!top_level) {
        fate.why = say("kept.with_its_sequence");
    } else if (group % 2 == 1) {
        fate.why = say("kept.private");
    } else if (!fate.standard.empty()) {
        fate.why = say("kept.listed");
    } else {
        fate.why = say("kept.not_needed");
    }
    return fate;
}

void account_for(DcmObject& container, const std::string& path, AttributeFates& fates) {
    for (DcmObject* child = container.nextInContainer(nullptr); child != nullptr; child = container.nextInContainer(child)) {
        if (child->ident() == EVR_item) {
            account_for(*child, path, fates);
            continue;
        }
        const std::string here = path + number_of(*child);
        ++fates.try_emplace(here, fate_of(*child, path.empty())).first->second.files;
        if (child->ident() == EVR_SQ) account_for(*child, here + ">", fates);
    }
}

}  // namespace

SourceHeader::SourceHeader(std::unique_ptr<DcmDataset> data) : data_(std::move(data)) {}
SourceHeader::SourceHeader(SourceHeader&&) noexcept = default;
SourceHeader::~SourceHeader() = default;

Result<SourceHeader> SourceHeader::read(const SliceHeader& slice, bool drop_overlays) {
    if (slice.frames > 1)
        return Error{ErrorCode::unsupported_encoding, "objects of several frames are not made into teaching images", slice.where, "export the series as single images"};
    const auto header_bytes = read_header(slice);
    if (!header_bytes) return header_bytes.error();
    const auto& [bytes, syntax_uid] = header_bytes.value();
    auto data = std::make_unique<DcmDataset>();
    DcmInputBufferStream stream;
    stream.setBuffer(bytes.data(), static_cast<offile_off_t>(bytes.size()));
    stream.setEos();
    data->transferInit();
    const OFCondition read = data->read(stream, DcmXfer(syntax_uid.data()).getXfer());
    data->transferEnd();
    if (read.bad()) return Error{ErrorCode::bad_value, "is refused by the DICOM library", slice.where, "export this file again from the archive"};
    SourceHeader header(std::move(data));
    const auto refused = [&](const char* why) { return Error{ErrorCode::bad_value, why, slice.where, "leave this series out, and identify again without it"}; };
    if (upper_case(header.text(0x0028, 0x0301)) == "YES") return refused("the image says that text is burned into its pixels");
    if (!header.text(0x0008, 0x0064).empty()) return refused("the image says that it is a picture of a screen, a film or a document");
    if (!drop_overlays && has_graphics(*header.data_))
        return Error{ErrorCode::bad_value, "the image has overlays or curves, which may hold writing", slice.where, "look at them; --drop-overlays takes the image without them"};
    return header;
}

std::string SourceHeader::text(std::uint16_t group, std::uint16_t element) const {
    OFString value;
    if (data_->findAndGetOFStringArray(DcmTagKey(group, element), value).bad()) return {};
    return std::string(trimmed({value.data(), value.size()}));
}

void SourceHeader::account(AttributeFates& fates) const { account_for(*data_, "", fates); }

}  // namespace perisclera::teaching
