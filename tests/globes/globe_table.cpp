// SPDX-License-Identifier: Apache-2.0
#include "globe_table.h"

#include <algorithm>
#include <array>
#include <functional>
#include <iterator>
#include <set>

#include "coverage.h"
#include "perisclera/core/version.h"
#include "phantoms/simulator_version.h"
#include "table_text.h"

namespace perisclera::globes {

namespace {

using Rows = std::vector<const GlobeRow*>;

constexpr double axis_target_deg = 3.0, length_target_mm = 0.3, thin_target_mm = 0.2, usual_target_mm = 0.4;

bool is_false(const GlobeRow& row) { return row.sighting == Sighting::false_globe || row.sighting == Sighting::wrong_side; }
bool is_enough(const GlobeRow& row) { return row.held >= enough_held; }
bool is_measured(const GlobeRow& row) { return is_enough(row) && row.errors; }

Rows those(const Rows& rows, const std::function<bool(const GlobeRow&)>& belongs) {
    Rows chosen;
    std::copy_if(rows.begin(), rows.end(), std::back_inserter(chosen), [&](const GlobeRow* row) { return belongs(*row); });
    return chosen;
}

std::vector<double> values(const Rows& measured, const std::function<double(const GlobeErrors&)>& value) {
    std::vector<double> out;
    for (const GlobeRow* row : measured) out.push_back(value(*row->errors));
    return out;
}

std::vector<double> length_errors(const Rows& measured) {
    std::vector<double> out;
    for (const GlobeRow* row : measured)
        if (row->errors->axial_length_mm) out.push_back(*row->errors->axial_length_mm);
    return out;
}

std::string error_row(const std::string& title, const Rows& rows) {
    const Rows enough = those(rows, is_enough), measured = those(rows, is_measured);
    const auto of = [&](double GlobeErrors::* member) { return values(measured, [&](const GlobeErrors& e) { return e.*member; }); };
    const std::vector<double> mean = of(&GlobeErrors::surface_mean_mm), along = of(&GlobeErrors::along_mm), axis = of(&GlobeErrors::axis_deg), diameter = of(&GlobeErrors::diameter_mm),
                              lengths = length_errors(measured);
    return "| " + title + " | " + share(measured.size(), enough.size()) + " | " + std::to_string(those(rows, is_false).size()) + " | " + median_and_95th(mean, 2) + " | " +
           percent(within(mean, thin_target_mm), mean.size()) + " / " + percent(within(mean, usual_target_mm), mean.size()) + " | " + median_and_95th(of(&GlobeErrors::surface_max_mm), 2) + " | " +
           middle(along, 2) + " | " + median_and_95th(along, 2) + " | " + median_and_95th(of(&GlobeErrors::across_mm), 2) + " | " + median_and_95th(axis, 1) + " | " +
           percent(within(axis, axis_target_deg), axis.size()) + " | " + share(lengths.size(), measured.size()) + " | " + median_and_95th(lengths, 2) + " | " +
           percent(within(lengths, length_target_mm), lengths.size()) + " | " + middle(diameter, 2) + " | " + median_and_95th(diameter, 2) + " |\n";
}

constexpr const char* error_head =
    "| found | false | surface, mean mm | within 0.2 / 0.4 mm | surface, largest mm | centre along, middle mm | size mm | across mm | axis degrees | within 3 degrees | "
    "axial length measured | mm | within 0.3 mm | equator's diameter, middle mm | size mm |\n|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|\n";

std::vector<Claim> claims(const Rows& measured, const std::function<std::optional<Claim>(const GlobeErrors&)>& claim) {
    std::vector<Claim> out;
    for (const GlobeRow* row : measured)
        if (const auto one = claim(*row->errors)) out.push_back(*one);
    return out;
}

/// `whole`: by the rule for the whole sweep, else for a stratum.
std::string coverage_cell(const std::vector<Claim>& claimed, bool whole) {
    if (claimed.empty()) return "–";
    const Coverage c = coverage_of(claimed);
    const bool off = whole ? c.is_off() : c.all >= 100 && c.share() < 0.9;
    return share(static_cast<std::size_t>(c.held), static_cast<std::size_t>(c.all)) + (off ? " !" : "") + ", " + fixed(c.half_width / std::max(c.deviation, 1e-9), 1) +
           (c.is_too_wide() ? " wide" : "");
}

std::string interval_row(const std::string& title, const Rows& rows) {
    const Rows measured = those(rows, is_measured);
    const auto cell = [&](const std::function<std::optional<Claim>(const GlobeErrors&)>& claim) { return coverage_cell(claims(measured, claim), title == "all"); };
    return "| " + title + " | " + cell([](const GlobeErrors& e) { return e.axis; }) + " | " + cell([](const GlobeErrors& e) { return e.centre; }) + " | " + cell([](const GlobeErrors& e) { return e.axial_length; }) +
           " | " + cell([](const GlobeErrors& e) { return e.diameter; }) + " |\n";
}

std::string targets(const Rows& rows) {
    const Rows enough = those(rows, is_enough), measured = those(rows, is_measured), wrong = those(rows, is_false);
    const auto slices = [&](const std::string& part) {
        const Rows chosen = those(measured, [&](const GlobeRow& row) { return std::find(row.strata.begin(), row.strata.end(), Stratum{"slices", part}) != row.strata.end(); });
        return values(chosen, [](const GlobeErrors& e) { return e.surface_mean_mm; });
    };
    const auto surface = [&](const std::string& part, double target) {
        const std::vector<double> mean = slices(part);
        return "median " + fixed(quantile(mean, 0.5), 2) + " mm, 95th percentile " + fixed(quantile(mean, 0.95), 2) + " mm; reached in " + percent(within(mean, target), mean.size()) + " |\n";
    };
    const std::vector<double> axis = values(measured, [](const GlobeErrors& e) { return e.axis_deg; }), lengths = length_errors(measured);
    return "| target | measured |\n|---|---|\n"
           "| every globe found of which the images hold 70 % | " + share(measured.size(), enough.size()) + " |\n"
           "| no false globe | " + std::to_string(wrong.size()) + " |\n"
           "| surface within 0.2 mm on average, slices to 1.5 mm | " + surface("0.6 to 1.5 mm", thin_target_mm) +
           "| surface within 0.4 mm on average, slices of 2 to 3 mm | " + surface("2 to 3 mm", usual_target_mm) +
           "| axial length within 0.3 mm in 95 % | measured in " + share(lengths.size(), measured.size()) + "; of these within " + percent(within(lengths, length_target_mm), lengths.size()) + " |\n"
           "| axis within 3 degrees in 95 % | " + percent(within(axis, axis_target_deg), axis.size()) + " |\n";
}

/// Which eye in which series, and what about it is unlike most.
std::string place_of(const GlobeRow& row) {
    constexpr const char* bare = "";  // told without the division's name
    constexpr std::array<std::pair<const char*, const char*>, 11> words{{{"contrast", bare}, {"slices", "none"}, {"plane", bare}, {"build", "usual"}, {"lens", "natural"}, {"contents", "vitreous"}, {"explant", "none"},
                                                                        {"muscles", "usual"}, {"beside", "a globe"}, {"head turned", "0 to 8 degrees"}, {"gaze", "0 to 8 degrees"}}};
    std::string told = "no. " + std::to_string(row.patient) + " series " + std::to_string(row.series + 1) + " " + std::string(name(row.eye));
    for (const Stratum& s : row.strata)
        for (const auto& [division, usual] : words) {
            if (s.division != division || s.part == usual) continue;
            told += ", " + (usual == bare ? s.part : s.division + " " + s.part);
        }
    return told;
}

std::string said(Sighting sighting) {
    switch (sighting) {
        case Sighting::rightly_none: return "rightly none";
        case Sighting::found: return "found";
        case Sighting::missed: return "MISSED";
        case Sighting::false_globe: return "FALSE";
        case Sighting::wrong_side: return "WRONG SIDE";
    }
    return "";
}

std::string not_as_it_is(const Rows& rows) {
    std::string out;
    for (const GlobeRow* row : rows)
        if (is_false(*row) || (row->sighting == Sighting::missed && is_enough(*row))) out += "- " + said(row->sighting) + ": " + place_of(*row) + "; images hold " + fixed(100.0 * row->held, 0) + " %" + (row->off_mm ? ", " + fixed(*row->off_mm, 0) + " mm off" : "") + "\n";
    return out.empty() ? "None.\n" : out;
}

std::string worst(Rows measured, const std::string& title, const std::function<double(const GlobeErrors&)>& error) {
    constexpr std::size_t told = 10;
    std::stable_sort(measured.begin(), measured.end(), [&](const GlobeRow* a, const GlobeRow* b) { return error(*a->errors) > error(*b->errors); });
    measured.resize(std::min(measured.size(), told));
    std::string out = "\n" + title + ":\n\n";
    for (const GlobeRow* row : measured) out += "- " + fixed(error(*row->errors), 2) + ": " + place_of(*row) + "\n";
    return out;
}

}  // namespace

std::string row_of(const GlobeRow& row) {
    std::string out = place_of(row) + " | held " + fixed(100.0 * row.held, 0) + " % | " + said(row.sighting);
    if (!row.errors) return out;
    const GlobeErrors& e = *row.errors;
    return out + " | surface " + fixed(e.surface_mean_mm, 2) + " largest " + fixed(e.surface_max_mm, 2) + " | along " + fixed(e.along_mm, 2) + " across " + fixed(e.across_mm, 2) +
           (e.centre.holds ? "" : " !") + " | axis " + fixed(e.axis_deg, 1) + (e.axis.holds ? "" : " !") + " | length " +
           (e.axial_length_mm ? fixed(*e.axial_length_mm, 2) + (e.axial_length->holds ? "" : " !") : "–") + " | diameter " + fixed(e.diameter_mm, 2) +
           (e.diameter && !e.diameter->holds ? " !" : "");
}

std::string globes_document(const std::vector<GlobeRow>& all, const SweepExtent& extent) {
    Rows rows;
    for (const GlobeRow& row : all) rows.push_back(&row);
    const Rows measured = those(rows, is_measured);
    const Rows globes = those(rows, [](const GlobeRow& row) { return row.held > 0.0; }), cut = those(globes, [](const GlobeRow& row) { return !is_enough(row); });
    std::set<std::pair<int, Eye>> eyes;
    for (const GlobeRow* row : globes) eyes.insert({row->patient, row->eye});
    return "# Finding and fitting globes on synthesised patients\n\n"
           "Made by `bash tests/globes.sh` (seed " + std::to_string(extent.seed) + ", " + std::to_string(extent.patients) + " patients, " + std::to_string(eyes.size()) + " eyes, program version " +
           std::string(program_version) + ", simulator " + std::string(phantoms::simulator_version) + "); not edited by hand. Each patient has two series, drawn over contrasts, planes, slices of 0.6 to 5 mm,\n"
           "fields that hold all or part of the globes, turns of the head to 30 degrees about each axis, gaze to 25 degrees, noise, eyes of all builds, lenses, contents, explants, thickened muscles;\n"
           "some patients have one eye. Synthesised as DICOM (phantoms/README.md), read like any other, each series by itself; held against the shapes that the images were drawn from.\n\n"
           "What this says: how globes are found and fitted in simulated orbits. What it does not say: how in patients. The two series and two eyes of one patient count as four, though they share an\n"
           "anatomy. Gaze to 25 degrees is more than a person asked to look ahead has. The true surface is the outer sclera as it would lie without an explant, which dents it by up to 1.5 mm.\n\n"
           "## Targets\n\n" + targets(rows) +
           "\n## Errors by stratum\n\n"
           "Eyes of which the images hold 70 % and more; two numbers are median and 95th percentile of the error's size, \"middle\" is the signed median (measured less true; forwards is positive).\n"
           "Surface: distance from the true outer sclera behind the limbus to the fitted one, mean and largest of each eye. Centre: along and across the true axis. False: globes told where none is,\n"
           "more than 6 mm from any, or on the wrong side, whatever part the images hold.\n\n| stratum " + error_head +
           by_stratum(rows, error_row) +
           "\n## Intervals by stratum\n\n"
           "How many 95 % intervals hold the truth, and half their width over the standard deviation of the error. Of the axis its two components together (2.45 standard uncertainties), of the centre\n"
           "the component along the axis. ! marks a share that the rule rejects (all: two-sided binomial test against 95 % at 1 %, or outside 93 to 97 % from 1,500 on; stratum of 100 and more: below\n"
           "90 %), \"wide\" intervals wider than 2.5 standard deviations.\n\n"
           "| stratum | axis | centre | axial length | equator's diameter |\n|---|---|---|---|---|\n" + by_stratum(rows, interval_row) +
           "\n## Missed and false globes\n\n" + not_as_it_is(rows) + "\nOf globes held to less than 70 %, which no target speaks of, " +
           share(those(cut, [](const GlobeRow& row) { return row.sighting == Sighting::found; }).size(), cut.size()) + " were found.\n\n## Farthest off\n" +
           worst(measured, "Surface, mean mm", [](const GlobeErrors& e) { return e.surface_mean_mm; }) +
           worst(measured, "Axis, degrees", [](const GlobeErrors& e) { return e.axis_deg; });
}

}  // namespace perisclera::globes
