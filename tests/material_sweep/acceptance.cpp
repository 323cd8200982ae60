// SPDX-License-Identifier: Apache-2.0
#include "acceptance.h"

#include <cmath>

#include "calibration_tables.h"
#include "tests/globes/table_text.h"
#include "water_table.h"

namespace perisclera::material_sweep {

namespace {

using globes::fixed;
using globes::share;

std::string of_all(std::size_t part, std::size_t whole) { return share(part, whole) + (whole == 0 ? "" : " (" + fixed(100.0 * static_cast<double>(part) / static_cast<double>(whole), 1) + " %)"); }

/// At least this share; of what was found.
Bound at_least(const std::string& what, const Bodies& all, const Belongs& is, double least) {
    const Bodies seen = those(all, found);
    const std::size_t good = count(seen, is);
    return {what, seen.size(), of_all(good, seen.size()) + (seen.size() < all.size() ? ", " + std::to_string(all.size() - seen.size()) + " more not found" : ""),
            "at least " + fixed(100.0 * least, 0) + " %", static_cast<double>(good) >= least * static_cast<double>(seen.size())};
}

/// The same bound, and how many of these bodies the best possible would have so, where it is known of all: no more can be asked of these readings.
Bound beside_best(Bound bound, const Bodies& all, const std::function<bool(const JudgedBody&, const PerClass&)>& best_is) {
    const Bodies referred = those(all, [](const JudgedBody& b) { return b.found && b.best.has_value(); });
    if (!referred.empty()) bound.figure += "; the best possible " + of_all(count(referred, [&](const JudgedBody& b) { return best_is(b, *b.best); }), referred.size());
    return bound;
}
bool best_labels_right(const JudgedBody& b, const PerClass& best) { return best[static_cast<std::size_t>(b.truth)] >= label_margin; }
/// As the program lists them: what has 5 % and more.
bool best_lists(const PerClass& best, MaterialClass m) { return best[static_cast<std::size_t>(m)] >= 0.05; }

Bound none_of(const std::string& what, const Bodies& all, const Belongs& is) {
    const std::size_t bad = count(all, is);
    return {what, all.size(), share(bad, all.size()), "none", bad == 0};
}

bool all_series_thick(const JudgedBody& b) { return b.series == "CT+T1+T2" && b.thickness_mm >= 2.0 && !b.shown_by_fat_alone; }

void add_labels(std::vector<Bound>& out, const Bodies& bodies) {
    const Bodies best = those(bodies, all_series_thick);
    const std::string with = "CT+T1+T2, 2 mm and more: ";
    const auto labelled = [&](const std::string& what, const Belongs& belongs) {
        const Bodies part = those(best, belongs);
        out.push_back(beside_best(at_least(with + what + " labelled right", part, right, 0.98), part, best_labels_right));
    };
    labelled("sponge", [](const JudgedBody& b) { return b.kind == "sponge"; });
    labelled("solid silicone above 170 HU at 120 kVp", [](const JudgedBody& b) { return b.truth == MaterialClass::solid_silicone && b.hu_at_120_kvp > 170.0; });
    labelled("hydrogel of 60 % water and more", [](const JudgedBody& b) { return b.truth == MaterialClass::hydrogel && b.water_fraction >= 0.6; });
    const Bodies hard = firm_against_light(bodies);
    const auto lists_both = [](const JudgedBody& b) { return b.lists(MaterialClass::hydrogel) && b.lists(MaterialClass::solid_silicone); };
    out.push_back(beside_best(at_least(with + "firm hydrogel (to 35 % water) and lightly filled silicone (to 170 HU): both listed", hard, lists_both, 0.95),
                              hard, [](const JudgedBody&, const PerClass& p) { return best_lists(p, MaterialClass::hydrogel) && best_lists(p, MaterialClass::solid_silicone); }));
    out.push_back(at_least("of these, of a CT number that both have at that tube voltage: both listed", those(hard, [](const JudgedBody& b) { return b.alike_on_ct == true; }), lists_both, 0.95));
    const Bodies measured = those(hard, [](const JudgedBody& b) { return b.best.has_value(); });
    const auto best_right = [](const JudgedBody& b) { return (*b.best)[static_cast<std::size_t>(b.truth)] >= *std::max_element(b.best->begin(), b.best->end()); };
    const auto leads = [](const JudgedBody& b) { return b.found && b.leads_right(); };
    const auto ours = count(measured, [&](const JudgedBody& b) { return leads(b) && !best_right(b); }), theirs = count(measured, [&](const JudgedBody& b) { return !leads(b) && best_right(b); });
    const auto differ = static_cast<int>(ours + theirs);
    out.push_back({with + "the same: the likeliest is right", measured.size(), of_all(count(measured, leads), measured.size()) + ", the best possible " + of_all(count(measured, best_right), measured.size()),
                   "as often as the best possible: where one alone is right, not rejected as even chances at 1 %", ours >= theirs || !rejected(static_cast<int>(ours), differ, 0.5)});
}

void add_silicones(std::vector<Bound>& out, const Bodies& bodies) {
    const auto silicone_on_mr = [](const JudgedBody& b) { return !b.has("CT") && (b.truth == MaterialClass::solid_silicone || b.kind == "sponge"); };
    const auto both_silicones = [](const JudgedBody& b) { return b.candidates.size() == 2 && b.lists(MaterialClass::solid_silicone) && b.lists(MaterialClass::silicone_sponge); };
    const Bodies on_mr = those(bodies, silicone_on_mr);
    out.push_back(beside_best(at_least("MR only, silicone: the candidates are the two silicones", on_mr, both_silicones, 1.0), on_mr, [](const JudgedBody&, const PerClass& p) {
        return best_lists(p, MaterialClass::solid_silicone) && best_lists(p, MaterialClass::silicone_sponge) && !best_lists(p, MaterialClass::hydrogel) && !best_lists(p, MaterialClass::other);
    }));
    const Bodies on_ct = those(bodies, [](const JudgedBody& b) { return b.series == "CT" && (b.firm_hydrogel() || b.lightly_filled()); });
    out.push_back(beside_best(at_least("CT only, firm hydrogel and lightly filled silicone: undetermined", on_ct, undetermined, 1.0), on_ct,
                              [](const JudgedBody&, const PerClass& p) { return *std::max_element(p.begin(), p.end()) < label_margin; }));
    constexpr double thinnest_hydrogel_mm = 3.0;   // drawn
    out.push_back(at_least("of these, of a CT number that both have at that tube voltage, 3 mm and thicker: undetermined",
                           those(on_ct, [](const JudgedBody& b) { return b.alike_on_ct == true && b.thickness_mm >= thinnest_hydrogel_mm; }), undetermined, 1.0));
    out.push_back(at_least("CT only, the same, where undetermined: T2 or a second energy named", those(on_ct, undetermined), [](const JudgedBody& b) { return b.next == "t2" || b.next == "second_ct_energy"; }, 1.0));
}

void add_calibration(std::vector<Bound>& out, const Bodies& bodies) {
    const auto cases = stated_cases(bodies);
    const double error = expected_calibration_error(cases);
    out.push_back({"expected calibration error, all sets", cases.size(), fixed(error, 3), "at most 0.04", error <= 0.04});
    for (const char* set : series_sets) {
        const auto of_set = stated_cases(those(bodies, [&](const JudgedBody& b) { return b.series == set; }));
        const int outside = bins_outside(of_set);
        out.push_back({"bins outside their 99 % binomial band: " + std::string(set), of_set.size(), std::to_string(outside), "none", outside == 0});
    }
    const Bodies sure = those(bodies, [](const JudgedBody& b) { return b.found && b.largest() >= 0.9; });
    std::vector<double> stated;
    double expected = 0.0;
    for (const JudgedBody* b : sure) stated.push_back(1.0 - b->largest()), expected += stated.back();
    const auto errors = count(sure, [](const JudgedBody& b) { return !b.leads_right(); });
    out.push_back({"errors at a stated probability of 0.9 and more, of all cases", cases.size(), of_all(errors, cases.size()), "at most 0.5 %", static_cast<double>(errors) <= 0.005 * static_cast<double>(cases.size())});
    out.push_back({"the same, against what the stated probabilities predict", sure.size(), std::to_string(errors) + ", predicted " + fixed(expected, 1), "at most " + std::to_string(most_errors(stated)) + " (99 %)",
                   static_cast<int>(errors) <= most_errors(stated)});
}

void add_look_alikes(std::vector<Bound>& out, const Bodies& bodies) {
    const Bodies imitating = those(bodies, [](const JudgedBody& b) { return b.imitates(); });
    out.push_back(beside_best(none_of("what imitates, called an explant material with 0.9 and more", imitating, [](const JudgedBody& b) { return b.found && b.largest_of_explants() >= 0.9; }), imitating,
                              [](const JudgedBody&, const PerClass& p) { return *std::max_element(p.begin(), p.begin() + 3) >= 0.9; }));
    const Bodies warned = those(bodies, [](const JudgedBody& b) { return b.found && b.cautioned && (b.kind.starts_with("abscess") || b.kind == "infected sponge"); });
    out.push_back(at_least("abscess and infected sponge: infection or gas named", warned, [](const JudgedBody& b) { return *b.cautioned; }, 1.0));
}

}  // namespace

std::string Bound::row() const { return "| " + what + " | " + std::to_string(cases) + " | " + (cases == 0 ? "–" : figure) + " | " + bound + " | " + (cases == 0 ? "–" : met ? "met" : "**not met**") + " |\n"; }

std::vector<Bound> bounds(const Bodies& bodies) {
    std::vector<Bound> out;
    add_labels(out, bodies);
    add_silicones(out, bodies);
    add_calibration(out, bodies);
    add_look_alikes(out, bodies);
    for (Bound& b : water_bounds(bodies)) out.push_back(std::move(b));
    return out;
}

Bodies firm_against_light(const Bodies& bodies) {
    return those(bodies, [](const JudgedBody& b) { return all_series_thick(b) && (b.firm_hydrogel() || b.lightly_filled()); });
}

}  // namespace perisclera::material_sweep
