// SPDX-License-Identifier: Apache-2.0
// The accuracy sweep in real anatomy: elements drawn as for the synthesised patients are put into the series of real heads without
// explants, identified, and compared with what was put in. Writes a document like docs/accuracy.md.
//   real_anatomy_sweep FOLDER [--report FILE], with the options of tests/bank/sweep_options.h
// FOLDER holds one folder a head; FILE receives the last report.json. Draws of which more than a twentieth would lie within bone are passed over.
// A file HEAD.truth.json beside a head's folder (truth.json's layout, one series of each kind) tells where its eyes lie; else the program's own fit to the untouched head does.
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <set>

#include "accuracy_table.h"
#include "perisclera/anatomy/globe.h"
#include "perisclera/anatomy/globe_finder.h"
#include "perisclera/assemble/load_patient.h"
#include "perisclera/pipeline/identify.h"
#include "perisclera/report/json.h"
#include "phantoms/composite.h"
#include "phantoms/ct_kernel.h"
#include "phantoms/ct_number.h"
#include "phantoms/edge_blur.h"
#include "phantoms/mr_protocol.h"
#include "phantoms/series_look.h"
#include "phantoms/truth.h"
#include "tests/bank/running_table.h"
#include "tests/bank/sweep_options.h"

namespace {

using namespace perisclera;
using namespace perisclera::accuracy;

/// What a series does to whatever it shows.
struct Texture {
    double blur_mm;
    phantoms::NoiseTexture noise;
};

struct Head {
    std::string name;
    PatientStudies images;
    std::vector<std::array<std::optional<phantoms::RealGlobe>, 2>> globes;  ///< of each series
    std::vector<std::optional<Texture>> textures;             ///< of each series with globes
    [[nodiscard]] Visit& visit() { return images.visits.front(); }
};

double thickness_of(const ImageSeries& series) { return series.description.slice_thickness_mm.value_or(series.grid().geometry().spacing_mm()[2]); }

/// As measured in the series; where it shows too few edges the blur of its kernel, on MR 0.4 pixels, and where too little vitreous white noise of
/// a twentieth of the wall's contrast (both assumed).
Texture texture_of(const ImageSeries& series, const std::array<std::optional<Globe>, 2>& globes) {
    constexpr double face_mm = 70.0, ball_mm = 6.0;
    const std::array<PatientPoint, 2> centres{globes[0]->frame.origin(), globes[1]->frame.origin()};
    const auto blur = phantoms::measured_blur(series.grid(), centres[0] + (centres[1] - centres[0]) * 0.5, face_mm, thickness_of(series));
    const auto noise = phantoms::measured_noise(series.grid(), centres, ball_mm);
    const bool ct = series.description.modality == Modality::ct;
    const double assumed = ct ? phantoms::ct_blur(series.description.role == SeriesRole::ct_bone ? phantoms::Kernel::bone : phantoms::Kernel::soft).sigma_mm
                              : 0.4 * series.grid().geometry().spacing_mm()[0];
    return {blur ? blur->sigma_mm : assumed, noise ? *noise : phantoms::NoiseTexture{0.05 * globes[0]->wall_contrast, 0, {}}};
}

phantoms::RealGlobe placed(const EyeFrame& frame, double radius_mm, std::function<double(PatientVector)> outer_mm) {
    return {frame.origin(), frame.towards_left(), frame.superior(), frame.anterior(), radius_mm, std::move(outer_mm)};
}

PatientVector vector_of(const nlohmann::json& numbers) { return {numbers[0].get<double>(), numbers[1].get<double>(), numbers[2].get<double>()}; }

/// By hand: spheres, levelled by the line between them as the program's own frames are.
std::array<std::optional<phantoms::RealGlobe>, 2> placed_by_hand(const nlohmann::json& series, const nlohmann::json& radius_mm) {
    const PatientPoint origin{0, 0, 0}, right = origin + vector_of(series["centres"]["right"]), left = origin + vector_of(series["centres"]["left"]);
    const PatientVector towards_left = unit(left - right), ahead = unit(-cross(PatientVector{0, 0, 1}, towards_left)), superior = cross(ahead, towards_left);
    const auto one = [&](const char* eye, PatientPoint centre) {
        const double radius = radius_mm[eye].get<double>();
        return placed(EyeFrame(centre, vector_of(series["axes"][eye]), superior), radius, [radius](PatientVector) { return radius; });
    };
    return {one("right", right), one("left", left)};
}

std::optional<Head> read_head(const std::filesystem::path& folder) {
    LoadOptions load;
    load.threads = 2;
    auto images = read_patient({std::filesystem::canonical(folder)}, load);
    if (!images || images.value().visits.empty()) return std::nullopt;
    Head head{folder.filename().string(), std::move(images).value(), {}, {}};
    head.images.visits.erase(head.images.visits.begin() + 1, head.images.visits.end());
    const std::filesystem::path by_hand = folder.string() + ".truth.json";
    const nlohmann::json truth = exists(by_hand) ? nlohmann::json::parse(std::ifstream(by_hand)) : nlohmann::json();
    for (const ImageSeries& series : head.visit().series) {
        const Modality modality = series.description.modality;
        const FoundGlobes found = find_globes(series.grid(), modality);
        std::array<std::optional<Globe>, 2> globes;
        if (found.right && found.left) {
            globes[0] = fit_globe(series.grid(), modality, Eye::right, *found.right, found.left->centre);
            globes[1] = fit_globe(series.grid(), modality, Eye::left, *found.left, found.right->centre);
        }
        head.textures.push_back(globes[0] && globes[1] ? std::optional(texture_of(series, globes)) : std::nullopt);
        std::array<std::optional<phantoms::RealGlobe>, 2> places;
        for (std::size_t e = 0; e < 2; ++e)
            if (globes[e]) places[e] = placed(globes[e]->frame, globes[e]->equatorial_radius_mm(), [globe = *globes[e]](PatientVector d) { return globe.outer_radius_mm(d); });
        if (globes[0] && globes[1] && !truth.is_null()) {
            const nlohmann::json& visit = truth["timepoints"][0];
            const std::string kind = modality == Modality::ct ? "ct" : series.description.role == SeriesRole::t2 ? "t2" : "t1";
            for (const nlohmann::json& told : visit["series"])
                if (told["kind"] == kind) places = placed_by_hand(told, visit["outer_radius_mm"]);
        }
        head.globes.push_back(std::move(places));
    }
    return head;
}

/// The sequence that the header tells, the usual one of the role where it is silent. Gradient echoes are told by their times (common practice, no source).
phantoms::MrSetting setting_of(const SeriesDescription& d) {
    using phantoms::Kind;
    const auto kind = [&] {
        switch (d.role) {
            case SeriesRole::t1_fatsat: return Kind::t1_fatsat;
            case SeriesRole::t1_contrast: return Kind::t1_contrast;
            case SeriesRole::t1_contrast_fatsat: return Kind::t1_contrast_fatsat;
            case SeriesRole::t2: return Kind::t2;
            case SeriesRole::t2_fatsat: return Kind::t2_fatsat;
            case SeriesRole::stir: return Kind::stir;
            case SeriesRole::flair: return Kind::flair;
            case SeriesRole::pd: return Kind::pd;
            default: break;
        }
        if (d.repetition_time_ms.value_or(500.0) < 100.0) return Kind::t1_gradient_echo;
        return d.repetition_time_ms.value_or(500.0) > 1500.0 && d.echo_time_ms.value_or(15.0) < 8.0 ? Kind::t1_prepared : Kind::t1;
    };
    phantoms::MrSetting setting = phantoms::usual_mr_setting(kind());
    setting.field_strength_tesla = d.field_strength_tesla.value_or(setting.field_strength_tesla);
    setting.repetition_time_ms = d.repetition_time_ms.value_or(setting.repetition_time_ms);
    setting.echo_time_ms = d.echo_time_ms.value_or(setting.echo_time_ms);
    if (setting.inversion_time_ms) setting.inversion_time_ms = d.inversion_time_ms.value_or(*setting.inversion_time_ms);
    if (setting.sequence != phantoms::MrSequence::spin_echo) setting.flip_angle_deg = d.flip_angle_deg.value_or(setting.flip_angle_deg);
    return setting;
}

/// CT numbers at the series' voltage; MR by the sequence's equation, on the scale of this patient's own vitreous and fat.
phantoms::CompositeLook look_of(const ImageSeries& series, const Texture& texture, const phantoms::RealGlobe& globe, const phantoms::Element& element) {
    const SeriesDescription& d = series.description;
    const bool ct = d.modality == Modality::ct;
    const double value = ct ? phantoms::element_ct_number(element, d.kvp.value_or(120.0))
                            : phantoms::element_level(element, setting_of(d), phantoms::reference_levels(series.grid(), globe));
    return {value, texture.noise, texture.blur_mm, thickness_of(series), !ct};
}

std::string truth_of(const Head& head, const std::array<phantoms::EyeState, 2>& eyes) {
    phantoms::TimepointTruth truth{"2020-01-01", {}, eyes};
    for (std::size_t s = 0; s < head.globes.size(); ++s) {
        if (!head.globes[s][0]) continue;
        phantoms::SeriesTruth series{head.images.visits.front().series[s].description.series_uid, "", "", {}, {}, {}};
        for (std::size_t e = 0; e < 2; ++e) series.centres[e] = head.globes[s][e]->centre, series.axes[e] = head.globes[s][e]->anterior;
        truth.series.push_back(series);
    }
    return phantoms::truth_json({truth});
}

struct Drawn {
    DrawnPatient patient;
    std::array<phantoms::EyeState, 2> eyes;
    std::size_t operated;
};

std::optional<Drawn> draw(unsigned long seed, int number) {
    Drawn drawn{draw_patient(seed, number), {}, 0};
    const auto scenario = phantoms::parse_scenario(drawn.patient.scenario);
    if (!scenario) return std::nullopt;
    drawn.eyes = scenario.value().timepoints.front().eyes;
    drawn.operated = drawn.eyes[0].elements.empty() ? 1 : 0;
    return drawn;
}

}  // namespace

int main(int argc, char** argv) {
    CLI::App command("Accuracy of identify on elements put into real heads");
    bank::SweepOptions options{.patients = 54, .seed = 101};
    std::filesystem::path heads_folder, report_file;
    command.add_option("FOLDER", heads_folder, "holds one folder a head")->required()->check(CLI::ExistingDirectory);
    command.add_option("--report", report_file, "file for the last report.json");
    bank::add_sweep_options(command, options);
    if (const auto status = bank::ends_at_command_line(command, argc, argv, std::cerr)) return *status;

    std::set<std::filesystem::path> folders;
    for (const auto& entry : std::filesystem::directory_iterator(heads_folder))
        if (entry.is_directory()) folders.insert(entry.path());
    std::vector<Head> heads;
    for (const auto& folder : folders)
        if (auto head = read_head(folder)) heads.push_back(std::move(*head));
    if (heads.empty()) {
        std::cerr << "no head could be read\n";
        return 1;
    }
    std::vector<Outcome> outcomes;
    const std::vector<int> numbers = options.numbers();
    bank::RunningTable table(std::cerr, numbers.size());
    for (const int number : numbers) {
        auto drawn = draw(options.seed, number);
        if (!drawn) {
            table.add(std::to_string(number) + ": could not be drawn");
            continue;
        }
        Head& head = heads[static_cast<std::size_t>(number / 2) % heads.size()];
        bool bone = false, has_ct = false, has_mr = false;
        Head composed = head;
        for (std::size_t s = 0; s < head.globes.size(); ++s) {
            ImageSeries& series = composed.visit().series[s];
            const bool ct = series.description.modality == Modality::ct;
            (ct ? has_ct : has_mr) = true;
            if (!head.textures[s]) continue;
            for (std::size_t e = 0; e < 2; ++e)
                for (const phantoms::Element& element : drawn->eyes[e].elements) {
                    const phantoms::RealGlobe& place = *head.globes[s][e];
                    bone = bone || (ct && phantoms::share_at_least(series.grid(), place, element, 250.0) > 0.05);
                    VoxelGrid grid = phantoms::put_into(series.grid(), place, element, look_of(head.visit().series[s], *head.textures[s], place, element),
                                                               options.seed * 1000u + static_cast<std::uint64_t>(number) * 10u + s);
                    if (ct)
                        series.volume = CtVolume(std::move(grid));
                    else
                        series.volume = MrVolume(std::move(grid));
                }
        }
        if (bone) {
            table.add(std::to_string(number) + " " + drawn->patient.element + ": within bone, passed over");
            continue;
        }
        for (std::size_t e = 0; e < 2; ++e) {
            // Sizes of the real globe, which the truth's arcs and volumes refer to.
            for (const auto& globes : head.globes)
                if (globes[e]) drawn->eyes[e].globe_radius_mm = globes[e]->radius_mm, drawn->eyes[e].axial_length_mm = phantoms::GlobeShape::sphere(drawn->eyes[e].globe_radius_mm).axial_length();
        }
        drawn->patient.series = has_ct && has_mr ? "CT+MR" : has_ct ? "CT" : "MR";
        IdentifyOptions how;
        how.threads = 2;
        const std::string report = report::to_json(identify(composed.images, how, {}).value());
        if (!report_file.empty()) std::ofstream(report_file, std::ios::binary) << report;
        outcomes.push_back(compare(drawn->patient, nlohmann::json::parse(report), nlohmann::json::parse(truth_of(head, drawn->eyes))));
        table.add(row_of(outcomes.back()) + "  " + head.name);
    }
    std::string names;
    for (const Head& head : heads) names += (names.empty() ? "" : ", ") + head.name;
    if (const auto written = bank::write_document(options.out, accuracy_document(outcomes, about_real_heads(outcomes.size(), options.seed, names))); !written) {
        std::cerr << one_line(written.error()) << '\n';
        return 1;
    }
    return 0;
}
