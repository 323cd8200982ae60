// SPDX-License-Identifier: Apache-2.0
#include "globe_place.h"

#include <cmath>

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

/// Of all series that hold both eyes, the one of least doubt; nullptr where none has what `doubt` asks for.
template <class Doubt>
const SeriesViews* surest(const AnalysedVisit& analysed, Doubt doubt) {
    const SeriesViews* best = nullptr;
    double least = 0.0;
    for (const SeriesViews& series : analysed.series) {
        if (!series.eye[0] || !series.eye[1] || !series.position) continue;
        const std::optional<double> here = doubt(*series.position);
        if (here && (!best || *here < least)) best = &series, least = *here;
    }
    return best;
}

std::string uid(const SeriesViews& series, const Visit& visit) { return visit.series[series.eye[0]->series].description.series_uid; }

}  // namespace

report::MassEffect globe_place(const AnalysedVisit& analysed, const Visit& visit, std::size_t which) {
    using Both = std::array<GlobePosition, 2>;
    MassEffect out;
    bool pair = false;
    std::string no_line = say("reason.no_ct_of_both_eyes");
    for (const SeriesViews& series : analysed.series) {
        if (!series.eye[0] || !series.eye[1]) continue;
        pair = true;
        if (series.eye[0]->modality != Modality::ct) continue;
        const auto* why = series.position ? std::get_if<Unmeasured>(&(*series.position)[which].protrusion) : nullptr;
        no_line = why ? why->why : say("reason.no_plane_of_symmetry");
    }
    const Unmeasured none{say(pair ? "reason.no_plane_of_symmetry" : "reason.no_fellow_eye")};
    out.superior = out.anterior = out.left = out.rear_margin = none;
    out.turned_left = out.turned_up = out.converging = out.higher_than_fellow = none;
    out.line_length = out.cornea_in_front = out.centre_in_front = out.rear_margin_behind = Unmeasured{pair ? no_line : none.why};

    const SeriesViews* placing = surest(analysed, [](const Both& both) { return std::optional(both[0].offset.doubt_mm()); });
    if (placing == nullptr) return out;
    const GlobeOffset& offset = (*placing->position)[which].offset;
    out.superior = offset.superior;
    out.anterior = offset.anterior;
    out.left = offset.left;
    out.rear_margin = offset.rear_margin;
    out.forward_place = forward_place(offset);
    out.offset_series = uid(*placing, visit);
    out.reference = say("globe_place.reference");

    const SeriesViews* turning = surest(analysed, [&](const Both& both) {
        return std::optional(std::hypot(both[which].turn.left.standard_uncertainty().value(), both[which].turn.nasal_to_fellow.standard_uncertainty().value()));
    });
    const EyeTurn& turn = (*turning->position)[which].turn;
    out.turned_left = turn.left;
    out.turned_up = turn.up;
    out.converging = turn.nasal_to_fellow;
    out.higher_than_fellow = turn.up_to_fellow;
    out.turn_series = uid(*turning, visit);

    const SeriesViews* boned = surest(analysed, [&](const Both& both) -> std::optional<double> {
        const auto* line = std::get_if<GlobeProtrusion>(&both[which].protrusion);
        // A series that shows the cornea comes first.
        return line ? std::optional(line->rear_margin_behind.standard_uncertainty().value() + (line->cornea_in_front.has_value() ? 0.0 : 10.0)) : std::nullopt;
    });
    if (boned == nullptr) return out;
    const auto& protrusion = std::get<GlobeProtrusion>((*boned->position)[which].protrusion);
    out.line_length = protrusion.line_length;
    out.cornea_in_front = protrusion.cornea_in_front;
    out.centre_in_front = protrusion.centre_in_front;
    out.rear_margin_behind = protrusion.rear_margin_behind;
    out.line_series = uid(*boned, visit);
    return out;
}

}  // namespace perisclera
