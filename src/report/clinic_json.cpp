// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/clinic_list.h"

#include <nlohmann/json.hpp>

#include "perisclera/core/text.h"
#include "rounding.h"

namespace perisclera::report {

namespace {

using Json = nlohmann::ordered_json;

template <class Unit>
Json quantity(const Measurement<Quantity<Unit>>& m) {
    if (const auto s = stated(m)) return {{"value", s->value}, {"ci95", {s->low, s->high}}};
    return {{"value", nullptr}, {"why", why_not_stated(m)}};
}

Json json_of(const ElementRecord& e) {
    const auto& change = e.last_change;
    Json json{{"eye", name(e.eye)}, {"id", e.id}, {"form", e.form}, {"clock_hour", nullptr}, {"measured_on", e.measured_on.iso()}, {"volume_mm3", quantity(e.volume)},
              {"material", {{"label", e.material}, {"probability", nullptr}}}, {"volume_mm3_per_year", quantity(e.rate)}, {"last_change", nullptr}};
    if (e.middle) json["clock_hour"] = rounded(e.middle->hours(), hour_decimals);
    if (e.probability) json["material"]["probability"] = rounded(*e.probability, probability_decimals);
    if (change) {
        json["last_change"] = {{"to", change->on.iso()}, {"verdict", change->verdict}, {"smallest_detectable_percent", nullptr}};
        if (change->smallest_detectable) json["last_change"]["smallest_detectable_percent"] = rounded(change->smallest_detectable->value(), decimals_of<PercentUnit>);
    }
    return json;
}

}  // namespace

std::string clinic_json(const std::vector<RegisterRow>& rows, bool with_identity) {
    const auto entered = [](const std::string& text) { return text.empty() ? Json() : Json(text); };
    Json all = Json::array();
    for (const RegisterRow& row : rows) {
        Json json{{"patient", row.patient}};
        if (with_identity) json.update(Json{{"patient_id", entered(row.patient_id.reveal_for_filing())}, {"patient_name", entered(row.name.reveal_for_filing())}});
        json.update(Json{{"simulated", row.simulated}, {"last_scan", row.last_scan.iso()}, {"element", row.element ? json_of(*row.element) : Json()},
                         {"reviewed_by", entered(row.reviewed_by)}, {"reviewed_on", entered(row.reviewed_on)}, {"next_contact", entered(row.next_contact)}});
        all.push_back(std::move(json));
    }
    const Json list{{"format", "perisclera-clinic-list"}, {"format_version", 1}, {"statement", clinic_caution()}, {"rows", std::move(all)}};
    return list.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace perisclera::report
