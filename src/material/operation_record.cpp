// SPDX-License-Identifier: Apache-2.0
#include "perisclera/material/operation_record.h"

#include <cmath>
#include <numeric>

namespace perisclera {

namespace {

/// Hydrogel was used about 1981 to 1996 (common practice, no source); published: introduced 1979 or 1980 (Das T, Namperumalsamy P, Indian J Ophthalmol
/// 1991;39:41-43), implants documented from 1984 to 1997. What is left to the years beside these, and to all others, is assumed.
double share_of_hydrogel_left(int year) {
    constexpr int first = 1981, last = 1996, doubtful_years = 2;
    if (year >= first && year <= last) return 1.0;
    return year >= first - doubtful_years && year <= last + doubtful_years ? 0.3 : 0.01;
}

/// How often a note names what lies in the orbit today: it may be of an earlier operation, or wrong (assumed).
constexpr double note_right = 0.9;

void normalise(PerClass& share) {
    const double sum = std::accumulate(share.begin(), share.end(), 0.0);
    for (double& s : share) s /= sum;
}

}  // namespace

WithRecord with_record(const PerClass& by_images, const OperationRecord& record, const PerClass& prior) {
    constexpr auto hydrogel = static_cast<std::size_t>(MaterialClass::hydrogel);
    constexpr double likelier_than_not = 0.5, excluded = 0.05;
    WithRecord out{prior, by_images, false, false};
    const double left = record.year ? share_of_hydrogel_left(*record.year) : 1.0;
    out.prior[hydrogel] *= left;
    if (record.material)
        for (std::size_t m = 0; m < out.prior.size(); ++m) out.prior[m] *= m == static_cast<std::size_t>(*record.material) ? note_right : (1.0 - note_right) / 3.0;
    normalise(out.prior);
    for (std::size_t m = 0; m < out.prior.size(); ++m) out.probability[m] *= out.prior[m] / prior[m];
    normalise(out.probability);
    out.year_contradicts = left < 0.05 && by_images[hydrogel] >= likelier_than_not;
    out.material_contradicts = record.material && by_images[static_cast<std::size_t>(*record.material)] < excluded;
    return out;
}

}  // namespace perisclera
