// SPDX-License-Identifier: Apache-2.0
#include "perisclera/assemble/series_role.h"

#include <algorithm>

#include "holds.h"
#include "kernel_class.h"
#include "mr_weighting.h"
#include "perisclera/core/text.h"
#include "perisclera/ingest/dicom_values.h"
#include "secondary_series.h"
#include "series_words.h"

namespace perisclera {

namespace {

/// An option of a weighting: fat suppression, contrast agent.
struct Option {
    bool given = false;
    Confidence confidence = Confidence::high;
};

Option fat_suppression(const AcquisitionTags& tags) {
    if (fat_suppressed_by_tags(tags)) return {true, Confidence::high};
    const auto named = fat_suppression_named(words_of(tags));
    if (named != true) return {false, Confidence::high};
    // What an enhanced image states is not overruled by a name.
    if (tags.spectral_suppression == "NONE" && !tags.spectral_excitation.empty()) return {false, Confidence::low};
    return {true, Confidence::moderate};
}

/// Agents are often entered for the whole examination, so that a name that says "before" counts more.
Option contrast_agent(const AcquisitionTags& tags) {
    const bool entered = contrast_agent_entered(tags);
    const auto named = contrast_agent_named(tags);
    const bool given = named.value_or(entered);
    return {given, !named || *named == entered ? Confidence::high : Confidence::moderate};
}

SeriesRole with_options(SeriesRole base, bool fat_suppressed, bool contrast) {
    if (base == SeriesRole::t1) {
        if (contrast) return fat_suppressed ? SeriesRole::t1_contrast_fatsat : SeriesRole::t1_contrast;
        return fat_suppressed ? SeriesRole::t1_fatsat : SeriesRole::t1;
    }
    return base == SeriesRole::t2 && fat_suppressed ? SeriesRole::t2_fatsat : base;
}

bool named_otherwise(SeriesRole base, const AcquisitionTags& tags) {
    const SeriesWords words = words_of(tags);
    const bool t1 = named_t1(words), t2 = named_t2(words);
    return (base == SeriesRole::t1 && t2 && !t1) || ((base == SeriesRole::t2 || base == SeriesRole::pd) && t1 && !t2) || (base == SeriesRole::pd && t2 && !words.say({"PD~", "PROTON~", "DUAL"}));
}

RoleOpinion mr_role(const AcquisitionTags& tags) {
    Weighting weighting = mr_weighting(tags);
    const Option fat = fat_suppression(tags), contrast = contrast_agent(tags);
    RoleOpinion opinion{with_options(weighting.role, fat.given, contrast.given), weighting.confidence, std::move(weighting.why), false, {}};
    if (weighting.role == SeriesRole::t1 || weighting.role == SeriesRole::t2) {
        opinion.confidence = std::min(opinion.confidence, fat.confidence);
        if (fat.given) opinion.why = say("role_why.fat_suppressed", {{"why", opinion.why}});
    }
    if (weighting.role == SeriesRole::t1) {
        opinion.confidence = std::min(opinion.confidence, contrast.confidence);
        if (contrast.given) opinion.why = say("role_why.after_contrast_agent", {{"why", opinion.why}});
    }
    if (named_otherwise(weighting.role, tags)) {
        opinion.confidence = Confidence::low;
        opinion.problems.push_back(say("series_problem.named_otherwise"));
    }
    if ((opinion.role == SeriesRole::pd || opinion.role == SeriesRole::flair) && fat.given) opinion.problems.push_back(say("series_problem.fat_suppressed"));
    return opinion;
}

RoleOpinion ct_role(const AcquisitionTags& tags) {
    RoleOpinion opinion{SeriesRole::ct_soft, Confidence::high, "", false, {}};
    switch (kernel_class(tags.kernel, tags.kernel_group)) {
        case KernelClass::sharp:
            opinion.role = SeriesRole::ct_bone;
            opinion.why = say("role_why.ct_sharp");
            break;
        case KernelClass::soft: opinion.why = say("role_why.ct_soft"); break;
        case KernelClass::not_told:
            opinion.problems.push_back(say("series_problem.kernel_not_known"));
            if (bone_named(words_of(tags))) {
                opinion.role = SeriesRole::ct_bone;
                opinion.confidence = Confidence::moderate;
                opinion.why = say("role_why.ct_named_bone");
            } else {
                opinion.confidence = Confidence::low;
                opinion.why = say("role_why.ct_taken_as_soft");
            }
            break;
    }
    if (contrast_agent_entered(tags)) opinion.problems.push_back(say("series_problem.contrast_agent"));
    return opinion;
}

}  // namespace

RoleOpinion series_role(Modality modality, const AcquisitionTags& tags) {
    const auto says_simulated = [](const std::string& text) { return upper_case(text).find("SIMULAT") != std::string::npos; };
    const bool simulated = says_simulated(tags.series_description) || says_simulated(tags.derivation) ||
                           std::any_of(tags.image_type.begin(), tags.image_type.end(), says_simulated);
    RoleOpinion opinion{};
    if (auto secondary = secondary_kind(modality, tags, simulated)) {
        opinion = {secondary->role, secondary->confidence, std::move(secondary->why), false, {}};
    } else {
        opinion = modality == Modality::ct ? ct_role(tags) : mr_role(tags);
        if (!simulated && holds(tags.image_type, {"DERIVED"})) opinion.problems.push_back(say("series_problem.processed"));
    }
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

bool is_silent(const SeriesDescription& series) {
    return series.modality == Modality::mr && series.role == SeriesRole::unknown && !(series.repetition_time_ms && series.echo_time_ms);
}

}  // namespace perisclera
