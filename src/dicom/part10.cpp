// SPDX-License-Identifier: Apache-2.0
#include "perisclera/dicom/part10.h"

#include <dcmtk/config/osconfig.h>
#include <dcmtk/dcmdata/dctk.h>
#include <dcmtk/dcmdata/dcostrmb.h>

#include <charconv>
#include <memory>

namespace perisclera {

Result<std::string> part10_bytes(const DcmDataset& data_set) {
    const auto fault = [](const OFCondition& status) {
        return Error{ErrorCode::internal_fault, std::string("object could not be encoded: ") + status.text(), "DICOM writer", "report this as a defect"};
    };
    DcmFileFormat file(std::make_unique<DcmDataset>(data_set).release(), OFFalse);  // takes the copy over
    const auto syntax = EXS_LittleEndianExplicit;
    if (const auto status = file.validateMetaInfo(syntax); status.bad()) return fault(status);
    // Room for the preamble, the meta group and its padding besides the data set itself.
    std::string bytes(file.getDataset()->calcElementLength(syntax, EET_ExplicitLength) + 4096u, '\0');
    DcmOutputBufferStream stream(bytes.data(), static_cast<offile_off_t>(bytes.size()));
    file.transferInit();
    const auto status = file.write(stream, syntax, EET_ExplicitLength, nullptr, EGL_recalcGL);
    file.transferEnd();
    if (status.bad()) return fault(status);
    void* begin = nullptr;
    offile_off_t length = 0;
    stream.flushBuffer(begin, length);
    bytes.resize(static_cast<std::size_t>(length));
    return bytes;
}

std::string decimal_string(double value) {
    if (value == 0.0) return "0";  // never "-0"
    char text[32];
    for (int digits = 10;; --digits) {
        const auto end = std::to_chars(text, text + sizeof text, value, std::chars_format::general, digits).ptr;
        if (end - text <= 16) return std::string(text, end);
    }
}

}  // namespace perisclera
