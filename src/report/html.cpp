// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/html.h"

#include <algorithm>

#include "perisclera/core/text.h"
#include "perisclera/report/wording.h"
#include "src/report/html_sections.h"
#include "src/report/page_assets.h"

namespace perisclera::report {

namespace {

std::string header(const ReportModel& model, const Identity& identity) {
    const auto item = [](const std::string& term, const std::string& text) {
        return "<div><dt>" + escaped(term) + "</dt><dd><bdi>" + escaped(text) + "</bdi></dd></div>";
    };
    // The groups of a DICOM person name are separated by carets (PS3.5 section 6.2).
    std::string patient = identity.name.reveal_for_page_header();
    std::replace(patient.begin(), patient.end(), '^', ' ');
    std::string dates;
    for (const Timepoint& t : model.timepoints) dates += (dates.empty() ? "" : ", ") + t.study_date.iso();
    std::string out = "<header>\n";
    if (model.simulated) out += "<p class=\"simulated\">" + escaped(say("page.simulated")) + "</p>\n";
    out += element("h1", say("page.heading")) + "<dl>" + item(say("page.patient"), patient.empty() ? say("page.name_not_given") : patient) +
           item(say("page.patient_number"), identity.id.empty() ? say("page.not_given") : identity.id.reveal_for_page_header()) +
           item(say("page.dates_of_images"), dates.empty() ? say("page.none") : dates) + "</dl>\n";
    return out + "<p class=\"caution\"><strong>" + escaped(say("page.unverified")) + "</strong> " + escaped(say("page.to_be_checked") + " " + say("page.who_decides")) + "</p>\n</header>\n";
}

std::string cautions_section(const ReportModel& model) {
    std::string out = "<section>" + element("h2", say("page.cautions")) + element("p", statement());
    if (model.simulated) out += "<p>" + escaped(say("page.about_nobody")) + "</p>";
    return out + "</section>\n";
}

std::string footer(const ReportModel& model) {
    std::string chosen;
    for (const Option& o : model.options) {
        struct Show {
            std::string operator()(bool b) const { return say(b ? "page.yes" : "page.no"); }
            std::string operator()(std::int64_t n) const { return std::to_string(n); }
            std::string operator()(const std::string& s) const { return s; }
        };
        chosen += (chosen.empty() ? "" : ", ") + o.name + " " + std::visit(Show{}, o.value);
    }
    const std::string table = model.reference_table.empty() ? say("page.table_not_named") : model.reference_table;
    return "<footer>" + escaped((chosen.empty() ? say("page.made_by", {{"version", model.version}, {"table", table}}) : say("page.made_by_with_options", {{"version", model.version}, {"table", table}, {"options", chosen}})) +
                                " " + say("page.same_for_programs")) +
           "</footer>\n";
}

/// Nothing may be fetched from anywhere. The WebGL library makes its functions from text.
constexpr std::string_view policy = "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src 'unsafe-inline' 'unsafe-eval'\">\n";

/// Those that something on the page needs.
std::string scripts(const std::string& body) {
    const auto script = [](std::string_view text) { return "<script>\n" + std::string(text) + "</script>\n"; };
    const auto holds = [&](std::string_view figure) { return body.find("<figure class=\"" + std::string(figure) + "\"") != std::string::npos; };
    std::string out;
    if (holds("clock")) out += script(page::clock_script());
    if (holds("slices")) out += script(page::slice_script());
    if (holds("scene")) out += script("/* regl 2.1.1\n" + std::string(page::library_licence()) + "*/\n" + std::string(page::library_script()) + "\n") + script(page::scene_script());
    return out;
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

std::string head_cells(std::initializer_list<std::string> texts) {
    std::string out;
    for (const std::string& text : texts) out += "<th>" + escaped(text) + "</th>";
    return out;
}

std::string base64(std::string_view bytes) {
    constexpr std::string_view digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    std::string out;
    for (std::size_t i = 0; i < bytes.size(); i += 3) {
        unsigned bits = 0;
        for (std::size_t k = 0; k < 3; ++k) bits = (bits << 8) | (i + k < bytes.size() ? static_cast<unsigned char>(bytes[i + k]) : 0u);
        for (std::size_t k = 0; k < 4; ++k) out += i + k > bytes.size() ? '=' : digits[(bits >> (18 - 6 * k)) & 63u];
    }
    return out;
}

std::string data_uri(const std::string& png) { return "data:image/png;base64," + base64(png); }

std::string data_script(std::string json) {
    // Within a string of JSON this stands for the same character.
    for (std::size_t at = json.find('<'); at != std::string::npos; at = json.find('<', at)) json.replace(at, 1, "\\u003c");
    return "<script type=\"application/json\">" + json + "</script>\n";
}

std::string to_html(const ReportModel& model, const Identity& identity, const Figures& figures, Paper paper) {
    const SeriesLabels labels = label_series(model);
    std::string out = "<!DOCTYPE html>\n<html lang=\"" + escaped(say("page.language")) + "\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n" +
                      std::string(policy) + element("title", say("page.title")) + "<style>" + std::string(page::style()) + "@page { size: " + (paper == Paper::a4 ? "A4" : "letter") + "; margin: 14mm; }\n</style>\n</head>\n<body>\n";
    out += header(model, identity) + "<main>\n" + answer_section(model) + examination_section(model, labels) + finding_section(model) + image_section(model, figures, labels) + slice_section(model, figures, labels) + scene_section(model, figures) + evidence_section(model, labels) +
           measurement_section(model, figures, labels) + mechanism_section(model) + next_study_section(model) + limits_section(model) + impression_section(model) + considerations_section(model) +
           cautions_section(model) + series_section(model, labels) + "</main>\n";
    return out + footer(model) + scripts(out) + "</body>\n</html>\n";
}

}  // namespace perisclera::report
