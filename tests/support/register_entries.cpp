// SPDX-License-Identifier: Apache-2.0
#include "tests/support/register_entries.h"

#include <random>

namespace perisclera::test {

ElementRecord element(const std::string& measured_on, double volume) {
    return {Eye::right, "R1", "segmental", ClockPosition(1.0), day(measured_on), Measured<Mm3>::from_standard_uncertainty(Mm3(volume), Mm3(10.0)), "hydrogel", 0.9,
            Unmeasured{"measured once"}, std::nullopt};
}

RegisterEntry entry(const std::string& patient_id, const std::string& last_scan, const std::vector<std::string>& series, std::vector<ElementRecord> elements) {
    std::string result = "result of";
    for (const std::string& name : series) result += " " + name;
    return {.patient_id = PatientText(patient_id), .patient_id_issuer = PatientText("clinic"), .patient_name = {}, .simulated = false, .result_digest = result, .series_digests = series,
            .last_scan = day(last_scan), .eyes = {Eye::right, Eye::left}, .elements = std::move(elements)};
}

RegisterEntry drawn_entry(int number) {
    std::mt19937 drawn(static_cast<unsigned>(number));   // the standard fixes what it draws; no distribution, since it does not fix those
    const auto below = [&](int n) { return static_cast<int>(drawn() % static_cast<unsigned>(n)); };
    const int year = 2010 + below(15), month = 1 + below(12), day_of_month = 1 + below(28);
    const std::string scanned = std::to_string(10'000 * year + 100 * month + day_of_month), id = "number " + std::to_string(number);
    RegisterEntry made = entry(id, scanned, {"series of " + id}, {});
    made.simulated = number % 7 == 0;
    if (below(10) == 0) return made;
    ElementRecord one = element(scanned, 0.1 * (100 + below(20'000)));
    if (below(2) == 0) one.eye = Eye::left, one.id = "L1";
    if (below(10) == 0) one.volume = Unmeasured{"its ends are not shown"};
    if (below(3) != 0) {
        constexpr const char* verdicts[] = {"enlarged", "unchanged", "shrunk", "removed", "not_comparable"};
        one.last_change = LastChange{day(scanned), verdicts[below(5)], Percent(5.0 + below(40))};
        one.rate = Measured<Mm3PerYear>::from_standard_uncertainty(Mm3PerYear(0.01 * below(10'000) - 50.0), Mm3PerYear(2.0));
    }
    made.elements.push_back(one);
    return made;
}

}  // namespace perisclera::test
