// SPDX-License-Identifier: Apache-2.0
#include "neutral_images.h"

#include <algorithm>

#include "perisclera/alignment/eye_views.h"
#include "perisclera/core/text.h"

namespace perisclera::teaching {

namespace {

constexpr double half_width_mm = 22.0, pixel_mm = 0.25;
constexpr std::size_t pixels = static_cast<std::size_t>(2.0 * half_width_mm / pixel_mm) + 1;

struct Plane {
    const char* key;   ///< of its name in the catalogue
    PatientVector right, down;
    report::BorderLetters letters;
};

/// As radiologists look at them: from below, from the front, from the patient's left.
const std::vector<Plane>& planes() {
    static const std::vector<Plane> all{{"question.axial", {1, 0, 0}, {0, 1, 0}, {"R", "L", "A", "P"}},
                                        {"question.coronal", {1, 0, 0}, {0, 0, -1}, {"R", "L", "S", "I"}},
                                        {"question.sagittal", {0, 1, 0}, {0, 0, -1}, {"A", "P", "S", "I"}}};
    return all;
}

/// Soft tissue on CT; on MR from black to the brighter of what is shown.
std::pair<float, float> window_of(const ImageSeries& series, const std::vector<float>& shown) {
    if (series.description.modality == Modality::ct) return {-160.0f, 240.0f};
    std::vector<float> values = shown;
    const auto k = static_cast<std::ptrdiff_t>(0.99 * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), values.begin() + k, values.end());
    return {0.0f, std::max(1.0f, values[static_cast<std::size_t>(k)])};
}

report::KeyImage picture(const ImageSeries& series, PatientPoint centre, Eye eye, const Plane& plane, const std::string& timepoint) {
    std::vector<float> values;
    values.reserve(pixels * pixels);
    const auto step = [](std::size_t k) { return static_cast<double>(k) * pixel_mm - half_width_mm; };
    const float outside = series.description.modality == Modality::ct ? -1024.0f : 0.0f;
    for (std::size_t y = 0; y < pixels; ++y)
        for (std::size_t x = 0; x < pixels; ++x) {
            const PatientPoint p = centre + plane.right * step(x) + plane.down * step(y);
            values.push_back(series.grid().geometry().contains(p) ? series.grid().sample(p) : outside);
        }
    const auto [low, high] = window_of(series, values);
    return {timepoint, series.description.series_uid, eye, say(plane.key), "", pixels, pixels, std::move(values), low, high, Mm(pixel_mm), plane.letters, {}, {}};
}

}  // namespace

std::vector<report::KeyImage> neutral_images(const report::ReportModel& model, const PatientStudies& patient) {
    std::vector<report::KeyImage> images;
    for (std::size_t v = 0; v < patient.visits.size() && v < model.timepoints.size(); ++v)
        for (const ImageSeries& series : patient.visits[v].series) {
            const SeriesViews views = view_series(series, 0);
            for (const Eye eye : both_eyes) {
                const auto& view = views.eye[eye == Eye::right ? 0 : 1];
                if (!view) continue;
                for (const Plane& plane : planes()) images.push_back(picture(series, view->block.globe().frame.origin(), eye, plane, model.timepoints[v].id));
            }
        }
    return images;
}

}  // namespace perisclera::teaching
