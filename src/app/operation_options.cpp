// SPDX-License-Identifier: Apache-2.0
#include "operation_options.h"

#include <charconv>
#include <regex>
#include <string_view>

#include "perisclera/report/terms.h"

namespace perisclera::app {

namespace {

using Records = std::array<OperationRecord, 2>;

/// Gives `value`, which may name its eye before a colon, to that eye's or both eyes' record by `take`; false where it does not fit.
template <class Take>
bool told(std::string_view value, Records& records, Take take) {
    const bool right = value.starts_with("right:"), left = value.starts_with("left:");
    if (right || left) value.remove_prefix(value.find(':') + 1);
    return (left || take(value, records[0])) && (right || take(value, records[1]));
}

bool take_date(std::string_view value, OperationRecord& record) {
    static const std::regex date(R"((?:19|20)\d\d(?:-(?:0[1-9]|1[0-2])(?:-(?:0[1-9]|[12]\d|3[01]))?)?)");
    if (record.year || !std::regex_match(value.begin(), value.end(), date)) return false;
    int year = 0;
    std::from_chars(value.data(), value.data() + 4, year);
    record.year = year;
    return true;
}

bool take_material(std::string_view value, OperationRecord& record) {
    if (record.material) return false;
    for (const report::Material m : report::all_materials)
        if (value == report::name(m)) record.material = all_material_classes[static_cast<std::size_t>(m)];
    return record.material.has_value();
}

/// Of an explant, mm: from the thinnest film to what no orbit holds.
bool take_section(std::string_view value, OperationRecord& record) {
    static const std::regex section(R"((\d{1,2}(?:\.\d{1,2})?)x(\d{1,2}(?:\.\d{1,2})?))");
    std::cmatch sides;
    if (record.section || !std::regex_match(value.begin(), value.end(), sides, section)) return false;
    const auto side = [&](std::size_t k) {
        double mm = 0.0;
        std::from_chars(sides[k].first, sides[k].second, mm);
        return Mm(mm);
    };
    const auto possible = [](Mm mm) { return mm >= Mm(0.1) && mm <= Mm(30.0); };
    if (!possible(side(1)) || !possible(side(2))) return false;
    record.section = OriginalSection{side(1), side(2)};
    return true;
}

}  // namespace

Result<Records> operation_records(const std::vector<std::string>& dates, const std::vector<std::string>& materials, const std::vector<std::string>& sections) {
    Records records;
    for (const std::string& date : dates)
        if (!told(date, records, take_date))
            return Error{ErrorCode::usage, "the date of surgery is none, or told twice for an eye", "--surgery-date", "write YYYY, YYYY-MM or YYYY-MM-DD, with right: or left: before it for one eye"};
    for (const std::string& material : materials)
        if (!told(material, records, take_material))
            return Error{ErrorCode::usage, "the recorded material is unknown, or told twice for an eye", "--recorded-material",
                         "name solid_silicone, silicone_sponge, hydrogel or other, with right: or left: before it for one eye"};
    for (const std::string& section : sections)
        if (!told(section, records, take_section))
            return Error{ErrorCode::usage, "the original cross-section is none, or told twice for an eye", "--recorded-section", "write WIDTHxTHICKNESS in mm, 5.5x3.3, with right: or left: before it for one eye"};
    return records;
}

std::optional<Error> operation_after(const Records& records, StudyDate last_images) {
    const int last = std::stoi(last_images.iso().substr(0, 4));
    for (const OperationRecord& record : records)
        if (record.year && *record.year > last) return Error{ErrorCode::usage, "the surgery is of a later year than all images", "--surgery-date", "correct the date, or leave it out"};
    return std::nullopt;
}

}  // namespace perisclera::app
