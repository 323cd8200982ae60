// SPDX-License-Identifier: Apache-2.0
// What fills the globe and its lens, in a practitioner's words.
#include "perisclera/report/wording.h"

namespace perisclera::report {

namespace {

std::string in_words(GlobeContents contents) {
    switch (contents) {
        case GlobeContents::vitreous: return perisclera::in_words(FluidSet{Fluid::vitreous});
        case GlobeContents::silicone_oil: return perisclera::in_words(FluidSet{Fluid::silicone_oil});
        case GlobeContents::gas: return perisclera::in_words(FluidSet{Fluid::gas});
        case GlobeContents::haemorrhage: return perisclera::in_words(FluidSet{Fluid::haemorrhage});
        case GlobeContents::mixed: return "two layers";
        case GlobeContents::undetermined: break;
    }
    return "undetermined";
}

std::string in_words(Lens lens) {
    switch (lens) {
        case Lens::natural: return "natural";
        case Lens::implant: return "implant";
        case Lens::none: return "none at its place";
        case Lens::undetermined: break;
    }
    return "undetermined";
}

std::string in_brackets(const std::string& why) { return why.empty() ? "" : " (" + clean_text(why) + ")"; }

}  // namespace

std::string contents_in_words(const GlobeEntry& globe) {
    std::string words = in_words(globe.contents);
    if (!globe.level) return words;
    words += ", " + perisclera::in_words(globe.level->above) + " above " + perisclera::in_words(globe.level->below);
    if (const auto* share = globe.level->share_above.measured())
        words += ", the level with " + fixed(100.0 * share->low().value(), 0) + " to " + fixed(100.0 * share->high().value(), 0) + " % of the cavity above it";
    return words;
}

std::string globe_sentence(const GlobeEntry& globe) {
    return "Contents of the globe: " + contents_in_words(globe) + in_brackets(globe.contents_why) + ". Lens: " + in_words(globe.lens) + in_brackets(globe.lens_why) + ".";
}

}  // namespace perisclera::report
