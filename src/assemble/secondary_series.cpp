// SPDX-License-Identifier: Apache-2.0
#include "secondary_series.h"

#include "holds.h"
#include "series_words.h"

namespace perisclera {

namespace {

std::optional<SecondaryKind> told_by_image_type(const AcquisitionTags& tags, bool simulated) {
    const auto& type = tags.image_type;
    const auto derived = [](const char* what) { return SecondaryKind{SeriesRole::derived, std::string("image type says ") + what, Confidence::high}; };
    if (holds(type, {"LOCALIZER"})) return SecondaryKind{SeriesRole::localizer, "image type says localizer", Confidence::high};
    if (holds(type, {"SCREEN SAVE", "DOSE_INFO", "DOSE INFO"})) return derived("picture of a screen or report");
    if (holds(type, {"PROJECTION IMAGE", "MIP", "MINIP", "MNIP", "MAXIMUM", "MINIMUM", "MAX_IP", "MIN_IP", "AVERAGE", "VOLUME_RENDER", "SURFACE_RENDER", "VRT", "RENDERED"}))
        return derived("projection");
    if (holds(type, {"REFORMATTED", "CPR", "CURVED_MPR", "RESAMPLED", "DISTORTED"})) return derived("reformatted images");
    if (holds(type, {"ADC", "ADC_MAP", "EADC", "EXP", "FA", "FRACT_ANISO", "TENSOR", "TENSOR_B0", "DIFFUSION MAP", "SUBTRACTION", "SUBTRACT", "SUB", "PHASE_SUBTRACT", "DIVISION",
                     "T1 MAP", "T1_MAP", "T2 MAP", "T2_MAP", "T2_STAR MAP", "T2_STAR_MAP", "R2_MAP", "R2_STAR_MAP", "UNI", "MTT", "TTP", "TMAX", "CBF", "CBV", "RCBF", "RCBV", "RELCBF",
                     "RELCBV", "PBP", "NEI", "STD_DEVIATION", "METABOLITE_MAP", "TEMPERATURE", "VNC", "IODINE", "MONOENERGETIC", "VMI"}))
        return derived("map or computed image");
    if (!simulated && holds(type, {"DERIVED"})) {
        if (holds(type, {"SECONDARY"})) return derived("derived secondary image");
        if (holds(type, {"MPR"})) return derived("reformatted images");
    }
    return std::nullopt;
}

std::optional<SecondaryKind> told_by_name(Modality modality, const AcquisitionTags& tags) {
    const SeriesWords words(tags.series_description);
    const auto derived = [](const char* what) { return SecondaryKind{SeriesRole::derived, std::string("named as ") + what, Confidence::moderate}; };
    if (named_localizer(words)) return SecondaryKind{SeriesRole::localizer, "named as a localizer", Confidence::moderate};
    if (words.say({"DOSE REPORT", "DOSE INFO~", "DOSE SUMMARY", "DOSE RECORD", "DOSISBERICHT", "DOSISPROTOKOLL", "PATIENT PROTOCOL", "SCREEN SAVE~", "SCREENSHOT~", "SCREEN CAPTURE~"}))
        return derived("a picture of a screen or report");
    if (words.say({"MIP", "MINIP", "MNIP", "VRT", "RENDER~", "MAX IP"})) return derived("a projection");
    if (words.say({"SUBTRACT~", "SUBTRAKTION~", "SUB", "SUBS"})) return derived("a subtraction");
    if (words.say({"CBF", "CBV", "RCBF", "RCBV", "MTT", "TTP", "TMAX", "T1 MAP", "T1MAP", "T2 MAP", "T2MAP", "T2* MAP", "QSM", "TENSOR", "TRACTO~", "FRACTIONAL ANISO~", "COLFA"}))
        return derived("a map");
    const bool diffusion_image = holds(tags.image_type, {"ORIGINAL"}) && tags.b_value.value_or(0.0) > 0.0;
    if (modality == Modality::mr && !diffusion_image && words.say({"ADC", "EADC", "DADC", "APPARENT DIFF~", "FA"}))
        return holds(tags.scanning_sequence, {"SE", "GR", "IR"}) && !holds(tags.scanning_sequence, {"EP"}) && !holds(tags.image_type, {"DERIVED"}) ? std::nullopt : std::optional(derived("a map"));
    if (modality == Modality::ct && words.say({"VNC", "IODINE", "MONO", "MONOENERGETIC", "MONO+", "KEV", "RHO/Z", "Z EFF~", "ELECTRON DENSITY"}))
        return derived("images computed from several energies");
    if (holds(tags.image_type, {"DERIVED"}) && words.say({"MPR", "REFORMAT~", "REFO~", "CURVED", "CPR", "RECON~", "REKO~"})) return derived("reformatted images");
    return std::nullopt;
}

}  // namespace

std::optional<SecondaryKind> secondary_kind(Modality modality, const AcquisitionTags& tags, bool simulated) {
    if (auto kind = told_by_image_type(tags, simulated)) return kind;
    return told_by_name(modality, tags);
}

}  // namespace perisclera
