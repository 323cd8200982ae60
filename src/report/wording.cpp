// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/wording.h"

#include <algorithm>
#include <charconv>
#include <cmath>

#include "perisclera/report/probability_words.h"
#include "src/report/half_hours.h"

namespace perisclera::report {

namespace {

/// How a unit is shown to people: factor to the shown unit, decimals, symbol with its leading space.
struct Shown {
    double factor;
    int decimals;
    std::string_view symbol;
};

template <class Unit>
constexpr Shown shown{1.0, 1, ""};
template <>
constexpr Shown shown<MillimetreUnit>{1.0, 1, " mm"};
template <>
constexpr Shown shown<SquareMillimetreUnit>{1.0, 1, " mm²"};
template <>
constexpr Shown shown<CubicMillimetreUnit>{1.0, 0, " mm³"};
template <>
constexpr Shown shown<HounsfieldMillimetreUnit>{1.0, 0, " HU·mm"};
template <>
constexpr Shown shown<DegreeUnit>{1.0, 0, "°"};
template <>
constexpr Shown shown<ClockHourUnit>{1.0, 1, " clock hours"};
template <>
constexpr Shown shown<PercentUnit>{1.0, 0, " %"};
template <>
constexpr Shown shown<FractionUnit>{100.0, 0, " %"};
template <>
constexpr Shown shown<CubicMillimetrePerYearUnit>{1.0, 0, " mm³ a year"};
template <>
constexpr Shown shown<StatedUnit>{1.0, 2, ""};

std::string not_measured(const Unmeasured& reason) { return "not measured: " + clean_text(reason.why); }

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
    return text(measured->value()) + std::string(s.symbol) + " (95 % interval " + text(measured->low()) + " to " + text(measured->high()) + ")";
}

/// Hours on the dial to so many decimals, the full turn shown as 12.
std::string dial(double hours) {
    const double tenths = std::round(ClockPosition(hours).hours() * 10.0) / 10.0;
    return fixed(tenths < 0.05 ? 12.0 : tenths, 1);
}

}  // namespace

std::string fixed(double value, int decimals) {
    if (!std::isfinite(value)) return "not finite";
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

std::string hour_in_words(ClockPosition hour, Eye eye) { return dial(hour.hours()) + " o'clock, " + quadrant_in_words(hour, eye); }

std::string position_in_words(const Measurement<ClockHours>& m, Eye eye) {
    const auto* measured = m.measured();
    if (!measured) return not_measured(*m.unmeasured());
    return hour_in_words(ClockPosition(measured->value().value()), eye) + " (95 % interval " + dial(measured->low().value()) + " to " + dial(measured->high().value()) + ")";
}

std::string in_words(SeriesRole role, Modality modality) {
    switch (role) {
        case SeriesRole::ct_soft: return "CT, soft-tissue reconstruction";
        case SeriesRole::ct_bone: return "CT, bone reconstruction";
        case SeriesRole::t1: return "MR, T1";
        case SeriesRole::t1_fatsat: return "MR, T1 fat-suppressed";
        case SeriesRole::t1_contrast: return "MR, T1 after contrast agent";
        case SeriesRole::t1_contrast_fatsat: return "MR, T1 fat-suppressed after contrast agent";
        case SeriesRole::t2: return "MR, T2";
        case SeriesRole::t2_fatsat: return "MR, T2 fat-suppressed";
        case SeriesRole::stir: return "MR, STIR";
        case SeriesRole::flair: return "MR, FLAIR";
        case SeriesRole::pd: return "MR, proton density";
        case SeriesRole::dwi: return "MR, diffusion";
        case SeriesRole::gre: return "MR, gradient echo";
        case SeriesRole::localizer: return modality == Modality::ct ? "CT, localizer" : "MR, localizer";
        case SeriesRole::derived: return modality == Modality::ct ? "CT, derived" : "MR, derived";
        case SeriesRole::other: return modality == Modality::ct ? "CT, other" : "MR, other";
        case SeriesRole::unknown: return modality == Modality::ct ? "CT, role unknown" : "MR, role unknown";
    }
    return "unknown";
}

std::string_view in_words(Material material) {
    switch (material) {
        case Material::solid_silicone: return "solid silicone";
        case Material::silicone_sponge: return "silicone sponge";
        case Material::hydrogel: return "hydrogel";
        case Material::other: return "other material";
    }
    return "other material";
}

std::string label_in_words(const MaterialEntry& material) {
    if (material.label) return std::string(in_words(*material.label));
    if (material.evidence.empty() && material.candidates.size() == all_materials.size()) return "undetermined; no evidence, no material excluded";
    std::string candidates;
    for (const Material m : material.candidates) {
        candidates += (candidates.empty() ? "" : "; ") + std::string(in_words(m)) + ", " + probability_in_words(material.probabilities[m]);
    }
    return candidates.empty() ? "undetermined" : "undetermined; candidates: " + candidates;
}

std::string label_with_probability(const MaterialEntry& material) {
    return label_in_words(material) + (material.label ? ", " + probability_in_words(material.probabilities[*material.label]) : "");
}

std::string verdict_in_words(Verdict verdict) {
    switch (verdict) {
        case Verdict::unchanged: return "no change shown";
        case Verdict::new_element: return "not seen before";
        case Verdict::removed: return "no longer seen";
        case Verdict::enlarged:
        case Verdict::shrunk:
        case Verdict::partly_removed:
        case Verdict::not_comparable: break;
    }
    return spaced(name(verdict));
}

std::string in_words(Basis basis) { return basis == Basis::published ? "published" : "common practice"; }

std::string spaced(std::string_view word) {
    std::string out(word);
    std::replace(out.begin(), out.end(), '_', ' ');
    return out;
}

std::string place_in_words(const ElementEntry& element, Eye eye) {
    const auto* span = element.span.measured();
    if (element.form == Form::encircling && (!span || span->value() >= ClockHours(11.75))) return "all round the eye";
    const auto *from = element.from.measured(), *to = element.to.measured();
    if (!from || !to) return "clock hours not measured";
    const ClockPosition start(from->value().value()), end(to->value().value());
    const double extent = start.clockwise_to(end).value();
    const ClockPosition middle(start.hours() + extent / 2.0);
    const std::string first = half_hours(start.hours()), last = half_hours(end.hours());
    const std::string hours = first == last && extent < 1.0 ? "at " + first + " o'clock" : first + " to " + last + " o'clock";
    return hours + " (" + (extent > 6.0 ? "centred " : "") + quadrant_in_words(middle, eye) + ")";
}

namespace {

std::string mm(Mm q) { return fixed(q.value(), 1) + " mm"; }

/// What would be missed of bands and sponges, as a clause; empty where neither limit was determined.
std::string silicone_limit(const ExplantEntry& explant) {
    const auto &band = explant.smallest_band_thickness, &sponge = explant.smallest_sponge_diameter;
    if (!band && !sponge) return "";
    return (band ? "a band thinner than " + mm(*band) : "") + (band && sponge ? " or " : "") + (sponge ? "a sponge less than " + mm(*sponge) + " across" : "") + " would be missed by these scans" +
           (band && sponge ? "" : band ? "; for sponges the limit was not determined" : "; for bands the limit was not determined");
}

}  // namespace

std::string detection_limit(const ExplantEntry& explant, bool none_seen) {
    std::string words = silicone_limit(explant);
    if (words.empty()) words = "the smallest band and sponge that these scans would have shown were not determined";
    if (none_seen) words = "None seen; " + words;
    const std::string water = explant.least_hydrogel_water ? ", or one of less than about " + fixed(100.0 * explant.least_hydrogel_water->value(), 0) + " % water," : "";
    return words + (explant.smallest_hydrogel_thickness ? ". A hydrogel less than " + mm(*explant.smallest_hydrogel_thickness) + " thick" + water + " could have been missed."
                                                        : ". A hydrogel, which may look like muscle, could have been missed whatever its size.");
}

std::string next_study_in_words(const MaterialEntry& material) {
    const std::string_view purpose = material.label ? " would confirm the material best." : " would separate the remaining candidates best.";
    switch (material.most_informative_next) {
        case NextStudy::ct: return "A CT of the orbits" + std::string(purpose);
        case NextStudy::t1: return "A T1-weighted MR series" + std::string(purpose);
        case NextStudy::t2: return "A T2-weighted MR series" + std::string(purpose);
        case NextStudy::second_ct_energy: return "A CT at a second tube voltage" + std::string(purpose);
        case NextStudy::none: break;
    }
    return material.label ? "No further scan is named: the material was determined from those at hand." : "No further scan is named that would separate the candidates.";
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
