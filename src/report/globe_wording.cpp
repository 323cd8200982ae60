// SPDX-License-Identifier: Apache-2.0
// What fills the globe and its lens, in a practitioner's words.
#include "perisclera/core/text.h"
#include "perisclera/report/wording.h"

namespace perisclera::report {

namespace {

std::string in_words(GlobeContents contents) {
    switch (contents) {
        case GlobeContents::vitreous: return perisclera::in_words(FluidSet{Fluid::vitreous});
        case GlobeContents::silicone_oil: return perisclera::in_words(FluidSet{Fluid::silicone_oil});
        case GlobeContents::gas: return perisclera::in_words(FluidSet{Fluid::gas});
        case GlobeContents::haemorrhage: return perisclera::in_words(FluidSet{Fluid::haemorrhage});
        case GlobeContents::mixed: return say("contents.two_layers");
        case GlobeContents::undetermined: break;
    }
    return say("contents.undetermined");
}

std::string in_words(Lens lens) {
    switch (lens) {
        case Lens::natural: return say("lens.natural");
        case Lens::implant: return say("lens.implant");
        case Lens::none: return say("lens.none");
        case Lens::undetermined: break;
    }
    return say("lens.undetermined");
}

std::string with_reason(const std::string& words, const std::string& why) { return why.empty() ? words : say("contents.with_reason", {{"words", words}, {"why", clean_text(why)}}); }

}  // namespace

std::string contents_in_words(const GlobeEntry& globe) {
    const std::string contents = in_words(globe.contents);
    if (!globe.level) return contents;
    const std::string above = perisclera::in_words(globe.level->above), below = perisclera::in_words(globe.level->below);
    const auto* share = globe.level->share_above.measured();
    if (share == nullptr) return say("contents.level", {{"contents", contents}, {"above", above}, {"below", below}});
    const auto percent = [](Fraction f) { return fixed(100.0 * f.value(), 0); };
    return say("contents.level_with_share", {{"contents", contents}, {"above", above}, {"below", below}, {"low", percent(share->low())}, {"high", percent(share->high())}});
}

std::string globe_sentence(const GlobeEntry& globe) {
    return say("contents.sentence", {{"contents", with_reason(contents_in_words(globe), globe.contents_why)}, {"lens", with_reason(in_words(globe.lens), globe.lens_why)}});
}

}  // namespace perisclera::report
