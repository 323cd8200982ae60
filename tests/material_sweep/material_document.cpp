// SPDX-License-Identifier: Apache-2.0
#include "material_document.h"

#include <functional>

#include "acceptance.h"
#include "bound_conflicts.h"
#include "calibration_tables.h"
#include "pair_tables.h"
#include "perisclera/core/version.h"
#include "phantoms/simulator_version.h"
#include "tests/globes/table_text.h"
#include "water_table.h"

namespace perisclera::material_sweep {

namespace {

constexpr std::array words{"solid silicone", "sponge", "hydrogel", "other"};

std::string bounds_table(const Bodies& bodies) {
    std::string out = "| what | cases | figure | bound | |\n|---|---|---|---|---|\n";
    for (const Bound& b : bounds(bodies)) out += b.row();
    return out;
}

std::string introduction(std::size_t images, std::size_t measured, std::size_t outside, std::uint64_t seed) {
    return "# Material, and how far its probability is kept\n\n"
           "Made by `bash tests/material.sh` (seed " + std::to_string(seed) + ", " + std::to_string(images) + " bodies through images, " + std::to_string(measured) + " from measurements, program version " +
           std::string(program_version) + ", simulator " + std::string(phantoms::simulator_version) + "); not edited by hand. " + std::to_string(outside) + " of the bodies depart from what the estimator assumes.\n\n"
           "**Through images**: drawn patients carry a body beside each eye, an explant or what may be taken for one; synthesised as DICOM (phantoms/README.md), identified like any other, and what is\n"
           "said of the element at the body's place is held against the truth that the simulation wrote. **From measurements**: a body's true signals follow from the simulator's physics, which shares no code\n"
           "with the estimator's, are diluted by what lies beside it, and read with the stated uncertainty; these readings are judged as the program judges its own. Materials come as often as the\n"
           "program's prior has them. One body in ten is a mass known only by the fat it holds off, a hydrogel in one of five (assumed).\n\n"
           "Outside assumptions: high noise, the bone kernel, long eyes, beam hardening, capsules with calcium, 3 T, filler and density at the ends of the known range; from measurements, besides the latter,\n"
           "noise a quarter above the stated, uneven fields (15 %), a hydrogel's polymer of another density (12 %), and eight in a hundred readings by place that are of something else (two elsewhere).\n\n"
           "What this says: how the program's labels and probabilities do on simulated bodies. What it does not say: how they do on patients. How often each material and each imitation comes is\n"
           "assumed, and probabilities are kept only where that holds. From measurements, everything has been found but masses that the program takes for anatomy, and nothing else lies in its place. No MR signal of a real hydrogel explant, and no CT\n"
           "number of a silicone in a patient, was found published. Not a medical device: licensed clinicians and local rules decide.\n\n"
           "**What is counted.** Right, undetermined, wrong: by the label, of what was found. Calibration: each body's largest probability over the four classes, against whether that class is the true one.\n"
           "The true class of what imitates is `other`, whatever it is made of; that of an infected sponge is sponge. The calibration error is the mean over ten bins of even width, by their cases, of the\n"
           "difference between mean stated probability and share right. The band holds the number right in all but 1 % of repetitions. A body not found has no probability and is counted only as not found.\n"
           "The best possible: the posterior under the very distributions that the measurements are drawn from, by numerical integration.\n\n";
}

}  // namespace

std::string row_of(const JudgedBody& b) {
    using globes::fixed;
    std::string said = b.found ? b.label ? words[static_cast<std::size_t>(*b.label)] : "undetermined" : "not found";
    if (b.found)
        for (const double p : b.probability) said += " " + fixed(p, 2);
    return "| " + b.name + " | " + b.series + " | " + b.kind + (b.outside_assumptions ? " *" : "") + " | " + fixed(b.thickness_mm, 1) + " mm | " + said + " | " + (!b.found ? "" : b.right() ? "right" : b.wrong() ? "wrong" : "") + " |";
}

std::string material_document(const std::vector<JudgedBody>& judged, std::uint64_t seed) {
    Bodies all;
    for (const JudgedBody& b : judged) all.push_back(&b);
    const Bodies images = those(all, [](const JudgedBody& b) { return b.through_images; }), measured = those(all, [](const JudgedBody& b) { return !b.through_images; });
    std::string out = introduction(images.size(), measured.size(), count(all, [](const JudgedBody& b) { return b.outside_assumptions; }), seed);
    // Both halves together, then each that there is.
    const auto by_half = [&](const std::string& title, const std::function<std::string(const Bodies&, bool)>& table) {
        std::string part = title + table(all, true);
        if (!images.empty() && !measured.empty()) part += "\n### Through images\n\n" + table(images, false) + "\n### From measurements\n\n" + table(measured, false);
        return part;
    };
    out += by_half("## Bounds\n\n", [](const Bodies& b, bool) { return bounds_table(b); });
    out += bound_conflicts(all);
    out += by_half("\n## By series at hand\n\n", [](const Bodies& b, bool) { return set_table(b); });
    out += by_half("\n## Calibration\n\n", calibration_table);
    out += "\n## Firm hydrogel against lightly filled silicone\n\nHydrogel of at most 35 % water, solid silicone of at most 170 HU at 120 kVp, of any thickness. Both are as bright on CT, and dark on MR.\n\n" + firm_table(all);
    out += "\n## Swollen hydrogel on CT only\n\nIts CT number is that of soft tissue and fluid.\n\n" + swollen_on_ct_table(all);
    out += "\n## Silicones without CT\n\nBoth are dark on T1 and T2: what was not excluded.\n\n" + silicones_on_mr_table(all);
    out += "\n## What imitates, and infected sponges\n\n" + look_alike_table(all);
    out += "\n## Water fraction\n\n" + water_table(all);
    return out + "\n## Errors at a stated probability of 0.9 and more\n\n" + best_errors(all) + "\n" + sure_errors(all);
}

}  // namespace perisclera::material_sweep
