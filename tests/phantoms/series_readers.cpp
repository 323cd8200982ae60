// SPDX-License-Identifier: Apache-2.0
#include "tests/phantoms/series_readers.h"

#include <gdcmImageReader.h>

#include <algorithm>
#include <cstdint>
#include <nlohmann/json.hpp>
#include <set>
#include <stdexcept>

#include "perisclera/assemble/catalogue.h"
#include "perisclera/ingest/read_pixels.h"
#include "tests/support/child_process.h"

namespace perisclera::test {

namespace fs = std::filesystem;

std::vector<ReadSlice> series_by_gdcm(const fs::path& folder) {
    std::set<fs::path> files;
    for (const auto& entry : fs::directory_iterator(folder)) files.insert(entry.path());
    std::vector<ReadSlice> slices;
    for (const fs::path& file : files) {
        gdcm::ImageReader reader;
        reader.SetFileName(file.c_str());
        if (!reader.Read()) throw std::runtime_error("GDCM cannot read " + file.string());
        const gdcm::Image& image = reader.GetImage();
        ReadSlice slice{};
        slice.name = file.filename().string();
        std::copy_n(image.GetOrigin(), 3, slice.position.begin());
        std::copy_n(image.GetDirectionCosines(), 6, slice.orientation.begin());
        slice.spacing = {image.GetSpacing(1), image.GetSpacing(0)};  // GDCM counts along x first
        slice.rows = static_cast<int>(image.GetDimension(1)), slice.columns = static_cast<int>(image.GetDimension(0));
        if (image.GetPixelFormat().GetScalarType() != gdcm::PixelFormat::UINT16) throw std::runtime_error("not of 16 bits without sign");
        std::vector<std::uint16_t> stored(image.GetBufferLength() / sizeof(std::uint16_t));
        if (!image.GetBuffer(reinterpret_cast<char*>(stored.data()))) throw std::runtime_error("GDCM cannot decode " + file.string());
        for (const std::uint16_t value : stored) slice.values.push_back(image.GetSlope() * value + image.GetIntercept());
        slices.push_back(std::move(slice));
    }
    return slices;
}

std::map<fs::path, std::vector<ReadSlice>> all_by_pydicom(const fs::path& folder) {
    const Ended ended = run_child({"/usr/bin/python3", std::string(PERISCLERA_SOURCE_DIR) + "/tests/phantoms/read_by_pydicom.py", folder.string()});
    if (ended.status != 0) throw std::runtime_error("pydicom: " + ended.error_text);
    std::map<fs::path, std::vector<ReadSlice>> all;
    const auto told = nlohmann::json::parse(ended.output_text);
    for (const auto& [series, slices] : told.items())
        for (const auto& s : slices)
            all[series].push_back({s["name"], s["position"], s["orientation"], s["spacing"], s["rows"], s["columns"], s["values"]});
    return all;
}

std::vector<ReadSlice> series_by_perisclera(const fs::path& folder) {
    auto files = scan_inputs({folder});
    if (!files) throw std::runtime_error(files.error().what);
    const auto found = catalogue(std::move(files).value());
    if (!found) throw std::runtime_error(found.error().what);
    const CatalogueSeries& series = found.value().patients.at(0).studies.at(0).series.at(0);
    if (!series.stack) throw std::runtime_error(series.error->what);
    const VolumeGeometry& geometry = series.stack->geometry();
    const PatientVector row = geometry.row(), column = geometry.column();
    std::vector<ReadSlice> slices;
    for (const SliceHeader& header : series.stack->slices()) {
        const PatientPoint first = geometry.to_patient({0.0, 0.0, static_cast<double>(slices.size())});
        const auto pixels = read_pixels(header);
        if (!pixels) throw std::runtime_error(pixels.error().what);
        slices.push_back({header.path.filename().string(), {first.x, first.y, first.z}, {row.x, row.y, row.z, column.x, column.y, column.z},
                          {geometry.spacing_mm()[1], geometry.spacing_mm()[0]}, geometry.size()[1], geometry.size()[0],
                          {pixels.value().begin(), pixels.value().end()}});
    }
    std::sort(slices.begin(), slices.end(), [](const ReadSlice& a, const ReadSlice& b) { return a.name < b.name; });
    return slices;
}

}  // namespace perisclera::test
