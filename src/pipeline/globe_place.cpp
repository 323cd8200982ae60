// SPDX-License-Identifier: Apache-2.0
#include "globe_place.h"

#include <cmath>
#include <vector>

#include "perisclera/core/text.h"

namespace perisclera {

namespace {

using namespace report;

/// Right and left differ by no more in more than 90 % of people (Semin Ophthalmol 2017;32(5), doi 10.3109/08820538.2015.1131837).
constexpr Mm usual_difference(2.0);

ForwardPlace forward_place(const GlobeOffset& offset) {
    const auto both = [&](auto holds) { return holds(offset.anterior) && holds(offset.rear_margin); };
    if (both([](const Measured<Mm>& m) { return m.low() > usual_difference; })) return ForwardPlace::in_front;
    if (both([](const Measured<Mm>& m) { return m.high() < -usual_difference; })) return ForwardPlace::behind;
    if (both([](const Measured<Mm>& m) { return m.low() >= -usual_difference && m.high() <= usual_difference; })) return ForwardPlace::within_usual;
    return ForwardPlace::not_determinable;
}

using Both = std::array<GlobePosition, 2>;

/// Where one series shows both globes.
struct Placed {
    const SeriesViews* series;
    Both globes;
};

std::vector<Placed> placed_globes(const AnalysedVisit& analysed) {
    std::vector<Placed> out;
    for (const SeriesViews& series : analysed.series)
        if (series.eye[0] && series.eye[1] && series.head) out.push_back({&series, globe_positions(*series.head, series.eye[0]->block.globe(), series.eye[1]->block.globe())});
    return out;
}

/// The series of least doubt; nullptr where none has what `doubt` asks for.
template <class Doubt>
const Placed* surest(const std::vector<Placed>& placed, Doubt doubt) {
    const Placed* best = nullptr;
    double least = 0.0;
    for (const Placed& p : placed) {
        const std::optional<double> here = doubt(p.globes);
        if (here && (!best || *here < least)) best = &p, least = *here;
    }
    return best;
}

std::string uid(const Placed& placed, const Visit& visit) { return visit.series[placed.series->eye[0]->series].description.series_uid; }

}  // namespace

report::MassEffect globe_place(const AnalysedVisit& analysed, const Visit& visit, std::size_t which) {
    MassEffect out;
    bool pair = false;
    std::string no_line = say("reason.no_ct_of_both_eyes");
    for (const SeriesViews& series : analysed.series) {
        if (!series.eye[0] || !series.eye[1]) continue;
        pair = true;
        if (series.eye[0]->modality != Modality::ct) continue;
        const auto* why = series.head ? std::get_if<Unmeasured>(&series.head->line) : nullptr;
        no_line = why ? why->why : say("reason.no_plane_of_symmetry");
    }
    const Unmeasured none{say(pair ? "reason.no_plane_of_symmetry" : "reason.no_fellow_eye")};
    out.superior = out.anterior = out.left = out.rear_margin = none;
    out.turned_left = out.turned_up = out.converging = out.higher_than_fellow = none;
    out.line_length = out.cornea_in_front = out.centre_in_front = out.rear_margin_behind = Unmeasured{pair ? no_line : none.why};

    const std::vector<Placed> placed = placed_globes(analysed);
    const Placed* placing = surest(placed, [](const Both& both) { return std::optional(both[0].offset.doubt_mm()); });
    if (placing == nullptr) return out;
    const GlobeOffset& offset = placing->globes[which].offset;
    out.superior = offset.superior;
    out.anterior = offset.anterior;
    out.left = offset.left;
    out.rear_margin = offset.rear_margin;
    out.forward_place = forward_place(offset);
    out.offset_series = uid(*placing, visit);
    out.reference = say("globe_place.reference");

    const Placed* turning = surest(placed, [&](const Both& both) {
        return std::optional(std::hypot(both[which].turn.left.standard_uncertainty().value(), both[which].turn.nasal_to_fellow.standard_uncertainty().value()));
    });
    const EyeTurn& turn = turning->globes[which].turn;
    out.turned_left = turn.left;
    out.turned_up = turn.up;
    out.converging = turn.nasal_to_fellow;
    out.higher_than_fellow = turn.up_to_fellow;
    out.turn_series = uid(*turning, visit);

    const Placed* boned = surest(placed, [&](const Both& both) -> std::optional<double> {
        const auto* line = std::get_if<GlobeProtrusion>(&both[which].protrusion);
        // A series that shows the cornea comes first.
        return line ? std::optional(line->rear_margin_behind.standard_uncertainty().value() + (line->cornea_in_front.has_value() ? 0.0 : 10.0)) : std::nullopt;
    });
    if (boned == nullptr) return out;
    const auto& protrusion = std::get<GlobeProtrusion>(boned->globes[which].protrusion);
    out.line_length = protrusion.line_length;
    out.cornea_in_front = protrusion.cornea_in_front;
    out.centre_in_front = protrusion.centre_in_front;
    out.rear_margin_behind = protrusion.rear_margin_behind;
    out.line_series = uid(*boned, visit);
    return out;
}

}  // namespace perisclera
