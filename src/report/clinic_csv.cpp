// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/clinic_list.h"

#include <array>
#include <charconv>

#include "perisclera/core/printable.h"
#include "perisclera/core/text.h"
#include "rounding.h"

namespace perisclera::report {

namespace {

using Cells = std::vector<std::string>;

/// Quoted as RFC 4180 has it, so that it may hold commas and quotes; words from a register that somebody tampered with as well. What stands in front of a formula in spreadsheets is common practice, no source.
std::string text_cell(const std::string& text) {
    if (text.empty()) return "";
    std::string cell = printable(text);
    const std::size_t first = cell.find_first_not_of(' ');
    if (first != std::string::npos && std::string_view("=+-@").find(cell[first]) != std::string_view::npos) cell.insert(0, "'");
    for (std::size_t at = cell.find('"'); at != std::string::npos; at = cell.find('"', at + 2)) cell.insert(at, "\"");
    return "\"" + cell + "\"";
}

std::string number_cell(double value) {
    std::array<char, 64> text;
    const auto written = std::to_chars(text.data(), text.data() + text.size(), value);
    return {text.data(), written.ptr};
}

template <class Unit>
void add(Cells& cells, const Measurement<Quantity<Unit>>& m) {
    if (const auto s = stated(m)) cells.insert(cells.end(), {number_cell(s->value), number_cell(s->low), number_cell(s->high)});
    else cells.insert(cells.end(), 3, "");
}

void add(Cells& cells, const ElementRecord& e) {
    cells.insert(cells.end(), {std::string(name(e.eye)), text_cell(e.id), text_cell(e.form), e.middle ? number_cell(rounded(e.middle->hours(), hour_decimals)) : "", e.measured_on.iso()});
    add(cells, e.volume);
    cells.insert(cells.end(), {text_cell(e.material), e.probability ? number_cell(rounded(*e.probability, probability_decimals)) : ""});
    add(cells, e.rate);
    const auto& change = e.last_change;
    if (!change) cells.insert(cells.end(), 3, "");
    else cells.insert(cells.end(), {text_cell(change->verdict), change->on.iso(), change->smallest_detectable ? number_cell(rounded(change->smallest_detectable->value(), decimals_of<PercentUnit>)) : ""});
}

const Cells columns_of_element{"eye",      "element",  "form",   "clock_hour",           "measured_on",          "volume_mm3",  "volume_low", "volume_high",
                               "material", "material_probability", "rate_mm3_per_year", "rate_low", "rate_high", "verdict", "compared_on", "smallest_change_percent"};

std::string line(const Cells& cells) {
    std::string text;
    for (const std::string& cell : cells) text += (text.empty() ? "" : ",") + cell;
    return text + "\r\n";
}

}  // namespace

std::string clinic_csv(const std::vector<RegisterRow>& rows, bool with_identity) {
    Cells columns{"patient"};
    if (with_identity) columns.insert(columns.end(), {"patient_id", "patient_name"});
    columns.push_back("last_scan");
    columns.insert(columns.end(), columns_of_element.begin(), columns_of_element.end());
    columns.insert(columns.end(), {"reviewed_by", "reviewed_on", "next_contact", "simulated", "caution"});
    std::string text = line(columns);
    const std::string caution = text_cell(clinic_caution());
    for (const RegisterRow& row : rows) {
        Cells cells{text_cell(row.patient)};
        if (with_identity) cells.insert(cells.end(), {text_cell(row.patient_id.reveal_for_filing()), text_cell(row.name.reveal_for_filing())});
        cells.push_back(row.last_scan.iso());
        if (row.element) add(cells, *row.element);
        else cells.insert(cells.end(), columns_of_element.size(), "");
        cells.insert(cells.end(), {text_cell(row.reviewed_by), text_cell(row.reviewed_on), text_cell(row.next_contact), row.simulated ? text_cell(say("register.simulated")) : "", caution});
        text += line(cells);
    }
    return text;
}

}  // namespace perisclera::report
