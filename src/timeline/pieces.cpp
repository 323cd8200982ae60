// SPDX-License-Identifier: Apache-2.0
#include "perisclera/timeline/pieces.h"

#include <algorithm>
#include <cmath>

#include "perisclera/timeline/part_of_element.h"

namespace perisclera {

namespace {

constexpr double mostly = 0.7, hardly = 0.1;

/// A sum of errors that are the same for all, and of some that are each piece's own.
class Sum {
public:
    void add(double value, double in_common, double own) { value_ += value, in_common_ += in_common, own_ += own * own; }
    template <class Q>
    [[nodiscard]] Measured<Q> told() const {
        const double reach = 1.96 * std::sqrt(in_common_ * in_common_ + own_);
        return Measured<Q>(Q(value_), Q(std::max(0.0, value_ - reach)), Q(value_ + reach));
    }

private:
    double value_ = 0.0, in_common_ = 0.0, own_ = 0.0;
};

using Pieces = std::vector<const ElementMeasurements*>;

/// What all pieces have, and why not where one has none.
template <class Of>
const Unmeasured* lacking(const Pieces& pieces, const Of& of) {
    for (const ElementMeasurements* p : pieces)
        if (const Unmeasured* why = of(*p).unmeasured()) return why;
    return nullptr;
}

Measurement<Mm3> sum_of_volumes(const Pieces& pieces) {
    if (const Unmeasured* why = lacking(pieces, [](const ElementMeasurements& p) -> const Measurement<Mm3>& { return p.volume; })) return *why;
    Sum sum;
    for (const ElementMeasurements* p : pieces) {
        const Measured<Mm3>& volume = *p->volume.measured();
        const double value = volume.value().value(), all = volume.standard_uncertainty().value();
        const Measured<Mm>* length = p->length.measured();
        const bool known = length != nullptr && length->value().value() > 0.0;
        const double ends = std::min(all, known ? value * (length->standard_uncertainty() / length->value()) : 0.0);
        sum.add(value, std::sqrt(all * all - ends * ends), ends);
    }
    return sum.told<Mm3>();
}

Measurement<Mm> sum_of_lengths(const Pieces& pieces) {
    if (const Unmeasured* why = lacking(pieces, [](const ElementMeasurements& p) -> const Measurement<Mm>& { return p.length; })) return *why;
    Sum sum;
    for (const ElementMeasurements* p : pieces) sum.add(p->length.measured()->value().value(), 0.0, p->length.measured()->standard_uncertainty().value());
    return sum.told<Mm>();
}

/// Of the piece of which it is least, or greatest; what one lacks does not count.
template <class Of>
Measurement<Mm> outermost(const Pieces& pieces, const Of& of, bool least) {
    const Measurement<Mm>* best = &of(*pieces.front());
    for (const ElementMeasurements* p : pieces) {
        const Measured<Mm>*here = of(*p).measured(), *most = best->measured();
        if (here != nullptr && (most == nullptr || (least ? here->value() < most->value() : most->value() < here->value()))) best = &of(*p);
    }
    return *best;
}

}  // namespace

std::vector<std::size_t> pieces_of(const FoundElement& whole, const std::vector<const FoundElement*>& others, const std::vector<const FoundElement*>& parts) {
    std::vector<std::size_t> pieces;
    for (std::size_t k = 0; k < parts.size(); ++k) {
        const bool elsewhere = std::any_of(others.begin(), others.end(), [&](const FoundElement* o) { return share_within(*parts[k], *o) >= mostly; });
        const bool over_another = std::any_of(pieces.begin(), pieces.end(), [&](std::size_t i) {
            return share_within(*parts[k], *parts[i], one_frame) > hardly || share_within(*parts[i], *parts[k], one_frame) > hardly;
        });
        if (!elsewhere && !over_another && share_within(*parts[k], whole, frames_and_migration) >= mostly) pieces.push_back(k);
    }
    if (pieces.size() < 2) pieces.clear();
    return pieces;
}

FoundElement joined(const std::vector<const FoundElement*>& pieces) {
    FoundElement all = *pieces.front();
    for (std::size_t k = 1; k < pieces.size(); ++k) {
        const FoundElement& more = *pieces[k];
        all.cells.insert(all.cells.end(), more.cells.begin(), more.cells.end());
        all.sure_columns.insert(all.sure_columns.end(), more.sure_columns.begin(), more.sure_columns.end());
        all.thinner_than_blur = all.thinner_than_blur && more.thinner_than_blur;
        all.strength = std::max(all.strength, more.strength);
        all.own_signs = all.own_signs || more.own_signs;
    }
    all.closed_ring = false;
    std::sort(all.cells.begin(), all.cells.end(), [](const ElementCell& a, const ElementCell& b) { return a.index != b.index ? a.index < b.index : b.share < a.share; });
    all.cells.erase(std::unique(all.cells.begin(), all.cells.end(), [](const ElementCell& a, const ElementCell& b) { return a.index == b.index; }), all.cells.end());
    std::sort(all.sure_columns.begin(), all.sure_columns.end(), [](const SureColumn& a, const SureColumn& b) { return a.column < b.column; });
    return all;
}

ElementMeasurements added_up(const Pieces& pieces, ElementMeasurements together) {
    const auto volume = [](const ElementMeasurements* p) { return p->volume.measured() != nullptr ? p->volume.measured()->value().value() : 0.0; };
    const ElementMeasurements& largest = **std::max_element(pieces.begin(), pieces.end(), [&](const auto* a, const auto* b) { return volume(a) < volume(b); });
    // Gaps make a moulded element uneven, but not irregular.
    if (together.form != ElementForm::encircling) together.form = largest.form;
    together.volume = sum_of_volumes(pieces);
    together.length = sum_of_lengths(pieces);
    together.indentation = largest.indentation;
    together.limbus_anterior = outermost(pieces, [](const ElementMeasurements& p) -> const auto& { return p.limbus_anterior; }, true);
    together.caliper_anterior = outermost(pieces, [](const ElementMeasurements& p) -> const auto& { return p.caliper_anterior; }, true);
    together.limbus_posterior = outermost(pieces, [](const ElementMeasurements& p) -> const auto& { return p.limbus_posterior; }, false);
    together.caliper_posterior = outermost(pieces, [](const ElementMeasurements& p) -> const auto& { return p.caliper_posterior; }, false);
    together.optic_nerve_distance = outermost(pieces, [](const ElementMeasurements& p) -> const auto& { return p.optic_nerve_distance; }, true);
    const auto area = [](const ElementMeasurements* p) { return p->largest_section.area.measured() != nullptr ? p->largest_section.area.measured()->value().value() : 0.0; };
    together.largest_section = (*std::max_element(pieces.begin(), pieces.end(), [&](const auto* a, const auto* b) { return area(a) < area(b); }))->largest_section;
    together.sections.clear();
    together.fragments = 0;
    for (const ElementMeasurements* p : pieces) {
        together.sections.insert(together.sections.end(), p->sections.begin(), p->sections.end());
        together.fragments += p->fragments;
    }
    std::stable_sort(together.sections.begin(), together.sections.end(), [](const MeasuredSection& a, const MeasuredSection& b) { return a.clock_hour < b.clock_hour; });
    together.by_number.reset();
    return together;
}

}  // namespace perisclera
