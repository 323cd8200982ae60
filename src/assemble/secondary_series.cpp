// SPDX-License-Identifier: Apache-2.0
#include "secondary_series.h"

#include <string_view>

#include "holds.h"
#include "perisclera/core/text.h"
#include "series_words.h"

namespace perisclera {

namespace {

std::optional<SecondaryKind> told_by_image_type(const AcquisitionTags& tags, bool simulated) {
    const auto& type = tags.image_type;
    const auto derived = [](std::string_view key) { return SecondaryKind{SeriesRole::derived, say(key), Confidence::high}; };
    if (holds(type, {"LOCALIZER"})) return SecondaryKind{SeriesRole::localizer, say("role_why.image_type_localizer"), Confidence::high};
    if (holds(type, {"SCREEN SAVE", "DOSE_INFO", "DOSE INFO"})) return derived("role_why.image_type_screen");
    if (holds(type, {"PROJECTION IMAGE", "MIP", "MINIP", "MNIP", "MAXIMUM", "MINIMUM", "MAX_IP", "MIN_IP", "AVERAGE", "VOLUME_RENDER", "SURFACE_RENDER", "VRT", "RENDERED"}))
        return derived("role_why.image_type_projection");
    if (holds(type, {"REFORMATTED", "CPR", "CURVED_MPR", "RESAMPLED", "DISTORTED"})) return derived("role_why.image_type_reformatted");
    if (holds(type, {"ADC", "ADC_MAP", "EADC", "EXP", "FA", "FRACT_ANISO", "TENSOR", "TENSOR_B0", "DIFFUSION MAP", "SUBTRACTION", "SUBTRACT", "SUB", "PHASE_SUBTRACT", "DIVISION",
                     "T1 MAP", "T1_MAP", "T2 MAP", "T2_MAP", "T2_STAR MAP", "T2_STAR_MAP", "R2_MAP", "R2_STAR_MAP", "UNI", "MTT", "TTP", "TMAX", "CBF", "CBV", "RCBF", "RCBV", "RELCBF",
                     "RELCBV", "PBP", "NEI", "STD_DEVIATION", "METABOLITE_MAP", "TEMPERATURE", "VNC", "IODINE", "MONOENERGETIC", "VMI"}))
        return derived("role_why.image_type_computed");
    if (!simulated && holds(type, {"DERIVED"})) {
        if (holds(type, {"SECONDARY"})) return derived("role_why.image_type_secondary");
        if (holds(type, {"MPR"})) return derived("role_why.image_type_reformatted");
    }
    return std::nullopt;
}

std::optional<SecondaryKind> told_by_name(Modality modality, const AcquisitionTags& tags) {
    const SeriesWords words(tags.series_description);
    const auto derived = [](std::string_view key) { return SecondaryKind{SeriesRole::derived, say(key), Confidence::moderate}; };
    if (named_localizer(words)) return SecondaryKind{SeriesRole::localizer, say("role_why.named_localizer"), Confidence::moderate};
    if (words.say({"DOSE REPORT", "DOSE INFO~", "DOSE SUMMARY", "DOSE RECORD", "DOSISBERICHT", "DOSISPROTOKOLL", "PATIENT PROTOCOL", "SCREEN SAVE~", "SCREENSHOT~", "SCREEN CAPTURE~"}))
        return derived("role_why.named_screen");
    if (words.say({"MIP", "MINIP", "MNIP", "VRT", "RENDER~", "MAX IP"})) return derived("role_why.named_projection");
    if (words.say({"SUBTRACT~", "SUBTRAKTION~", "SUB", "SUBS"})) return derived("role_why.named_subtraction");
    if (words.say({"CBF", "CBV", "RCBF", "RCBV", "MTT", "TTP", "TMAX", "T1 MAP", "T1MAP", "T2 MAP", "T2MAP", "T2* MAP", "QSM", "TENSOR", "TRACTO~", "FRACTIONAL ANISO~", "COLFA"}))
        return derived("role_why.named_map");
    const bool diffusion_image = holds(tags.image_type, {"ORIGINAL"}) && tags.b_value.value_or(0.0) > 0.0;
    if (modality == Modality::mr && !diffusion_image && words.say({"ADC", "EADC", "DADC", "APPARENT DIFF~", "FA"}))
        return holds(tags.scanning_sequence, {"SE", "GR", "IR"}) && !holds(tags.scanning_sequence, {"EP"}) && !holds(tags.image_type, {"DERIVED"}) ? std::nullopt : std::optional(derived("role_why.named_map"));
    if (modality == Modality::ct && words.say({"VNC", "IODINE", "MONO", "MONOENERGETIC", "MONO+", "KEV", "RHO/Z", "Z EFF~", "ELECTRON DENSITY"}))
        return derived("role_why.named_energies");
    if (holds(tags.image_type, {"DERIVED"}) && words.say({"MPR", "REFORMAT~", "REFO~", "CURVED", "CPR", "RECON~", "REKO~"})) return derived("role_why.named_reformatted");
    return std::nullopt;
}

}  // namespace

std::optional<SecondaryKind> secondary_kind(Modality modality, const AcquisitionTags& tags, bool simulated) {
    if (auto kind = told_by_image_type(tags, simulated)) return kind;
    return told_by_name(modality, tags);
}

}  // namespace perisclera
