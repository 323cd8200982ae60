// SPDX-License-Identifier: Apache-2.0
// The parts of the page that are sentences and lists: finding, pictures, next study, limits, considerations, series.
#include "src/report/html_sections.h"

#include "perisclera/report/wording.h"

namespace perisclera::report {

namespace {

std::string label_of(const SeriesLabels& labels, const std::string& uid) {
    const auto at = labels.find(uid);
    return at == labels.end() ? "series not listed" : at->second;
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
        return t.study_date.iso() + ", " + std::string(name(image.eye)) + " eye, " + image.plane + ", " + label_of(labels, image.series_uid) +
               (series ? " (" + in_words(series->role, series->modality) + ")" : "");
    }
    return std::string(name(image.eye)) + " eye, " + image.plane;
}

}  // namespace

std::string finding_section(const ReportModel& model) {
    std::string out = "<section><h2>Finding</h2>\n<div class=\"eyes\">\n";
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
           "<p class=\"note\">Right and left are the patient's. Clock hours as an examiner facing the patient reads them: 12 is superior, 3 is towards the patient's "
           "left, so nasal in the right eye and temporal in the left; a span runs clockwise for that examiner.</p></section>\n";
}

std::string image_section(const ReportModel& model, const Figures& figures, const SeriesLabels& labels) {
    std::string out = "<section><h2>Images</h2>\n";
    if (figures.images.empty()) return out + "<p>No picture was made.</p></section>\n";
    out += "<div class=\"images\">\n";
    for (const DrawnImage& drawn : figures.images) {
        const std::string text = caption(model, *drawn.image, labels);
        const auto picture = [&](const std::string& png, std::string_view how) {
            return "<img src=\"" + data_uri(png) + "\" alt=\"" + escaped(text + ", " + std::string(how)) + "\">";
        };
        out += drawn.outlined_png.empty() ? "<figure><div class=\"single\">" + picture(drawn.plain_png, "nothing outlined")
                                          : "<figure class=\"wide\"><div class=\"pair\">" + picture(drawn.plain_png, "without outlines") +
                                                picture(drawn.outlined_png, "with the outlines of the elements");
        out += "</div><figcaption>" + escaped(text + ". " + drawn.image->note) +
               (drawn.outlined_png.empty() ? "" : " First without, then with the program's outlines, dashed.") + "</figcaption></figure>\n";
    }
    return out + "</div>\n" + profile_figures(figures) + "</section>\n";
}

std::string next_study_section(const ReportModel& model) {
    std::vector<std::string> items;
    for (const Eye eye : both_eyes) {
        const Timepoint* visit = current_visit(model, eye);
        if (!visit) continue;
        for (const ElementEntry& e : visit->eye(eye).elements) items.push_back(e.id + (e.material.label ? ", material determined: " : ", material undetermined: ") + next_study_in_words(e.material));
    }
    for (const Trend& t : model.trends) {
        if (!t.next_informative_days) continue;
        items.push_back(t.element + ": at the measured rate, a change could be told from no change about " + std::to_string(*t.next_informative_days) +
                        " days after the last images.");
    }
    if (items.empty()) return "";
    return "<section><h2>What would settle it</h2>\n" + list(items) + "</section>\n";
}

std::string considerations_section(const ReportModel& model) {
    if (model.considerations.empty()) return "";
    std::string out = "<section><h2>For the reader to weigh</h2>\n<p class=\"note\">Published figures and common practice about such findings; not advice on this "
                      "patient.</p>\n<ul>\n";
    for (const Consideration& c : model.considerations) {
        const std::string origin = c.basis == Basis::published ? "Published: " + c.source : c.source;
        out += "<li>" + escaped(c.text) + " <span class=\"note\">[" + escaped(origin) + "]</span></li>\n";
    }
    return out + "</ul></section>\n";
}

std::string series_section(const ReportModel& model, const SeriesLabels& labels) {
    std::string out = "<section><h2>Series</h2>\n<div class=\"scroll\"><table><thead><tr><th>Series</th><th>Date</th><th>Role</th><th>Reason for the role</th><th>Used</th>"
                      "<th>Voxel, mm</th><th>kV</th><th>Problems</th></tr></thead><tbody>\n";
    for (const Timepoint& t : model.timepoints) {
        for (const SeriesEntry& s : t.series) {
            std::string spacing = "not given", problems;
            if (s.spacing) {
                spacing = fixed((*s.spacing)[0].value(), 2) + " × " + fixed((*s.spacing)[1].value(), 2) + " × " + fixed((*s.spacing)[2].value(), 2);
            }
            for (const std::string& p : s.problems) problems += (problems.empty() ? "" : "; ") + p;
            out += "<tr><th scope=\"row\">" + label_of(labels, s.series_uid) + "<br><span class=\"uid\">" + escaped(s.series_uid) + "</span></th>" + element("td", t.study_date.iso()) +
                   element("td", in_words(s.role, s.modality)) + element("td", s.why) + element("td", s.used ? "yes" : "no") + element("td", spacing) +
                   element("td", s.kvp ? fixed(*s.kvp, 0) : "") + element("td", problems.empty() ? "none" : problems) + "</tr>\n";
        }
    }
    return out + "</tbody></table></div></section>\n";
}

}  // namespace perisclera::report
