// SPDX-License-Identifier: Apache-2.0
#include "perisclera/teaching/answer_record.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "src/report/figure_path.h"

namespace perisclera::teaching {

namespace {

using namespace report;

StatedEye stated(const ReportModel& model, const Timepoint& visit, Eye eye) {
    StatedEye out{eye, std::string(name(visit.eye(eye).explant.presence)), {}, finding(model, eye)};
    out.words.globe.clear();
    for (const ElementEntry& element : visit.eye(eye).elements) {
        const MaterialEntry& m = element.material;
        const auto& all = m.probabilities.values;
        out.elements.push_back({element.id, m.label ? std::string(name(*m.label)) : "undetermined", m.label ? m.probabilities[*m.label] : *std::max_element(all.begin(), all.end())});
    }
    return out;
}

/// The globe's centre is the picture's middle.
std::array<double, 2> furthest_from_middle(const KeyImage& image) {
    const double x0 = 0.5 * static_cast<double>(image.width - 1), y0 = 0.5 * static_cast<double>(image.height - 1);
    const auto longest = std::max_element(image.outlines.begin(), image.outlines.end(), [](const Outline& a, const Outline& b) { return a.points.size() < b.points.size(); });
    const auto distance = [&](const PixelPoint& p) { return std::hypot(p.x - x0, p.y - y0); };
    const auto tip = std::max_element(longest->points.begin(), longest->points.end(), [&](const PixelPoint& a, const PixelPoint& b) { return distance(a) < distance(b); });
    const auto width = static_cast<double>(image.width);
    return {(tip->x + 0.5) / width, (tip->y + 0.5) / width};
}

bool same_section(const KeyImage& a, const KeyImage& b) { return a.timepoint_id == b.timepoint_id && a.eye == b.eye && a.plane == b.plane; }

AnswerFigure figure(const ReportModel& model, std::size_t k) {
    const std::vector<KeyImage>& all = model.key_images;
    const KeyImage& image = all[k];
    const auto visit = std::find_if(model.timepoints.begin(), model.timepoints.end(), [&](const Timepoint& t) { return t.id == image.timepoint_id; });
    const auto series = std::find_if(visit->series.begin(), visit->series.end(), [&](const SeriesEntry& s) { return s.series_uid == image.series_uid; });
    AnswerFigure out{figure_path(k + 1, image, "plain"), image.outlines.empty() && image.marks.empty() ? "" : figure_path(k + 1, image, "outlined"), visit->study_date.iso(),
                     std::string(name(series->role)), in_words(series->role, series->modality), image.plane, image.eye, "", static_cast<double>(image.window_low),
                     static_cast<double>(image.window_high), {}};
    // An element's pictures follow each other; the first, on the series it was measured on, alone is outlined.
    for (std::size_t first = k + 1; first-- > 0 && same_section(all[first], image);)
        if (!all[first].outlines.empty()) {
            out.element = all[first].outlines.front().element_id;
            out.tip = furthest_from_middle(all[first]);
            break;
        }
    return out;
}

}  // namespace

AnswerRecord answer_record(const ReportModel& model, const std::vector<Question>& asked) {
    AnswerRecord record{model.simulated, static_cast<int>(model.timepoints.size()), {}, {}, answer_keys(asked, model), {}, {}};
    std::set<std::string> roles;
    for (const Timepoint& visit : model.timepoints)
        for (const SeriesEntry& series : visit.series)
            if (series.used) roles.emplace(name(series.role));
    record.roles.assign(roles.begin(), roles.end());
    for (const Eye eye : both_eyes)
        if (const Timepoint* visit = current_visit(model, eye)) record.eyes.push_back(stated(model, *visit, eye));
    for (std::size_t k = 0; k < model.key_images.size(); ++k) record.figures.push_back(figure(model, k));
    for (const Consideration& c : model.considerations) record.points.push_back(c.text + " (" + c.source + ")");
    return record;
}

}  // namespace perisclera::teaching
