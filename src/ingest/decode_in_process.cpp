// SPDX-License-Identifier: Apache-2.0
#include "decode_in_process.h"

#include <dcmtk/config/osconfig.h>
// osconfig.h comes first by the library's rule.
#include <dcmtk/dcmdata/dcdeftag.h>
#include <dcmtk/dcmdata/dcfilefo.h>
#include <dcmtk/dcmdata/dcistrmb.h>

#include <cstring>

#include "dicom_library.h"
#include "input_file.h"

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

}  // namespace

bool decode_in_process(const SliceHeader& slice, std::span<unsigned char> out) {
    prepare_dicom_library();
    auto file = InputFile::open(slice.path, slice.where);
    if (!file) return false;
    std::vector<unsigned char> bytes(slice.layout.pixel_offset + slice.layout.pixel_bytes);
    if (!file.value().read(0, bytes)) return false;

    DcmFileFormat format;
    DcmInputBufferStream stream;
    stream.setBuffer(bytes.data(), static_cast<offile_off_t>(bytes.size()));
    stream.setEos();
    format.transferInit();
    const OFCondition read = format.read(stream);
    format.transferEnd();
    if (read.bad()) return false;
    DcmDataset& data = *format.getDataset();
    // The whole dataset at once: the library's frame-by-frame decoder crashes on damaged streams that this path refuses.
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

}  // namespace perisclera
