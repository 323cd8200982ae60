// SPDX-License-Identifier: Apache-2.0
#include "bound_conflicts.h"

#include <algorithm>
#include <cmath>

#include "alike_on_ct.h"
#include "tests/globes/table_text.h"

namespace perisclera::material_sweep {

namespace {

using globes::fixed;
using globes::share;

std::string number_ranges() {
    TrueSignals signals;
    std::string out = "| tube voltage | firm hydrogel | lightly filled silicone | both |\n|---|---|---|---|\n";
    const auto in_words = [](const HuRange& r) { return r.low > r.high ? std::string("none") : fixed(r.low, 0) + " to " + fixed(r.high, 0) + " HU"; };
    for (const double kvp : {80.0, 90.0, 100.0, 110.0, 120.0, 130.0, 140.0})
        out += "| " + fixed(kvp, 0) + " kV | " + in_words(firm_hydrogel_on_ct(kvp, signals)) + " | " + in_words(lightly_filled_on_ct(kvp, signals)) + " | " + in_words(alike_on_ct(kvp, signals)) + " |\n";
    return out;
}

std::string one_energy(const Bodies& bodies) {
    const Bodies labelled = those(bodies, [](const JudgedBody& b) { return b.series == "CT" && b.alike_on_ct && (b.firm_hydrogel() || b.lightly_filled()) && b.found && b.label; });
    constexpr double thin_mm = 1.5;
    const auto by_number = count(labelled, [](const JudgedBody& b) { return !*b.alike_on_ct; }), by_thickness = count(labelled, [](const JudgedBody& b) { return *b.alike_on_ct && b.thickness_mm < thin_mm; });
    const auto to_t1 = count(bodies, [](const JudgedBody& b) { return b.series == "CT" && (b.firm_hydrogel() || b.lightly_filled()) && undetermined(b) && b.next == "t1"; });
    return "**Firm hydrogel against lightly filled silicone.** They are as bright only from 100 kV on; below, every silicone is brighter than any hydrogel (simulator's physics):\n\n" + number_ranges() +
           "\nWhat the number tells is no doubt, so that \"undetermined\" and \"both listed\" can be had only of what is alike. Of " + std::to_string(labelled.size()) + " labelled on CT alone " + std::to_string(by_number) +
           " have a number that the other never shows there, " + std::to_string(by_thickness) + " more are thinner than 1.5 mm, as bands are and hydrogel is not, and " + std::to_string(labelled.size() - by_number - by_thickness) + " are neither; " +
           std::to_string(count(labelled, wrong)) + " are wrong. Of those undetermined " + std::to_string(to_t1) +
           " are sent to T1 rather than T2, on which firm hydrogel is as dark as silicone.\n\n";
}

std::string silicones_alone(const Bodies& bodies) {
    std::string out = "**Silicones without CT.** Hydrogel of up to some 55 % water is as dark as silicone on T2 (0.06 of vitreous and less, simulator's physics), as sold on T1 too, and wood and plates are as dark on both. To list the two silicones alone wherever one of them "
                      "is likeliest would leave the truth out:\n\n| series | a silicone is likeliest | of these hydrogel | of these what imitates |\n|---|---|---|---|\n";
    const Bodies dark = those(bodies, [](const JudgedBody& b) { return b.found && !b.has("CT") && std::max(b.probability_of(MaterialClass::solid_silicone), b.probability_of(MaterialClass::silicone_sponge)) >= b.largest(); });
    for (const char* set : {"T1", "T2", "T1+T2"}) {
        const Bodies part = those(dark, [&](const JudgedBody& b) { return b.series == set; });
        out += "| " + std::string(set) + " | " + std::to_string(part.size()) + " | " + std::to_string(count(part, [](const JudgedBody& b) { return b.truth == MaterialClass::hydrogel; })) + " | " +
               std::to_string(count(part, [](const JudgedBody& b) { return b.imitates(); })) + " |\n";
    }
    return out + "\nNeither silicone is named on MR alone, and where one is listed the other is.\n\n";
}

/// The margin from which so many would be labelled right.
double margin_for(const Bodies& bodies, double right_share) {
    std::vector<double> of_truth;
    for (const JudgedBody* b : bodies) of_truth.push_back(b->leads_right() ? b->probability_of(b->truth) : 0.0);
    std::sort(of_truth.begin(), of_truth.end(), std::greater<>());
    return of_truth.empty() ? 0.0 : of_truth[static_cast<std::size_t>(std::ceil(right_share * static_cast<double>(of_truth.size()))) - 1];
}

std::string wet_against_imitations(const Bodies& bodies) {
    const Bodies everything = those(bodies, [](const JudgedBody& b) { return b.series == "CT+T1+T2" && b.thickness_mm >= 2.0 && !b.shown_by_fat_alone && b.found && b.best; });
    const Bodies wet = those(everything, [](const JudgedBody& b) { return b.truth == MaterialClass::hydrogel && b.water_fraction >= 0.6; }), imitating = those(everything, [](const JudgedBody& b) { return b.imitates(); });
    if (wet.empty()) return "";
    const double margin = margin_for(wet, 0.98);
    const auto taken = [](double p) { return [p](const JudgedBody& b) { return b.largest_of_explants() >= p; }; };
    const auto by_best = [](const JudgedBody& b) { return *std::max_element(b.best->begin(), b.best->begin() + 3) >= label_margin; };
    return "**Watery hydrogel against what imitates.** With CT, T1 and T2 gels of 60 to 75 % water resemble gland and growths, wetter ones pus. For 98 % of " + std::to_string(wet.size()) + " to be labelled right the margin would have to be " + fixed(margin, 2) +
           " instead of " + fixed(label_margin, 2) + "; at that, " + share(count(imitating, taken(margin)), imitating.size()) + " of what imitates with these series would be called an explant instead of " + std::to_string(count(imitating, taken(label_margin))) +
           ". The best possible, which knows the very tissues that are drawn, calls " + std::to_string(count(imitating, by_best)) + " so, and labels " + share(count(wet, [](const JudgedBody& b) { return (*b.best)[static_cast<std::size_t>(b.truth)] >= label_margin; }), wet.size()) + ". The program keeps to the second bound.\n";
}

}  // namespace

std::string bound_conflicts(const Bodies& bodies) {
    const Bodies measured = those(bodies, [](const JudgedBody& b) { return !b.through_images; });
    if (measured.empty()) return "";
    return "\n## What keeps bounds from being met (from measurements)\n\n" + one_energy(measured) + silicones_alone(measured) + wet_against_imitations(measured);
}

}  // namespace perisclera::material_sweep
