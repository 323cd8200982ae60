// SPDX-License-Identifier: Apache-2.0
#include "mr_weighting.h"

#include <cmath>
#include <numbers>
#include <optional>
#include <string_view>

#include "holds.h"
#include "perisclera/ingest/dicom_values.h"
#include "series_words.h"

namespace perisclera {

namespace {

std::string milliseconds(double value) { return std::to_string(std::lround(value)) + " ms"; }

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
        return (repetition ? "TR " + milliseconds(*repetition) : "TR not stated") + ", TE " + (echo ? milliseconds(*echo) : "not stated");
    }
};

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

/// Images that are no plain weighting of tissue.
std::optional<Weighting> special_images(const Facts& facts) {
    const AcquisitionTags& tags = facts.tags;
    const auto other = [](std::string why, Confidence confidence = Confidence::high) { return Weighting{SeriesRole::other, std::move(why), confidence}; };
    if (holds(tags.image_type, {"P", "PHASE", "R", "REAL", "I", "IMAGINARY", "PHASE MAP", "VELOCITY", "VELOCITY MAP", "PCA"}) && !holds(tags.image_type, {"M", "MAGNITUDE"}))
        return other("phase or complex-part images");
    if (holds(tags.image_type, {"F", "FAT", "OP", "OPP_PHASE", "OUT_PHASE", "OUTPHASE", "FAT_FRACTION"}) || tags.spectral_excitation == "FAT")
        return other("fat or opposed-phase images");
    if ((facts.words.say({"DIXON"}) && facts.words.say({"F", "OPP", "OUT"})) || facts.words.say({"OPP PHASE", "OUTPHASE", "OUT OF PHASE", "OPPOSED~"}) ||
        upper_case(tags.series_description).starts_with("FAT:"))
        return other("named as fat or opposed-phase images", Confidence::moderate);
    if (tags.spectral_suppression == "WATER" || tags.spectral_suppression == "FAT_AND_WATER") return other("water is suppressed");
    if (tags.several_inversions) return other("several inversion times: more than one tissue is nulled");
    if (facts.words.say({"DIR", "DOUBLE INVERSION"})) return other("named as double inversion", Confidence::moderate);
    if (holds(tags.image_type, {"ASL", "PERFUSION", "PERFUSION_ASL", "FMRI", "DYNAMIC", "TAGGING"}) || facts.words.say({"ASL", "PASL", "PCASL", "PERF", "PERFUSION", "DSC"}))
        return other("perfusion or functional images");
    if (tags.angiographic) return other("flagged as angiography");
    if (holds(tags.image_type, {"TOF", "ANGIO", "FLOW_ENCODED"})) return other("image type says angiography");
    if (facts.words.say({"TOF", "MRA", "MRV", "ANGIO", "ANGIOGR~", "PHLEBO~", "VENOGR~", "PHASE CONTRAST"}) || facts.sequence.say({"TOF"}))
        return other("named as angiography", Confidence::moderate);
    if (facts.words.say({"FIELD MAP~", "FIELDMAP~", "B0 MAP", "B1 MAP", "B1MAP", "SHIM~", "CALIBRATION~", "COIL SENS~", "REF SCAN"}))
        return other("named as a calibration or field map", Confidence::moderate);
    return std::nullopt;
}

bool diffusion_weighted(const Facts& facts) {
    return facts.tags.b_value.value_or(0.0) > 0.0 || holds(facts.tags.image_type, {"DIFFUSION", "TRACEW", "DIFFUSION_ISO", "DIFFUSION_ANISO"});
}

Weighting echo_planar(const Facts& facts) {
    if (facts.gradient_echo) return {SeriesRole::gre, "echo-planar gradient echo"};
    if (facts.words.say({"BOLD", "FMRI"})) return {SeriesRole::gre, "echo-planar images, named as functional", Confidence::moderate};
    const bool named = facts.words.say({"DWI~", "DIFF~", "DTI~", "B0", "B1000"});
    if (facts.spin_echo || named) return {SeriesRole::dwi, "echo-planar spin echo, as used for diffusion", named ? Confidence::high : Confidence::moderate};
    // Neither spin nor gradient echo is stated: a small flip angle has no spin echo after it, and late echoes of full pulses are those of diffusion.
    if (facts.flip.value_or(90.0) < 85.0) return {SeriesRole::gre, "echo-planar with a small flip angle, as gradient echoes have", Confidence::moderate};
    if (facts.flip && facts.echo.value_or(0.0) >= 55.0) return {SeriesRole::dwi, "echo-planar with a late echo, as used for diffusion", Confidence::moderate};
    return unknown("echo-planar, " + facts.times());
}

Weighting prepared_gradient_echo(const Facts& facts) {
    if (facts.echo.value_or(0.0) > 12.0) return unknown("prepared gradient echo with a long echo time");
    if (!facts.inversion) return {SeriesRole::t1, "inversion-prepared gradient echo", facts.inverted || named_t1(facts.words) ? Confidence::high : Confidence::moderate};
    if (*facts.inversion >= 300.0 && *facts.inversion < 1500.0) return {SeriesRole::t1, "inversion-prepared gradient echo, inversion time " + milliseconds(*facts.inversion)};
    return unknown("inversion-prepared gradient echo with an inversion time of " + milliseconds(*facts.inversion));
}

Weighting inversion_recovery(const Facts& facts) {
    const double echo = facts.echo.value_or(0.0);
    const bool named_stir = facts.words.say({"STIR", "TIRM"}) && !facts.words.say({"FLAIR~", "DARK~"});
    const bool named_flair = facts.words.say({"FLAIR~", "DARK FLUID"}) && !facts.words.say({"T1 FLAIR", "T1FLAIR"});
    if (facts.inversion) {
        const std::string time = "inversion recovery with " + milliseconds(*facts.inversion);
        if (*facts.inversion >= 80.0 && *facts.inversion <= 300.0) return {SeriesRole::stir, time + ", which nulls fat"};
        if (*facts.inversion >= 1500.0 && echo >= 60.0) return {SeriesRole::flair, time + ", which nulls fluid"};
        if (*facts.inversion > 300.0 && *facts.inversion < 1500.0 && echo > 0.0 && echo < 40.0) return {SeriesRole::t1, time + " and a short echo time"};
    }
    // The inversion time is missing or between the usual ranges: only the names can tell.
    if (named_stir) return {SeriesRole::stir, "inversion recovery; named as fat-nulling", Confidence::moderate};
    if (named_flair && echo >= 60.0) return {SeriesRole::flair, "inversion recovery with a long echo time; named as fluid-nulling", Confidence::moderate};
    if (!facts.inversion && named_t1(facts.words) && echo > 0.0 && echo < 40.0)
        return {SeriesRole::t1, "inversion recovery with a short echo time; named as T1", Confidence::moderate};
    return unknown("inversion recovery whose inversion time does not tell what it nulls");
}

Weighting spin_echo(const Facts& facts) {
    const std::string what = "spin echo, " + facts.times();
    if (!facts.echo) {
        if (facts.repetition && *facts.repetition <= 800.0 && named_t1(facts.words)) return {SeriesRole::t1, what + "; named as T1", Confidence::moderate};
        if (facts.repetition && *facts.repetition >= 2000.0 && named_t2(facts.words)) return {SeriesRole::t2, what + "; named as T2", Confidence::moderate};
        return unknown(what);
    }
    const double echo = *facts.echo;
    if (!facts.repetition) {
        // Many echoes as late as this are read in single shots and trains only, whose repetition is long.
        if (echo >= 70.0 && facts.tags.echo_train_length.value_or(1) >= 8) return {SeriesRole::t2, what + ", long echo train", Confidence::moderate};
        return unknown(what);
    }
    const double repetition = *facts.repetition;
    if (repetition <= 1200.0 && echo < 40.0) return {SeriesRole::t1, what, repetition <= 1000.0 && echo <= 30.0 ? Confidence::high : Confidence::moderate};
    if (echo >= 70.0 && repetition >= 1500.0) return {SeriesRole::t2, what};
    // Single shots, and trains whose magnetisation is driven back up.
    if (echo >= 70.0 && repetition >= 800.0 && facts.tags.echo_train_length.value_or(1) >= 8) return {SeriesRole::t2, what + ", long echo train", Confidence::moderate};
    if (repetition >= 1500.0 && echo < 40.0) return {SeriesRole::pd, what};
    if (repetition >= 1500.0 && named_t2(facts.words)) return {SeriesRole::t2, what + "; named as T2", Confidence::moderate};
    if (repetition >= 1500.0 && echo < 60.0 && facts.words.say({"PD", "PDW~", "PDFS", "PROTON~", "DP"})) return {SeriesRole::pd, what + "; named as proton density", Confidence::moderate};
    if (repetition < 1500.0 && echo < 40.0 && named_t1(facts.words)) return {SeriesRole::t1, what + "; named as T1", Confidence::moderate};
    return unknown(what + ", between the usual weightings");
}

Weighting gradient_echo(const Facts& facts) {
    if (facts.steady_state && !(named_t1(facts.words) && facts.flip.value_or(90.0) < 30.0))
        return {SeriesRole::other, "gradient echo in steady state: mixed weighting"};
    if (!facts.repetition || !facts.echo) return unknown("gradient echo, " + facts.times());
    const double repetition = *facts.repetition, echo = *facts.echo;
    const std::string times = "gradient echo, " + facts.times();
    if (echo > 12.0) return {SeriesRole::gre, times + ": T2*-weighted"};
    if (facts.words.say({"SWI~", "SUSC~", "HEMO", "T2*", "T2STAR", "T2 STAR"})) return {SeriesRole::gre, times + "; named as T2*-weighted", Confidence::moderate};
    if (!facts.flip) return unknown(times + ", flip angle not stated");
    const std::string with_flip = times + ", flip angle " + std::to_string(std::lround(*facts.flip)) + " degrees";
    const bool named = named_t1(facts.words);
    if (!facts.spoiled && repetition < 15.0 && *facts.flip > 35.0) return {SeriesRole::other, with_flip + ", as balanced steady state: mixed weighting", Confidence::moderate};
    if (!named) {
        if (facts.tags.acquisition_type == "2D" && repetition < 30.0) return unknown(with_flip + ": fast and two-dimensional, as localizers are");
        // Inflow is seen like this; so is a T1-weighted volume.
        if (repetition >= 18.0 && repetition <= 60.0 && echo < 8.0 && *facts.flip >= 15.0) return unknown(with_flip + ", as for angiography or T1");
        if (repetition < 7.0 && *facts.flip >= 20.0) return unknown(with_flip + ", as for angiography or T1");
        if (holds(facts.tags.sequence_variant, {"MTC"})) return unknown(with_flip + ", with magnetization transfer");
    }
    // Above the Ernst angle a spoiled echo is T1-weighted. 900 ms: soft tissue at 1.5 T.
    const double ernst_degrees = std::acos(std::exp(-repetition / 900.0)) * 180.0 / std::numbers::pi;
    if (*facts.flip >= 1.25 * ernst_degrees) return {SeriesRole::t1, with_flip + ": T1-weighted", named ? Confidence::high : Confidence::moderate};
    if (*facts.flip >= 0.8 * ernst_degrees && named) return {SeriesRole::t1, with_flip + "; named as T1", Confidence::moderate};
    return unknown(with_flip + ", between the usual weightings");
}

/// The sequence is not stated, or only as "research mode": what no other sequence could be.
Weighting without_sequence(Facts facts) {
    const std::string what = "no pulse sequence stated, " + facts.times();
    if (facts.sequence.say({"FL2D~", "FL3D~", "TFL~", "GRE~", "EFGRE~", "SPGR~", "FSPGR~", "FFE~", "TFE~", "T1TFE~", "T1FFE~"})) facts.gradient_echo = true;
    if (facts.sequence.say({"TSE~", "FSE~", "SPC~", "SE", "SE2D~"})) facts.spin_echo = true;
    // Only gradient echoes repeat so fast.
    if (facts.repetition && *facts.repetition < 100.0) facts.gradient_echo = !facts.spin_echo;
    if (facts.gradient_echo && (facts.inverted || facts.inversion || facts.prepared)) return prepared_gradient_echo(facts);
    if (facts.inverted || facts.inversion) return inversion_recovery(facts);
    if (facts.spin_echo) return spin_echo(facts);
    if (facts.gradient_echo) return gradient_echo(facts);
    if (!facts.repetition || !facts.echo) return unknown(what);
    const bool wide_pulse = facts.flip.value_or(0.0) >= 60.0;
    // T1-weighted as a spin echo, and as a gradient echo above its Ernst angle.
    if (*facts.repetition >= 300.0 && *facts.repetition <= 1000.0 && *facts.echo <= 12.0 + 18.0 * named_t1(facts.words) && wide_pulse)
        return {SeriesRole::t1, what + ", wide flip angle", Confidence::moderate};
    // Of short echoes only those of a prepared gradient echo follow a pulse so small.
    if (*facts.repetition >= 1500.0 && *facts.echo < 6.0 && facts.flip && *facts.flip <= 15.0)
        return {SeriesRole::t1, what + ", small flip angle, as inversion-prepared gradient echoes have", Confidence::moderate};
    if (*facts.repetition >= 1500.0 && *facts.echo >= 70.0 && named_t2(facts.words) && facts.words.say({"TSE", "FSE", "SE"}))
        return {SeriesRole::t2, what + "; named as a T2-weighted spin echo", Confidence::moderate};
    return unknown(what);
}

}  // namespace

bool fat_suppressed_by_tags(const AcquisitionTags& tags) {
    return holds(tags.scan_options, {"FS", "SFS", "FATSAT", "FAT_SAT", "WE", "SPIR", "SPAIR"}) || tags.spectral_suppression == "FAT" || tags.spectral_excitation == "WATER" ||
           holds(tags.image_type, {"W", "WATER"});
}

Weighting mr_weighting(const AcquisitionTags& tags) {
    const Facts facts{tags};
    if (auto special = special_images(facts)) return *special;
    if (diffusion_weighted(facts)) return {SeriesRole::dwi, "diffusion-weighted"};
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
