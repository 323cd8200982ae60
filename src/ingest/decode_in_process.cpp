// SPDX-License-Identifier: Apache-2.0
#include "decode_in_process.h"

#include <dcmtk/config/osconfig.h>
// osconfig.h comes first by the library's rule.
#include <dcmtk/dcmdata/dcdeftag.h>
#include <dcmtk/dcmdata/dcdatset.h>
#include <dcmtk/dcmdata/dcpixel.h>
#include <dcmtk/dcmdata/dcpixseq.h>
#include <dcmtk/dcmdata/dcpxitem.h>
#include <dcmtk/dcmdata/dcxfer.h>

#include <cstring>
#include <memory>

#include "dicom_library.h"
#include "jpeg_2000.h"
#include "transfer_syntax.h"

namespace perisclera {

namespace {

bool same_format(DcmDataset& data, const SliceHeader& slice) {
    const auto equals = [&](const DcmTagKey& tag, int expected) {
        Uint16 value = 0;
        return data.findAndGetUint16(tag, value).good() && value == expected;
    };
    return equals(DCM_Rows, slice.geometry.rows) && equals(DCM_Columns, slice.geometry.columns) && equals(DCM_SamplesPerPixel, 1) &&
           equals(DCM_BitsAllocated, slice.pixels.bits_allocated) && equals(DCM_BitsStored, slice.pixels.bits_stored) &&
           equals(DCM_HighBit, slice.pixels.high_bit) && equals(DCM_PixelRepresentation, slice.pixels.is_signed ? 1 : 0);
}

/// The stream as the only frame of a data set that says no more of it than the checked header does.
bool decode_with_library(const SliceHeader& slice, std::span<const unsigned char> stream, std::span<unsigned char> out) {
    DcmDataset data;
    const auto put = [&](const DcmTagKey& tag, int value) { return data.putAndInsertUint16(DcmTag(tag), static_cast<Uint16>(value)).good(); };
    const bool described = put(DCM_Rows, slice.geometry.rows) && put(DCM_Columns, slice.geometry.columns) && put(DCM_SamplesPerPixel, 1) &&
                           put(DCM_BitsAllocated, slice.pixels.bits_allocated) && put(DCM_BitsStored, slice.pixels.bits_stored) &&
                           put(DCM_HighBit, slice.pixels.high_bit) && put(DCM_PixelRepresentation, slice.pixels.is_signed ? 1 : 0) &&
                           data.putAndInsertString(DCM_PhotometricInterpretation, "MONOCHROME2").good();
    auto sequence = std::make_unique<DcmPixelSequence>(DcmTag(DCM_PixelData, EVR_OB));
    auto fragment = std::make_unique<DcmPixelItem>(DcmTag(DCM_Item, EVR_OB));
    if (!described || fragment->putUint8Array(stream.data(), static_cast<unsigned long>(stream.size())).bad()) return false;
    if (sequence->insert(new DcmPixelItem(DcmTag(DCM_Item, EVR_OB))).bad() || sequence->insert(fragment.get()).bad()) return false;
    static_cast<void>(fragment.release());  // the sequence's now
    auto pixels = std::make_unique<DcmPixelData>(DCM_PixelData);
    pixels->putOriginalRepresentation(DcmXfer(slice.layout.transfer_syntax_uid.c_str()).getXfer(), nullptr, sequence.release());
    if (data.insert(pixels.get()).bad()) return false;
    static_cast<void>(pixels.release());

    // The whole data set at once: the library's frame-by-frame decoder crashes on damaged streams that this path refuses.
    if (data.chooseRepresentation(EXS_LittleEndianExplicit, nullptr).bad() || !same_format(data, slice)) return false;
    unsigned long count = 0;
    if (slice.pixels.bits_allocated == 8) {
        const Uint8* values = nullptr;
        if (data.findAndGetUint8Array(DCM_PixelData, values, &count).bad() || values == nullptr || count < out.size()) return false;
        std::memcpy(out.data(), values, out.size());
        return true;
    }
    const Uint16* values = nullptr;
    if (data.findAndGetUint16Array(DCM_PixelData, values, &count).bad() || values == nullptr || count * 2 < out.size()) return false;
    for (std::size_t i = 0; i < out.size() / 2; ++i) {
        out[2 * i] = static_cast<unsigned char>(values[i] & 0xFF);
        out[2 * i + 1] = static_cast<unsigned char>(values[i] >> 8);
    }
    return true;
}

/// The codestream says for itself how large, how deep and whether signed it is; all of it has to agree with the header.
bool decode_codestream(const SliceHeader& slice, std::span<const unsigned char> stream, std::span<unsigned char> out) {
    const PixelFormat& format = slice.pixels;
    const auto image = decode_jpeg_2000(stream, slice.geometry.rows, slice.geometry.columns);
    if (!image || image->rows != slice.geometry.rows || image->columns != slice.geometry.columns || image->is_signed != format.is_signed ||
        format.high_bit != format.bits_stored - 1)
        return false;
    const int lowest = format.is_signed ? -(1 << (format.bits_stored - 1)) : 0, highest = lowest + (1 << format.bits_stored) - 1;
    const std::size_t bytes = static_cast<std::size_t>(format.bits_allocated / 8);
    for (std::size_t i = 0; i < image->values.size(); ++i) {
        if (image->values[i] < lowest || image->values[i] > highest) return false;
        const auto stored = static_cast<unsigned>(image->values[i]);
        out[bytes * i] = static_cast<unsigned char>(stored & 0xFF);
        if (bytes == 2) out[2 * i + 1] = static_cast<unsigned char>(stored >> 8 & 0xFF);
    }
    return true;
}

}  // namespace

bool decode_in_process(ImageFiles& files, const SliceHeader& slice, std::span<unsigned char> out) {
    prepare_dicom_library();
    const auto stream = files.read_stream(slice);
    const TransferSyntax* syntax = find_transfer_syntax(slice.layout.transfer_syntax_uid);
    if (!stream || syntax == nullptr) return false;
    return syntax->codec == PixelCodec::jpeg_2000 ? decode_codestream(slice, stream.value(), out) : decode_with_library(slice, stream.value(), out);
}

}  // namespace perisclera
