// SPDX-License-Identifier: Apache-2.0
#include "mr_weighting.h"

#include <cmath>
#include <numbers>
#include <optional>
#include <string_view>

#include "holds.h"
#include "perisclera/core/text.h"
#include "perisclera/ingest/dicom_values.h"
#include "series_words.h"

namespace perisclera {

namespace {

std::string milliseconds(double value) { return say("unit.milliseconds", {{"number", std::to_string(std::lround(value))}}); }

Weighting unknown(std::string why) { return {SeriesRole::unknown, std::move(why), Confidence::low}; }

struct Facts {
    const AcquisitionTags& tags;
    SeriesWords words = words_of(tags);
    SeriesWords sequence = SeriesWords(tags.sequence_name);
    std::optional<double> repetition = tags.repetition_time_ms, echo = tags.echo_time_ms, inversion = tags.inversion_time_ms, flip = tags.flip_angle_deg;
    bool stated = holds(tags.scanning_sequence, {"SE", "GR", "EP"});
    bool spin_echo = holds(tags.scanning_sequence, {"SE"});
    bool gradient_echo = holds(tags.scanning_sequence, {"GR"}) && !spin_echo;
    bool echo_planar = holds(tags.scanning_sequence, {"EP"});
    bool inverted = holds(tags.scanning_sequence, {"IR"}) || holds(tags.scan_options, {"IR"});
    /// Not every scanner states an inversion; the series' own name may.
    bool named_inversion = SeriesWords(tags.series_description).say({"STIR", "TIRM", "FLAIR~"});
    bool prepared = holds(tags.sequence_variant, {"MP"});
    bool spoiled = holds(tags.sequence_variant, {"SP"});
    bool steady_state = holds(tags.sequence_variant, {"SS"}) && !spoiled;

    [[nodiscard]] std::string times() const {
        const auto told = [](std::optional<double> time) { return time ? milliseconds(*time) : say("role_why.not_stated"); };
        return say("role_why.times", {{"repetition", told(repetition)}, {"echo", told(echo)}});
    }
};

/// Enhanced images may state their contrast (PS3.3 C.8.13.3.1.2). "UNKNOWN" and "MIXED" say nothing.
std::optional<Weighting> stated_contrast(std::string_view contrast) {
    if (contrast == "T1") return Weighting{SeriesRole::t1, say("role_why.stated_t1")};
    if (contrast == "T2") return Weighting{SeriesRole::t2, say("role_why.stated_t2")};
    if (contrast == "PROTON_DENSITY") return Weighting{SeriesRole::pd, say("role_why.stated_pd")};
    if (contrast == "FLUID_ATTENUATED") return Weighting{SeriesRole::flair, say("role_why.stated_flair")};
    if (contrast == "STIR") return Weighting{SeriesRole::stir, say("role_why.stated_stir")};
    if (contrast == "DIFFUSION") return Weighting{SeriesRole::dwi, say("role_why.stated_diffusion")};
    if (contrast == "T2_STAR") return Weighting{SeriesRole::gre, say("role_why.stated_t2_star")};
    if (contrast == "PERFUSION" || contrast == "FLOW_ENCODED" || contrast == "TAGGING" || contrast == "TOF")
        return Weighting{SeriesRole::other, say("role_why.stated_other")};
    return std::nullopt;
}

/// Images that are no plain weighting of tissue.
std::optional<Weighting> special_images(const Facts& facts) {
    const AcquisitionTags& tags = facts.tags;
    const auto other = [](std::string_view key, Confidence confidence = Confidence::high) { return Weighting{SeriesRole::other, say(key), confidence}; };
    if (holds(tags.image_type, {"P", "PHASE", "R", "REAL", "I", "IMAGINARY", "PHASE MAP", "VELOCITY", "VELOCITY MAP", "PCA"}) && !holds(tags.image_type, {"M", "MAGNITUDE"}))
        return other("role_why.phase");
    if (holds(tags.image_type, {"F", "FAT", "OP", "OPP_PHASE", "OUT_PHASE", "OUTPHASE", "FAT_FRACTION"}) || tags.spectral_excitation == "FAT")
        return other("role_why.fat_image");
    if ((facts.words.say({"DIXON"}) && facts.words.say({"F", "OPP", "OUT"})) || facts.words.say({"OPP PHASE", "OUTPHASE", "OUT OF PHASE", "OPPOSED~"}) ||
        upper_case(tags.series_description).starts_with("FAT:"))
        return other("role_why.named_fat_image", Confidence::moderate);
    if (tags.spectral_suppression == "WATER" || tags.spectral_suppression == "FAT_AND_WATER") return other("role_why.water_suppressed");
    if (tags.several_inversions) return other("role_why.several_inversions");
    if (facts.words.say({"DIR", "DOUBLE INVERSION"})) return other("role_why.named_double_inversion", Confidence::moderate);
    if (holds(tags.image_type, {"ASL", "PERFUSION", "PERFUSION_ASL", "FMRI", "DYNAMIC", "TAGGING"}) || facts.words.say({"ASL", "PASL", "PCASL", "PERF", "PERFUSION", "DSC"}))
        return other("role_why.perfusion");
    if (tags.angiographic) return other("role_why.flagged_angiography");
    if (holds(tags.image_type, {"TOF", "ANGIO", "FLOW_ENCODED"})) return other("role_why.image_type_angiography");
    if (facts.words.say({"TOF", "MRA", "MRV", "ANGIO", "ANGIOGR~", "PHLEBO~", "VENOGR~", "PHASE CONTRAST"}) || facts.sequence.say({"TOF"}))
        return other("role_why.named_angiography", Confidence::moderate);
    if (facts.words.say({"FIELD MAP~", "FIELDMAP~", "B0 MAP", "B1 MAP", "B1MAP", "SHIM~", "CALIBRATION~", "COIL SENS~", "REF SCAN"}))
        return other("role_why.named_calibration", Confidence::moderate);
    return std::nullopt;
}

bool diffusion_weighted(const Facts& facts) {
    return facts.tags.b_value.value_or(0.0) > 0.0 || holds(facts.tags.image_type, {"DIFFUSION", "TRACEW", "DIFFUSION_ISO", "DIFFUSION_ANISO"});
}

Weighting echo_planar(const Facts& facts) {
    if (facts.gradient_echo) return {SeriesRole::gre, say("role_why.planar_gradient_echo")};
    if (facts.words.say({"BOLD", "FMRI"})) return {SeriesRole::gre, say("role_why.planar_named_functional"), Confidence::moderate};
    const bool named = facts.words.say({"DWI~", "DIFF~", "DTI~", "B0", "B1000"});
    if (facts.spin_echo || named) return {SeriesRole::dwi, say("role_why.planar_spin_echo"), named ? Confidence::high : Confidence::moderate};
    // Neither spin nor gradient echo is stated: a small flip angle has no spin echo after it, and late echoes of full pulses are those of diffusion.
    if (facts.flip.value_or(90.0) < 85.0) return {SeriesRole::gre, say("role_why.planar_small_angle"), Confidence::moderate};
    if (facts.flip && facts.echo.value_or(0.0) >= 55.0) return {SeriesRole::dwi, say("role_why.planar_late_echo"), Confidence::moderate};
    return unknown(say("role_why.planar", {{"times", facts.times()}}));
}

Weighting prepared_gradient_echo(const Facts& facts) {
    if (facts.echo.value_or(0.0) > 12.0) return unknown(say("role_why.prepared_long_echo"));
    if (!facts.inversion) return {SeriesRole::t1, say("role_why.prepared"), facts.inverted || named_t1(facts.words) ? Confidence::high : Confidence::moderate};
    if (*facts.inversion >= 300.0 && *facts.inversion < 1500.0) return {SeriesRole::t1, say("role_why.prepared_by", {{"inversion", milliseconds(*facts.inversion)}})};
    return unknown(say("role_why.prepared_by_unusual", {{"inversion", milliseconds(*facts.inversion)}}));
}

Weighting inversion_recovery(const Facts& facts) {
    const double echo = facts.echo.value_or(0.0);
    const bool named_stir = facts.words.say({"STIR", "TIRM"}) && !facts.words.say({"FLAIR~", "DARK~"});
    const bool named_flair = facts.words.say({"FLAIR~", "DARK FLUID"}) && !facts.words.say({"T1 FLAIR", "T1FLAIR"});
    if (facts.inversion) {
        const std::string time = milliseconds(*facts.inversion);
        if (*facts.inversion >= 80.0 && *facts.inversion <= 300.0) return {SeriesRole::stir, say("role_why.inversion_of_fat", {{"inversion", time}})};
        if (*facts.inversion >= 1500.0 && echo >= 60.0) return {SeriesRole::flair, say("role_why.inversion_of_fluid", {{"inversion", time}})};
        if (*facts.inversion > 300.0 && *facts.inversion < 1500.0 && echo > 0.0 && echo < 40.0) return {SeriesRole::t1, say("role_why.inversion_short_echo", {{"inversion", time}})};
    }
    // The inversion time is missing or between the usual ranges: only the names can tell.
    if (named_stir) return {SeriesRole::stir, say("role_why.inversion_named_fat"), Confidence::moderate};
    if (named_flair && echo >= 60.0) return {SeriesRole::flair, say("role_why.inversion_named_fluid"), Confidence::moderate};
    if (!facts.inversion && named_t1(facts.words) && echo > 0.0 && echo < 40.0)
        return {SeriesRole::t1, say("role_why.inversion_named_t1"), Confidence::moderate};
    return unknown(say("role_why.inversion_does_not_tell"));
}

Weighting spin_echo(const Facts& facts) {
    const std::string times = facts.times();
    if (!facts.echo) {
        if (facts.repetition && *facts.repetition <= 800.0 && named_t1(facts.words)) return {SeriesRole::t1, say("role_why.spin_echo_named_t1", {{"times", times}}), Confidence::moderate};
        if (facts.repetition && *facts.repetition >= 2000.0 && named_t2(facts.words)) return {SeriesRole::t2, say("role_why.spin_echo_named_t2", {{"times", times}}), Confidence::moderate};
        return unknown(say("role_why.spin_echo", {{"times", times}}));
    }
    const double echo = *facts.echo;
    if (!facts.repetition) {
        // Many echoes as late as this are read in single shots and trains only, whose repetition is long.
        if (echo >= 70.0 && facts.tags.echo_train_length.value_or(1) >= 8) return {SeriesRole::t2, say("role_why.spin_echo_train", {{"times", times}}), Confidence::moderate};
        return unknown(say("role_why.spin_echo", {{"times", times}}));
    }
    const double repetition = *facts.repetition;
    if (repetition <= 1200.0 && echo < 40.0) return {SeriesRole::t1, say("role_why.spin_echo", {{"times", times}}), repetition <= 1000.0 && echo <= 30.0 ? Confidence::high : Confidence::moderate};
    if (echo >= 70.0 && repetition >= 1500.0) return {SeriesRole::t2, say("role_why.spin_echo", {{"times", times}})};
    // Single shots, and trains whose magnetisation is driven back up.
    if (echo >= 70.0 && repetition >= 800.0 && facts.tags.echo_train_length.value_or(1) >= 8) return {SeriesRole::t2, say("role_why.spin_echo_train", {{"times", times}}), Confidence::moderate};
    if (repetition >= 1500.0 && echo < 40.0) return {SeriesRole::pd, say("role_why.spin_echo", {{"times", times}})};
    if (repetition >= 1500.0 && named_t2(facts.words)) return {SeriesRole::t2, say("role_why.spin_echo_named_t2", {{"times", times}}), Confidence::moderate};
    if (repetition >= 1500.0 && echo < 60.0 && facts.words.say({"PD", "PDW~", "PDFS", "PROTON~", "DP"})) return {SeriesRole::pd, say("role_why.spin_echo_named_pd", {{"times", times}}), Confidence::moderate};
    if (repetition < 1500.0 && echo < 40.0 && named_t1(facts.words)) return {SeriesRole::t1, say("role_why.spin_echo_named_t1", {{"times", times}}), Confidence::moderate};
    return unknown(say("role_why.spin_echo_between", {{"times", times}}));
}

Weighting gradient_echo(const Facts& facts) {
    if (facts.steady_state && !(named_t1(facts.words) && facts.flip.value_or(90.0) < 30.0))
        return {SeriesRole::other, say("role_why.steady_state")};
    const std::string times = facts.times();
    if (!facts.repetition || !facts.echo) return unknown(say("role_why.gradient_echo", {{"times", times}}));
    const double repetition = *facts.repetition, echo = *facts.echo;
    if (echo > 12.0) return {SeriesRole::gre, say("role_why.gradient_echo_t2_star", {{"times", times}})};
    if (facts.words.say({"SWI~", "SUSC~", "HEMO", "T2*", "T2STAR", "T2 STAR"})) return {SeriesRole::gre, say("role_why.gradient_echo_named_t2_star", {{"times", times}}), Confidence::moderate};
    if (!facts.flip) return unknown(say("role_why.gradient_echo_without_angle", {{"times", times}}));
    const std::string angle = std::to_string(std::lround(*facts.flip));
    const bool named = named_t1(facts.words);
    if (!facts.spoiled && repetition < 15.0 && *facts.flip > 35.0) return {SeriesRole::other, say("role_why.gradient_echo_balanced", {{"times", times}, {"angle", angle}}), Confidence::moderate};
    if (!named) {
        if (facts.tags.acquisition_type == "2D" && repetition < 30.0) return unknown(say("role_why.gradient_echo_fast", {{"times", times}, {"angle", angle}}));
        // Inflow is seen like this; so is a T1-weighted volume.
        if (repetition >= 18.0 && repetition <= 60.0 && echo < 8.0 && *facts.flip >= 15.0) return unknown(say("role_why.gradient_echo_inflow", {{"times", times}, {"angle", angle}}));
        if (repetition < 7.0 && *facts.flip >= 20.0) return unknown(say("role_why.gradient_echo_inflow", {{"times", times}, {"angle", angle}}));
        if (holds(facts.tags.sequence_variant, {"MTC"})) return unknown(say("role_why.gradient_echo_transfer", {{"times", times}, {"angle", angle}}));
    }
    // Above the Ernst angle a spoiled echo is T1-weighted. 900 ms: soft tissue at 1.5 T.
    const double ernst_degrees = std::acos(std::exp(-repetition / 900.0)) * 180.0 / std::numbers::pi;
    if (*facts.flip >= 1.25 * ernst_degrees) return {SeriesRole::t1, say("role_why.gradient_echo_t1", {{"times", times}, {"angle", angle}}), named ? Confidence::high : Confidence::moderate};
    if (*facts.flip >= 0.8 * ernst_degrees && named) return {SeriesRole::t1, say("role_why.gradient_echo_named_t1", {{"times", times}, {"angle", angle}}), Confidence::moderate};
    return unknown(say("role_why.gradient_echo_between", {{"times", times}, {"angle", angle}}));
}

/// The sequence is not stated, or only as "research mode": what no other sequence could be.
Weighting without_sequence(Facts facts) {
    const std::string times = facts.times();
    if (facts.sequence.say({"FL2D~", "FL3D~", "TFL~", "GRE~", "EFGRE~", "SPGR~", "FSPGR~", "FFE~", "TFE~", "T1TFE~", "T1FFE~"})) facts.gradient_echo = true;
    if (facts.sequence.say({"TSE~", "FSE~", "SPC~", "SE", "SE2D~"})) facts.spin_echo = true;
    // Only gradient echoes repeat so fast.
    if (facts.repetition && *facts.repetition < 100.0) facts.gradient_echo = !facts.spin_echo;
    if (facts.gradient_echo && (facts.inverted || facts.inversion || facts.prepared)) return prepared_gradient_echo(facts);
    if (facts.inverted || facts.inversion) return inversion_recovery(facts);
    if (facts.spin_echo) return spin_echo(facts);
    if (facts.gradient_echo) return gradient_echo(facts);
    if (!facts.repetition || !facts.echo) return unknown(say("role_why.no_sequence", {{"times", times}}));
    const bool wide_pulse = facts.flip.value_or(0.0) >= 60.0;
    // T1-weighted as a spin echo, and as a gradient echo above its Ernst angle.
    if (*facts.repetition >= 300.0 && *facts.repetition <= 1000.0 && *facts.echo <= 12.0 + 18.0 * named_t1(facts.words) && wide_pulse)
        return {SeriesRole::t1, say("role_why.no_sequence_wide_angle", {{"times", times}}), Confidence::moderate};
    // Of short echoes only those of a prepared gradient echo follow a pulse so small.
    if (*facts.repetition >= 1500.0 && *facts.echo < 6.0 && facts.flip && *facts.flip <= 15.0)
        return {SeriesRole::t1, say("role_why.no_sequence_small_angle", {{"times", times}}), Confidence::moderate};
    if (*facts.repetition >= 1500.0 && *facts.echo >= 70.0 && named_t2(facts.words) && facts.words.say({"TSE", "FSE", "SE"}))
        return {SeriesRole::t2, say("role_why.no_sequence_named_t2", {{"times", times}}), Confidence::moderate};
    return unknown(say("role_why.no_sequence", {{"times", times}}));
}

}  // namespace

bool fat_suppressed_by_tags(const AcquisitionTags& tags) {
    return holds(tags.scan_options, {"FS", "SFS", "FATSAT", "FAT_SAT", "WE", "SPIR", "SPAIR"}) || tags.spectral_suppression == "FAT" || tags.spectral_excitation == "WATER" ||
           holds(tags.image_type, {"W", "WATER"});
}

Weighting mr_weighting(const AcquisitionTags& tags) {
    const Facts facts{tags};
    if (auto special = special_images(facts)) return *special;
    if (diffusion_weighted(facts)) return {SeriesRole::dwi, say("role_why.diffusion_weighted")};
    if (auto stated = stated_contrast(tags.acquisition_contrast)) return *stated;
    if (facts.echo_planar) return echo_planar(facts);
    if (!facts.stated) return without_sequence(facts);
    const bool spectral_inversion = !facts.inverted && fat_suppressed_by_tags(tags);  // of fat alone: its time is no inversion time of tissue
    if (facts.inverted || (facts.inversion && !spectral_inversion) || (facts.gradient_echo && facts.prepared))
        return facts.gradient_echo ? prepared_gradient_echo(facts) : inversion_recovery(facts);
    if (facts.spin_echo && facts.named_inversion) return inversion_recovery(facts);
    return facts.spin_echo ? spin_echo(facts) : gradient_echo(facts);
}

}  // namespace perisclera
