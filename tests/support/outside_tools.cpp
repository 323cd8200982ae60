// SPDX-License-Identifier: Apache-2.0
#include "tests/support/outside_tools.h"

#include <dcmtk/config/osconfig.h>
// osconfig.h comes first by the library's rule.
#include <dcmtk/dcmdata/dcdeftag.h>
#include <dcmtk/dcmdata/dcfilefo.h>

#include <stdexcept>

#include "tests/support/child_process.h"

namespace perisclera::test {

void run_tool(std::vector<std::string> words) {
    words.front() = "/usr/bin/" + words.front();
    const Ended ended = run_child(words);
    if (ended.status != 0) throw std::runtime_error(words.front() + " failed: " + ended.error_text + ended.output_text);
}

void recode_with_gdcm(const std::filesystem::path& file, const std::vector<std::string>& options) {
    const std::filesystem::path out = file.string() + ".recoded";
    std::vector<std::string> words{"gdcmconv"};
    words.insert(words.end(), options.begin(), options.end());
    words.insert(words.end(), {file.string(), out.string()});
    run_tool(words);
    std::filesystem::rename(out, file);
}

std::vector<float> values_by_gdcm(const std::filesystem::path& file) {
    const std::filesystem::path raw = file.string() + ".raw";
    run_tool({"gdcmconv", "--raw", file.string(), raw.string()});
    DcmFileFormat format;
    if (format.loadFile(raw.c_str()).bad() || format.loadAllDataIntoMemory().bad()) throw std::runtime_error("no output");
    std::filesystem::remove(raw);
    DcmDataset& data = *format.getDataset();
    Uint16 allocated = 0, stored = 0, sign = 0;
    Float64 slope = 1.0, intercept = 0.0;
    data.findAndGetUint16(DCM_BitsAllocated, allocated);
    data.findAndGetUint16(DCM_BitsStored, stored);
    data.findAndGetUint16(DCM_PixelRepresentation, sign);
    if (data.findAndGetFloat64(DCM_RescaleSlope, slope).bad() || data.findAndGetFloat64(DCM_RescaleIntercept, intercept).bad()) {
        slope = 1.0;
        intercept = 0.0;
    }
    std::vector<float> values;
    const auto add = [&](int value) {
        if (sign == 1 && value >= 1 << (stored - 1)) value -= 1 << stored;
        values.push_back(static_cast<float>(value * slope + intercept));
    };
    unsigned long count = 0;
    if (allocated == 8) {
        const Uint8* pixels = nullptr;
        data.findAndGetUint8Array(DCM_PixelData, pixels, &count);
        for (unsigned long i = 0; i < count; ++i) add(pixels[i]);
    } else {
        const Uint16* pixels = nullptr;
        data.findAndGetUint16Array(DCM_PixelData, pixels, &count);
        for (unsigned long i = 0; i < count; ++i) add(pixels[i] & ((1 << stored) - 1));
    }
    return values;
}

}  // namespace perisclera::test
