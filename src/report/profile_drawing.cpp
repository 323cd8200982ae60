// SPDX-License-Identifier: Apache-2.0
#include "src/report/profile_drawing.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "perisclera/core/text.h"
#include "perisclera/report/canvas.h"
#include "perisclera/report/eye_words.h"
#include "perisclera/report/wording.h"

namespace perisclera::report {

namespace {

constexpr int width = 760, height = 440;
constexpr double left = 84, right = 736, top = 82, bottom = 346;
constexpr Font title_font{15.0, true}, label_font{14.0}, name_font{14.0, true};
constexpr double ink = 0.1, layer_grey = 0.55, grid = 0.86, curve_width = 2.2, layer_width = 5.0, point_radius = 4.2;

struct Axis {
    double low, high, from, to;   ///< values, and where they lie in the picture
    [[nodiscard]] double at(double v) const { return from + (v - low) / (high - low) * (to - from); }
};

/// A step of 1, 2 or 5 times a power of ten, at most seven over the range.
double tick_step(double range) {
    const double power = std::pow(10.0, std::floor(std::log10(range / 7.0)));
    for (const double factor : {1.0, 2.0, 5.0}) {
        if (range / (power * factor) <= 7.0) return power * factor;
    }
    return 10.0 * power;
}

void join(Canvas& canvas, const std::vector<ProfilePoint>& points, const Axis& x, const Axis& y, double line_width) {
    for (std::size_t i = 1; i < points.size(); ++i) canvas.line(x.at(points[i - 1].height_mm), y.at(points[i - 1].signal), x.at(points[i].height_mm), y.at(points[i].signal), line_width);
}

std::string unit_of(Modality modality) { return modality == Modality::ct ? say("profile.unit_ct") : say("profile.unit_mr"); }

/// Inside, wall, element, outside: as they are called over the picture.
std::array<std::string, 4> layer_names(const ReportModel& model, const ProfileEntry& entry, const WallProfile& profile) {
    bool vitreous = false;
    for (const Timepoint& t : model.timepoints) vitreous = vitreous || (t.id == entry.timepoint_id && t.eye(entry.eye).globe.contents == GlobeContents::vitreous);
    constexpr double fat_below_hu = -30.0;
    const bool fat = entry.modality == Modality::ct && profile.layers[6].signal < fat_below_hu;
    return {say(vitreous ? "profile.vitreous" : "profile.inside"), say("profile.sclera"), entry.element_id, say(fat ? "profile.fat" : "profile.outside")};
}

/// A sample of each mark with what it stands for.
void draw_key(Canvas& canvas, const WallProfile& profile, double y) {
    const std::string columns = std::to_string(profile.columns);
    canvas.grey(ink);
    canvas.disc(left + 10, y, point_radius);
    canvas.text(say("profile.key_measured", {{"count", columns}}), left + 24, y, label_font, 0.0);
    const double second = left + 290, third = left + 462;
    canvas.line(second, y, second + 28, y, curve_width);
    canvas.text(say("profile.key_fitted"), second + 36, y, label_font, 0.0);
    canvas.grey(layer_grey);
    canvas.line(third, y, third + 28, y, layer_width);
    canvas.grey(ink);
    canvas.text(say("profile.key_layers"), third + 36, y, label_font, 0.0);
}

/// The width of the blur as a bar, lower left within the frame.
void draw_blur(Canvas& canvas, const WallProfile& profile, const Axis& x) {
    const double y = bottom - 14, from = left + 14, to = from + x.at(profile.blur_mm) - x.at(0.0);
    canvas.line(from, y, to, y, 2.0);
    canvas.line(from, y - 5, from, y + 5, 2.0);
    canvas.line(to, y - 5, to, y + 5, 2.0);
    canvas.text(say("profile.blur", {{"mm", fixed(profile.blur_mm, 1)}}), to + 8, y, label_font, 0.0);
}

std::string where_in_words(const ReportModel& model, const ProfileEntry& entry) {
    std::string out = entry.element_id + ", " + in_words(entry.eye);
    for (const Timepoint& t : model.timepoints) {
        if (t.id != entry.timepoint_id) continue;
        out += ", " + t.study_date.iso();
        for (const SeriesEntry& s : t.series)
            if (s.series_uid == entry.series_uid) out += ", " + in_words(s.role, s.modality);
    }
    return out;
}

template <class Unit>
std::string number_in_words(const Measurement<Quantity<Unit>>& m, int decimals, const std::string& unit) {
    if (const auto* why = m.unmeasured()) return say("profile.not_told", {{"why", why->why}});
    const Measured<Quantity<Unit>>& v = *m.measured();
    const std::string value = fixed(v.value().value(), decimals) + unit, low = fixed(v.low().value(), decimals), high = fixed(v.high().value(), decimals);
    return say("number.with_interval", {{"value", value}, {"low", low}, {"high", high}});
}

}  // namespace

Result<std::string> render_profile(const ReportModel& model, const ProfileEntry& entry) {
    const auto& profile = std::get<WallProfile>(entry.profile);
    double least = 1e300, most = -1e300;
    for (const auto* line : {&profile.measured, &profile.fitted, &profile.layers})
        for (const ProfilePoint& p : *line) least = std::min(least, p.signal), most = std::max(most, p.signal);
    const double step = tick_step(std::max(most - least, 1.0)), low = step * std::floor(least / step - 0.6), high = step * std::ceil(most / step + 0.1);
    const Axis x{profile.layers.front().height_mm, profile.layers.back().height_mm, left, right}, y{low, high, bottom, top};

    Canvas canvas = Canvas::picture(width, height);
    canvas.grey(ink);
    const std::string hour = hour_in_words(ClockPosition(profile.clock_hour), entry.eye);
    canvas.text((model.simulated ? say("drawing.simulated") + "   " : "") + where_in_words(model, entry), 12, 16, title_font, 0.0);
    canvas.text(say("profile.subtitle", {{"hour", hour}, {"unit", unit_of(entry.modality)}}), 12, 38, label_font, 0.0);
    for (double v = low; v <= high + 0.01 * step; v += step) {
        canvas.grey(grid);
        canvas.line(left, y.at(v), right, y.at(v), 1.0);
        canvas.grey(ink);
        canvas.text(fixed(v, step < 1.0 ? 1 : 0), left - 8, y.at(v), label_font, 1.0);
    }
    for (double mm = std::ceil(x.low); mm <= x.high; mm += 1.0) {
        canvas.line(x.at(mm), bottom, x.at(mm), bottom + 6, 1.2);
        canvas.text(fixed(mm, 0), x.at(mm), bottom + 18, label_font, 0.5);
    }
    canvas.text(say("profile.axis"), 0.5 * (left + right), bottom + 40, label_font, 0.5);
    canvas.line(left, top, left, bottom, 1.2);
    canvas.line(left, bottom, right, bottom, 1.2);

    const std::array<std::string, 4> names = layer_names(model, entry, profile);
    double name_end = left - 20;   // names close together step up
    for (std::size_t k = 0; k < names.size(); ++k) {
        const double from = x.at(profile.layers[2 * k].height_mm), to = x.at(profile.layers[2 * k + 1].height_mm), middle = 0.5 * (from + to);
        if (k > 0) {
            canvas.grey(layer_grey);
            for (double part = top; part < bottom; part += 8) canvas.line(from, part, from, std::min(part + 4, bottom), 1.2);
        }
        canvas.grey(ink);
        constexpr double letter = 8.0;
        const double half = 0.5 * letter * static_cast<double>(names[k].size());
        const bool crowded = middle - half < name_end;
        canvas.text(names[k], std::min(middle, right - half), crowded ? top - 26 : top - 10, name_font, 0.5);
        if (!crowded) name_end = middle + half;
    }
    canvas.grey(layer_grey);
    join(canvas, profile.layers, x, y, layer_width);
    canvas.grey(ink);
    join(canvas, profile.fitted, x, y, curve_width);
    for (const ProfilePoint& p : profile.measured) canvas.disc(x.at(p.height_mm), y.at(p.signal), point_radius);
    draw_blur(canvas, profile, x);
    draw_key(canvas, profile, height - 20.0);
    return canvas.png();
}

std::string profile_in_words(const ReportModel& model, const ProfileEntry& entry) {
    const std::string where = where_in_words(model, entry);
    if (const auto* none = std::get_if<Unmeasured>(&entry.profile)) return say("profile.none", {{"where", where}, {"why", none->why}});
    const auto& p = std::get<WallProfile>(entry.profile);
    const std::string hour = hour_in_words(ClockPosition(p.clock_hour), entry.eye), blur = fixed(p.blur_mm, 1), correlation = fixed(p.correlation, 1);
    std::string out = say("profile.words", {{"where", where}, {"hour", hour}, {"blur", blur}}) + " ";
    if (const auto* why = p.value.unmeasured()) return out + say("profile.no_numbers", {{"why", why->why}});
    const std::string product = number_in_words(p.contrast_thickness, 0, " HU·mm"), thickness = number_in_words(p.thickness, 1, " mm"), value = number_in_words(p.value, 0, " HU");
    out += say("profile.numbers", {{"product", product}, {"thickness", thickness}, {"value", value}});
    if (p.thickness.measured() != nullptr) out += " " + say(p.thinner_than_blur ? "profile.thin" : "profile.thick", {{"correlation", correlation}});
    return out + " " + say("profile.own_numbers");
}

std::string profile_path(const ProfileEntry& entry, const std::string& series) { return "figures/profile-" + entry.element_id + "-" + entry.timepoint_id + "-" + series + ".png"; }

}  // namespace perisclera::report
