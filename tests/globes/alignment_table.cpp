// SPDX-License-Identifier: Apache-2.0
#include "alignment_table.h"

#include <numeric>

#include "perisclera/alignment/eye_alignment.h"
#include "perisclera/core/version.h"
#include "phantoms/simulator_version.h"
#include "table_text.h"

namespace perisclera::globes {

namespace {

using Rows = std::vector<const PairRow*>;
using Way = PairRow::Way PairRow::*;

/// Of one way over some pairs, eye by eye.
struct Sum {
    std::size_t eyes = 0, mapped = 0;
    std::vector<double> equator_mm, axis_deg, torsion_deg, seconds;
};

Sum sum_of(const Rows& rows, Way way) {
    Sum sum;
    for (const PairRow* row : rows) {
        sum.seconds.push_back((row->*way).seconds);
        for (const auto& eye : (row->*way).eyes) {
            ++sum.eyes;
            if (!eye) continue;
            ++sum.mapped;
            sum.equator_mm.insert(sum.equator_mm.end(), eye->equator_mm.begin(), eye->equator_mm.end());
            sum.axis_deg.push_back(eye->axis_deg);
            sum.torsion_deg.push_back(eye->torsion_deg);
        }
    }
    return sum;
}

constexpr double point_target_mm = 1.0, rotation_target_deg = 2.0;

std::string cells(const Sum& s) {
    return share(s.mapped, s.eyes) + " | " + median_and_95th(s.equator_mm, 2) + " | " + percent(within(s.equator_mm, point_target_mm), s.equator_mm.size()) + " | " + median_and_95th(s.axis_deg, 1) + " | " +
           percent(within(s.axis_deg, rotation_target_deg), s.axis_deg.size()) + " | " + median_and_95th(s.torsion_deg, 1) + " | " + median_and_95th(s.seconds, 2);
}

/// Errors of globes that are none drown all others, so what is left without them has a row of its own.
std::string rows_of_ways(const std::string& title, const Rows& rows) {
    return "| " + title + " | " + std::to_string(rows.size()) + " | own frames | " + cells(sum_of(rows, &PairRow::own)) + " |\n| | | together | " + cells(sum_of(rows, &PairRow::together)) +
           " |\n| | | together, true globes | " + cells(sum_of(rows, &PairRow::together_of_true_globes)) + " |\n| | | registration | " + cells(sum_of(rows, &PairRow::itk)) + " |\n";
}

double total(const std::vector<double>& values) { return std::accumulate(values.begin(), values.end(), 0.0); }

std::string targets(const Rows& rows) {
    const Sum together = sum_of(rows, &PairRow::together), itk = sum_of(rows, &PairRow::itk), rightly = sum_of(rows, &PairRow::together_of_true_globes);
    std::vector<double> residual;
    std::size_t refused = 0;
    for (const PairRow* row : rows) {
        residual.insert(residual.end(), row->residual_mm.begin(), row->residual_mm.end());
        refused += row->refusals.size();
    }
    return "| target | measured |\n|---|---|\n"
           "| equator within 0.5 mm in the median | " + fixed(quantile(together.equator_mm, 0.5), 2) + " mm |\n"
           "| and within 1 mm in 95 % | " + percent(within(together.equator_mm, point_target_mm), together.equator_mm.size()) + "; 95th percentile " + fixed(quantile(together.equator_mm, 0.95), 2) + " mm |\n"
           "| rotation within 2 degrees | axis: median " + fixed(quantile(together.axis_deg, 0.5), 1) + ", within 2 degrees in " + percent(within(together.axis_deg, rotation_target_deg), together.axis_deg.size()) +
           "; torsion: median " + fixed(quantile(sizes(together.torsion_deg), 0.5), 1) + ", within 2 degrees in " + percent(within(together.torsion_deg, rotation_target_deg), together.torsion_deg.size()) + " |\n"
           "| at least 10 times faster than registration | " + fixed(total(itk.seconds) / (total(together.seconds) - total(sum_of(rows, &PairRow::own).seconds)), 1) +
               " times, the globes being known; " + fixed(total(itk.seconds) / total(together.seconds), 1) + " times with the search for globes, muscles and the head's middle in both series |\n"
           "| (of true globes: equator) | median " + fixed(quantile(rightly.equator_mm, 0.5), 2) + ", 95th percentile " + fixed(quantile(rightly.equator_mm, 0.95), 2) + " mm; " + share(rightly.mapped, together.eyes) + " eyes |\n"
           "| every eye brought together | " + share(together.mapped, together.eyes) + "; refused by name: " + std::to_string(refused) + " |\n"
           "| residual at the sclera, refused above " + fixed(largest_residual.value(), 1) + " mm | median " + fixed(quantile(residual, 0.5), 2) + ", 95th percentile " + fixed(quantile(residual, 0.95), 2) + " mm |\n";
}

std::string way_in_short(const PairRow::Way& way) {
    std::string out;
    for (const auto& eye : way.eyes)
        out += eye ? " " + fixed(quantile(eye->equator_mm, 0.5), 2) + " mm (axis " + fixed(eye->axis_deg, 1) + ", torsion " + fixed(eye->torsion_deg, 1) + ")" : " none";
    return out + ", " + fixed(way.seconds, 2) + " s";
}

}  // namespace

std::string row_of(const PairRow& row) {
    std::string out = "no. " + std::to_string(row.number);
    for (const Stratum& s : row.strata)
        if (s.division != "all") out += ", " + s.part;
    std::string refusals;
    for (const std::string& why : row.refusals) refusals += " | refused: " + why;
    return out + " | turned " + fixed(row.turned_deg, 0) + " | own" + way_in_short(row.own) + " | together" + way_in_short(row.together) + " | registration" + way_in_short(row.itk) + refusals;
}

std::string alignment_document(const std::vector<PairRow>& all, const SweepExtent& extent) {
    Rows rows;
    for (const PairRow& row : all) rows.push_back(&row);
    std::string out =
        "# One eye brought from one series to another\n\n"
        "Made by `bash tests/alignment.sh` (seed " + std::to_string(extent.seed) + ", " + std::to_string(extent.patients) + " pairs of series, program version " + std::string(program_version) + ", simulator " +
        std::string(phantoms::simulator_version) + "); not edited by hand. Each pair shows one drawn patient: CT and T1, CT and T2, or T1 and T2; between them the head turns by up to\n"
        "30 degrees and the eyes in it by up to 25. Synthesised as DICOM (phantoms/README.md), read like any other, and held against where the eyes were drawn.\n\n"
        "- Own frames: the eye's frame found in each series by itself; what has one place in the frame is one place of the eye. Its time is that for finding and fitting the globes of both series and\n"
        "  for sampling round them.\n"
        "- Together: the head is laid on the head first, then the eye is sought where its own two frames, the head and what the two series tell about each other of the eye agree best\n"
        "  (src/alignment/eye_alignment.cpp). Its time holds that of the own frames. Told apart: eyes whose globes are the true ones (within 6 mm) in both series. An eye that is refused is not mapped.\n"
        "- Registration: one rigid transform between the whole volumes by ITK's ready-made method (Mattes' mutual information of 50 bins, 3 levels, 5 % of the voxels, started from the volumes' middles).\n"
        "  It follows the head; nobody who knows that eyes turn would expect it to follow them.\n\n"
        "Errors are distances at 24 points of the true outer equator of each eye, and of rotation the axis by itself and the torsion about it; the frame is levelled by the head, and Listing's torsion is\n"
        "among its errors. Two numbers are median and 95th percentile. Seconds are of one processor, for both series.\n\n## Targets\n\n" +
        targets(rows) +
        "\n## By stratum\n\n| stratum | pairs | way | eyes mapped | equator mm | within 1 mm | axis degrees | within 2 degrees | torsion degrees | seconds |\n|---|---|---|---|---|---|---|---|---|---|\n" + by_stratum(rows, rows_of_ways) +
        "\n## By pair\n\nMedian over each eye's equator.\n\n";
    for (const PairRow* row : rows) out += "- " + row_of(*row) + "\n";
    return out;
}

}  // namespace perisclera::globes
