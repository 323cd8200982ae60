// SPDX-License-Identifier: Apache-2.0
#include "perisclera/ingest/preflight.h"

#include <algorithm>
#include <array>
#include <map>
#include <optional>
#include <span>
#include <string_view>
#include <utility>
#include <vector>

#include "element_header.h"
#include "inflate.h"
#include "input_file.h"
#include "perisclera/core/limits.h"
#include "perisclera/ingest/dicom_values.h"
#include "scan_layout.h"
#include "transfer_syntax.h"

namespace perisclera {

namespace {

constexpr std::uint32_t undefined_length = 0xFFFFFFFF;
constexpr std::uint32_t item_start = 0xFFFEE000;
constexpr std::uint32_t item_end = 0xFFFEE00D;
constexpr std::uint32_t sequence_end = 0xFFFEE0DD;
constexpr std::uint32_t meta_group_length = 0x00020000, media_class = 0x00020002, media_instance = 0x00020003, transfer_syntax = 0x00020010;
constexpr std::string_view media_directory = "1.2.840.10008.1.3.10";
constexpr std::uint32_t pixel_data = 0x7FE00010;
constexpr std::uint64_t meta_offset = 132;  // preamble and "DICM"

/// A dataset, item, sequence or list of fragments that the scan is inside of.
struct Frame {
    enum class Kind { dataset, item, sequence, fragments } kind;
    std::uint64_t end;      ///< it may not pass this offset
    bool undefined_length;  ///< ends at its delimiter
    bool explicit_vr;
    bool matters = true;  ///< holds attributes that are read
};

/// Groups with attributes that this program reads; a sequence matters if it holds functional groups.
bool matters(std::uint32_t tag) {
    for (const std::uint32_t group : {0x0008U, 0x0010U, 0x0018U, 0x0020U, 0x0028U, 0x5200U, 0x7FE0U})
        if (tag >> 16 == group) return true;
    return false;
}
constexpr std::uint32_t functional_groups = 0x5200;

/// What a preamble may begin with that has another reader in mind than a DICOM one. TIFF headers are lawful there (PS3.10 7.1).
constexpr std::array<std::string_view, 10> other_formats{"MZ", "\x7f" "ELF", "#!", "PK\x03\x04", "%PDF", "\xca\xfe\xba\xbe", "\xfe\xed\xfa\xce", "\xfe\xed\xfa\xcf", "\xce\xfa\xed\xfe", "\xcf\xfa\xed\xfe"};

class Scan {
public:
    Scan(InputFile& file, const std::string& where) : file_(file), where_(where) {}

    Result<FileLayout> run() {
        if (auto error = read_meta_group()) return *error;
        // A directory of many thousand images may well pass the caps on one image's header.
        if (layout_.directory)
            layout_.directory_sound = !layout_.deflated && !read_dataset().has_value();
        else if (auto error = read_dataset())
            return *error;
        return layout_;
    }

private:
    using Problem = std::optional<Error>;

    Error fail(ErrorCode code, std::string what, std::uint64_t at) const {
        return Error{code, std::move(what) + " at byte " + std::to_string(at), where_, "copy or export this file again from the archive"};
    }

    std::uint32_t number(const unsigned char* bytes, int count) const {
        std::uint32_t value = 0;
        for (int i = 0; i < count; ++i) value |= static_cast<std::uint32_t>(bytes[i]) << (8 * (big_endian_ ? count - 1 - i : i));
        return value;
    }

    /// The header at `at`; item tags have no value representation in any encoding.
    Problem read_header(std::uint64_t at, bool explicit_vr, ElementHeader& header) {
        std::array<unsigned char, 12> bytes{};
        if (at + 8 > file_.size()) return fail(ErrorCode::truncated, "the file ends inside an element header", at);
        if (!file_.read(at, {bytes.data(), 8})) return fail(ErrorCode::cannot_read, "the file cannot be read", at);
        header.tag = number(bytes.data(), 2) << 16 | number(bytes.data() + 2, 2);
        header.vr = {};
        header.value = at + 8;
        if (!explicit_vr || header.tag >> 16 == 0xFFFE) {
            header.length = number(bytes.data() + 4, 4);
            return {};
        }
        header.vr = {static_cast<char>(bytes[4]), static_cast<char>(bytes[5])};
        if (!has_long_header(header.vr_text())) {
            header.length = number(bytes.data() + 6, 2);
            return {};
        }
        if (at + 12 > file_.size()) return fail(ErrorCode::truncated, "the file ends inside an element header", at);
        if (!file_.read(at, bytes)) return fail(ErrorCode::cannot_read, "the file cannot be read", at);
        header.length = number(bytes.data() + 8, 4);
        header.value = at + 12;
        return {};
    }

    /// A length that ends inside `end`, the enclosing structure, and inside the file.
    Problem check_length(const ElementHeader& header, std::uint64_t end) const {
        if (header.value + header.length > file_.size()) {
            const std::string sizes = std::to_string(header.length) + " bytes announced, " + std::to_string(file_.size() - header.value) + " left";
            // A short value cut off is a copy that ended early; a huge one is a damaged or hostile length field.
            return header.length > limits::value_bytes
                       ? fail(ErrorCode::length_beyond_file, "a value is longer than the file (" + sizes + ")", header.value)
                       : fail(ErrorCode::truncated, "the file ends inside a value (" + sizes + ")", header.value);
        }
        if (header.value + header.length > end) return fail(ErrorCode::bad_sequence, "a value is longer than the item it lies in", header.value);
        return {};
    }

    /// Does a meta group stand in its place although the mark before it is missing? Such a file was meant to be DICOM.
    bool has_meta_group() {
        constexpr std::string_view begin("\x02\x00\x00\x00UL\x04\x00", 8);
        std::array<unsigned char, begin.size()> bytes{};
        return file_.size() >= meta_offset + begin.size() && file_.read(meta_offset, bytes) && std::equal(begin.begin(), begin.end(), bytes.begin(), [](char a, unsigned char b) { return static_cast<unsigned char>(a) == b; });
    }

    Problem read_meta_group() {
        std::array<unsigned char, meta_offset> start{};
        const bool whole = file_.size() >= meta_offset && file_.read(0, start);
        const std::string_view begins(reinterpret_cast<const char*>(start.data()), start.size());
        if (!whole || !begins.ends_with("DICM")) {
            if (has_meta_group()) return fail(ErrorCode::bad_value, "the mark that makes a file a DICOM file is damaged", 128);
            return Error{ErrorCode::not_dicom, "is not a DICOM file", where_, "give DICOM files (PS3.10)"};
        }
        for (const std::string_view other : other_formats) layout_.suspicious_preamble = layout_.suspicious_preamble || begins.starts_with(other);
        std::uint64_t at = meta_offset;
        std::optional<std::uint64_t> stated_end;
        ElementHeader header;
        while (at < file_.size()) {
            if (auto error = read_header(at, true, header)) return error;
            if (header.tag >> 16 != 0x0002) break;
            if (auto error = check_length(header, file_.size())) return error;
            if (++elements_ > limits::elements_per_file) return too_many(at);
            if (header.tag == meta_group_length && header.length == 4) {
                std::array<unsigned char, 4> bytes{};
                if (!file_.read(header.value, bytes)) return fail(ErrorCode::cannot_read, "the file cannot be read", at);
                stated_end = header.value + header.length + number(bytes.data(), 4);
            }
            std::string* uid = header.tag == transfer_syntax ? &layout_.transfer_syntax_uid : header.tag == media_class ? &layout_.media_class_uid : header.tag == media_instance ? &layout_.media_instance_uid : nullptr;
            if (uid != nullptr && header.length <= 66) {
                std::string value(header.length, '\0');
                if (!file_.read(header.value, {reinterpret_cast<unsigned char*>(value.data()), value.size()}))
                    return fail(ErrorCode::cannot_read, "the file cannot be read", at);
                const std::string before = std::exchange(*uid, std::string(trimmed(value)));
                if (!before.empty() && before != *uid) return fail(ErrorCode::conflicting_values, "the file states twice what it holds, with different identifiers", at);
            }
            at = header.value + header.length;
        }
        layout_.directory = layout_.media_class_uid == media_directory;
        layout_.wrong_length = stated_end.has_value() && *stated_end != at;
        const TransferSyntax* syntax = find_transfer_syntax(layout_.transfer_syntax_uid);
        if (syntax == nullptr) {
            const std::string uid = valid_uid(layout_.transfer_syntax_uid) ? layout_.transfer_syntax_uid : "not stated";
            return Error{ErrorCode::unsupported_encoding, "transfer syntax " + uid + " is not read", where_,
                         "export the series uncompressed (explicit little endian)"};
        }
        layout_.encoding = syntax->encoding;
        big_endian_ = syntax->encoding == Encoding::explicit_big;
        layout_.dataset_offset = at;
        layout_.deflated = syntax->deflated;
        if (layout_.deflated && !layout_.directory)
            if (auto error = inflate_dataset(file_, at, where_)) return error;
        layout_.file_bytes = file_.size();
        return {};
    }

    Error too_many(std::uint64_t at) const {
        return fail(ErrorCode::too_many_elements, "more than " + std::to_string(limits::elements_per_file) + " elements", at);
    }

    Problem enter(Frame::Kind kind, const ElementHeader& header, bool explicit_vr) {
        const bool undefined = header.length == undefined_length;
        const std::uint64_t end = frames_.back().end;
        if (!undefined)
            if (auto error = check_length(header, end)) return error;
        if (kind != Frame::Kind::item && ++depth_ > limits::nesting)
            return fail(ErrorCode::nested_too_deep, "sequences nested deeper than " + std::to_string(limits::nesting), header.value);
        const bool part_matters = frames_.back().matters && (frames_.size() > 1 || header.tag >> 16 == functional_groups);
        frames_.push_back({kind, undefined ? end : header.value + header.length, undefined, explicit_vr, part_matters});
        seen_.emplace_back();
        at_ = header.value;
        return {};
    }

    void leave() {
        if (frames_.back().kind != Frame::Kind::item) --depth_;
        seen_.pop_back();
        frames_.pop_back();
    }

    Problem in_sequence(const ElementHeader& header) {
        const Frame frame = frames_.back();
        if (header.tag == sequence_end && frame.undefined_length) {
            layout_.wrong_length = layout_.wrong_length || header.length != 0;  // PS3.5 7.5.2
            leave();
            at_ = header.value;
            return {};
        }
        if (header.tag != item_start) return fail(ErrorCode::bad_sequence, "a sequence holds something other than items", at_);
        if (frame.kind == Frame::Kind::sequence) return enter(Frame::Kind::item, header, frame.explicit_vr);
        if (header.length == undefined_length) return fail(ErrorCode::bad_sequence, "a pixel fragment has no length", at_);
        if (auto error = check_length(header, frame.end)) return error;
        at_ = header.value + header.length;
        return {};
    }

    /// Implicit encoding does not tell sequences; one with a stated length shows by its first item tag.
    bool starts_with_item(const ElementHeader& header) {
        std::array<unsigned char, 4> bytes{};
        return header.length >= 8 && header.value + 8 <= file_.size() && file_.read(header.value, bytes) &&
               (number(bytes.data(), 2) << 16 | number(bytes.data() + 2, 2)) == item_start;
    }

    Problem in_item(const ElementHeader& header) {
        const Frame frame = frames_.back();
        if (header.tag == item_end && frame.kind == Frame::Kind::item && frame.undefined_length) {
            layout_.wrong_length = layout_.wrong_length || header.length != 0;
            leave();
            at_ = header.value;
            return {};
        }
        if (header.tag >> 16 == 0xFFFE) return fail(ErrorCode::bad_sequence, "a delimiter stands outside its sequence", at_);
        if (++elements_ > limits::elements_per_file) return too_many(at_);
        if (auto error = compare_with_seen(header)) return error;
        if (frame.explicit_vr && frame.matters && states_wrong_type(header))
            return fail(ErrorCode::bad_value, "an attribute that is needed is written as another kind of value", at_);
        if (header.length == undefined_length) {
            if (header.tag == pixel_data) return enter(Frame::Kind::fragments, header, frame.explicit_vr);
            const bool unknown = header.vr_text() == "UN";  // its content is implicit little endian (PS3.5 6.2.2)
            if (frame.explicit_vr && header.vr_text() != "SQ" && !unknown)
                return fail(ErrorCode::bad_sequence, "a value has no length and is no sequence", at_);
            return enter(Frame::Kind::sequence, header, frame.explicit_vr && !unknown);
        }
        if (frame.explicit_vr ? header.vr_text() == "SQ" : starts_with_item(header)) return enter(Frame::Kind::sequence, header, frame.explicit_vr);
        if (auto error = check_length(header, frame.end)) return error;
        if (header.length > limits::value_bytes) return fail(ErrorCode::limit_reached, "a value of " + std::to_string(header.length) + " bytes", at_);
        at_ = header.value + header.length;
        return {};
    }

    /// An element may stand only once in its place (PS3.5 7.1). Libraries disagree which of two counts.
    Problem compare_with_seen(const ElementHeader& header) {
        auto& seen = seen_.back();
        const std::size_t count = seen.size();
        layout_.out_of_order = layout_.out_of_order || (count > 0 && header.tag <= seen.rbegin()->first);
        const auto before = seen.try_emplace(seen.end(), header.tag, header);
        if (seen.size() > count || same_value(before->second, header)) return {};
        if (frames_.back().matters && (frames_.size() > 1 || matters(header.tag)))
            return fail(ErrorCode::conflicting_values, "one attribute is stated twice with different values", at_);
        layout_.stated_twice = true;
        return {};
    }

    bool same_value(const ElementHeader& a, const ElementHeader& b) {
        if (a.length != b.length || a.length == undefined_length || a.length > limits::value_bytes) return false;
        std::vector<unsigned char> first(a.length), second(b.length);
        return file_.read(a.value, first) && file_.read(b.value, second) && first == second;
    }

    /// Does the first element contradict the stated encoding?
    bool states_wrong_encoding(const ElementHeader& first) const {
        if (first.tag >> 16 == 0xFFFE) return false;  // a stray delimiter is another fault
        if (layout_.encoding != Encoding::implicit_little)
            return !(first.vr[0] >= 'A' && first.vr[0] <= 'Z' && first.vr[1] >= 'A' && first.vr[1] <= 'Z');
        return first.value + first.length > file_.size() && first.length != undefined_length;
    }

    Problem read_dataset() {
        Problem problem = read_elements();
        if (problem && past_pixels_ && only_zeros_from(tail_offset_)) {
            layout_.zero_padded = true;
            return {};
        }
        if (problem && past_pixels_) return fail(ErrorCode::trailing_bytes, "bytes that are no part of the image follow its pixels", tail_offset_);
        return problem;
    }

    bool only_zeros_from(std::uint64_t offset) {
        std::array<unsigned char, 4096> bytes;
        while (offset < file_.size()) {
            const std::span<unsigned char> part(bytes.data(), static_cast<std::size_t>(std::min<std::uint64_t>(bytes.size(), file_.size() - offset)));
            if (!file_.read(offset, part) || std::any_of(part.begin(), part.end(), [](unsigned char b) { return b != 0; })) return false;
            offset += part.size();
        }
        return true;
    }

    /// Of the whole file; what follows the pixels is checked only to be well-formed.
    Problem read_elements() {
        at_ = layout_.dataset_offset;
        frames_.push_back({Frame::Kind::dataset, file_.size(), false, layout_.encoding != Encoding::implicit_little});
        seen_.emplace_back();
        ElementHeader header;
        bool first = true;
        while (true) {
            while (!frames_.back().undefined_length && at_ >= frames_.back().end) {
                if (at_ > frames_.back().end) return fail(ErrorCode::bad_sequence, "an item is longer than its sequence", at_);
                if (frames_.size() == 1) {
                    if (!layout_.has_pixels) layout_.header_bytes = at_;
                    return check_header_size();
                }
                leave();
            }
            const Frame frame = frames_.back();
            if (frames_.size() > 1 && at_ == file_.size()) return fail(ErrorCode::bad_sequence, "the file ends inside a sequence that is not closed", at_);
            if (auto error = read_header(at_, frame.explicit_vr, header)) return error;
            if (header.value > frame.end) return fail(ErrorCode::bad_sequence, "an element passes the end of its item", at_);
            if (std::exchange(first, false) && states_wrong_encoding(header))
                return fail(ErrorCode::unsupported_encoding, "the content is not in the encoding that the file states", at_);
            if (has_small_letters(header.vr_text())) return fail(ErrorCode::bad_value, "a kind of value is not written in capitals", at_);
            if (past_pixels_ && frames_.size() == 1 && header.tag <= seen_.back().rbegin()->first)
                return fail(ErrorCode::trailing_bytes, "bytes that are no part of the image follow its pixels", at_);
            if (frames_.size() == 1 && (header.tag == pixel_data || header.tag == 0x7FE00008 || header.tag == 0x7FE00009)) {
                if (auto error = at_pixels(header)) return error;
                if (at_ > file_.size()) return check_header_size();  // cut short, which the number of pixels will show
                past_pixels_ = true;
                tail_offset_ = at_;
                continue;
            }
            const bool in_list = frame.kind == Frame::Kind::sequence || frame.kind == Frame::Kind::fragments;
            if (auto error = in_list ? in_sequence(header) : in_item(header)) return error;
        }
    }

    Problem check_header_size() const {
        if (layout_.header_bytes <= limits::header_bytes) return {};
        return fail(ErrorCode::limit_reached, "more than " + std::to_string(limits::header_bytes) + " bytes before the pixels", layout_.header_bytes);
    }

    Problem at_pixels(const ElementHeader& header) {
        if (auto error = compare_with_seen(header)) return error;
        layout_.header_bytes = at_;
        layout_.has_pixels = true;
        layout_.pixel_offset = header.value;
        layout_.pixel_bytes = header.length;
        const bool fragments = header.length == undefined_length;
        if (fragments != (layout_.encoding == Encoding::encapsulated))
            return fail(ErrorCode::unsupported_encoding, "the pixels are not in the encoding that the file states", at_);
        if (!fragments) {
            at_ = header.value + header.length;
            return check_header_size();
        }
        if (auto error = enter(Frame::Kind::fragments, header, true)) return error;
        ElementHeader fragment;
        while (frames_.size() > 1) {
            if (auto error = read_header(at_, true, fragment)) return error;
            if (auto error = in_sequence(fragment)) return error;
            if (++elements_ > limits::elements_per_file) return too_many(at_);
        }
        layout_.pixel_bytes = at_ - layout_.pixel_offset;
        return check_header_size();
    }

    InputFile& file_;
    const std::string& where_;
    FileLayout layout_;
    std::vector<Frame> frames_;
    std::vector<std::map<std::uint32_t, ElementHeader>> seen_;  ///< the elements so far, for each of the frames
    std::uint64_t at_ = 0, elements_ = 0, depth_ = 0, tail_offset_ = 0;
    bool big_endian_ = false, past_pixels_ = false;
};

}  // namespace

Result<FileLayout> preflight(const std::filesystem::path& path, const std::string& where) {
    auto file = InputFile::open(path, where);
    if (!file) return file.error();
    return scan_layout(file.value(), where);
}

Result<FileLayout> scan_layout(InputFile& file, const std::string& where) { return Scan(file, where).run(); }

}  // namespace perisclera
