// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/render_report.h"

#include <algorithm>
#include <iterator>
#include <ranges>

#include "perisclera/report/figures.h"
#include "perisclera/report/html.h"
#include "perisclera/report/json.h"
#include "src/report/figure_path.h"
#include "src/report/html_sections.h"
#include "src/report/pdf.h"
#include "src/report/profile_drawing.h"
#include "src/report/slice_sheet.h"

namespace perisclera::report {

namespace {

std::ptrdiff_t visit_number(const ReportModel& model, const KeyImage& image) {
    const auto& visits = model.timepoints;
    return std::find_if(visits.begin(), visits.end(), [&](const Timepoint& t) { return t.id == image.timepoint_id; }) - visits.begin();
}

}  // namespace

Result<std::vector<OutputFile>> render_report(const ReportModel& model, const Identity& identity, Paper paper, const DrawnScenes& drawn_scenes) {
    Figures figures;
    std::vector<OutputFile> pictures;
    for (const KeyImage& image : model.key_images) {
        const std::size_t number = figures.images.size() + 1;
        auto plain = render_png(model, image, false);
        if (!plain) return plain.error();
        pictures.push_back({figure_path(number, image, "plain"), plain.value()});
        DrawnImage drawn{&image, std::move(plain).value(), ""};
        if (!image.outlines.empty() || !image.marks.empty()) {
            auto outlined = render_png(model, image, true);
            if (!outlined) return outlined.error();
            pictures.push_back({figure_path(number, image, "outlined"), outlined.value()});
            drawn.outlined_png = std::move(outlined).value();
        }
        figures.images.push_back(std::move(drawn));
    }
    std::stable_sort(figures.images.begin(), figures.images.end(), [&](const DrawnImage& a, const DrawnImage& b) {
        return visit_number(model, *a.image) > visit_number(model, *b.image);
    });
    for (const GrowthSeries& series : growth(model)) {
        auto chart = render_chart(series, model.simulated);
        if (!chart) return chart.error();
        pictures.push_back({"figures/volume-" + series.element + ".png", chart.value()});
        figures.charts.push_back({std::move(chart).value(), chart_in_words(series)});
    }
    const SeriesLabels labels = label_series(model);
    for (const Timepoint& visit : model.timepoints | std::views::reverse)
        for (const ProfileEntry& profile : model.profiles) {
            if (profile.timepoint_id != visit.id) continue;
            DrawnProfile drawn{"", profile_in_words(model, profile)};
            if (std::holds_alternative<WallProfile>(profile.profile)) {
                auto picture = render_profile(model, profile);
                if (!picture) return picture.error();
                const auto label = labels.find(profile.series_uid);
                pictures.push_back({profile_path(profile, label == labels.end() ? "S" : label->second), picture.value()});
                drawn.png = std::move(picture).value();
            }
            figures.profiles.push_back(std::move(drawn));
        }
    for (const ScrollStack& stack : model.scroll_stacks) {
        auto sheet = slice_sheet(stack);
        if (!sheet) return sheet.error();
        figures.stacks.push_back({&stack, std::move(sheet).value()});
    }
    if (drawn_scenes) {
        auto stills = eye_stills(model, drawn_scenes());
        if (!stills) return stills.error();
        figures.stills = std::move(stills).value();
        for (const EyeStill& still : figures.stills) pictures.push_back({"figures/space-" + std::string(name(still.eye)) + "-" + still.timepoint_id + ".png", still.png});
    }
    auto pdf = to_pdf(model, identity, figures, paper);
    if (!pdf) return pdf.error();
    std::vector<OutputFile> files{
        {"report.json", to_json(model)}, {"report.html", to_html(model, identity, figures, paper)}, {"report.pdf", std::move(pdf).value()}};
    files.insert(files.end(), std::make_move_iterator(pictures.begin()), std::make_move_iterator(pictures.end()));
    return files;
}

}  // namespace perisclera::report
