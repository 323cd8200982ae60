// SPDX-License-Identifier: Apache-2.0
#pragma once
// Invented reports for the tests of the writers. No number here comes from a patient.
#include <cmath>
#include <string>

#include "perisclera/report/considerations.h"
#include "perisclera/report/report_model.h"

namespace perisclera::report::example {

template <class Q>
Measurement<Q> between(double low, double value, double high) {
    return Measured<Q>(Q(value), Q(low), Q(high));
}

inline StudyDate date(const char* dicom) { return StudyDate::from_dicom(dicom).value(); }

inline SeriesEntry series(const std::string& uid, SeriesRole role, const std::string& why) {
    const bool ct = role == SeriesRole::ct_soft || role == SeriesRole::ct_bone;
    SeriesEntry s{.series_uid = uid, .modality = ct ? Modality::ct : Modality::mr, .role = role, .why = why, .used = true,
                  .spacing = std::array{Mm(0.4), Mm(0.4), Mm(ct ? 1.0 : 2.0)}, .kvp = std::nullopt, .problems = {}};
    if (ct) s.kvp = 120.0;
    return s;
}

inline std::vector<SeriesEntry> visit(const std::string& root) {
    std::vector<SeriesEntry> all{series(root + ".1", SeriesRole::ct_soft, "CT numbers; smooth reconstruction (noise and edge width)"),
                                 series(root + ".2", SeriesRole::t1, "spin echo, TR 550 ms, TE 12 ms, no fat suppression"),
                                 series(root + ".3", SeriesRole::t2, "spin echo, TR 4200 ms, TE 95 ms, no fat suppression"),
                                 series(root + ".4", SeriesRole::localizer, "three orthogonal planes in one series")};
    all.back().used = false;
    all.back().spacing = std::nullopt;
    all[2].problems = {"slices 2.0 mm apart but 2.2 mm thick: they overlap"};
    return all;
}

inline GlobeEntry globe(const std::string& uid, double x) {
    GlobeEntry g;
    g.status = GlobeStatus::found;
    g.place = GlobePlace{uid, {x, -62.4, 11.8}, {0.02, -0.9998, 0.0}, Degrees(2.1)};
    g.axial_length = between<Mm>(25.1, 25.4, 25.7);
    g.equatorial_diameter = between<Mm>(23.9, 24.1, 24.4);
    g.contents = GlobeContents::vitreous;
    g.contents_why = "evenly 9 HU at 120 kVp";
    g.lens = Lens::natural;
    g.lens_why = "4 mm thick";
    return g;
}

inline Evidence ct_number(const std::string& uid) {
    Evidence e{.series_uid = uid, .role = SeriesRole::ct_soft, .quantity = "CT number of the core", .measured = between<StatedQuantity>(24, 33, 42), .unit = "HU"};
    e.expected[Material::solid_silicone] = {112, 271};
    e.expected[Material::silicone_sponge] = {-740, -260};
    e.expected[Material::hydrogel] = {15, 150};
    e.log_likelihood.values = {-38.2, -400.0, -3.1, -5.2};
    return e;
}

inline Evidence ratio(const std::string& uid, SeriesRole role, double low, double value, double high) {
    Evidence e{.series_uid = uid, .role = role, .quantity = "signal, core over vitreous", .measured = between<StatedQuantity>(low, value, high), .unit = "ratio"};
    e.expected[Material::solid_silicone] = {0.0, 0.12};
    e.expected[Material::silicone_sponge] = {0.0, 0.12};
    e.expected[Material::hydrogel] = role == SeriesRole::t2 ? std::pair{0.55, 1.1} : std::pair{0.8, 1.6};
    e.log_likelihood.values = {-22.0, -21.5, -1.0, -4.4};
    return e;
}

inline ElementEntry hydrogel(const std::string& root, double growth) {
    ElementEntry e{.id = "R1", .form = Form::segmental};
    e.from = between<ClockHours>(-0.2, 0.1, 0.4);
    e.to = between<ClockHours>(2.7, 3.0, 3.3);
    e.span = between<ClockHours>(2.5, 2.9, 3.3);
    e.limbus_anterior = between<Mm>(8.6, 9.3, 10.0);
    e.limbus_posterior = between<Mm>(15.9, 16.8, 17.6);
    e.caliper_anterior = between<Mm>(8.3, 8.9, 9.5);
    e.caliper_posterior = between<Mm>(14.6, 15.4, 16.1);
    e.volume = between<Mm3>(545 * growth, 590 * growth, 640 * growth);
    e.wall_relation = WallRelation::indenting;
    e.largest_section = {ClockPosition(1.5), between<Mm>(7.0, 7.6, 8.2), between<Mm>(4.6, 5.2, 5.7), between<Mm2>(27.1, 30.4, 33.9),
                         between<HuMm>(380, 430, 480)};
    for (const double h : {0.5, 1.5, 2.5}) {
        e.sections.push_back({ClockPosition(h), between<Mm>(6.6, 7.2, 7.8), between<Mm>(4.0, 4.6, 5.1), between<Mm2>(22.0, 25.0, 28.1),
                              Unmeasured{"edge against muscle not visible on CT"}});
    }
    e.indentation = between<Mm>(0.8, 1.4, 2.0);
    e.surface_distance = between<Mm>(2.1, 2.9, 3.7);
    e.orbital_wall_distance = between<Mm>(0.0, 0.8, 1.9);
    e.fragments = 1;
    e.capsule = Feature::not_seen;
    e.measured_on = {root + ".1", root + ".3"};
    e.material.label = Material::hydrogel;
    e.material.candidates = {Material::hydrogel};
    e.material.probabilities.values = {0.003, 0.0, 0.968, 0.029};
    e.material.water_fraction = between<Fraction>(0.79, 0.85, 0.91);
    e.material.evidence = {ct_number(root + ".1"), ratio(root + ".2", SeriesRole::t1, 0.9, 1.05, 1.2), ratio(root + ".3", SeriesRole::t2, 0.7, 0.84, 0.98)};
    return e;
}

/// An axial picture of a blurred disc (the globe) with a bright crescent on it: enough to judge the drawing.
inline KeyImage picture(const std::string& timepoint, const std::string& uid, const ElementEntry& element) {
    constexpr std::size_t side = 96;
    constexpr double middle = 48.0, radius = 30.0;
    KeyImage k{.timepoint_id = timepoint, .series_uid = uid, .eye = Eye::right, .plane = "axial", .note = "Through the largest section, near 1.5 o'clock.",
               .width = side, .height = side, .values = {}, .window_low = -140.0f, .window_high = 180.0f, .pixel_size = Mm(0.4),
               .letters = {"R", "L", "A", "P"}, .outlines = {}, .marks = {{"globe centre", {middle, middle}}}};
    for (std::size_t y = 0; y < side; ++y) {
        for (std::size_t x = 0; x < side; ++x) {
            const double dx = static_cast<double>(x) - middle, dy = static_cast<double>(y) - middle, r = std::hypot(dx, dy);
            const bool explant = r > radius && r < radius + 10.0 && dx > 8.0 && dy > -26.0 && dy < 10.0;
            const double wall = 60.0 * std::exp(-(r - radius) * (r - radius) / 4.0);
            k.values.push_back(static_cast<float>(explant ? 35.0 : (r < radius ? 8.0 + wall : -95.0 + wall)));
        }
    }
    Outline outline{.element_id = element.id, .points = {}};
    for (int i = 0; i <= 20; ++i) {
        const double a = -1.04 + 1.36 * i / 20.0;
        outline.points.push_back({middle + radius * std::cos(a), middle + radius * std::sin(a)});
    }
    for (int i = 20; i >= 0; --i) {
        const double a = -0.70 + 0.95 * i / 20.0;
        outline.points.push_back({middle + (radius + 10.0) * std::cos(a), middle + (radius + 10.0) * std::sin(a)});
    }
    k.outlines.push_back(outline);
    return k;
}

/// Two dates of one invented patient: a swelling hydrogel (R1) in the right eye, no explant seen in the left.
/// Steps of 9, 50, 38 and -90 HU under a blur of 1.2 mm full width, 3.8 mm of element.
inline ProfileEntry profile(const std::string& timepoint, const std::string& uid) {
    const std::array faces{-0.8, 0.0, 3.8}, values{41.0, -12.0, -128.0};
    WallProfile p{1.5, 1.6, 40, {}, {}, {{-4, 9}, {-0.8, 9}, {-0.8, 50}, {0, 50}, {0, 38}, {3.8, 38}, {3.8, -90}, {6, -90}}, 1.2, between<Mm>(3.5, 3.8, 4.1), between<Signal>(34, 38, 42),
                  between<SignalMm>(190, 221, 252), -0.3, 1.9, false, {}};
    for (int k = 0; k <= 100; ++k) {
        const double height = -4.0 + 0.1 * k;
        double signal = 9.0;
        for (std::size_t i = 0; i < faces.size(); ++i) signal += values[i] * 0.5 * std::erfc((faces[i] - height) / (0.51 * std::sqrt(2.0)));
        p.fitted.push_back({height, signal});
        if (k % 5 == 0) p.measured.push_back({height, signal + (k % 2 == 0 ? 2.0 : -2.0)});
    }
    return {timepoint, uid, Modality::ct, Eye::right, "R1", std::move(p)};
}

inline ReportModel full() {
    ReportModel m;
    m.reference_table = "2";
    m.options = {{"eye", std::string("both")}, {"seed", std::int64_t{1}}, {"force", false}};
    m.simulated = true;
    const std::array roots{std::string("2.25.1001"), std::string("2.25.1002")};
    const std::array dates{date("20190304"), date("20240517")};
    for (std::size_t i = 0; i < 2; ++i) {
        Timepoint t{.id = "t" + std::to_string(i + 1), .study_date = dates[i], .series = visit(roots[i]), .right = {}, .left = {}};
        t.right.globe = globe(roots[i] + ".1", -31.6);
        t.left.globe = globe(roots[i] + ".1", 32.1);
        t.right.explant = {Presence::present, 0.9987, Mm(0.6), Mm(2.5)};
        t.left.explant = {Presence::absent, 0.021, Mm(0.6), Mm(2.5)};
        t.right.elements = {hydrogel(roots[i], i == 0 ? 1.0 : 1.42)};
        t.right.metal.status = t.left.metal.status = MetalStatus::not_seen_on_ct;
        m.key_images.push_back(picture(t.id, roots[i] + ".1", t.right.elements.front()));
        m.profiles.push_back(profile(t.id, roots[i] + ".1"));
        m.profiles.push_back({t.id, roots[i] + ".3", Modality::mr, Eye::right, "R1", Unmeasured{"no layers of even signal explain the course of the signal across the wall"}});
        m.timepoints.push_back(std::move(t));
    }
    m.changes = {{.eye = Eye::right, .element = "R1", .from = "t1", .to = "t2", .days = dates[1].days_since(dates[0]), .same_method = true}};
    m.changes[0].volume = between<Percent>(28, 42, 57);
    m.changes[0].smallest_detectable = Percent(14);
    m.changes[0].verdict = Verdict::enlarged;
    m.trends = {{Eye::right, "R1", between<Mm3PerYear>(31, 47, 63), 400}};
    m.considerations = considerations(m);
    m.warnings = {{ErrorCode::uneven_spacing, "slices are not evenly spaced, each was placed by its own position", "series 3", "nothing to do"}};
    return m;
}

/// As full(), with the second visit's material undetermined and an encircling band of undetermined material in the left eye.
inline ReportModel undetermined() {
    ReportModel m = full();
    auto& now = m.timepoints.back();
    auto& material = now.right.elements.front().material;
    material.label = std::nullopt;
    material.candidates = {Material::solid_silicone, Material::hydrogel};
    material.probabilities.values = {0.52, 0.0, 0.44, 0.04};
    material.water_fraction = Unmeasured{"material undetermined"};
    material.most_informative_next = NextStudy::t2;
    now.left.explant = {Presence::present, 0.91, std::nullopt, std::nullopt};
    ElementEntry band{.id = "L1", .form = Form::encircling};
    band.span = Measured<ClockHours>(ClockHours(12), ClockHours(12), ClockHours(12));
    band.from = band.to = Unmeasured{"a closed ring has no ends"};
    band.material.label = std::nullopt;
    now.left.elements = {band};
    m.considerations = considerations(m);
    return m;
}

/// One date without any series or finding.
inline ReportModel minimal() {
    ReportModel m;
    m.timepoints.push_back({.id = "t1", .study_date = date("20240101"), .series = {}, .right = {}, .left = {}});
    return m;
}

/// One date in which an element was found and nothing about it could be measured.
inline ReportModel unmeasured() {
    ReportModel m = minimal();
    m.timepoints[0].left.elements = {ElementEntry{.id = "L1"}};
    m.timepoints[0].left.explant.presence = Presence::present;
    m.changes.push_back({.eye = Eye::left, .element = "L1", .from = "t1", .to = "t1", .days = 0});
    m.trends.push_back({.eye = Eye::left, .element = "L1"});
    m.timepoints[0].left.elements[0].sections.push_back({});
    m.timepoints[0].left.elements[0].material.evidence.push_back({.series_uid = "1.2", .role = SeriesRole::t2, .quantity = "signal", .unit = "ratio"});
    m.timepoints[0].left.muscles[2].elements.push_back({.id = "L1"});
    return m;
}

/// A name that would break a page that does not escape.
inline Identity identity() { return {PatientText("Invented^<Name> & \"Example\""), PatientText("PAT-0001")}; }

}  // namespace perisclera::report::example
