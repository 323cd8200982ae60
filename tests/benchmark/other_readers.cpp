// SPDX-License-Identifier: Apache-2.0
#include "tests/benchmark/other_readers.h"

#include <dcmtk/config/osconfig.h>
// osconfig.h comes first by the library's rule.
#include <dcmtk/dcmdata/dcdeftag.h>
#include <dcmtk/dcmdata/dcfilefo.h>
#include <dcmtk/oflog/oflog.h>
#include <gdcmTrace.h>
#include <itkGDCMImageIO.h>
#include <itkImage.h>
#include <itkImageSeriesReader.h>

#include <set>
#include <string>

#include "tests/support/dicom_writing.h"

namespace perisclera::test {

void prepare_other_readers(const std::filesystem::path& any_file) {
    // They would spend their time on a line for each file or each private element.
    OFLog::configure(OFLogger::OFF_LOG_LEVEL);
    gdcm::Trace::WarningOff();
    headers_by_dcmtk({any_file});
    pixels_by_itk({any_file}, [](std::span<const float>) {});
}

std::vector<float> pixels_by_dcmtk(const Files& files) {
    std::vector<float> values;
    for (const auto& file : files) {
        DcmFileFormat format;
        must(format.loadFile(file.c_str()));
        DcmDataset& data = *format.getDataset();
        Uint16 rows = 0, columns = 0;
        must(data.findAndGetUint16(DCM_Rows, rows));
        must(data.findAndGetUint16(DCM_Columns, columns));
        Float64 slope = 1.0, intercept = 0.0;
        must(data.findAndGetFloat64(DCM_RescaleSlope, slope));
        must(data.findAndGetFloat64(DCM_RescaleIntercept, intercept));
        const Uint16* stored = nullptr;
        unsigned long count = 0;
        must(data.findAndGetUint16Array(DCM_PixelData, stored, &count));
        const std::size_t start = values.size();
        if (start == 0) values.reserve(files.size() * count);
        values.resize(start + count);
        for (unsigned long i = 0; i < count; ++i) values[start + i] = static_cast<float>(stored[i] * slope + intercept);
    }
    return values;
}

void pixels_by_itk(const Files& files, const std::function<void(std::span<const float>)>& use) {
    using Image = itk::Image<float, 3>;
    std::vector<std::string> names;
    for (const auto& file : files) names.push_back(file.string());
    const auto reader = itk::ImageSeriesReader<Image>::New();
    reader->SetImageIO(itk::GDCMImageIO::New());
    reader->SetFileNames(names);
    reader->Update();
    const Image& image = *reader->GetOutput();
    use({image.GetBufferPointer(), image.GetBufferedRegion().GetNumberOfPixels()});
}

std::size_t headers_by_dcmtk(const Files& files) {
    std::set<std::string> series;
    for (const auto& file : files) {
        DcmFileFormat format;
        must(format.loadFileUntilTag(file.c_str(), EXS_Unknown, EGL_noChange, DCM_MaxReadLength, ERM_autoDetect, DCM_PixelData));
        OFString uid;
        must(format.getDataset()->findAndGetOFString(DCM_SeriesInstanceUID, uid));
        series.emplace(uid.c_str());
    }
    return series.size();
}

}  // namespace perisclera::test
