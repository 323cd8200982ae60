// SPDX-License-Identifier: Apache-2.0
// Which further scan would tell the material, why, and what has to come before it.
#include <algorithm>

#include "perisclera/core/text.h"
#include "perisclera/report/wording.h"
#include "src/report/word_list.h"

namespace perisclera::report {

namespace {

/// What each study has to say, by its keys.
struct StudyWords {
    std::string_view confirms, separates, reason, as_well;
};
StudyWords words_of(NextStudy study) {
    switch (study) {
        case NextStudy::ct: return {"next_study.ct_confirms", "next_study.ct_separates", "next_study.ct_reason", "settle.ct"};
        case NextStudy::t1: return {"next_study.t1_confirms", "next_study.t1_separates", "next_study.t1_reason", "settle.t1"};
        case NextStudy::t2: return {"next_study.t2_confirms", "next_study.t2_separates", "next_study.t2_reason", "settle.t2"};
        case NextStudy::second_ct_energy:
            return {"next_study.second_ct_energy_confirms", "next_study.second_ct_energy_separates", "next_study.second_ct_energy_reason", "settle.second_ct_energy"};
        case NextStudy::none: break;
    }
    return {"next_study.none_confirms", "next_study.none_separates", "", ""};
}

double bits_of(const MaterialEntry& material, NextStudy study) { return material.expected_information[static_cast<std::size_t>(study)]; }

bool is_mr(NextStudy study) { return study == NextStudy::t1 || study == NextStudy::t2; }

/// Of MR, or of CT: the one that tells most, then others that tell something; empty where none does.
std::vector<std::string> studies_of(const MaterialEntry& material, bool mr) {
    constexpr double worth_naming_bits = 0.05;   // set by hand
    std::vector<std::string> out;
    const auto tell = [&](NextStudy study) {
        const bool most = study == material.most_informative_next;
        if (is_mr(study) != mr || (!most && bits_of(material, study) < worth_naming_bits)) return;
        out.push_back(most ? next_study_in_words(material) : say(words_of(study).as_well) + " " + say(words_of(study).reason));
        if (bits_of(material, study) >= worth_naming_bits) out.push_back(say("settle.information", {{"bits", fixed(bits_of(material, study), 2)}}));
    };
    tell(material.most_informative_next);
    for (const NextStudy study : all_next_studies)
        if (study != material.most_informative_next) tell(study);
    return out;
}

}  // namespace

std::string next_study_in_words(const MaterialEntry& material) {
    const StudyWords words = words_of(material.most_informative_next);
    const std::string what = say(material.label ? words.confirms : words.separates);
    return words.reason.empty() ? what : what + " " + say(words.reason);
}

std::vector<std::string> settling_steps(const EyeEntry& eye, const MaterialEntry& material) {
    if (material.most_informative_next == NextStudy::none)
        return material.label ? std::vector{next_study_in_words(material)} : std::vector{say("settle.record_first"), next_study_in_words(material)};
    std::vector<std::string> out{say("settle.record_first")};
    if (std::vector<std::string> mr = studies_of(material, true); !mr.empty()) {
        mr.push_back(say("settle.screening"));
        if (eye.metal.status != MetalStatus::not_assessable) mr.push_back(say(eye.metal.status == MetalStatus::seen ? "settle.metal_seen" : "settle.no_metal_seen"));
        out.push_back(joined(mr, " "));
    }
    if (std::vector<std::string> ct = studies_of(material, false); !ct.empty()) {
        ct.push_back(say("settle.dose"));
        out.push_back(joined(ct, " "));
    }
    return out;
}

}  // namespace perisclera::report
