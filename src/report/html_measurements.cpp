// SPDX-License-Identifier: Apache-2.0
// The measurement tables: one per element with the visits as columns, one per eye, sections, changes.
// Rows about which this version says nothing are gathered into one sentence below their table.
#include <algorithm>
#include <functional>
#include <set>

#include "perisclera/report/figures.h"
#include "perisclera/report/wording.h"
#include "src/report/html_sections.h"

namespace perisclera::report {

namespace {

struct Cell {
    std::string text;
    bool not_assessed = false;
};

template <class Q>
Cell cell(const Measurement<Q>& m) {
    return {in_words(m), is_not_assessed(m)};
}
template <class Q>
Cell change_cell(const Measurement<Q>& m) {
    return {change_in_words(m), is_not_assessed(m)};
}
Cell cell(std::string_view word) { return {spaced(word), word == "not_determinable" || word == "not_assessable" || word == "undetermined"}; }

/// The interval goes to a line of its own under the value.
std::string html(const Cell& c) {
    constexpr std::string_view opening = " (95 % interval ";
    const std::size_t at = c.text.find(opening);
    if (at != std::string::npos && c.text.ends_with(')')) {
        const std::string interval = c.text.substr(at + opening.size(), c.text.size() - at - opening.size() - 1);
        return "<td>" + escaped(c.text.substr(0, at)) + "<span class=\"ci\">" + escaped(interval) + "</span></td>";
    }
    return (c.text.starts_with("not measured") ? "<td class=\"why\">" : "<td>") + escaped(c.text) + "</td>";
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
        if (!silent.empty()) out += "<p class=\"note\">Not assessed or not determinable: " + escaped(silent) + ".</p>\n";
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

std::string hour_text(const std::optional<ClockPosition>& p, Eye eye) { return p ? hour_in_words(*p, eye) : "clock hour not known"; }

std::string element_table(const ReportModel& model, Eye eye, const std::string& id, const SeriesLabels& labels) {
    using E = const ElementEntry&;
    Table<ElementEntry> t;
    for (const Timepoint& visit : model.timepoints) {
        if (const ElementEntry* e = find_element(visit, eye, id)) t.column(visit.study_date.iso(), *e);
    }
    t.row("Volume", [](E e) { return cell(e.volume); });
    t.row("Largest section at", [eye](E e) { return Cell{hour_text(e.largest_section.clock_hour, eye), !e.largest_section.clock_hour}; });
    t.row("Largest section: width along the sclera", [](E e) { return cell(e.largest_section.width); });
    t.row("Largest section: thickness (outward)", [](E e) { return cell(e.largest_section.thickness); });
    t.row("Largest section: area", [](E e) { return cell(e.largest_section.area); });
    t.row("Largest section: contrast × thickness on CT", [](E e) { return cell(e.largest_section.contrast_thickness); });
    t.row("Clockwise start", [eye](E e) { return Cell{position_in_words(e.from, eye), is_not_assessed(e.from)}; });
    t.row("Clockwise end", [eye](E e) { return Cell{position_in_words(e.to, eye), is_not_assessed(e.to)}; });
    t.row("Extent", [](E e) { return cell(e.span); });
    t.row("Limbus to front edge, arc", [](E e) { return cell(e.limbus_anterior); });
    t.row("Limbus to rear edge, arc", [](E e) { return cell(e.limbus_posterior); });
    t.row("Limbus to front edge, caliper", [](E e) { return cell(e.caliper_anterior); });
    t.row("Limbus to rear edge, caliper", [](E e) { return cell(e.caliper_posterior); });
    t.row("Length along the centreline", [](E e) { return cell(e.length); });
    t.row("Indentation (buckle height, inward)", [](E e) { return cell(e.indentation); });
    t.row("Distance to the eye's surface", [](E e) { return cell(e.surface_distance); });
    t.row("Distance to the optic nerve", [](E e) { return cell(e.optic_nerve_distance); });
    t.row("Water content", [](E e) { return cell(e.material.water_fraction); });
    t.row("Relation to the wall of the eye", [](E e) { return cell(name(e.wall_relation)); });
    t.row("Junction of the ends", [eye](E e) {
        const auto& j = e.junction;
        return Cell{spaced(name(j.kind)) + (j.clock_hour ? " at " + hour_text(j.clock_hour, eye) : ""), j.kind == JunctionKind::unknown};
    });
    t.row("Separate pieces", [](E e) { return Cell{e.fragments ? std::to_string(*e.fragments) : "not assessed", !e.fragments}; });
    t.row("Capsule", [](E e) { return cell(name(e.capsule)); });
    t.row("Calcified rim", [](E e) { return cell(name(e.rim_calcification)); });
    t.row("Measured on", [&labels](E e) {
        std::string all;
        for (const std::string& uid : e.measured_on) {
            const auto at = labels.find(uid);
            all += (all.empty() ? "" : ", ") + (at == labels.end() ? uid : at->second);
        }
        return Cell{all.empty() ? "not given" : all, all.empty()};
    });
    return t.html_text(id + ", " + std::string(name(eye)) + " eye: value and 95 % interval by date of the images");
}

std::string section_table(const ElementEntry& e, Eye eye, const std::string& date) {
    if (e.sections.empty()) return "";
    Table<Section> t;
    for (const Section& s : e.sections) t.column(hour_text(s.clock_hour, eye), s);
    t.row("Width along the sclera", [](const Section& s) { return cell(s.width); });
    t.row("Thickness (outward)", [](const Section& s) { return cell(s.thickness); });
    t.row("Area", [](const Section& s) { return cell(s.area); });
    return t.html_text(e.id + ", " + std::string(name(eye)) + " eye, " + date + ": sections");
}

std::string metal_text(const MetalEntry& metal, Eye eye) {
    std::string out = metal.status == MetalStatus::not_seen_on_ct ? "not seen on CT" : spaced(name(metal.status));
    for (const ClockPosition p : metal.clock_hours) out += ", at " + hour_text(p, eye);
    return out;
}

std::string eye_table(const ReportModel& model, Eye eye) {
    using E = const EyeEntry&;
    const std::string inflammation = "Signs of inflammation", offset = "Offset of the globe", protrusion = "Protrusion against bone", turn = "Turn of the eye";
    Table<EyeEntry> t;
    for (const Timepoint& visit : model.timepoints) t.column(visit.study_date.iso(), visit.eye(eye));
    t.row("Globe", [](E e) { return cell(name(e.globe.status)); });
    t.row("Axial length, cornea to outer sclera (published 22.0 to 24.8 mm)", [](E e) { return cell(e.globe.axial_length); });
    t.row("Equatorial diameter, outer", [](E e) { return cell(e.globe.equatorial_diameter); });
    t.row("Contents", [](E e) { return Cell{contents_in_words(e.globe), e.globe.contents == GlobeContents::undetermined}; });
    t.row("Level of two fluids, above the lowest point", [](E e) { return e.globe.level ? cell(e.globe.level->height) : Cell{"no level seen"}; });
    t.row("Lens", [](E e) { return cell(name(e.globe.lens)); });
    t.row("Metal", [eye](E e) { return Cell{metal_text(e.metal, eye), e.metal.status == MetalStatus::not_assessable}; });
    t.row("Fat stranding", [](E e) { return cell(name(e.inflammation_signs.fat_stranding)); }, inflammation);
    t.row("Gas outside the element", [](E e) { return cell(name(e.inflammation_signs.gas_outside_element)); }, inflammation);
    t.row("Collection", [](E e) { return cell(name(e.inflammation_signs.collection)); }, inflammation);
    t.row("Enhancing rim", [](E e) { return cell(name(e.inflammation_signs.rim_enhancement)); }, inflammation);
    t.row("Centre against the mirrored fellow eye, upwards", [](E e) { return change_cell(e.mass_effect.superior); }, offset);
    t.row("Centre against the mirrored fellow eye, forwards (usual: within 2 mm)", [](E e) { return change_cell(e.mass_effect.anterior); }, offset);
    t.row("Centre against the mirrored fellow eye, to the patient's left", [](E e) { return change_cell(e.mass_effect.left); }, offset);
    t.row("Rear margin against the mirrored fellow eye, forwards", [](E e) { return change_cell(e.mass_effect.rear_margin); }, offset);
    t.row("Forwards or backwards, by centre and rear margin", [](E e) { return cell(name(e.mass_effect.forward_place)); }, offset);
    t.row("Cornea in front of the interzygomatic line (published means 15.6 and 12.5 mm)", [](E e) { return cell(e.mass_effect.cornea_in_front); }, protrusion);
    t.row("Centre in front of the interzygomatic line", [](E e) { return cell(e.mass_effect.centre_in_front); }, protrusion);
    t.row("Rear margin behind the interzygomatic line (published 5.9 to 12.8 mm)", [](E e) { return cell(e.mass_effect.rear_margin_behind); }, protrusion);
    t.row("Length of the interzygomatic line (published means 97 to 104 mm)", [](E e) { return cell(e.mass_effect.line_length); }, protrusion);
    t.row("Axis turned to the patient's left", [](E e) { return change_cell(e.mass_effect.turned_left); }, turn);
    t.row("Axis turned upwards", [](E e) { return change_cell(e.mass_effect.turned_up); }, turn);
    t.row("Convergence of both axes", [](E e) { return change_cell(e.mass_effect.converging); }, turn);
    t.row("Axis higher than the fellow eye's", [](E e) { return change_cell(e.mass_effect.higher_than_fellow); }, turn);
    return t.html_text(std::string(eye == Eye::right ? "Right" : "Left") + " eye: value and 95 % interval by date of the images");
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
    for (const Change& c : model.changes) t.column(c.element + ", " + date(c.from) + " to " + date(c.to), c);
    t.row("Verdict", [](C c) { return Cell{spaced(name(c.verdict))}; });
    t.row("Days between", [](C c) { return Cell{std::to_string(c.days)}; });
    t.row("Measured alike on both dates", [](C c) { return Cell{c.same_method ? "yes" : "no"}; });
    t.row("Volume", [](C c) { return change_cell(c.volume); });
    t.row("Smallest change of volume that can be shown", [](C c) {
        return Cell{c.smallest_detectable ? fixed(c.smallest_detectable->value(), 0) + " %" : "not determined", !c.smallest_detectable};
    });
    t.row("Area of the largest section", [](C c) { return change_cell(c.largest_area); });
    t.row("Thickness (outward) of the largest section", [](C c) { return change_cell(c.largest_thickness); });
    t.row("Front edge, towards the limbus", [](C c) { return change_cell(c.anterior_margin_shift); });
    t.row("Water content, percentage points", [](C c) { return change_cell(c.water_fraction); });
    t.row("Offset of the globe", [](C c) { return change_cell(c.globe_offset); });
    std::string out = model.changes.empty() ? "" : t.html_text("Change between dates: value and 95 % interval");
    for (const Trend& trend : model.trends) {
        out += element("p", trend.element + ", " + std::string(name(trend.eye)) + " eye: change of volume " + change_in_words(trend.volume) + ".");
    }
    return out;
}

}  // namespace

std::string measurement_section(const ReportModel& model, const Figures& figures, const SeriesLabels& labels) {
    std::string out = "<section><h2>Measurements</h2>\n";
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
