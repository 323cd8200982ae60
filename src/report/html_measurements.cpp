// SPDX-License-Identifier: Apache-2.0
// The measurement tables: one per element with the visits as columns, one per eye, sections, changes.
// Rows about which this version says nothing are gathered into one sentence below their table.
#include <algorithm>
#include <functional>
#include <set>

#include "perisclera/core/text.h"
#include "perisclera/report/eye_words.h"
#include "perisclera/report/figures.h"
#include "perisclera/report/wording.h"
#include "src/report/html_sections.h"
#include "src/report/term_words.h"

namespace perisclera::report {

namespace {

struct Cell {
    std::string text;
    bool not_assessed = false;
    bool measured = true;
};

template <class Q>
Cell cell(const Measurement<Q>& m) {
    return {in_words(m), is_not_assessed(m), m.has_value()};
}
template <class Q>
Cell change_cell(const Measurement<Q>& m) {
    return {change_in_words(m), is_not_assessed(m), m.has_value()};
}
Cell position_cell(const Measurement<ClockHours>& m, Eye eye) { return {position_in_words(m, eye), is_not_assessed(m), m.has_value()}; }
/// Of a fixed word; `unknown` is the one that says nothing.
template <class Term>
Cell cell(Term term, Term unknown) {
    return {in_words(term), term == unknown};
}

/// The interval goes to a line of its own under the value.
std::string html(const Cell& c) {
    const std::string with_mark = say("number.with_interval", {{"value", ""}, {"low", "\n"}, {"high", ""}}), opening = with_mark.substr(0, with_mark.find('\n'));
    const std::size_t at = c.text.find(opening);
    if (at != std::string::npos && c.text.ends_with(')')) {
        const std::string interval = c.text.substr(at + opening.size(), c.text.size() - at - opening.size() - 1);
        return "<td>" + escaped(c.text.substr(0, at)) + "<span class=\"ci\">" + escaped(interval) + "</span></td>";
    }
    return (c.measured ? "<td>" : "<td class=\"why\">") + escaped(c.text) + "</td>";
}

/// A table of named rows over columns of type T.
template <class T>
class Table {
public:
    void column(const std::string& head, const T& content) {
        heads_.push_back(head);
        columns_.push_back(&content);
    }
    /// `topic` stands once for all rows of the same topic, where none of them says anything.
    void row(const std::string& label, const std::function<Cell(const T&)>& read, const std::string& topic = "") {
        rows_.push_back({label, topic.empty() ? label : topic, read});
    }

    [[nodiscard]] std::string html_text(const std::string& caption) const {
        std::vector<std::vector<Cell>> cells;
        std::set<std::string> told;   // topics of which some row says something
        for (const Row& row : rows_) {
            cells.emplace_back();
            for (const T* column : columns_) cells.back().push_back(row.read(*column));
            if (says_something(cells.back())) told.insert(row.topic);
        }
        std::string body, silent;
        std::set<std::string> listed;
        for (std::size_t k = 0; k < rows_.size(); ++k) {
            const auto& [label, topic, read] = rows_[k];
            if (says_something(cells[k])) {
                body += "<tr><th scope=\"row\">" + escaped(label) + "</th>";
                for (const Cell& c : cells[k]) body += html(c);
                body += "</tr>\n";
                continue;
            }
            const std::string& named = told.count(topic) > 0 ? label : topic;
            if (listed.insert(named).second) silent += (silent.empty() ? "" : "; ") + named;
        }
        std::string out;
        if (!body.empty()) {
            out = "<div class=\"scroll\"><table class=\"measures\">" + element("caption", caption) + "<thead><tr><th></th>";
            for (const std::string& head : heads_) out += element("th", head);
            out += "</tr></thead><tbody>\n" + body + "</tbody></table></div>\n";
        } else {
            out = element("h3", caption);
        }
        if (!silent.empty()) out += "<p class=\"note\">" + escaped(say("table.not_assessed", {{"rows", silent}})) + "</p>\n";
        return out;
    }

private:
    static bool says_something(const std::vector<Cell>& cells) {
        return std::any_of(cells.begin(), cells.end(), [](const Cell& c) { return !c.not_assessed; });
    }
    std::vector<std::string> heads_;
    std::vector<const T*> columns_;
    struct Row {
        std::string label, topic;
        std::function<Cell(const T&)> read;
    };
    std::vector<Row> rows_;
};

std::string hour_text(const std::optional<ClockPosition>& p, Eye eye) { return p ? hour_in_words(*p, eye) : say("table.hour_not_known"); }

std::string element_table(const ReportModel& model, Eye eye, const std::string& id, const SeriesLabels& labels) {
    using E = const ElementEntry&;
    Table<ElementEntry> t;
    for (const Timepoint& visit : model.timepoints) {
        if (const ElementEntry* e = find_element(visit, eye, id)) t.column(visit.study_date.iso(), *e);
    }
    t.row(say("table.volume"), [](E e) { return cell(e.volume); });
    t.row(say("table.largest_at"), [eye](E e) { return Cell{hour_text(e.largest_section.clock_hour, eye), !e.largest_section.clock_hour}; });
    t.row(say("table.largest_width"), [](E e) { return cell(e.largest_section.width); });
    t.row(say("table.largest_thickness"), [](E e) { return cell(e.largest_section.thickness); });
    t.row(say("table.largest_area"), [](E e) { return cell(e.largest_section.area); });
    t.row(say("table.largest_contrast"), [](E e) { return cell(e.largest_section.contrast_thickness); });
    t.row(say("table.start"), [eye](E e) { return position_cell(e.from, eye); });
    t.row(say("table.end"), [eye](E e) { return position_cell(e.to, eye); });
    t.row(say("table.extent"), [](E e) { return cell(e.span); });
    t.row(say("table.front_arc"), [](E e) { return cell(e.limbus_anterior); });
    t.row(say("table.rear_arc"), [](E e) { return cell(e.limbus_posterior); });
    t.row(say("table.front_caliper"), [](E e) { return cell(e.caliper_anterior); });
    t.row(say("table.rear_caliper"), [](E e) { return cell(e.caliper_posterior); });
    t.row(say("table.length"), [](E e) { return cell(e.length); });
    t.row(say("table.indentation"), [](E e) { return cell(e.indentation); });
    t.row(say("table.surface_distance"), [](E e) { return cell(e.surface_distance); });
    t.row(say("table.wall_distance"), [](E e) { return cell(e.orbital_wall_distance); });
    t.row(say("table.nerve_distance"), [](E e) { return cell(e.optic_nerve_distance); });
    t.row(say("table.water"), [](E e) { return cell(e.material.water_fraction); });
    const auto section_told = [&](const Timepoint& visit) {
        const ElementEntry* e = find_element(visit, eye, id);
        return e != nullptr && e->material.record && e->material.record->section;
    };
    if (std::any_of(model.timepoints.begin(), model.timepoints.end(), section_told)) t.row(say("table.water_by_swelling"), [](E e) { return cell(e.material.water_by_swelling); });
    t.row(say("table.wall"), [](E e) { return cell(e.wall_relation, WallRelation::not_determinable); });
    t.row(say("table.junction"), [eye](E e) {
        const auto& j = e.junction;
        return Cell{j.clock_hour ? say(j.kind == JunctionKind::unknown ? "table.junction_thicker_at" : "table.junction_at", {{"kind", in_words(j.kind)}, {"hour", hour_text(j.clock_hour, eye)}}) : in_words(j.kind), j.kind == JunctionKind::unknown};
    });
    t.row(say("table.pieces"), [](E e) { return Cell{e.fragments ? std::to_string(*e.fragments) : say("table.pieces_not_assessed"), !e.fragments}; });
    t.row(say("table.capsule"), [](E e) { return cell(e.capsule, Feature::undetermined); });
    t.row(say("table.calcified_rim"), [](E e) { return cell(e.rim_calcification, Feature::undetermined); });
    t.row(say("table.measured_on"), [&labels](E e) {
        std::string all;
        for (const std::string& uid : e.measured_on) {
            const auto at = labels.find(uid);
            all += (all.empty() ? "" : ", ") + (at == labels.end() ? uid : at->second);
        }
        return Cell{all.empty() ? say("page.not_given") : all, all.empty()};
    });
    return t.html_text(say("table.of_element", {{"element", id}, {"eye", in_words(eye)}}));
}

std::string section_table(const ElementEntry& e, Eye eye, const std::string& date) {
    if (e.sections.empty()) return "";
    Table<Section> t;
    for (const Section& s : e.sections) t.column(hour_text(s.clock_hour, eye), s);
    t.row(say("table.section_width"), [](const Section& s) { return cell(s.width); });
    t.row(say("table.section_thickness"), [](const Section& s) { return cell(s.thickness); });
    t.row(say("table.section_area"), [](const Section& s) { return cell(s.area); });
    return t.html_text(say("table.sections", {{"element", e.id}, {"eye", in_words(eye)}, {"date", date}}));
}

std::string metal_text(const MetalEntry& metal, Eye eye) {
    std::string out = in_words(metal.status);
    for (const ClockPosition p : metal.clock_hours) out += ", " + say("table.metal_at", {{"hour", hour_text(p, eye)}});
    return out;
}

std::string eye_table(const ReportModel& model, Eye eye) {
    using E = const EyeEntry&;
    const std::string inflammation = say("table.inflammation"), offset = say("table.offset"), protrusion = say("table.protrusion"), turn = say("table.turn");
    Table<EyeEntry> t;
    for (const Timepoint& visit : model.timepoints) t.column(visit.study_date.iso(), visit.eye(eye));
    t.row(say("table.globe"), [](E e) { return Cell{in_words(e.globe.status)}; });
    t.row(say("table.axial_length"), [](E e) { return cell(e.globe.axial_length); });
    t.row(say("table.equatorial_diameter"), [](E e) { return cell(e.globe.equatorial_diameter); });
    t.row(say("table.contents"), [](E e) { return Cell{contents_in_words(e.globe), e.globe.contents == GlobeContents::undetermined}; });
    t.row(say("table.level"), [](E e) { return e.globe.level ? cell(e.globe.level->height) : Cell{say("table.no_level")}; });
    t.row(say("table.lens"), [](E e) { return cell(e.globe.lens, Lens::undetermined); });
    t.row(say("table.metal"), [eye](E e) { return Cell{metal_text(e.metal, eye), e.metal.status == MetalStatus::not_assessable}; });
    t.row(say("table.fat_stranding"), [](E e) { return cell(e.inflammation_signs.fat_stranding, Sign::not_assessable); }, inflammation);
    t.row(say("table.gas_outside"), [](E e) { return cell(e.inflammation_signs.gas_outside_element, Sign::not_assessable); }, inflammation);
    t.row(say("table.collection"), [](E e) { return cell(e.inflammation_signs.collection, Sign::not_assessable); }, inflammation);
    t.row(say("table.enhancing_rim"), [](E e) { return cell(e.inflammation_signs.rim_enhancement, Sign::not_assessable); }, inflammation);
    t.row(say("table.centre_upwards"), [](E e) { return change_cell(e.mass_effect.superior); }, offset);
    t.row(say("table.centre_forwards"), [](E e) { return change_cell(e.mass_effect.anterior); }, offset);
    t.row(say("table.centre_left"), [](E e) { return change_cell(e.mass_effect.left); }, offset);
    t.row(say("table.rear_margin_forwards"), [](E e) { return change_cell(e.mass_effect.rear_margin); }, offset);
    t.row(say("table.forwards_or_backwards"), [](E e) { return cell(e.mass_effect.forward_place, ForwardPlace::not_determinable); }, offset);
    t.row(say("table.cornea_in_front"), [](E e) { return cell(e.mass_effect.cornea_in_front); }, protrusion);
    t.row(say("table.centre_in_front"), [](E e) { return cell(e.mass_effect.centre_in_front); }, protrusion);
    t.row(say("table.rear_margin_behind"), [](E e) { return cell(e.mass_effect.rear_margin_behind); }, protrusion);
    t.row(say("table.line_length"), [](E e) { return cell(e.mass_effect.line_length); }, protrusion);
    t.row(say("table.turned_left"), [](E e) { return change_cell(e.mass_effect.turned_left); }, turn);
    t.row(say("table.turned_up"), [](E e) { return change_cell(e.mass_effect.turned_up); }, turn);
    t.row(say("table.convergence"), [](E e) { return change_cell(e.mass_effect.converging); }, turn);
    t.row(say("table.higher_than_fellow"), [](E e) { return change_cell(e.mass_effect.higher_than_fellow); }, turn);
    return t.html_text(say("table.of_eye", {{"eye", side_in_words(eye)}}));
}

std::string change_table(const ReportModel& model) {
    if (model.changes.empty() && model.trends.empty()) return "";
    const auto date = [&](const std::string& id) {
        for (const Timepoint& t : model.timepoints) {
            if (t.id == id) return t.study_date.iso();
        }
        return id;
    };
    using C = const Change&;
    Table<Change> t;
    for (const Change& c : model.changes) t.column(say("table.element_dates", {{"element", c.element}, {"from", date(c.from)}, {"to", date(c.to)}}), c);
    t.row(say("table.verdict"), [](C c) { return Cell{in_words(c.verdict)}; });
    t.row(say("table.days"), [](C c) { return Cell{std::to_string(c.days)}; });
    t.row(say("table.same_method"), [](C c) { return Cell{say(c.same_method ? "page.yes" : "page.no")}; });
    t.row(say("table.volume"), [](C c) { return change_cell(c.volume); });
    t.row(say("table.smallest_change"), [](C c) {
        return Cell{c.smallest_detectable ? fixed(c.smallest_detectable->value(), 0) + " %" : say("table.smallest_not_determined"), !c.smallest_detectable};
    });
    t.row(say("table.change_area"), [](C c) { return change_cell(c.largest_area); });
    t.row(say("table.change_thickness"), [](C c) { return change_cell(c.largest_thickness); });
    t.row(say("table.change_front"), [](C c) { return change_cell(c.anterior_margin_shift); });
    t.row(say("table.change_water"), [](C c) { return change_cell(c.water_fraction); });
    t.row(say("table.offset"), [](C c) { return change_cell(c.globe_offset); });
    std::string out = model.changes.empty() ? "" : t.html_text(say("table.change"));
    for (const Trend& trend : model.trends) {
        out += element("p", say("table.trend", {{"element", trend.element}, {"eye", in_words(trend.eye)}, {"change", change_in_words(trend.volume)}}));
    }
    return out;
}

}  // namespace

std::string measurement_section(const ReportModel& model, const Figures& figures, const SeriesLabels& labels) {
    std::string out = "<section>" + element("h2", say("table.heading"));
    for (const DrawnChart& chart : figures.charts) {
        out += "<figure><div class=\"single\"><img src=\"" + data_uri(chart.png) + "\" alt=\"" + escaped(chart.description) + "\"></div>" +
               element("figcaption", chart.description) + "</figure>\n";
    }
    out += change_table(model);
    for (const Eye eye : both_eyes) {
        std::vector<std::string> ids;
        for (const Timepoint& visit : model.timepoints) {
            for (const ElementEntry& e : visit.eye(eye).elements) {
                if (std::find(ids.begin(), ids.end(), e.id) == ids.end()) ids.push_back(e.id);
            }
        }
        for (const std::string& id : ids) out += element_table(model, eye, id, labels);
        if (const Timepoint* visit = current_visit(model, eye)) {
            for (const ElementEntry& e : visit->eye(eye).elements) out += section_table(e, eye, visit->study_date.iso());
        }
        if (!model.timepoints.empty()) out += eye_table(model, eye) + muscle_table(model, eye);
    }
    return out + "</section>\n";
}

}  // namespace perisclera::report
