// SPDX-License-Identifier: Apache-2.0
#include "pair_tables.h"

#include <map>
#include <set>

#include "tests/globes/table_text.h"

namespace perisclera::material_sweep {

namespace {

using globes::fixed;
using globes::percent;
using globes::share;

/// The label that a posterior earns.
std::optional<MaterialClass> label_of(const PerClass& p) {
    const auto lead = static_cast<std::size_t>(std::max_element(p.begin(), p.end()) - p.begin());
    return p[lead] >= label_margin ? std::optional(all_material_classes[lead]) : std::nullopt;
}
bool best_leads_right(const JudgedBody& b) { return (*b.best)[static_cast<std::size_t>(b.truth)] >= *std::max_element(b.best->begin(), b.best->end()); }

const char* const beside_best =
    "| bodies | cases | found | right / undetermined / wrong | likeliest is right | the best possible: right / undetermined / wrong | likeliest is right |\n|---|---|---|---|---|---|---|\n";

/// The program and the best possible on the same readings; the latter's columns only count bodies that have it.
std::string beside_best_row(const std::string& title, const Bodies& all) {
    if (all.empty()) return "";
    const Bodies seen = those(all, found), referred = those(all, [](const JudgedBody& b) { return b.best.has_value(); });
    const auto labels = [](std::size_t good, std::size_t bad, std::size_t whole) { return std::to_string(good) + " / " + std::to_string(whole - good - bad) + " / " + std::to_string(bad); };
    const auto best_good = count(referred, [](const JudgedBody& b) { return label_of(*b.best) == b.truth; });
    const auto best_bad = count(referred, [](const JudgedBody& b) { const auto l = label_of(*b.best); return l && l != b.truth; });
    return "| " + title + " | " + std::to_string(all.size()) + " | " + std::to_string(seen.size()) + " | " + labels(count(seen, right), count(seen, wrong), seen.size()) + " | " +
           percent(count(seen, [](const JudgedBody& b) { return b.leads_right(); }), seen.size()) + " | " + (referred.empty() ? "–" : labels(best_good, best_bad, referred.size())) + " | " +
           percent(count(referred, best_leads_right), referred.size()) + " |\n";
}

std::string half(const JudgedBody& b) { return b.through_images ? "through images" : "from measurements"; }

std::string candidates_in_words(const JudgedBody& b) {
    constexpr std::array words{"solid silicone", "sponge", "hydrogel", "other"};
    std::set<std::size_t> listed;
    for (const MaterialClass m : b.candidates) listed.insert(static_cast<std::size_t>(m));
    std::string out;
    for (const std::size_t m : listed) out += (out.empty() ? "" : " or ") + std::string(words[m]);
    return out;
}

}  // namespace

std::string firm_table(const Bodies& bodies) {
    std::string out = beside_best;
    for (const char* set : series_sets)
        for (const bool firm : {true, false})
            for (const bool images : {true, false}) {
                const Bodies part = those(bodies, [&](const JudgedBody& b) { return b.series == set && !b.shown_by_fat_alone && b.through_images == images && (firm ? b.firm_hydrogel() : b.lightly_filled()); });
                if (!part.empty()) out += beside_best_row(std::string(set) + ", " + (firm ? "firm hydrogel" : "lightly filled silicone") + ", " + half(*part.front()), part);
            }
    return out;
}

std::string swollen_on_ct_table(const Bodies& bodies) {
    std::string out = beside_best;
    const Bodies on_ct = those(bodies, [](const JudgedBody& b) { return b.series == "CT"; });
    // Through images it is not known which of both it was.
    const auto add = [&](const std::string& title, const Belongs& belongs) {
        const auto row = [&](const std::string& half, const Belongs& of_half) { return beside_best_row(title + half, those(on_ct, [&](const JudgedBody& b) { return of_half(b) && belongs(b); })); };
        out += row(", through images", [](const JudgedBody& b) { return b.through_images; }) +
               row(" with signs of its own, from measurements", [](const JudgedBody& b) { return !b.through_images && !b.shown_by_fat_alone; }) +
               row(" known by the fat it holds off, from measurements", [](const JudgedBody& b) { return !b.through_images && b.shown_by_fat_alone; });
    };
    const auto swollen = [](const JudgedBody& b) { return b.truth == MaterialClass::hydrogel && b.water_fraction >= 0.6; };
    const auto soft = [](const JudgedBody& b) { return b.kind == "soft tissue" || b.kind == "cyst" || b.kind.starts_with("abscess"); };
    add("hydrogel of 60 % water and more", swollen);
    add("soft tissue, cyst, abscess", soft);
    return out;
}

std::string silicones_on_mr_table(const Bodies& bodies) {
    const Bodies silicones = those(bodies, [](const JudgedBody& b) { return b.found && !b.has("CT") && (b.truth == MaterialClass::solid_silicone || b.kind == "sponge"); });
    std::map<std::string, std::map<std::string, int>> said;
    for (const JudgedBody* b : silicones) ++said[b->series + ", " + half(*b)][candidates_in_words(*b)];
    std::string out = "| series | candidates |\n|---|---|\n";
    for (const auto& [title, lists] : said) {
        std::string text;
        for (const auto& [list, n] : lists) text += (text.empty() ? "" : "; ") + list + " " + std::to_string(n);
        out += "| " + title + " | " + text + " |\n";
    }
    return out;
}

std::string look_alike_table(const Bodies& bodies) {
    std::map<std::string, Bodies> kinds;
    for (const JudgedBody* b : bodies)
        if (b->imitates() || b->kind == "infected sponge") kinds[b->kind + " | " + half(*b)].push_back(b);
    std::string out = "| kind | half | bodies | said of | labelled other | undetermined | labelled an explant material | largest probability of one | infection or gas named |\n|---|---|---|---|---|---|---|---|---|\n";
    for (const auto& [title, all] : kinds) {
        const Bodies seen = those(all, found), cautioned = those(seen, [](const JudgedBody& b) { return b.cautioned.has_value(); });
        double largest = 0.0;
        for (const JudgedBody* b : seen) largest = std::max(largest, b->largest_of_explants());
        const auto other = count(seen, [](const JudgedBody& b) { return b.label == MaterialClass::other; }), open = count(seen, undetermined);
        out += "| " + title + " | " + std::to_string(all.size()) + " | " + std::to_string(seen.size()) + " | " + std::to_string(other) + " | " + std::to_string(open) + " | " + std::to_string(seen.size() - other - open) + " | " +
               (seen.empty() ? "–" : fixed(largest, 2)) + " | " + (cautioned.empty() ? "–" : share(count(cautioned, [](const JudgedBody& b) { return *b.cautioned; }), cautioned.size())) + " |\n";
    }
    return out;
}

std::string best_errors(const Bodies& bodies) {
    const Bodies referred = those(bodies, [](const JudgedBody& b) { return b.best.has_value(); });
    const auto largest = [](const JudgedBody& b) { return *std::max_element(b.best->begin(), b.best->end()); };
    const Bodies sure = those(referred, [&](const JudgedBody& b) { return largest(b) >= 0.9; }), errors = those(sure, [](const JudgedBody& b) { return !best_leads_right(b); });
    double predicted = 0.0;
    for (const JudgedBody* b : sure) predicted += 1.0 - largest(*b);
    return "The best possible itself states 0.9 and more of " + share(sure.size(), referred.size()) + " measurements and errs in " + std::to_string(errors.size()) + " of them (" + fixed(predicted, 1) + " predicted); " +
           std::to_string(count(errors, [](const JudgedBody& b) { return b.imitates(); })) + " of these imitate.\n";
}

std::string sure_errors(const Bodies& bodies) {
    constexpr std::array words{"solid silicone", "sponge", "hydrogel", "other"};
    std::string out;
    for (const JudgedBody* b : bodies) {
        if (!b->found || b->largest() < 0.9 || b->leads_right()) continue;
        const auto said = static_cast<std::size_t>(std::max_element(b->probability.begin(), b->probability.end()) - b->probability.begin());
        out += "- " + b->name + ", " + b->series + ": " + b->kind + (b->truth == MaterialClass::hydrogel ? " of " + fixed(100.0 * b->water_fraction, 0) + " % water" : b->imitates() ? "" : " of " + fixed(b->hu_at_120_kvp, 0) + " HU") +
               (b->imitates() ? "" : ", " + fixed(b->thickness_mm, 1) + " mm") + (b->outside_assumptions ? " *" : "") + ", called " + words[said] + " with " + fixed(b->largest(), 3) +
               (b->best ? " (the best possible: " + fixed((*b->best)[said], 3) + ")" : "") + "\n";
    }
    return out.empty() ? "None.\n" : out;
}

}  // namespace perisclera::material_sweep
