// SPDX-License-Identifier: Apache-2.0
#pragma once
// Teaching files made of what is drawn here: eyes as balls on CT, and reports that conclude what a test asks for.
#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <map>
#include <optional>
#include <string>

#include "perisclera/teaching/pages.h"
#include "tests/support/test_folder.h"

namespace perisclera::teaching {

/// A ball in dark surroundings twice over: a head with nothing but eyes, on CT. `vitreous`, HU, tells patients apart.
inline PatientStudies drawn_patient(float vitreous = 10.0f) {
    const std::array<int, 3> size{140, 70, 50};
    auto geometry = VolumeGeometry::make({-69.5, -35.0, -24.5}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {1.0, 1.0}, size).value();
    std::vector<float> values;
    for (int z = 0; z < size[2]; ++z)
        for (int y = 0; y < size[1]; ++y)
            for (int x = 0; x < size[0]; ++x) {
                const PatientPoint p = geometry.to_patient({static_cast<double>(x), static_cast<double>(y), static_cast<double>(z)});
                const double r = std::hypot(std::abs(p.x) - 31.0, p.y, p.z);
                values.push_back(r < 11.0 ? vitreous : r < 12.2 ? 60.0f : p.y > -12.5 ? -90.0f : -1000.0f);
            }
    Visit visit{StudyDate::from_dicom("19600101").value(), {}, {}};
    SeriesDescription description{};
    description.series_uid = "1.2.3";
    description.modality = Modality::ct;
    description.role = SeriesRole::ct_soft;
    visit.series.push_back({description, CtVolume(VoxelGrid(geometry, std::move(values)))});
    PatientStudies patient;
    patient.visits.push_back(std::move(visit));
    return patient;
}

/// One element, of one material, or undetermined.
inline report::ReportModel conclusion(std::optional<report::Material> material, double probability, Eye eye) {
    report::ReportModel model;
    report::Timepoint visit{.id = "t1", .study_date = StudyDate::from_dicom("19600101").value(), .series = {}, .right = {}, .left = {}};
    visit.series.push_back({.series_uid = "1.2.3", .modality = Modality::ct, .role = SeriesRole::ct_soft, .used = true});
    report::ElementEntry element;
    element.id = eye == Eye::right ? "R1" : "L1";
    element.material.label = material;
    element.material.probabilities[material.value_or(report::Material::other)] = probability;
    visit.eye(eye).elements.push_back(element);
    visit.eye(eye).explant.presence = report::Presence::present;
    visit.eye(fellow(eye)).explant.presence = report::Presence::absent;
    model.timepoints.push_back(std::move(visit));
    return model;
}

/// Pictures of the element of one even grey each, on CT, T1 and T2 in this order; no picture where none is asked for.
inline void show_evenly(report::ReportModel& model, Eye eye, const std::array<std::optional<int>, 3>& greys) {
    constexpr std::size_t side = 44;
    const std::array<SeriesRole, 3> roles{SeriesRole::ct_soft, SeriesRole::t1, SeriesRole::t2};
    for (std::size_t s = 0; s < greys.size(); ++s) {
        if (!greys[s]) continue;
        const std::string uid = "1.2." + std::to_string(s + 3);
        if (s > 0) model.timepoints.front().series.push_back({.series_uid = uid, .modality = Modality::mr, .role = roles[s], .used = true});
        report::KeyImage image{"t1", uid, eye, "plane through the eye's axis", "", side, side, std::vector<float>(side * side, static_cast<float>(*greys[s])), 0.0f, 255.0f, Mm(1.0), {}, {}, {}};
        const std::string element = eye == Eye::right ? "R1" : "L1";
        if (model.key_images.empty()) image.outlines.push_back({element, {{34, 20}, {38, 20}, {38, 26}, {34, 26}}, true});
        model.key_images.push_back(std::move(image));
    }
}

inline std::map<std::string, std::string> by_path(const Result<std::vector<report::OutputFile>>& files) {
    std::map<std::string, std::string> out;
    for (const report::OutputFile& file : files.value()) out[file.path] = file.bytes;
    return out;
}

/// As teach writes it, without its images as DICOM.
inline void write_case(const std::filesystem::path& folder, const report::ReportModel& model, const PatientStudies& patient, const std::string& history = "Seen for double vision.") {
    for (const auto& files : {by_path(question_files(model, patient, history, 3)), by_path(answer_files(model, "TEACH-1", 3))})
        for (const auto& [path, bytes] : files) {
            std::filesystem::create_directories((folder / path).parent_path());
            test::write_bytes(folder / path, bytes);
        }
}

}  // namespace perisclera::teaching
