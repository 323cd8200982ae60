// SPDX-License-Identifier: Apache-2.0
#include "transfer_syntax.h"

#include <algorithm>
#include <array>

namespace perisclera {

namespace {

constexpr std::array syntaxes{
    TransferSyntax{"1.2.840.10008.1.2", "implicit little endian", Encoding::implicit_little, PixelCodec::none_needed},
    TransferSyntax{"1.2.840.10008.1.2.1", "explicit little endian", Encoding::explicit_little, PixelCodec::none_needed},
    TransferSyntax{"1.2.840.10008.1.2.2", "explicit big endian", Encoding::explicit_big, PixelCodec::none_needed},
    TransferSyntax{"1.2.840.10008.1.2.1.99", "deflated explicit little endian", Encoding::explicit_little, PixelCodec::none_needed, Loss::never, true},
    TransferSyntax{"1.2.840.10008.1.2.5", "RLE lossless", Encoding::encapsulated, PixelCodec::dicom_library},
    TransferSyntax{"1.2.840.10008.1.2.4.50", "JPEG baseline (lossy, 8 bit)", Encoding::encapsulated, PixelCodec::dicom_library, Loss::always},
    TransferSyntax{"1.2.840.10008.1.2.4.51", "JPEG extended (lossy)", Encoding::encapsulated, PixelCodec::dicom_library, Loss::always},
    TransferSyntax{"1.2.840.10008.1.2.4.57", "JPEG lossless", Encoding::encapsulated, PixelCodec::dicom_library},
    TransferSyntax{"1.2.840.10008.1.2.4.70", "JPEG lossless, first-order prediction", Encoding::encapsulated, PixelCodec::dicom_library},
    TransferSyntax{"1.2.840.10008.1.2.4.80", "JPEG-LS lossless", Encoding::encapsulated, PixelCodec::dicom_library},
    TransferSyntax{"1.2.840.10008.1.2.4.81", "JPEG-LS near-lossless", Encoding::encapsulated, PixelCodec::dicom_library, Loss::always},
    TransferSyntax{"1.2.840.10008.1.2.4.90", "JPEG 2000 lossless", Encoding::encapsulated, PixelCodec::jpeg_2000},
    TransferSyntax{"1.2.840.10008.1.2.4.91", "JPEG 2000", Encoding::encapsulated, PixelCodec::jpeg_2000, Loss::possible},
    TransferSyntax{"1.2.840.10008.1.2.4.92", "JPEG 2000 part 2 lossless", Encoding::encapsulated, PixelCodec::not_read},
    TransferSyntax{"1.2.840.10008.1.2.4.93", "JPEG 2000 part 2", Encoding::encapsulated, PixelCodec::not_read},
    TransferSyntax{"1.2.840.10008.1.2.4.201", "high-throughput JPEG 2000 lossless", Encoding::encapsulated, PixelCodec::not_read},
    TransferSyntax{"1.2.840.10008.1.2.4.202", "high-throughput JPEG 2000 lossless, progressive", Encoding::encapsulated, PixelCodec::not_read},
    TransferSyntax{"1.2.840.10008.1.2.4.203", "high-throughput JPEG 2000", Encoding::encapsulated, PixelCodec::not_read},
};

}  // namespace

const TransferSyntax* find_transfer_syntax(std::string_view uid) {
    for (const TransferSyntax& syntax : syntaxes)
        if (syntax.uid == uid) return &syntax;
    return nullptr;
}

std::string_view header_syntax(Encoding encoding) {
    const Encoding plain = encoding == Encoding::encapsulated ? Encoding::explicit_little : encoding;
    return std::find_if(syntaxes.begin(), syntaxes.end(), [&](const TransferSyntax& s) { return s.encoding == plain; })->uid;
}

}  // namespace perisclera
