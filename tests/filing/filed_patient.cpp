// SPDX-License-Identifier: Apache-2.0
#include "tests/filing/filed_patient.h"

#include <dcmtk/config/osconfig.h>
// osconfig.h comes first by the library's rule.
#include <dcmtk/dcmdata/dctk.h>

#include <algorithm>
#include <stdexcept>

#include "perisclera/assemble/load_patient.h"
#include "perisclera/dicom/output_folder.h"
#include "perisclera/pipeline/identify.h"
#include "phantoms/scenario.h"
#include "phantoms/synthesise.h"
#include "tests/support/enhanced_image.h"

namespace perisclera::test {

namespace fs = std::filesystem;

namespace {

template <class T>
T must_have(Result<T> result) {
    if (!result) throw std::runtime_error(one_line(result.error()));
    return std::move(result).value();
}

std::vector<fs::path> image_files(const fs::path& folder) {
    std::vector<fs::path> files;
    for (const auto& entry : fs::recursive_directory_iterator(folder))
        if (entry.is_regular_file() && entry.path().extension() != ".json") files.push_back(entry.path());
    std::sort(files.begin(), files.end());
    return files;
}

std::vector<double> numbers(DcmItem& item, const DcmTagKey& tag, unsigned long count) {
    std::vector<double> values(count);
    for (unsigned long k = 0; k < count; ++k)
        if (item.findAndGetFloat64(tag, values[k], k).bad()) throw std::runtime_error("no such number");
    return values;
}

std::string words(DcmItem& item, const DcmTagKey& tag) {
    OFString text;
    item.findAndGetOFStringArray(tag, text);
    return text.c_str();
}

}  // namespace

FiledPatient analysed(const fs::path& images) {
    LoadOptions load;
    load.threads = 2;
    const PatientStudies patient = must_have(read_patient({images}, load));
    IdentifyOptions options;
    options.threads = 2;
    FiledPatient out{images, must_have(identify(patient, options, {})), {patient.patient_name, patient.patient_id}};
    for (const Visit& visit : patient.visits) out.identity.studies.insert(out.identity.studies.end(), visit.studies.begin(), visit.studies.end());
    return out;
}

FiledPatient simulated(const std::string& scenario, const fs::path& folder) {
    OutputFolder out = must_have(OutputFolder::open(folder / "images", true));
    must_have(phantoms::synthesise(must_have(phantoms::parse_scenario(scenario)), out, {}, 2));
    must_have(out.commit());
    fs::rename(folder / "images" / "truth.json", folder / "truth.json");
    return analysed(folder / "images");
}

void write_as_enhanced_ct(const fs::path& classic, const fs::path& file) {
    EnhancedImage image;
    image.ct = true;
    image.sop_uid = "1.2.5.77";
    for (const fs::path& path : image_files(classic)) {
        DcmFileFormat format;
        if (format.loadFile(path.c_str()).bad()) throw std::runtime_error("no image");
        DcmDataset& data = *format.getDataset();
        Uint16 rows = 0, columns = 0;
        const Uint16* stored = nullptr;
        unsigned long count = 0;
        data.findAndGetUint16(DCM_Rows, rows);
        data.findAndGetUint16(DCM_Columns, columns);
        if (data.findAndGetUint16Array(DCM_PixelData, stored, &count).bad()) throw std::runtime_error("no pixels");
        image.rows = rows;
        image.columns = columns;
        const std::vector<double> position = numbers(data, DCM_ImagePositionPatient, 3), orientation = numbers(data, DCM_ImageOrientationPatient, 6);
        std::copy(orientation.begin(), orientation.end(), image.orientation.begin());
        image.pixel_spacing = words(data, DCM_PixelSpacing);
        image.slice_thickness = words(data, DCM_SliceThickness);
        for (const DcmTagKey& tag : {DCM_PatientName, DCM_PatientID, DCM_PatientBirthDate, DCM_StudyInstanceUID, DCM_StudyDate, DCM_FrameOfReferenceUID})
            image.top_level[{tag.getGroup(), tag.getElement()}] = words(data, tag);
        EnhancedFrame frame;
        std::copy(position.begin(), position.end(), frame.position.begin());
        frame.stored.assign(stored, stored + count);
        image.frames.push_back(std::move(frame));
    }
    fs::create_directories(file.parent_path());
    write_enhanced(file, image);
}

std::string voxel_runs(const report::SegmentedSeries& series) {
    std::string text;
    const auto size = series.geometry.size();
    for (std::size_t s = 0; s < series.segments.size(); ++s)
        for (int z = 0; z < size[2]; ++z)
            for (int y = 0; y < size[1]; ++y)
                for (int x = 0; x < size[0]; ++x) {
                    const int begin = x;
                    while (x < size[0] && series.segments[s].mask.at(x, y, z)) ++x;
                    if (x == begin) continue;
                    const SourceSlice& slice = series.slices[static_cast<std::size_t>(z)];
                    text += std::to_string(s + 1) + " " + slice.sop_instance_uid + " " + std::to_string(slice.frame) + " " + std::to_string(y) + " " + std::to_string(begin) + " " +
                            std::to_string(x - begin) + "\n";
                }
    return text;
}

std::vector<fs::path> files_of_series(const fs::path& images, const std::string& series_uid) {
    std::vector<fs::path> files = image_files(images);
    std::erase_if(files, [&](const fs::path& path) {
        DcmFileFormat format;
        return format.loadFileUntilTag(path.c_str(), EXS_Unknown, EGL_noChange, DCM_MaxReadLength, ERM_autoDetect, DCM_PixelData).bad() ||
               words(*format.getDataset(), DCM_SeriesInstanceUID) != series_uid;
    });
    return files;
}

}  // namespace perisclera::test
