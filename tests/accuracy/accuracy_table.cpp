// SPDX-License-Identifier: Apache-2.0
#include "accuracy_table.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <functional>

#include "perisclera/core/version.h"
#include "perisclera/report/wording.h"
#include "phantoms/simulator_version.h"

namespace perisclera::accuracy {

namespace {

using report::fixed;

double quantile(std::vector<double> v, double q) {
    std::sort(v.begin(), v.end());
    return v[static_cast<std::size_t>(std::lround(q * static_cast<double>(v.size() - 1)))];
}

using Stratum = std::function<bool(const Outcome&)>;

std::string summary_row(const std::string& title, const std::vector<Outcome>& outcomes, const Stratum& belongs) {
    int operated = 0, found = 0, side_right = 0, present = 0, absent = 0, false_elements = 0, right = 0, undetermined = 0, wrong = 0;
    std::vector<double> volume;
    int held = 0, all = 0, volume_held = 0;
    for (const Outcome& o : outcomes) {
        if (!belongs(o)) continue;
        false_elements += o.false_elements;
        if (o.side.empty()) continue;
        ++operated;
        found += o.found;
        side_right += o.found && o.fellow_presence != "present";
        present += o.presence == "present";
        absent += o.presence == "absent";
        right += o.label == "right";
        undetermined += o.label == "undetermined";
        wrong += o.label == "wrong";
        for (const auto& [name, c] : o.quantities) {
            ++all;
            held += c.interval_holds;
            if (name != "volume") continue;
            volume.push_back(std::abs(c.percent()));
            volume_held += c.interval_holds;
        }
    }
    const auto share = [](int part, int whole) { return std::to_string(part) + " of " + std::to_string(whole); };
    std::string row = "| " + title + " | " + std::to_string(operated) + " | " + std::to_string(found) + " | " + std::to_string(side_right) + " | " + std::to_string(present) + " | " + std::to_string(absent) + " | " +
                      std::to_string(false_elements) + " | " + std::to_string(right) + " / " + std::to_string(undetermined) + " / " + std::to_string(wrong) + " | ";
    if (volume.empty()) return row + "– | – | – | – |\n";
    return row + fixed(quantile(volume, 0.5), 0) + " % | " + fixed(quantile(volume, 0.95), 0) + " % | " + share(volume_held, static_cast<int>(volume.size())) + " | " + share(held, all) + " |\n";
}

std::string coverage_row(const std::vector<Outcome>& outcomes, const std::string& quantity, const std::string& unit) {
    std::vector<double> errors;
    int held = 0;
    for (const Outcome& o : outcomes) {
        const auto at = o.quantities.find(quantity);
        if (at == o.quantities.end()) continue;
        errors.push_back(unit == "%" ? at->second.percent() : at->second.error());
        held += at->second.interval_holds;
    }
    if (errors.empty()) return "";
    std::vector<double> size;
    for (const double e : errors) size.push_back(std::abs(e));
    return "| " + quantity + " | " + std::to_string(errors.size()) + " | " + fixed(quantile(errors, 0.5), 1) + " " + unit + " | " + fixed(quantile(size, 0.5), 1) + " " + unit + " | " +
           fixed(quantile(size, 0.95), 1) + " " + unit + " | " + std::to_string(held) + " of " + std::to_string(errors.size()) + " |\n";
}

constexpr std::array quantities{std::pair{"volume", "%"}, std::pair{"area", "%"}, std::pair{"thickness", "mm"}, std::pair{"width", "mm"},
                                std::pair{"from", "h"},   std::pair{"to", "h"},   std::pair{"anterior", "mm"},  std::pair{"posterior", "mm"}};

/// The quantities whose intervals hold the truth so seldom that chance does not explain it: with a true 95 %, fewer held than
/// two standard deviations of the binomial count below the expected number.
std::string intervals_that_miss(const std::vector<Outcome>& outcomes) {
    std::string list;
    for (const auto& [quantity, unit] : quantities) {
        int held = 0, all = 0;
        for (const Outcome& o : outcomes) {
            const auto at = o.quantities.find(quantity);
            if (at == o.quantities.end()) continue;
            ++all;
            held += at->second.interval_holds;
        }
        const double n = all;
        if (held < 0.95 * n - 2.0 * std::sqrt(n * 0.95 * 0.05)) list += (list.empty() ? "" : ", ") + std::string(quantity) + " (" + std::to_string(held) + " of " + std::to_string(all) + ")";
    }
    if (list.empty()) return "\nNo quantity's interval misses the truth more often than chance allows for a true 95 %.\n";
    return "\n**Intervals that are too narrow or off centre**, held less often than chance allows for a true 95 %: " + list + ". Do not rely on these as 95 % intervals.\n";
}

/// Silence is the error that the tables of errors cannot show; "absent" over an explant is the gravest of all.
std::string missed_elements(const std::vector<Outcome>& outcomes) {
    std::map<std::string, std::pair<int, int>> kinds;  // missed, operated
    std::string absent, wrong;
    const auto append = [](std::string& list, const std::string& entry) { list += (list.empty() ? "" : ", ") + entry; };
    for (const Outcome& o : outcomes) {
        if (o.side.empty()) continue;
        auto& [missed, operated] = kinds[o.patient.element];
        ++operated;
        missed += !o.found;
        const std::string entry = "no. " + std::to_string(o.patient.number) + " (" + o.patient.element + ", " + o.patient.series + ")";
        if (o.presence == "absent") append(absent, entry);
        if (o.label == "wrong") append(wrong, entry);
    }
    std::string list;
    for (const auto& [kind, counts] : kinds) append(list, kind + " " + std::to_string(counts.first) + " of " + std::to_string(counts.second));
    return "\n**Not found:** " + list + ".\n\n**Wrongly certain:** operated eye called absent: " + (absent.empty() ? "none" : absent) + "; wrong material: " + (wrong.empty() ? "none" : wrong) + ".\n";
}

/// "Absent" is weighed on both sides: never to say it is safe and tells nothing.
std::string unoperated_eyes(const std::vector<Outcome>& outcomes) {
    std::map<std::string, int> fellow, neither;
    int operated_absent = 0;
    for (const Outcome& o : outcomes) {
        ++(o.side.empty() ? neither : fellow)[o.fellow_presence];
        operated_absent += o.presence == "absent";
    }
    const auto counts = [](std::map<std::string, int>& said) {
        return std::to_string(said["present"]) + " present, " + std::to_string(said["uncertain"]) + " uncertain, " + std::to_string(said["absent"]) + " absent";
    };
    const std::string text = "\nUnoperated eyes: fellow eye of an operated one called " + counts(fellow) + "; the worse eye of patients without explants " + counts(neither) + ".\n";
    const int rightly_absent = fellow["absent"] + neither["absent"];
    if (rightly_absent + operated_absent > 0)
        return text + "\n**\"Absent\"** was said of " + std::to_string(rightly_absent) + " free eyes (worse eyes counted once a patient) and of " + std::to_string(operated_absent) + " operated ones.\n";
    return text + "\n**\"Absent\" was said of no operated eye, of no fellow eye and of no patient without explants.** That no operated eye was called absent is therefore no evidence that the word can be\n"
                  "trusted, and on these images the program never told a free eye from one whose explant it missed: both are \"uncertain\". The sensitivities above must be read with that.\n";
}

std::string cell(const Outcome& o, const std::string& quantity, bool percent) {
    const auto at = o.quantities.find(quantity);
    if (at == o.quantities.end()) return "–";
    return (percent ? fixed(at->second.percent(), 0) + " %" : fixed(at->second.error(), 1)) + (at->second.interval_holds ? "" : " !");
}

}  // namespace

std::string row_of(const Outcome& o) {
    const double globe = o.globe_errors_mm.empty() ? -1.0 : *std::max_element(o.globe_errors_mm.begin(), o.globe_errors_mm.end());
    return "| " + std::to_string(o.patient.number) + " | " + o.patient.element + (o.patient.outside_assumptions ? " *" : "") + " | " + o.patient.series + " | " +
           (o.side.empty() ? "–" : o.side) + " | " + (o.side.empty() ? o.fellow_presence : o.presence) + " | " + std::to_string(o.false_elements) + " | " +
           (o.label.empty() ? "–" : o.label == "right" ? o.said : o.label + ": " + o.said) + " | " + (o.side.empty() ? "–" : fixed(o.true_thickness_mm, 2)) + " | " + cell(o, "volume", true) + " | " +
           cell(o, "thickness", false) + " | " + cell(o, "width", false) + " | " + cell(o, "from", false) + " | " + cell(o, "to", false) + " | " + cell(o, "anterior", false) + " | " +
           cell(o, "posterior", false) + " | " + (globe < 0.0 ? "not found" : fixed(globe, 1)) + " |";
}

/// The program was changed in view of their patients.
constexpr std::array<unsigned long, 26> development_seeds{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 15, 16, 17, 18, 19, 20, 21, 22, 23, 24, 25, 26, 27};

std::string about_synthesised(std::size_t patients, unsigned long seed) {
    std::string out =
        "# Accuracy on synthesised patients\n\n"
        "Made by `bash tests/accuracy.sh` (seed " + std::to_string(seed) + ", " + std::to_string(patients) + " patients, program version " + std::string(program_version) + ", simulator " +
        std::string(phantoms::simulator_version) + "); not edited by hand. Each patient is drawn over eyes and orbits, materials, forms, sizes, scanners' settings, planes, head poses and gazes,\n"
        "synthesised as DICOM (phantoms/README.md), read and identified like any other, and compared with the truth that the simulation wrote. Eyes, muscles, lids, gland and fat vary as published of people;\n"
        "fat begins near the wall on as few columns as in real heads. A patient marked * departs from what the estimator assumes: high noise, gaze to 10 degrees and a long myopic eye or a\n"
        "staphyloma in all, silicone filler or sponge density at the ends of the known range, hydrogel with less than 60 % water, the bone kernel in about half of the CT.\n\n"
        "What this says: how the program does on simulated anatomy. What it does not say: how it does on patients. No metal, motion, beam hardening, oil, gas, capsule, infection or\n"
        "look-alike is in these images, and all skulls share one plan. The counts are small; a stratum of ten cannot tell 90 % from 99 %. One\n"
        "operated eye and one element per patient, one visit: several elements, both eyes and change over dates are not measured here. Errors and intervals are counted only\n"
        "where an element was found, so they say nothing of those missed.\n\n";
    const bool development = std::find(development_seeds.begin(), development_seeds.end(), seed) != development_seeds.end();
    out += development ? "This seed is a development set: the program was changed in view of these very patients, so its numbers flatter.\n\n"
                       : "Seeds 1 to 13 and 15 to 27 served development; this is another. It is an independent check only as long as nothing is changed in view of it.\n\n";
    return out;
}

std::string about_real_heads(std::size_t patients, unsigned long seed, const std::string& heads) {
    return "# Accuracy in real heads\n\n"
           "Made by `bash tests/accuracy.sh --real-heads FOLDER` (seed " + std::to_string(seed) + ", " + std::to_string(patients) + " runs, program version " + std::string(program_version) +
           ", heads: " + heads + "); not edited by hand. Elements drawn as for [the synthesised patients](accuracy.md)\n"
           "are put into the series of real heads without explants (phantoms/composite): what lies there is pushed outwards and squeezed, the element fills its share of each\n"
           "voxel through the blur, slice thickness and noise measured in the series. Draws of which more than a twentieth would lie in bone are passed over.\n\n"
           "What this says beyond the synthesised patients: real fat, muscles, lids and noise lie round the element. What it does not say: the heads are few; where\n"
           "their eyes lie is known only from the program's own fit to the untouched head, so errors of place are those that the element adds (of a head with CT and MR by hand, to a\n"
           "millimetre or two, so that there they tell the hand's error too, and an element may lie as far off the wall that the images show); displaced tissue is smoothed by\n"
           "interpolation; silicone on MR is displaced by nothing and disturbs no field. The withholding of sizes on MR, the uncertainties of voids and masses, and the share of\n"
           "misread places were settled in view of seed 101; how much water a hydrogel needs to show on T2, in view of seeds 101 and 201,\n"
           "as was what makes an eye unlike its fellow, in view of the CT head besides; that hydrogels are told by several series together only with CT among them, and what\n"
           "signal a void borrows, in view of seeds 401 and 402; how a sponge's section is told, in view of seeds 501 and 502, what several series must show together and what an outline takes in, of seed 503.\n\n";
}

std::string accuracy_document(const std::vector<Outcome>& outcomes, const std::string& about) {
    std::string out = about;
    out +=
        "## By stratum\n\n"
        "Operated eyes; of them found at the right place, found with the other eye not called present (side right), called present, called absent (the rest: uncertain); elements reported elsewhere than at the true one (both eyes; a ring read as a piece under 6 clock hours counts as not found, its pieces as false); material label right / undetermined / wrong;\n"
        "absolute volume error; how often the 95 % interval holds the truth, for the volume and for all eight quantities together.\n\n"
        "| stratum | operated | found | side right | present | absent | false elements | label r / u / w | volume error, median | 95th percentile | volume interval holds | all intervals hold |\n"
        "|---|---|---|---|---|---|---|---|---|---|---|---|\n";
    out += summary_row("all", outcomes, [](const Outcome&) { return true; });
    for (const char* kind : {"solid band", "solid tire", "sponge segmental", "sponge radial", "hydrogel", "none"})
        out += summary_row(kind, outcomes, [&](const Outcome& o) { return o.patient.element == kind; });
    for (const auto& [low, high] : {std::pair{0.0, 1.0}, {1.0, 3.0}, {3.0, 5.0}, {5.0, 9.0}})
        out += summary_row("thickness " + fixed(low, 0) + " to " + fixed(high, 0) + " mm", outcomes,
                           [low = low, high = high](const Outcome& o) { return !o.side.empty() && o.true_thickness_mm > low && o.true_thickness_mm <= high; });
    for (const char* set : {"CT", "MR", "CT+MR"}) out += summary_row(std::string("series: ") + set, outcomes, [&](const Outcome& o) { return o.patient.series == set; });
    out += summary_row("CT at hand, not hydrogel", outcomes, [](const Outcome& o) { return o.patient.series != "MR" && o.patient.element != "hydrogel"; });
    out += summary_row("MR at hand, hydrogel", outcomes, [](const Outcome& o) { return o.patient.series != "CT" && o.patient.element == "hydrogel"; });
    out += summary_row("within assumptions", outcomes, [](const Outcome& o) { return !o.patient.outside_assumptions; });
    out += summary_row("outside assumptions (*)", outcomes, [](const Outcome& o) { return o.patient.outside_assumptions; });
    out +=
        "\n## By quantity\n\n| quantity | measured | median error | median size of error | 95th percentile | interval holds |\n|---|---|---|---|---|---|\n";
    for (const auto& [quantity, unit] : quantities)
        out += coverage_row(outcomes, quantity, unit);
    out += intervals_that_miss(outcomes);
    out += missed_elements(outcomes);
    out += unoperated_eyes(outcomes);
    std::vector<double> globes;
    for (const Outcome& o : outcomes) globes.insert(globes.end(), o.globe_errors_mm.begin(), o.globe_errors_mm.end());
    if (!globes.empty())
        out += "\nGlobes: " + std::to_string(globes.size()) + " of " + std::to_string(2 * outcomes.size()) + " found; centre off by " + fixed(quantile(globes, 0.5), 2) + " mm (median), " +
               fixed(quantile(globes, 0.95), 2) + " mm (95th percentile), " + fixed(quantile(globes, 1.0), 2) + " mm (largest).\n";
    out +=
        "\n## By patient\n\nErrors are measured less true; ! marks a 95 % interval that misses the truth. Presence is that said of the operated eye, or of the worse eye where none is.\n\n"
        "| no. | element | series | side | presence | false | material said | true thickness mm | volume | thickness mm | width mm | from h | to h | front edge mm | rear edge mm | globe centre mm |\n"
        "|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|\n";
    for (const Outcome& o : outcomes) out += row_of(o) + "\n";
    return out;
}

}  // namespace perisclera::accuracy
