// SPDX-License-Identifier: Apache-2.0
#include "synthesise.h"

#include <algorithm>
#include <cstdio>

#include "element_fit.h"
#include "look_alike_fit.h"
#include "mr_field.h"
#include "mr_protocol.h"
#include "perisclera/core/version.h"
#include "perisclera/dicom/image_object.h"
#include "perisclera/dicom/uid.h"
#include "random_field.h"
#include "scanner.h"
#include "truth.h"

namespace perisclera::phantoms {

namespace {

std::string numbered(const char* format, int number) {
    char text[24];
    std::snprintf(text, sizeof text, format, number);
    return text;
}

std::string upper(std::string_view text) {
    std::string out(text);
    std::transform(out.begin(), out.end(), out.begin(), [](char c) { return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c == '_' ? ' ' : c; });
    return out;
}

/// Each thread keeps a drawing of every series that it draws at once: of a whole head some 60 MB.
constexpr std::ptrdiff_t most_together = 2;

/// What one series sees.
struct View {
    HeadPose pose;
    HeadModel head;
    VolumeGeometry geometry;
    Appearance shown;
};

/// Where in the scenario a series stands, and the text its UIDs are made from.
struct Slot {
    std::size_t timepoint;
    int number;  ///< of the series within its study, from 1
    std::string seed_text;
};

ImageSeriesHeader header(const Scenario& scenario, const Timepoint& timepoint, const Series& series, const Slot& slot) {
    ImageSeriesHeader h;
    const std::string patient_text = "perisclera phantom/" + std::to_string(scenario.seed) + "/" + scenario.patient_id;
    const std::string study_text = patient_text + "/study " + std::to_string(slot.timepoint);
    h.patient_name = "Simulated^Patient";
    h.patient_id = scenario.patient_id;
    h.patient_sex = scenario.patient_sex;
    h.patient_birth_date = std::to_string(scenario.birth_year) + "0101";
    h.study_uid = uid_from(study_text);
    h.study_date = timepoint.study_date;
    std::erase(h.study_date, '-');
    h.study_time = "100000";
    h.study_id = std::to_string(slot.timepoint + 1);
    h.study_description = "SIMULATED ORBITS";
    h.series_uid = uid_from(slot.seed_text);
    h.series_time = "10" + numbered("%02d", std::min(slot.number, 59)) + "00";
    h.series_description = "SIMULATED " + upper(name(series.kind)) + " " + upper(name(series.plane));
    // One scanner a modality: its series share a frame of reference, though the head may move between them.
    h.frame_of_reference_uid = uid_from(study_text + (series.is_ct() ? "/CT" : "/MR"));
    h.series_number = slot.number;
    h.manufacturer = "Perisclera";
    h.model = "phantom";
    h.software_version = std::string(program_version);
    h.derivation_description = "Synthesised from analytic shapes; shows no person";
    return h;
}

Result<Done> write_series(VoxelGrid grid, const ImageSeriesHeader& h, const Series& series, const std::string& folder, OutputFolder& out) {
    const int slices = grid.geometry().size()[2];
    const auto write = [&](int k, const Result<std::string>& bytes) -> Result<Done> {
        if (!bytes) return bytes.error();
        return out.write(folder + numbered("/I%05d.dcm", k + 1), bytes.value());
    };
    if (series.is_ct()) {
        const CtVolume volume(std::move(grid));
        const CtAcquisition acquisition{series.kvp, upper(name(series.kernel)), series.slice_thickness_mm, series.gantry_tilt_deg,
                                        series.scale == Scale::extended};
        for (int k = 0; k < slices; ++k)
            if (const auto written = write(k, ct_image_bytes(h, acquisition, volume, k)); !written) return written.error();
    } else {
        const MrVolume volume(std::move(grid));
        for (int k = 0; k < slices; ++k)
            if (const auto written = write(k, mr_image_bytes(h, mr_acquisition(series.mr, series.slice_thickness_mm), volume, k)); !written) return written.error();
    }
    return Done{};
}

}  // namespace

Result<Done> synthesise(const Scenario& scenario, OutputFolder& out, const Progress& progress, unsigned threads) {
    if (const auto fits = elements_fit(scenario); !fits) return fits.error();
    if (const auto fits = look_alikes_fit(scenario); !fits) return fits.error();
    int done = 0, total = 0;
    for (const Timepoint& t : scenario.timepoints) total += static_cast<int>(t.series.size());
    std::vector<TimepointTruth> truths;
    for (std::size_t t = 0; t < scenario.timepoints.size(); ++t) {
        const Timepoint& timepoint = scenario.timepoints[t];
        TimepointTruth truth{timepoint.study_date, {}, timepoint.eyes};
        LastField last_field;
        std::vector<View> views;
        for (const Series& series : timepoint.series) {
            const HeadPose pose(series);
            const auto geometry = series_geometry(series, pose);
            if (!geometry) return Error{ErrorCode::bad_scenario, geometry.error().what, "scenario", "change field_mm, spacing_mm or tilt_deg"};
            views.push_back({pose, HeadModel(timepoint.eyes, series.gaze_deg, pose.down()), geometry.value(), appearance(series, timepoint.eyes)});
        }
        std::vector<Scan> scans;
        for (const Series& series : timepoint.series) {
            const View& view = views[scans.size()];
            const std::uint64_t noise_key = mixed(mixed(scenario.seed, t), static_cast<std::uint64_t>(scans.size() + 1));
            scans.push_back({series, view.head, view.pose, view.shown, scenario.texture, noise_key, mixed(scenario.seed), &last_field});
        }
        for (std::size_t next = 0; next < scans.size();) {
            const auto first = scans.begin() + static_cast<std::ptrdiff_t>(next);
            const auto last = first + std::min(most_together, scans.end() - first);
            const std::vector<Scan> together(first, std::find_if_not(first + 1, last, [&](const Scan& scan) { return drawn_together(*first, scan); }));
            for (VoxelGrid& grid : acquire_together(together, views[next].geometry, threads)) {
                const View& view = views[next];
                const Series& series = timepoint.series[next];
                const int number = static_cast<int>(++next);
                const Slot slot{t, number, "perisclera phantom/" + std::to_string(scenario.seed) + "/" + scenario.patient_id + "/" + std::to_string(t) + "/" + std::to_string(number)};
                const ImageSeriesHeader h = header(scenario, timepoint, series, slot);
                const std::string folder = h.study_date + numbered("/%02d", number);
                if (const auto written = write_series(std::move(grid), h, series, folder, out); !written) return written.error();
                truth.series.push_back(series_truth(series, h.series_uid, view.head, view.pose));
                if (progress) progress(++done, total);
            }
        }
        truths.push_back(std::move(truth));
    }
    return out.write("truth.json", truth_json(truths));
}

}  // namespace perisclera::phantoms
