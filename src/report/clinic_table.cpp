// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/clinic_list.h"

#include <algorithm>
#include <array>
#include <charconv>

#include "perisclera/core/printable.h"
#include "perisclera/core/text.h"
#include "half_hours.h"
#include "rounding.h"

namespace perisclera::report {

namespace {

using Cells = std::vector<std::string>;

std::string fixed(double value, int decimals) {
    std::array<char, 64> text;
    const auto written = std::to_chars(text.data(), text.data() + text.size(), rounded(value, decimals), std::chars_format::fixed, decimals);
    return {text.data(), written.ec == std::errc() ? written.ptr : text.data()};
}

/// Whole cubic millimetres are fine enough for a list; a rate has one decimal.
template <class Q>
std::string with_interval(const Measurement<Q>& m, int decimals) {
    const auto* measured = m.measured();
    if (!measured) return say("register.none");
    const std::string value = fixed(measured->value().value(), decimals), low = fixed(measured->low().value(), decimals), high = fixed(measured->high().value(), decimals);
    return say("register.interval", {{"value", value}, {"low", low}, {"high", high}});
}

std::string place(const ElementRecord& e) {
    const std::string form = printable(e.form);
    return e.middle ? say("register.place", {{"form", form}, {"hour", half_hours(e.middle->hours())}}) : form;
}

std::string material(const ElementRecord& e) {
    const std::string word = printable(e.material);
    return e.probability ? say("register.material", {{"material", word}, {"percent", fixed(100.0 * *e.probability, 0)}}) : word;
}

Cells cells_of_element(const std::optional<ElementRecord>& e) {
    const std::string none = say("register.none");
    if (!e) return Cells(8, none);
    const auto& change = e->last_change;
    return {printable(e->id), place(*e), e->measured_on.iso(), with_interval(e->volume, 0), material(*e), with_interval(e->rate, 1),
            change ? say("register.verdict", {{"verdict", printable(change->verdict)}, {"date", change->on.iso()}}) : none,
            change && change->smallest_detectable ? say("register.percent", {{"number", fixed(change->smallest_detectable->value(), 0)}}) : none};
}

Cells cells_of(const RegisterRow& row, bool with_identity) {
    const auto entered = [](const std::string& text) { return text.empty() ? say("register.none") : printable(text); };
    Cells cells{printable(row.patient) + (row.simulated ? " " + say("register.simulated") : "")};
    if (with_identity) cells.insert(cells.end(), {entered(row.patient_id.reveal_for_filing()), entered(row.name.reveal_for_filing())});
    cells.push_back(row.last_scan.iso());
    const Cells element = cells_of_element(row.element);
    cells.insert(cells.end(), element.begin(), element.end());
    cells.insert(cells.end(), {entered(row.reviewed_by), entered(row.reviewed_on), entered(row.next_contact)});
    return cells;
}

Cells heads(bool with_identity) {
    Cells cells{say("register.patient")};
    if (with_identity) cells.insert(cells.end(), {say("register.patient_id"), say("register.name")});
    cells.insert(cells.end(), {say("register.last_scan"), say("register.element"), say("register.form"), say("register.measured_on"), say("register.volume"), say("register.material_head"), say("register.rate"),
                               say("register.verdict_head"), say("register.smallest"), say("register.reviewed_by"), say("register.reviewed_on"), say("register.next_contact")});
    return cells;
}

/// Letters of UTF-8 text: bytes that continue one are not counted.
std::size_t letters(const std::string& text) {
    return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xc0u) != 0x80u; }));
}

}  // namespace

std::string clinic_caution() { return say("register.caution"); }

std::string clinic_table(const std::vector<RegisterRow>& rows, bool with_identity) {
    std::vector<Cells> lines{heads(with_identity)};
    for (const RegisterRow& row : rows) lines.push_back(cells_of(row, with_identity));
    std::vector<std::size_t> widths;
    for (const Cells& line : lines)
        for (std::size_t c = 0; c < line.size(); ++c) {
            if (c == widths.size()) widths.push_back(0);
            widths[c] = std::max(widths[c], letters(line[c]));
        }
    std::string text = clinic_caution() + "\n" + say("register.how_to_read") + "\n\n";
    for (const Cells& line : lines) {
        std::string told;
        for (std::size_t c = 0; c < line.size(); ++c) told += line[c] + std::string(widths[c] - letters(line[c]) + 2, ' ');
        told.erase(told.find_last_not_of(' ') + 1);
        text += told + "\n";
    }
    return text;
}

}  // namespace perisclera::report
