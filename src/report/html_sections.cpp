// SPDX-License-Identifier: Apache-2.0
// The parts of the page that are sentences and lists: finding, pictures, next study, limits, considerations, series.
#include "src/report/html_sections.h"

#include "perisclera/core/text.h"
#include "perisclera/report/eye_words.h"
#include "perisclera/report/wording.h"

namespace perisclera::report {

namespace {

std::string label_of(const SeriesLabels& labels, const std::string& uid) {
    const auto at = labels.find(uid);
    return at == labels.end() ? say("page.series_not_listed") : at->second;
}

const SeriesEntry* find_series(const Timepoint& visit, const std::string& uid) {
    for (const SeriesEntry& s : visit.series) {
        if (s.series_uid == uid) return &s;
    }
    return nullptr;
}

std::string list(const std::vector<std::string>& items) {
    std::string out = "<ul>\n";
    for (const std::string& item : items) out += element("li", item);
    return out + "</ul>\n";
}

std::string caption(const ReportModel& model, const KeyImage& image, const SeriesLabels& labels) {
    for (const Timepoint& t : model.timepoints) {
        if (t.id != image.timepoint_id) continue;
        const SeriesEntry* series = find_series(t, image.series_uid);
        return t.study_date.iso() + ", " + in_words(image.eye) + ", " + image.plane + ", " + label_of(labels, image.series_uid) +
               (series ? " (" + in_words(series->role, series->modality) + ")" : "");
    }
    return in_words(image.eye) + ", " + image.plane;
}

}  // namespace

std::string finding_section(const ReportModel& model) {
    std::string out = "<section>" + element("h2", say("page.finding")) + "<div class=\"eyes\">\n";
    for (const Eye eye : both_eyes) {
        const EyeFinding f = finding(model, eye);
        out += "<div class=\"eye\">" + element("h3", f.headline);
        for (const std::string& s : f.sentences) out += element("p", s);
        for (const ElementFinding& e : f.elements) {
            out += element("h4", e.title);
            out += list(e.sentences);
        }
        for (const std::string& s : f.globe) out += element("p", s);
        out += "</div>\n";
    }
    return out + "</div>\n" + clock_maps(model) +
           "<p class=\"note\">" + escaped(say("page.sides_and_hours")) + "</p></section>\n";
}

std::string image_section(const ReportModel& model, const Figures& figures, const SeriesLabels& labels) {
    std::string out = "<section>" + element("h2", say("page.images"));
    if (figures.images.empty()) return out + "<p>" + escaped(say("page.no_picture")) + "</p></section>\n";
    out += "<div class=\"images\">\n";
    for (const DrawnImage& drawn : figures.images) {
        const std::string text = caption(model, *drawn.image, labels);
        const auto picture = [&](const std::string& png, const std::string& how) {
            return "<img src=\"" + data_uri(png) + "\" alt=\"" + escaped(text + ", " + how) + "\">";
        };
        out += drawn.outlined_png.empty() ? "<figure><div class=\"single\">" + picture(drawn.plain_png, say("page.nothing_outlined"))
                                          : "<figure class=\"wide\"><div class=\"pair\">" + picture(drawn.plain_png, say("page.without_outlines")) +
                                                picture(drawn.outlined_png, say("page.with_outlines"));
        out += "</div><figcaption>" + escaped(text + ". " + drawn.image->note) +
               (drawn.outlined_png.empty() ? "" : " " + say("page.first_without")) + "</figcaption></figure>\n";
    }
    return out + "</div>\n" + profile_figures(figures) + "</section>\n";
}

std::string next_study_section(const ReportModel& model) {
    std::string steps;
    for (const Eye eye : both_eyes) {
        const Timepoint* visit = current_visit(model, eye);
        if (!visit) continue;
        for (const ElementEntry& e : visit->eye(eye).elements) {
            steps += element("h3", say(e.material.label ? "page.next_if_determined" : "page.next_if_undetermined", {{"element", e.id}})) + "<ol>\n";
            for (const std::string& step : settling_steps(visit->eye(eye), e.material)) steps += element("li", step);
            steps += "</ol>\n";
        }
    }
    std::vector<std::string> items;
    for (const Trend& t : model.trends) {
        if (!t.next_informative_days) continue;
        items.push_back(say("page.next_informative", {{"element", t.element}, {"days", std::to_string(*t.next_informative_days)}}));
    }
    if (steps.empty() && items.empty()) return "";
    return "<section>" + element("h2", say("page.what_would_settle")) + steps + (items.empty() ? "" : list(items)) + "</section>\n";
}

std::string considerations_section(const ReportModel& model) {
    if (model.considerations.empty()) return "";
    std::string out = "<section>" + element("h2", say("page.to_weigh")) + "<p class=\"note\">" + escaped(say("page.not_advice")) + "</p>\n<ul>\n";
    for (const Consideration& c : model.considerations) {
        const std::string origin = c.basis == Basis::published ? say("page.published", {{"source", c.source}}) : c.source;
        out += "<li>" + escaped(c.text) + " <span class=\"note\">[" + escaped(origin) + "]</span></li>\n";
    }
    return out + "</ul></section>\n";
}

std::string series_section(const ReportModel& model, const SeriesLabels& labels) {
    std::string out = "<section>" + element("h2", say("series.heading")) + "<div class=\"scroll\"><table><thead><tr>" +
                      head_cells({say("table.series"), say("series.date"), say("series.role"), say("series.why"), say("series.used"), say("series.voxel"), say("series.voltage"), say("series.problems")}) +
                      "</tr></thead><tbody>\n";
    for (const Timepoint& t : model.timepoints) {
        for (const SeriesEntry& s : t.series) {
            std::string spacing = say("page.not_given"), problems;
            if (s.spacing) {
                spacing = fixed((*s.spacing)[0].value(), 2) + " × " + fixed((*s.spacing)[1].value(), 2) + " × " + fixed((*s.spacing)[2].value(), 2);
            }
            for (const std::string& p : s.problems) problems += (problems.empty() ? "" : "; ") + p;
            out += "<tr><th scope=\"row\">" + label_of(labels, s.series_uid) + "<br><span class=\"uid\">" + escaped(s.series_uid) + "</span></th>" + element("td", t.study_date.iso()) +
                   element("td", in_words(s.role, s.modality)) + element("td", s.why) + element("td", say(s.used ? "page.yes" : "page.no")) + element("td", spacing) +
                   element("td", s.kvp ? fixed(*s.kvp, 0) : "") + element("td", problems.empty() ? say("page.none") : problems) + "</tr>\n";
        }
    }
    return out + "</tbody></table></div></section>\n";
}

}  // namespace perisclera::report
