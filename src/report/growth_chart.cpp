// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>

#include "perisclera/core/text.h"
#include "perisclera/report/eye_words.h"
#include "perisclera/report/figures.h"
#include "perisclera/report/wording.h"
#include "perisclera/report/canvas.h"

namespace perisclera::report {

namespace {

constexpr int width = 760, height = 380;
constexpr double left = 86, right = 720, top = 40, bottom = 316;

constexpr Font label_font{14.0};
constexpr double ink = 0.12, grid = 0.82;

/// Step of 1, 2 or 5 times a power of ten that gives at most six steps up to `highest`.
double tick_step(double highest) {
    double step = std::pow(10.0, std::floor(std::log10(highest / 6.0)));
    for (const double factor : {1.0, 2.0, 5.0, 10.0}) {
        if (highest / (step * factor) <= 6.0) return step * factor;
    }
    return step * 10.0;
}

}  // namespace

std::vector<GrowthSeries> growth(const ReportModel& model) {
    std::vector<GrowthSeries> all;
    for (const Timepoint& t : model.timepoints) {
        for (const Eye eye : both_eyes) {
            for (const ElementEntry& e : t.eye(eye).elements) {
                const auto* volume = e.volume.measured();
                if (!volume) continue;
                auto at = std::find_if(all.begin(), all.end(), [&](const GrowthSeries& s) { return s.eye == eye && s.element == e.id; });
                if (at == all.end()) at = all.insert(all.end(), GrowthSeries{eye, e.id, {}});
                at->visits.push_back({t.study_date, *volume});
            }
        }
    }
    std::erase_if(all, [](const GrowthSeries& s) { return s.visits.size() < 2; });
    return all;
}

std::string chart_in_words(const GrowthSeries& series) {
    std::string volumes;
    for (const auto& v : series.visits) volumes += (volumes.empty() ? "" : "; ") + v.date.iso() + " " + in_words(Measurement<Mm3>(v.volume));
    return say("chart.in_words", {{"element", series.element}, {"eye", in_words(series.eye)}, {"volumes", volumes}});
}

Result<std::string> render_chart(const GrowthSeries& series, bool simulated) {
    double highest = 1.0;
    for (const auto& v : series.visits) highest = std::max(highest, v.volume.high().value());
    const double step = tick_step(highest), ceiling = step * std::ceil(highest / step);
    const double days = std::max(1, series.visits.back().date.days_since(series.visits.front().date));
    const auto to_x = [&](StudyDate d) { return left + 60.0 + (right - left - 120.0) * d.days_since(series.visits.front().date) / days; };
    const auto to_y = [&](double mm3) { return bottom - (bottom - top) * mm3 / ceiling; };

    Canvas canvas = Canvas::picture(width, height);
    for (int i = 0; i * step <= ceiling * 1.0001; ++i) {
        canvas.grey(grid);
        canvas.line(left, to_y(i * step), right, to_y(i * step), 1.0);
        canvas.grey(ink);
        canvas.text(fixed(i * step, step < 1.0 ? 1 : 0), left - 10, to_y(i * step), label_font, 1.0);
    }
    canvas.text((simulated ? say("drawing.simulated") + "   " : "") + say("chart.title", {{"element", series.element}}), left - 70, top - 22, label_font, 0.0);
    canvas.line(left, top, left, bottom, 1.5);
    canvas.line(left, bottom, right, bottom, 1.5);
    double last_label = left - 200.0;
    for (std::size_t i = 0; i < series.visits.size(); ++i) {
        const auto& v = series.visits[i];
        const double x = to_x(v.date), y = to_y(v.volume.value().value());
        const double low = to_y(std::max(0.0, v.volume.low().value())), high = to_y(v.volume.high().value());
        if (i > 0) canvas.line(to_x(series.visits[i - 1].date), to_y(series.visits[i - 1].volume.value().value()), x, y, 1.0);
        canvas.line(x, low, x, high, 2.0);
        canvas.line(x - 7, low, x + 7, low, 2.0);
        canvas.line(x - 7, high, x + 7, high, 2.0);
        canvas.disc(x, y, 5.0);
        canvas.line(x, bottom, x, bottom + 6, 1.5);
        // Dates close to each other: the later label steps down a line.
        const bool crowded = x - last_label < 100.0;
        canvas.text(v.date.iso(), x, bottom + (crowded ? 42.0 : 20.0), label_font, 0.5);
        if (!crowded) last_label = x;
    }
    return canvas.png();
}

}  // namespace perisclera::report
