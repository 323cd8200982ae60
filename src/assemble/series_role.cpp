// SPDX-License-Identifier: Apache-2.0
#include "perisclera/assemble/series_role.h"

#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <string_view>

#include "kernel_class.h"
#include "perisclera/ingest/dicom_values.h"

namespace perisclera {

namespace {

bool holds(const std::vector<std::string>& values, std::initializer_list<std::string_view> wanted) {
    return std::any_of(values.begin(), values.end(), [&](const std::string& v) { return std::find(wanted.begin(), wanted.end(), v) != wanted.end(); });
}

bool letter_or_digit(char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9'); }

/// Is one of the words in the upper-case text, as a word of its own?
bool says(std::string_view text, std::initializer_list<std::string_view> words) {
    for (const std::string_view word : words)
        for (std::size_t at = text.find(word); at != std::string_view::npos; at = text.find(word, at + 1)) {
            const bool starts = at == 0 || !letter_or_digit(text[at - 1]);
            const bool ends = at + word.size() == text.size() || !letter_or_digit(text[at + word.size()]);
            if (starts && ends) return true;
        }
    return false;
}

std::string milliseconds(double value) { return std::to_string(std::lround(value)) + " ms"; }

struct Weighting {
    SeriesRole role;
    std::string why;
};

/// The tags with the questions that roles turn on.
struct Facts {
    const AcquisitionTags& tags;
    std::string description = upper_case(tags.series_description + " " + tags.protocol_name);
    std::string sequence = upper_case(tags.sequence_name);
    bool spin_echo = holds(tags.scanning_sequence, {"SE"});
    bool gradient_echo = holds(tags.scanning_sequence, {"GR"});
    bool inversion = holds(tags.scanning_sequence, {"IR"}) || holds(tags.scan_options, {"IR"}) || tags.inversion_time_ms.has_value();
    bool echo_planar = holds(tags.scanning_sequence, {"EP"});

    [[nodiscard]] bool fat_suppressed() const {
        if (holds(tags.scan_options, {"FS", "SFS", "FATSAT", "FAT_SAT", "WE"})) return true;
        if (tags.spectral_suppression == "FAT" || tags.spectral_suppression == "FAT_AND_WATER") return true;
        return holds(tags.image_type, {"W", "WATER"}) || says(description, {"FS", "FATSAT", "FAT SAT", "FAT-SAT", "FAT_SAT", "SPIR", "SPAIR", "FSAT"});
    }
    [[nodiscard]] bool contrast_given() const {
        if (says(description, {"PRE", "NATIVE", "WITHOUT", "W/O"})) return false;  // agents are often entered for the whole examination
        return !tags.contrast_agent.empty() || says(description, {"GD", "POST", "KM", "CE", "+C", "C+", "GADO"});
    }
};

Weighting unknown(std::string why) { return {SeriesRole::unknown, std::move(why)}; }

Weighting inversion_recovery(const Facts& facts) {
    const auto inversion = facts.tags.inversion_time_ms;
    const double echo = facts.tags.echo_time_ms.value_or(0.0);
    if (facts.gradient_echo && !facts.spin_echo) {
        if (!inversion || *inversion >= 300.0) return {SeriesRole::t1, "inversion-prepared gradient echo"};
        return unknown("inversion-prepared gradient echo with an inversion time of " + milliseconds(*inversion));
    }
    if (inversion) {
        const std::string time = "inversion recovery with " + milliseconds(*inversion);
        if (*inversion >= 80.0 && *inversion <= 300.0) return {SeriesRole::stir, time + ", which nulls fat"};
        if (*inversion >= 1500.0 && echo >= 60.0) return {SeriesRole::flair, time + ", which nulls fluid"};
        if (*inversion > 300.0 && *inversion < 1500.0 && echo > 0.0 && echo < 40.0) return {SeriesRole::t1, time + " and a short echo time"};
    }
    // The inversion time is missing or between the usual ranges: only the names can tell.
    if (says(facts.description, {"STIR", "TIRM"}) && !says(facts.description, {"FLAIR", "DARK"})) return {SeriesRole::stir, "inversion recovery; named as fat-nulling"};
    if (says(facts.description, {"FLAIR"}) && echo >= 60.0) return {SeriesRole::flair, "inversion recovery with a long echo time; named as fluid-nulling"};
    return unknown("inversion recovery whose inversion time does not tell what it nulls");
}

Weighting spin_echo(const Facts& facts) {
    const auto repetition = facts.tags.repetition_time_ms, echo = facts.tags.echo_time_ms;
    if (!repetition || !echo) return unknown("spin echo without repetition or echo time");
    const std::string times = "spin echo, TR " + milliseconds(*repetition) + ", TE " + milliseconds(*echo);
    if (*repetition <= 1200.0 && *echo < 40.0) return {SeriesRole::t1, times};
    if (*repetition >= 1500.0 && *echo >= 70.0) return {SeriesRole::t2, times};
    if (*repetition >= 1500.0 && *echo < 40.0) return {SeriesRole::pd, times};
    if (*repetition >= 1500.0 && says(facts.description, {"T2", "T2W"})) return {SeriesRole::t2, times + "; named as T2"};
    if (*repetition < 1500.0 && *echo < 40.0 && says(facts.description, {"T1", "T1W"})) return {SeriesRole::t1, times + "; named as T1"};
    return unknown(times + ", between the usual weightings");
}

Weighting gradient_echo(const Facts& facts) {
    const auto repetition = facts.tags.repetition_time_ms, echo = facts.tags.echo_time_ms, flip = facts.tags.flip_angle_deg;
    if (says(facts.description, {"TOF", "MRA", "ANGIO"})) return {SeriesRole::other, "gradient echo, named as angiography"};
    if (holds(facts.tags.sequence_variant, {"SS"}) && !holds(facts.tags.sequence_variant, {"SP"}))
        return {SeriesRole::other, "gradient echo in steady state: mixed weighting"};
    if (!repetition || !echo) return unknown("gradient echo without repetition or echo time");
    const std::string times = "gradient echo, TR " + milliseconds(*repetition) + ", TE " + milliseconds(*echo);
    if (*echo > 12.0) return {SeriesRole::gre, times + ": T2*-weighted"};
    if (!flip) return unknown(times + ", flip angle not stated");
    // Above the Ernst angle a spoiled echo is T1-weighted. 900 ms: soft tissue at 1.5 T.
    const double ernst_degrees = std::acos(std::exp(-*repetition / 900.0)) * 180.0 / 3.14159265358979323846;
    const std::string with_flip = times + ", flip angle " + std::to_string(std::lround(*flip)) + " degrees";
    if (*flip > ernst_degrees) return {SeriesRole::t1, with_flip + ": T1-weighted"};
    return unknown(with_flip + ", between the usual weightings");
}

/// Enhanced images may state their contrast (PS3.3 C.8.13.3.1.2). "UNKNOWN" and "MIXED" say nothing.
std::optional<Weighting> stated_contrast(std::string_view contrast) {
    const std::string why = "acquisition contrast is stated as ";
    if (contrast == "T1") return Weighting{SeriesRole::t1, why + "T1"};
    if (contrast == "T2") return Weighting{SeriesRole::t2, why + "T2"};
    if (contrast == "PROTON_DENSITY") return Weighting{SeriesRole::pd, why + "proton density"};
    if (contrast == "FLUID_ATTENUATED") return Weighting{SeriesRole::flair, why + "fluid-attenuated"};
    if (contrast == "STIR") return Weighting{SeriesRole::stir, why + "STIR"};
    if (contrast == "DIFFUSION") return Weighting{SeriesRole::dwi, why + "diffusion"};
    if (contrast == "T2_STAR") return Weighting{SeriesRole::gre, why + "T2*"};
    if (contrast == "PERFUSION" || contrast == "FLOW_ENCODED" || contrast == "TAGGING" || contrast == "TOF")
        return Weighting{SeriesRole::other, why + "perfusion, flow or tagging"};
    return std::nullopt;
}

Weighting mr_weighting(const Facts& facts) {
    const AcquisitionTags& tags = facts.tags;
    if (holds(tags.image_type, {"P", "PHASE", "R", "REAL", "I", "IMAGINARY"}) && !holds(tags.image_type, {"M", "MAGNITUDE"}))
        return {SeriesRole::other, "phase or complex-part images"};
    if (holds(tags.image_type, {"F", "FAT", "OPP_PHASE", "OUT_PHASE", "FAT_FRACTION"})) return {SeriesRole::other, "fat or opposed-phase images"};
    if (tags.b_value.value_or(0.0) > 0.0 || holds(tags.image_type, {"DIFFUSION", "TRACEW"})) return {SeriesRole::dwi, "diffusion-weighted"};
    if (const auto stated = stated_contrast(tags.acquisition_contrast)) return *stated;
    if (facts.echo_planar) return facts.gradient_echo && !facts.spin_echo ? Weighting{SeriesRole::gre, "echo-planar gradient echo"}
                                                                           : Weighting{SeriesRole::dwi, "echo-planar spin echo, as used for diffusion"};
    if (facts.inversion) return inversion_recovery(facts);
    if (facts.spin_echo) return spin_echo(facts);
    if (facts.gradient_echo) return gradient_echo(facts);
    return unknown("no pulse sequence stated");
}

SeriesRole with_options(SeriesRole base, bool fat_suppressed, bool contrast) {
    if (base == SeriesRole::t1) {
        if (contrast) return fat_suppressed ? SeriesRole::t1_contrast_fatsat : SeriesRole::t1_contrast;
        return fat_suppressed ? SeriesRole::t1_fatsat : SeriesRole::t1;
    }
    return base == SeriesRole::t2 && fat_suppressed ? SeriesRole::t2_fatsat : base;
}

RoleOpinion mr_role(const AcquisitionTags& tags) {
    const Facts facts{tags};
    const Weighting weighting = mr_weighting(facts);
    const bool fat = facts.fat_suppressed(), contrast = facts.contrast_given();
    RoleOpinion opinion{with_options(weighting.role, fat, contrast), weighting.why, false, {}};
    if (opinion.role != weighting.role) {
        if (fat) opinion.why += ", fat-suppressed";
        if (contrast && weighting.role == SeriesRole::t1) opinion.why += ", after contrast agent";
    }
    if (opinion.role == SeriesRole::pd && fat) opinion.problems.emplace_back("fat is suppressed");
    return opinion;
}

RoleOpinion ct_role(const AcquisitionTags& tags) {
    RoleOpinion opinion{SeriesRole::ct_soft, "", false, {}};
    switch (kernel_class(tags.kernel, tags.kernel_group)) {
        case KernelClass::sharp:
            opinion.role = SeriesRole::ct_bone;
            opinion.why = "CT with a sharp kernel";
            break;
        case KernelClass::soft: opinion.why = "CT with a soft-tissue kernel"; break;
        case KernelClass::not_told:
            opinion.why = "no kernel that tells; treated as a soft-tissue series";
            opinion.problems.emplace_back("the reconstruction kernel is not known");
            break;
    }
    if (!tags.contrast_agent.empty()) opinion.problems.emplace_back("contrast agent was given: CT numbers of enhancing tissue are raised");
    return opinion;
}

/// Series that are no measurement of their own, whatever their sequence.
std::optional<Weighting> secondary_role(const AcquisitionTags& tags, bool simulated) {
    if (holds(tags.image_type, {"LOCALIZER"})) return Weighting{SeriesRole::localizer, "image type says localizer"};
    if (holds(tags.image_type, {"PROJECTION IMAGE", "MIP", "MINIP", "MNIP", "MAXIMUM", "MINIMUM", "MAX_IP", "MIN_IP", "AVERAGE", "VOLUME_RENDER", "SURFACE_RENDER", "VRT"}))
        return Weighting{SeriesRole::derived, "image type says projection"};
    if (holds(tags.image_type, {"ADC", "FA", "DIFFUSION MAP", "SUBTRACTION", "SUBTRACT", "T1 MAP", "T2 MAP", "CBF", "CBV", "MTT", "SCREEN SAVE", "CPR", "CURVED_MPR", "DISTORTED"}))
        return Weighting{SeriesRole::derived, "image type says map or computed image"};
    if (!simulated && holds(tags.image_type, {"DERIVED"}) && holds(tags.image_type, {"SECONDARY"}))
        return Weighting{SeriesRole::derived, "image type says derived secondary image"};
    return std::nullopt;
}

}  // namespace

RoleOpinion series_role(Modality modality, const AcquisitionTags& tags) {
    const auto says_simulated = [](const std::string& text) { return upper_case(text).find("SIMULAT") != std::string::npos; };
    const bool simulated = says_simulated(tags.series_description) || says_simulated(tags.derivation) ||
                           std::any_of(tags.image_type.begin(), tags.image_type.end(), says_simulated);
    RoleOpinion opinion{};
    if (const auto secondary = secondary_role(tags, simulated)) {
        opinion = {secondary->role, secondary->why, false, {}};
    } else {
        opinion = modality == Modality::ct ? ct_role(tags) : mr_role(tags);
        if (!simulated && holds(tags.image_type, {"DERIVED"})) opinion.problems.emplace_back("images were processed after reconstruction");
    }
    // Scouts of some systems are not marked by their image type.
    if (opinion.role == SeriesRole::unknown && says(upper_case(tags.series_description), {"LOCALIZER", "LOC", "SCOUT", "SURVEY"}))
        opinion = {SeriesRole::localizer, "named as a localizer", false, {}};
    opinion.simulated = simulated;
    return opinion;
}

bool is_measured(SeriesRole role) {
    switch (role) {
        case SeriesRole::dwi:
        case SeriesRole::gre:
        case SeriesRole::localizer:
        case SeriesRole::derived:
        case SeriesRole::other:
        case SeriesRole::unknown: return false;
        default: return true;
    }
}

}  // namespace perisclera
