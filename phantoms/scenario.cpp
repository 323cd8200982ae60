// SPDX-License-Identifier: Apache-2.0
#include "scenario.h"

#include <algorithm>

#include "checked_object.h"
#include "drawn_anatomy.h"
#include "globe_shape.h"
#include "mr_protocol.h"

namespace perisclera::phantoms {

namespace {

template <class Enum, std::size_t N>
using Words = std::array<std::pair<std::string_view, Enum>, N>;

constexpr Words<Material, 5> materials{{{"solid_silicone", Material::solid_silicone}, {"silicone_sponge", Material::silicone_sponge}, {"hydrogel", Material::hydrogel},
                                        {"titanium", Material::titanium}, {"tantalum", Material::tantalum}}};
constexpr Words<Form, 4> forms{{{"encircling", Form::encircling}, {"segmental", Form::segmental}, {"radial", Form::radial}, {"irregular", Form::irregular}}};
constexpr Words<Section, 2> sections{{{"rectangle", Section::rectangle}, {"ellipse", Section::ellipse}}};
constexpr Words<Contents, 5> contents_words{{{"vitreous", Contents::vitreous}, {"silicone_oil", Contents::silicone_oil}, {"gas", Contents::gas},
                                             {"perfluorocarbon", Contents::perfluorocarbon}, {"haemorrhage", Contents::haemorrhage}}};
constexpr Words<Lens, 3> lenses{{{"natural", Lens::natural}, {"implant", Lens::implant}, {"none", Lens::none}}};
constexpr Words<Kind, 13> kinds{{{"ct", Kind::ct}, {"t1", Kind::t1}, {"t1_fatsat", Kind::t1_fatsat}, {"t1_contrast", Kind::t1_contrast},
                                 {"t1_contrast_fatsat", Kind::t1_contrast_fatsat}, {"t1_gradient_echo", Kind::t1_gradient_echo}, {"t1_prepared", Kind::t1_prepared},
                                 {"pd", Kind::pd}, {"t2", Kind::t2}, {"t2_fatsat", Kind::t2_fatsat}, {"t2_star", Kind::t2_star}, {"stir", Kind::stir}, {"flair", Kind::flair}}};
constexpr Words<Plane, 3> planes{{{"axial", Plane::axial}, {"coronal", Plane::coronal}, {"sagittal", Plane::sagittal}}};
constexpr Words<PhaseAlong, 2> phase_directions{{{"row", PhaseAlong::row}, {"column", PhaseAlong::column}}};
constexpr Words<Scale, 2> scales{{{"usual", Scale::usual}, {"extended", Scale::extended}}};
constexpr Words<Kernel, 3> kernels{{{"soft", Kernel::soft}, {"bone", Kernel::bone}, {"edge", Kernel::edge}}};

template <class Enum, std::size_t N>
std::string_view spelled(const Words<Enum, N>& words, Enum value) {
    return std::find_if(words.begin(), words.end(), [&](const auto& w) { return w.second == value; })->first;
}

constexpr Words<EyeKind, 6> eye_kinds{{{"usual", EyeKind::usual}, {"short", EyeKind::short_eye}, {"long", EyeKind::long_eye}, {"myopic", EyeKind::myopic},
                                       {"staphyloma", EyeKind::staphyloma}, {"shrunken", EyeKind::shrunken}}};

std::string indexed(const std::string& path, std::size_t i) { return path + "[" + std::to_string(i) + "]"; }

/// What an element has beyond a plain section and material: see Element.
void read_element_details(CheckedObject& o, Element& e, Problem& problem) {
    const auto part = [&](const char* key, bool allowed, const auto& read) {
        if (!allowed || !o.has(key)) return;
        CheckedObject p(o.object(key), o.path_of(key), problem);
        read(p);
    };
    part("groove", e.section == Section::rectangle, [&](CheckedObject& p) {
        e.groove = {p.number("width_mm", 0.3, e.width_mm), p.number("depth_mm", 0.1, e.thickness_mm)};
    });
    part("overlap", e.form == Form::encircling, [&](CheckedObject& p) { e.overlap = {p.number("hour", 0.0, 12.0), p.number("length_mm", 0.5, 30.0)}; });
    part("raised", e.form == Form::encircling, [&](CheckedObject& p) {
        e.raised = {p.number("from_hour", 0.0, 12.0), p.number("to_hour", 0.0, 12.0), p.number("height_mm", 0.1, 6.0)};
    });
    if (e.form == Form::irregular) e.lumpiness = o.number("lumpiness", 0.0, 0.5, e.lumpiness);
    e.fragments = static_cast<int>(o.whole("fragments", 1.0, 6.0, 1.0));
    if (e.fragments > 1) e.gap_mm = o.number("gap_mm", 0.1, 5.0, 1.0);
    if (e.material != Material::hydrogel) return;
    e.capsule_mm = o.number("capsule_mm", 0.0, 2.0, 0.0);
    if (e.capsule_mm > 0.0) e.calcified_share = o.number("calcified_share", 0.0, 1.0, 0.0);
}

Element read_element(const JsonValue& json, const std::string& path, Problem& problem) {
    CheckedObject o(json, path, problem);
    Element e{};
    e.material = o.choice("material", materials);
    e.form = o.choice("form", forms);
    const bool rod = e.material == Material::silicone_sponge || e.form == Form::irregular;
    e.section = o.choice<Section>("section", sections, rod ? Section::ellipse : Section::rectangle);
    switch (e.form) {
        case Form::encircling: e.from_hour = 0.0, e.to_hour = 12.0; break;
        case Form::radial: e.from_hour = e.to_hour = o.number("hour", 0.0, 12.0); break;
        default:
            e.from_hour = o.number("from_hour", 0.0, 12.0);
            e.to_hour = o.number("to_hour", 0.0, 12.0);
            if (e.from_hour == e.to_hour) problem.note(o.path_of("to_hour"), "must differ from from_hour");
    }
    e.limbus_mm = o.number("limbus_mm", 2.0, 20.0);
    e.width_mm = o.number("width_mm", 0.5, 20.0);
    e.thickness_mm = o.number("thickness_mm", 0.3, 15.0);
    e.length_mm = e.form == Form::radial ? o.number("length_mm", 1.0, 20.0) : 0.0;
    e.indentation_mm = o.number("indentation_mm", 0.0, std::min(4.0, e.thickness_mm), 0.0);
    const double along_meridian = e.form == Form::radial ? e.length_mm : e.width_mm;
    if (e.limbus_mm - along_meridian / 2 < 0.0 || e.limbus_mm + along_meridian / 2 > 22.0)
        problem.note(o.path_of("limbus_mm"), "puts the element's edge in front of the limbus or more than 22 mm behind it");
    if (e.material == Material::hydrogel)
        e.water_fraction = o.number("water_fraction", 0.05, 0.99);
    else if (e.material == Material::solid_silicone)
        e.hu_at_120_kvp = o.number("hu_at_120_kvp", 60.0, 400.0, 200.0);
    else if (e.material == Material::silicone_sponge)
        e.hu_at_120_kvp = o.number("hu_at_120_kvp", -900.0, -100.0, -550.0), e.filled_share = o.number("filled_share", 0.0, 1.0, 0.0);
    read_element_details(o, e, problem);
    return e;
}

/// `usual` is the eye before: a later date names only what has changed.
EyeState read_eye(const JsonValue& json, const std::string& path, const EyeState& usual, Problem& problem) {
    if (json.is_null()) return usual;
    CheckedObject o(json, path, problem);
    EyeState eye = usual;
    eye.globe_radius_mm = o.number("globe_radius_mm", 10.0, 14.0, usual.globe_radius_mm);
    const double as_sphere = GlobeShape::sphere(eye.globe_radius_mm).axial_length();
    const bool resized = o.has("globe_radius_mm") && eye.globe_radius_mm != usual.globe_radius_mm;
    eye.axial_length_mm = o.number("axial_length_mm", as_sphere - 1.5, as_sphere + 8.0, resized ? as_sphere : usual.axial_length_mm);
    eye.contents = o.choice<Contents>("contents", contents_words, usual.contents);
    const double share_before = eye.contents == usual.contents ? usual.contents_share : 1.0;
    eye.contents_share = eye.contents == Contents::vitreous ? 1.0 : o.number("contents_share", 0.002, 1.0, share_before);
    eye.lens = o.choice<Lens>("lens", lenses, usual.lens);
    eye.offset_mm = o.numbers<3>("offset_mm", -8.0, 8.0, usual.offset_mm);
    if (o.has("elements")) {
        eye.elements.clear();
        const JsonValue::List& list = o.list("elements", false);
        for (std::size_t i = 0; i < list.size(); ++i) eye.elements.push_back(read_element(list[i], indexed(o.path_of("elements"), i), problem));
        if (eye.elements.size() > 8) problem.note(o.path_of("elements"), "must have at most 8 entries");
    }
    if (o.has("look_alikes")) eye.look_alikes = read_look_alikes(o.list("look_alikes", false), o.path_of("look_alikes"), problem);
    if (without_globe(eye.look_alikes) && !eye.elements.empty()) problem.note(o.path_of("elements"), "need a globe, and a look-alike stands in its place");
    return eye;
}

/// Both eyes before the scenario says anything about them: fixed, or drawn where `json` asks for it.
std::array<EyeState, 2> usual_eyes(const JsonValue& json, const Scenario& scenario, Problem& problem) {
    if (json.is_null()) {
        constexpr double radius = 11.7;
        const EyeState usual{radius, GlobeShape::sphere(radius).axial_length(), Contents::vitreous, Lens::natural, {0.0, 0.0, 0.0}, {}};
        return {usual, usual};
    }
    CheckedObject o(json, "anatomy", problem);
    DrawnPatient patient{static_cast<std::uint64_t>(o.whole("seed", 0.0, 1e15, static_cast<double>(scenario.seed))), scenario.patient_sex, {}};
    for (const Eye eye : both_eyes) patient.kinds[index_of(eye)] = o.choice<EyeKind>(std::string(name(eye)), eye_kinds, EyeKind::usual);
    return drawn_eyes(patient);
}

std::array<EyeState, 2> read_eyes(const JsonValue& json, const std::string& path, std::array<EyeState, 2> eyes, Problem& problem) {
    if (json.is_null()) return eyes;
    CheckedObject o(json, path, problem);
    for (const Eye eye : both_eyes) {
        const std::string key(name(eye));
        eyes[index_of(eye)] = read_eye(o.object(key), o.path_of(key), eyes[index_of(eye)], problem);
    }
    return eyes;
}

/// Errors beyond a key's own range name the key that does not fit the others.
MrSetting read_mr_setting(CheckedObject& o, Kind kind, Problem& problem) {
    MrSetting s = usual_mr_setting(kind);
    s.field_strength_tesla = o.number("field_strength_tesla", 0.5, 7.0, 1.5);
    s.repetition_time_ms = o.number("repetition_time_ms", 3.0, 20000.0, s.repetition_time_ms);
    s.echo_time_ms = o.number("echo_time_ms", 1.0, 500.0, s.echo_time_ms);
    if (s.echo_time_ms >= s.repetition_time_ms) problem.note(o.path_of("echo_time_ms"), "must be less than repetition_time_ms");
    if (s.inversion_time_ms) s.inversion_time_ms = o.number("inversion_time_ms", 20.0, 5000.0, *s.inversion_time_ms);
    if (s.sequence != MrSequence::spin_echo) s.flip_angle_deg = o.number("flip_angle_deg", 1.0, 90.0, s.flip_angle_deg);
    const bool train = s.sequence == MrSequence::prepared_gradient_echo || (s.sequence == MrSequence::spin_echo && s.train_length > 1);
    if (train) {
        s.train_length = static_cast<int>(o.whole("train_length", 1.0, 400.0, s.train_length));
        s.train_spacing_ms = o.number("train_spacing_ms", 2.0, 100.0, s.train_spacing_ms);
    } else if (s.sequence == MrSequence::spin_echo) {
        s.train_spacing_ms = s.echo_time_ms;
    }
    const double before = s.sequence == MrSequence::prepared_gradient_echo ? s.inversion_time_ms.value_or(0.0) - s.train_ms() / 2.0 : s.inversion_time_ms.value_or(0.0);
    if (before < 0.0 || (train && before + s.train_ms() > s.repetition_time_ms)) problem.note(o.path_of("repetition_time_ms"), "has no room for the inversion time and the train");
    // 150 Hz a tesla displace fat by about one pixel, as is usual (common practice).
    s.bandwidth_hz = o.number("bandwidth_hz", 0.0, 5000.0, 150.0 * s.field_strength_tesla);
    if (s.bandwidth_hz > 0.0 && s.bandwidth_hz < 20.0 * s.field_strength_tesla) problem.note(o.path_of("bandwidth_hz"), "must be 0 or at least 20 a tesla");
    s.phase_along = o.choice<PhaseAlong>("phase_along", phase_directions, PhaseAlong::row);
    s.zero_filling = o.number("zero_filling", 1.0, 4.0, 1.0);
    s.eye_motion_mm = o.number("eye_motion_mm", 0.0, 3.0, 0.0);
    s.eye_motion_cycles = o.number("eye_motion_cycles", 0.0, 200.0, 9.5);
    return s;
}

Series read_series(const JsonValue& json, const std::string& path, Problem& problem) {
    CheckedObject o(json, path, problem);
    Series s{};
    s.kind = o.choice("kind", kinds);
    s.plane = o.choice<Plane>("plane", planes, Plane::axial);
    s.tilt_deg = o.numbers<2>("tilt_deg", -60.0, 60.0, {0.0, 0.0});
    s.spacing_mm = o.number("spacing_mm", 0.2, 3.0, s.is_ct() ? 0.45 : 0.55);
    s.slice_thickness_mm = o.number("slice_thickness_mm", 0.3, 8.0, s.is_ct() ? 1.5 : usual_mr_setting(s.kind).three_dimensional ? 1.0 : 3.0);
    s.slice_spacing_mm = o.number("slice_spacing_mm", 0.3, 12.0, s.slice_thickness_mm);
    s.field_mm = o.numbers<3>("field_mm", 20.0, 260.0, {130.0, 75.0, 60.0});
    const bool gradient_echo = !s.is_ct() && usual_mr_setting(s.kind).sequence != MrSequence::spin_echo;
    s.noise = o.number("noise", 0.0, 300.0, s.is_ct() ? 8.0 : gradient_echo ? 4.0 : 20.0);
    if (s.is_ct()) {
        s.kvp = o.number("kvp", 80.0, 140.0, 120.0);
        s.kernel = o.choice<Kernel>("kernel", kernels, Kernel::soft);
        s.motion_mm = o.numbers<2>("motion_mm", -5.0, 5.0, {0.0, 0.0});
        s.scale = o.choice<Scale>("scale", scales, Scale::usual);
        s.beam_hardening = o.number("beam_hardening", 0.0, 1.0, 0.0);
        s.gantry_tilt_deg = o.number("gantry_tilt_deg", -30.0, 30.0, 0.0);
        if (s.gantry_tilt_deg != 0.0 && (s.plane != Plane::axial || s.tilt_deg != std::array<double, 2>{0.0, 0.0}))
            problem.note(o.path_of("gantry_tilt_deg"), "is for axial planes without tilt_deg");
    } else {
        s.mr = read_mr_setting(o, s.kind, problem);
    }
    s.pose_deg = o.numbers<3>("pose_deg", -30.0, 30.0, {0.0, 0.0, 0.0});
    s.shift_mm = o.numbers<3>("shift_mm", -200.0, 200.0, {0.0, 0.0, 0.0});
    const JsonValue& gaze = o.object("gaze_deg");
    if (!gaze.is_null()) {
        CheckedObject g(gaze, o.path_of("gaze_deg"), problem);
        for (const Eye eye : both_eyes) s.gaze_deg[index_of(eye)] = g.numbers<2>(std::string(name(eye)), -30.0, 30.0, {0.0, 0.0});
    }
    return s;
}

bool is_date(const std::string& text) {
    if (text.size() != 10 || text[4] != '-' || text[7] != '-') return false;
    for (const std::size_t i : {0u, 1u, 2u, 3u, 5u, 6u, 8u, 9u})
        if (text[i] < '0' || text[i] > '9') return false;
    const int month = (text[5] - '0') * 10 + text[6] - '0', day = (text[8] - '0') * 10 + text[9] - '0';
    return month >= 1 && month <= 12 && day >= 1 && day <= 31;
}

Scenario read_scenario(const JsonValue& json, Problem& problem) {
    CheckedObject o(json, "", problem);
    Scenario scenario{};
    scenario.seed = static_cast<std::uint64_t>(o.whole("seed", 0.0, 1e15));
    scenario.texture = o.number("texture", 0.0, 3.0, 1.0);
    {
        CheckedObject patient(o.object("patient"), "patient", problem);
        scenario.patient_id = patient.text("id");
        if (scenario.patient_id.empty() || scenario.patient_id.size() > 64 || scenario.patient_id.find_first_of("\\\n\r\t") != std::string::npos)
            problem.note("patient.id", "must have 1 to 64 characters and no backslash");
        scenario.patient_sex = patient.text("sex", "O");
        if (scenario.patient_sex != "F" && scenario.patient_sex != "M" && scenario.patient_sex != "O") problem.note("patient.sex", "must be one of F, M, O");
        scenario.birth_year = static_cast<int>(patient.whole("birth_year", 1900.0, 2100.0));
    }
    std::array<EyeState, 2> eyes = read_eyes(o.object("eyes"), "eyes", usual_eyes(o.object("anatomy"), scenario, problem), problem);

    const JsonValue::List& timepoints = o.list("timepoints", true);
    for (std::size_t t = 0; t < timepoints.size(); ++t) {
        CheckedObject point(timepoints[t], indexed("timepoints", t), problem);
        Timepoint timepoint;
        timepoint.study_date = point.text("study_date");
        if (!is_date(timepoint.study_date)) problem.note(point.path_of("study_date"), "must be a date as YYYY-MM-DD");
        if (t > 0 && timepoint.study_date <= scenario.timepoints.back().study_date) problem.note(point.path_of("study_date"), "must be later than the date before");
        eyes = read_eyes(point.object("eyes"), point.path_of("eyes"), eyes, problem);
        timepoint.eyes = eyes;
        const JsonValue::List& list = point.list("series", true);
        for (std::size_t i = 0; i < list.size(); ++i) timepoint.series.push_back(read_series(list[i], indexed(point.path_of("series"), i), problem));
        scenario.timepoints.push_back(std::move(timepoint));
    }
    return scenario;
}

}  // namespace

std::string_view name(Material material) { return spelled(materials, material); }
std::string_view name(Form form) { return spelled(forms, form); }
std::string_view name(Contents contents) { return spelled(contents_words, contents); }
std::string_view name(Kind kind) { return spelled(kinds, kind); }
std::string_view name(Plane plane) { return spelled(planes, plane); }
std::string_view name(Kernel kernel) { return spelled(kernels, kernel); }

Result<Scenario> parse_scenario(std::string_view json_text) {
    const auto json = parse_json(json_text);
    if (!json) return json.error();
    Problem problem;
    Scenario scenario = read_scenario(json.value(), problem);
    if (problem.first) return *problem.first;
    return scenario;
}

}  // namespace perisclera::phantoms
