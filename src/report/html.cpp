// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/html.h"

#include <algorithm>

#include "perisclera/report/wording.h"
#include "src/report/html_sections.h"

namespace perisclera::report {

namespace {

constexpr std::string_view style = R"(
:root { --ink: #16202a; --quiet: #46535f; --line: #b9c2ca; --tint: #f2f4f5; }
* { box-sizing: border-box; }
body { margin: 0 auto; max-width: 66rem; padding: 1.2rem 1.6rem 3rem; color: var(--ink); background: #fff;
  font: 15px/1.5 "DejaVu Sans", "Noto Sans", Arial, sans-serif; }
h1 { font-size: 1.45rem; margin: 0 0 .3rem; }
h2 { font-size: 1.15rem; margin: 2rem 0 .6rem; padding-bottom: .2rem; border-bottom: 2px solid var(--ink); }
h3 { font-size: 1rem; margin: 1.1rem 0 .35rem; }
p, ul { margin: .35rem 0; }
ul { padding-left: 1.2rem; }
li { margin: .2rem 0; }
header dl { display: flex; flex-wrap: wrap; gap: .2rem 1.8rem; margin: .3rem 0; }
header dt { color: var(--quiet); font-size: .85rem; }
header dd { margin: 0; font-weight: 600; }
.caution { border: 1px solid var(--ink); padding: .45rem .8rem; margin: .7rem 0; font-size: .9rem; }
.simulated { border: 4px double var(--ink); padding: .4rem .8rem; margin: 0 0 .9rem; font-weight: 700; letter-spacing: .06em; text-align: center; }
.eyes { display: grid; grid-template-columns: 1fr 1fr; gap: 1rem; }
.eye { border: 1px solid var(--line); border-top: 4px solid var(--ink); padding: .2rem .9rem .7rem; }
.eye h3 { font-size: 1.08rem; margin-top: .6rem; }
.eye h4 { margin: .7rem 0 .1rem; font-size: .95rem; }
.map { margin: .9rem auto 0; text-align: center; }
.map svg { max-width: 38rem; width: 100%; height: auto; }
figure { margin: .8rem 0; break-inside: avoid; }
.images { display: grid; grid-template-columns: 1fr 1fr; gap: 0 .6rem; }
.wide { grid-column: 1 / -1; }
.pair { display: grid; grid-template-columns: 1fr 1fr; gap: .6rem; }
.pair > img, .single > img { width: 100%; height: auto; display: block; }
.single { max-width: 33rem; }
figcaption, .note { color: var(--quiet); font-size: .85rem; }
.scroll { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; margin: .4rem 0 .6rem; font-size: .87rem; }
caption { text-align: left; font-weight: 600; padding: .2rem 0; }
th, td { text-align: left; vertical-align: top; padding: .28rem .5rem; border-bottom: 1px solid var(--line); }
thead th { border-bottom: 2px solid var(--ink); background: var(--tint); }
tbody th { font-weight: 400; }
.measures tbody th { width: 20rem; }
.ci { display: block; color: var(--quiet); white-space: nowrap; }
.why { color: var(--quiet); font-style: italic; }
.uid { font-family: "DejaVu Sans Mono", monospace; font-size: .72rem; overflow-wrap: anywhere; }
footer { margin-top: 2rem; border-top: 1px solid var(--line); padding-top: .5rem; color: var(--quiet); font-size: .82rem; }
@media (max-width: 48rem) { .eyes, .pair, .images { grid-template-columns: 1fr; } }
@media print {
  @page { size: A4; margin: 14mm; }
  :root { font-size: 9.5pt; }
  body { max-width: none; padding: 0; font-size: 9pt; }
  table { font-size: 8pt; } th, td { padding: 1mm; }
  .scroll { overflow: visible; } .measures tbody th { width: 55mm; }
  .images { max-width: 150mm; } .single { max-width: 90mm; } .map svg { max-width: 100mm; }
  h2, h3, h4, caption { break-after: avoid; break-inside: avoid; } tr, .eye, li { break-inside: avoid; } thead { display: table-header-group; }
  .eyes, .pair, .images { grid-template-columns: 1fr 1fr; }
}
)";

std::string header(const ReportModel& model, const Identity& identity) {
    const auto item = [](std::string_view term, const std::string& text) {
        return "<div><dt>" + std::string(term) + "</dt><dd><bdi>" + escaped(text) + "</bdi></dd></div>";
    };
    // The groups of a DICOM person name are separated by carets (PS3.5 section 6.2).
    std::string patient = identity.name.reveal_for_page_header();
    std::replace(patient.begin(), patient.end(), '^', ' ');
    std::string dates;
    for (const Timepoint& t : model.timepoints) dates += (dates.empty() ? "" : ", ") + t.study_date.iso();
    std::string out = "<header>\n";
    if (model.simulated) out += "<p class=\"simulated\">SIMULATED DATA: these images were computed, they show no patient</p>\n";
    out += "<h1>Scleral-buckle explants on CT and MR of the orbits</h1>\n<dl>" + item("Patient", patient.empty() ? "name not given" : patient) +
           item("Patient number", identity.id.empty() ? "not given" : identity.id.reveal_for_page_header()) +
           item("Dates of the images", dates.empty() ? "none" : dates) + "</dl>\n";
    return out + "<p class=\"caution\"><strong>Unverified machine output; not a medical device.</strong> To be checked against the images and the operation "
                 "record. Licensed clinicians and local rules decide.</p>\n</header>\n";
}

std::string cautions_section(const ReportModel& model) {
    std::string out = "<section><h2>Cautions</h2>\n" + element("p", statement());
    if (model.simulated) out += "<p>The images were simulated; nothing in this report is about a real person.</p>";
    return out + "</section>\n";
}

std::string footer(const ReportModel& model) {
    std::string chosen;
    for (const Option& o : model.options) {
        struct Show {
            std::string operator()(bool b) const { return b ? "yes" : "no"; }
            std::string operator()(std::int64_t n) const { return std::to_string(n); }
            std::string operator()(const std::string& s) const { return s; }
        };
        chosen += (chosen.empty() ? "; options: " : ", ") + o.name + " " + std::visit(Show{}, o.value);
    }
    return "<footer>" + escaped("perisclera " + model.version + "; material table " + (model.reference_table.empty() ? "not named" : model.reference_table) +
                                "; report format 1" + chosen + ".") +
           " The same content for programs, and what this page leaves out, is in report.json.</footer>\n";
}

}  // namespace

std::string escaped(std::string_view text) {
    std::string out;
    for (const char c : clean_text(text)) {
        switch (c) {
            case '&': out += "&amp;"; break;
            case '<': out += "&lt;"; break;
            case '>': out += "&gt;"; break;
            case '"': out += "&quot;"; break;
            case '\'': out += "&#39;"; break;
            default: out += c;
        }
    }
    return out;
}

std::string element(std::string_view tag, std::string_view text) {
    return "<" + std::string(tag) + ">" + escaped(text) + "</" + std::string(tag) + ">\n";
}

std::string data_uri(const std::string& png) {
    constexpr std::string_view digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    std::string out = "data:image/png;base64,";
    for (std::size_t i = 0; i < png.size(); i += 3) {
        unsigned bits = 0;
        for (std::size_t k = 0; k < 3; ++k) bits = (bits << 8) | (i + k < png.size() ? static_cast<unsigned char>(png[i + k]) : 0u);
        for (std::size_t k = 0; k < 4; ++k) out += i + k > png.size() ? '=' : digits[(bits >> (18 - 6 * k)) & 63u];
    }
    return out;
}

SeriesLabels label_series(const ReportModel& model) {
    SeriesLabels labels;
    for (const Timepoint& t : model.timepoints) {
        for (const SeriesEntry& s : t.series) labels.try_emplace(s.series_uid, "S" + std::to_string(labels.size() + 1));
    }
    return labels;
}

std::string to_html(const ReportModel& model, const Identity& identity, const Figures& figures) {
    const SeriesLabels labels = label_series(model);
    std::string out = "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                      "<title>Scleral-buckle explant report</title>\n<style>" + std::string(style) + "</style>\n</head>\n<body>\n";
    out += header(model, identity) + "<main>\n" + answer_section(model) + examination_section(model, labels) + finding_section(model) + image_section(model, figures, labels) + evidence_section(model, labels) +
           measurement_section(model, figures, labels) + mechanism_section(model) + next_study_section(model) + limits_section(model) + impression_section(model) + considerations_section(model) +
           cautions_section(model) + series_section(model, labels) + "</main>\n";
    return out + footer(model) + "</body>\n</html>\n";
}

}  // namespace perisclera::report
