// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/wording.h"

#include <algorithm>
#include <charconv>
#include <cmath>

#include "perisclera/core/text.h"
#include "perisclera/report/probability_words.h"
#include "src/report/half_hours.h"
#include "src/report/word_list.h"

namespace perisclera::report {

namespace {

/// How a unit is shown to people: factor to the shown unit, decimals, the catalogue's key of number and unit.
struct Shown {
    double factor;
    int decimals;
    std::string_view key;
};

template <class Unit>
constexpr Shown shown{1.0, 1, "unit.none"};
template <>
constexpr Shown shown<MillimetreUnit>{1.0, 1, "unit.millimetres"};
template <>
constexpr Shown shown<SquareMillimetreUnit>{1.0, 1, "unit.square_millimetres"};
template <>
constexpr Shown shown<CubicMillimetreUnit>{1.0, 0, "unit.cubic_millimetres"};
template <>
constexpr Shown shown<HounsfieldMillimetreUnit>{1.0, 0, "unit.hounsfield_millimetres"};
template <>
constexpr Shown shown<DegreeUnit>{1.0, 0, "unit.degrees"};
template <>
constexpr Shown shown<ClockHourUnit>{1.0, 1, "unit.clock_hours"};
template <>
constexpr Shown shown<PercentUnit>{1.0, 0, "unit.percent"};
template <>
constexpr Shown shown<FractionUnit>{100.0, 0, "unit.percent"};
template <>
constexpr Shown shown<CubicMillimetrePerYearUnit>{1.0, 0, "unit.cubic_millimetres_a_year"};
template <>
constexpr Shown shown<StatedUnit>{1.0, 2, "unit.none"};

std::string not_measured(const Unmeasured& reason) { return say("number.not_measured", {{"why", clean_text(reason.why)}}); }

std::string number(double value, int decimals, bool with_plus) {
    const std::string text = fixed(value, decimals);
    return with_plus && value > 0.0 && text != fixed(0.0, decimals) ? "+" + text : text;
}

template <class Unit>
std::string in_words(const Measurement<Quantity<Unit>>& m, bool with_plus) {
    const auto* measured = m.measured();
    if (!measured) return not_measured(*m.unmeasured());
    constexpr Shown s = shown<Unit>;
    const auto text = [&](Quantity<Unit> q) { return number(q.value() * s.factor, s.decimals, with_plus); };
    return say("number.with_interval", {{"value", say(s.key, {{"number", text(measured->value())}})}, {"low", text(measured->low())}, {"high", text(measured->high())}});
}

/// Hours on the dial to so many decimals, the full turn shown as 12.
std::string dial(double hours) {
    const double tenths = std::round(ClockPosition(hours).hours() * 10.0) / 10.0;
    return fixed(tenths < 0.05 ? 12.0 : tenths, 1);
}

}  // namespace

std::string fixed(double value, int decimals) {
    if (!std::isfinite(value)) return say("number.not_finite");
    char buffer[400];
    const auto end = std::to_chars(buffer, buffer + sizeof buffer, std::abs(value), std::chars_format::fixed, decimals).ptr;
    const std::string digits(buffer, end);
    const bool negative = value < 0.0 && digits.find_first_not_of("0.") != std::string::npos;
    return negative ? "\u2212" + digits : digits;
}

template <class Q>
std::string in_words(const Measurement<Q>& m) {
    return in_words(m, false);
}
template std::string in_words(const Measurement<Mm>&);
template std::string in_words(const Measurement<Mm2>&);
template std::string in_words(const Measurement<Mm3>&);
template std::string in_words(const Measurement<HuMm>&);
template std::string in_words(const Measurement<Degrees>&);
template std::string in_words(const Measurement<ClockHours>&);
template std::string in_words(const Measurement<Fraction>&);
template std::string in_words(const Measurement<Mm3PerYear>&);
template std::string in_words(const Measurement<StatedQuantity>&);

template <class Q>
std::string change_in_words(const Measurement<Q>& m) {
    return in_words(m, true);
}
template std::string change_in_words(const Measurement<Percent>&);
template std::string change_in_words(const Measurement<Mm>&);
template std::string change_in_words(const Measurement<Degrees>&);
template std::string change_in_words(const Measurement<Fraction>&);
template std::string change_in_words(const Measurement<Mm3PerYear>&);

std::string hour_in_words(ClockPosition hour, Eye eye) { return say("place.hour", {{"hour", dial(hour.hours())}, {"quadrant", quadrant_in_words(hour, eye)}}); }

std::string position_in_words(const Measurement<ClockHours>& m, Eye eye) {
    const auto* measured = m.measured();
    if (!measured) return not_measured(*m.unmeasured());
    return say("number.with_interval", {{"value", hour_in_words(ClockPosition(measured->value().value()), eye)}, {"low", dial(measured->low().value())}, {"high", dial(measured->high().value())}});
}

std::string in_words(SeriesRole role, Modality modality) {
    const bool ct = modality == Modality::ct;
    switch (role) {
        case SeriesRole::ct_soft: return say("role.ct_soft");
        case SeriesRole::ct_bone: return say("role.ct_bone");
        case SeriesRole::t1: return say("role.t1");
        case SeriesRole::t1_fatsat: return say("role.t1_fatsat");
        case SeriesRole::t1_contrast: return say("role.t1_contrast");
        case SeriesRole::t1_contrast_fatsat: return say("role.t1_contrast_fatsat");
        case SeriesRole::t2: return say("role.t2");
        case SeriesRole::t2_fatsat: return say("role.t2_fatsat");
        case SeriesRole::stir: return say("role.stir");
        case SeriesRole::flair: return say("role.flair");
        case SeriesRole::pd: return say("role.pd");
        case SeriesRole::dwi: return say("role.dwi");
        case SeriesRole::gre: return say("role.gre");
        case SeriesRole::localizer: return say(ct ? "role.ct_localizer" : "role.mr_localizer");
        case SeriesRole::derived: return say(ct ? "role.ct_derived" : "role.mr_derived");
        case SeriesRole::other: return say(ct ? "role.ct_other" : "role.mr_other");
        case SeriesRole::unknown: break;
    }
    return say(ct ? "role.ct_unknown" : "role.mr_unknown");
}

std::string in_words(Material material) {
    switch (material) {
        case Material::solid_silicone: return say("material.solid_silicone");
        case Material::silicone_sponge: return say("material.silicone_sponge");
        case Material::hydrogel: return say("material.hydrogel");
        case Material::other: break;
    }
    return say("material.other");
}

namespace {

std::string with_probability(const MaterialEntry& entry, Material material) {
    return say("material.with_probability", {{"material", in_words(material)}, {"probability", probability_in_words(entry.probabilities[material])}});
}

}  // namespace

std::string label_in_words(const MaterialEntry& material) {
    if (material.label) return in_words(*material.label);
    if (material.evidence.empty() && material.candidates.size() == all_materials.size()) return say("material.no_evidence");
    if (material.candidates.empty()) return say("material.undetermined");
    std::vector<std::string> candidates;
    for (const Material m : material.candidates) candidates.push_back(with_probability(material, m));
    return say("material.candidates", {{"candidates", joined(candidates, "; ")}});
}

std::string label_with_probability(const MaterialEntry& material) { return material.label ? with_probability(material, *material.label) : label_in_words(material); }

std::string verdict_in_words(Verdict verdict) {
    switch (verdict) {
        case Verdict::enlarged: return say("verdict.enlarged");
        case Verdict::unchanged: return say("verdict.unchanged");
        case Verdict::shrunk: return say("verdict.shrunk");
        case Verdict::removed: return say("verdict.removed");
        case Verdict::partly_removed: return say("verdict.partly_removed");
        case Verdict::new_element: return say("verdict.new");
        case Verdict::not_comparable: break;
    }
    return say("verdict.not_comparable");
}

std::string in_words(Basis basis) { return say(basis == Basis::published ? "basis.published" : "basis.common_practice"); }

std::string spaced(std::string_view word) {
    std::string out(word);
    std::replace(out.begin(), out.end(), '_', ' ');
    return out;
}

std::string place_in_words(const ElementEntry& element, Eye eye) {
    const auto* span = element.span.measured();
    if (element.form == Form::encircling && (!span || span->value() >= ClockHours(11.75))) return say("place.all_round");
    const auto *from = element.from.measured(), *to = element.to.measured();
    if (!from || !to) return say("place.not_measured");
    const ClockPosition start(from->value().value()), end(to->value().value());
    const double extent = start.clockwise_to(end).value();
    const ClockPosition middle(start.hours() + extent / 2.0);
    const std::string first = half_hours(start.hours()), last = half_hours(end.hours());
    const std::string quadrant = quadrant_in_words(middle, eye);
    if (first == last && extent < 1.0) return say("place.at_one_hour", {{"hour", first}, {"quadrant", quadrant}});
    return say(extent > 6.0 ? "place.from_to_centred" : "place.from_to", {{"first", first}, {"last", last}, {"quadrant", quadrant}});
}

std::string clean_text(std::string_view text) {
    constexpr std::string_view replacement = "\uFFFD";
    std::string out;
    for (std::size_t i = 0; i < text.size();) {
        const auto lead = static_cast<unsigned char>(text[i]);
        const std::size_t size = lead < 0x80 ? 1 : lead >= 0xC2 && lead < 0xE0 ? 2 : lead >= 0xE0 && lead < 0xF0 ? 3 : lead >= 0xF0 && lead < 0xF5 ? 4 : 0;
        char32_t code = size == 1 ? lead : size == 0 ? 0 : lead & (0xFFu >> (size + 1));
        bool valid = size > 0 && i + size <= text.size();
        for (std::size_t k = 1; valid && k < size; ++k) {
            const auto next = static_cast<unsigned char>(text[i + k]);
            valid = (next & 0xC0u) == 0x80;
            code = (code << 6) | (next & 0x3Fu);
        }
        // Overlong forms, surrogates and numbers past the last code point are no UTF-8 (RFC 3629, section 3).
        valid = valid && !(size == 3 && (code < 0x800 || (code >= 0xD800 && code < 0xE000))) && !(size == 4 && (code < 0x10000 || code > 0x10FFFF));
        if (!valid) {
            out += replacement;
            ++i;
        } else {
            if (code == '\t' || code == '\n') {
                out += ' ';
            } else if (code < 0x20 || (code >= 0x7F && code < 0xA0)) {
                out += replacement;
            } else {
                out += text.substr(i, size);
            }
            i += size;
        }
    }
    return out;
}

}  // namespace perisclera::report
