// SPDX-License-Identifier: Apache-2.0
#include "src/report/pdf.h"

#include <algorithm>

#include "perisclera/core/text.h"
#include "perisclera/report/eye_words.h"
#include "perisclera/report/wording.h"
#include "perisclera/report/canvas.h"
#include "src/report/explanation.h"
#include "src/report/mechanism_wording.h"
#include "src/report/muscle_wording.h"
#include "src/report/report_sentences.h"

namespace perisclera::report {

namespace {

constexpr double margin = 45.0;  // points
constexpr double picture_width = 200.0;
constexpr Font title_font{15.0, true}, heading_font{12.0, true}, strong_font{9.5, true}, body_font{9.5}, small_font{8.0};

/// Paragraphs one below the other; a new page when the next one does not fit.
class Flow {
public:
    Flow(std::string running_head, PaperSize size) : size_(size), canvas_(Canvas::document(size.width, size.height, say("page.title"))), running_head_(std::move(running_head)) { start_page(); }

    void paragraph(const std::string& words, Font font, double indent = 0.0, double gap = 3.0) {
        make_room(canvas_.paragraph_height(words, text_width() - indent, font));
        y_ += canvas_.paragraph(words, margin + indent, y_, text_width() - indent, font) + gap;
    }
    /// `followed_by`: height of what must not be parted from it.
    void heading(const std::string& words, double followed_by = 30.0) {
        constexpr double own_height = 30.0;
        y_ += 7.0;
        make_room(own_height + followed_by);
        paragraph(words, heading_font, 0.0, 2.0);
        canvas_.line(margin, y_, size_.width - margin, y_, 0.8);
        y_ += 5.0;
    }
    void item(const std::string& words) { paragraph("• " + words, body_font, 8.0, 2.0); }
    /// With room for the words beneath.
    static constexpr double picture_height(double width) { return width * 1.2; }
    /// One picture, or two beside each other.
    void pictures(const std::vector<const std::string*>& pngs, double width) {
        make_room(picture_height(width));
        double tallest = 0.0;
        for (std::size_t i = 0; i < pngs.size(); ++i) {
            tallest = std::max(tallest, canvas_.paint_png(*pngs[i], margin + static_cast<double>(i) * (width + 8.0), y_, width));
            canvas_.grey(0.0);
        }
        y_ += tallest + 8.0;
    }
    Result<std::string> finish() { return canvas_.pdf(); }

private:
    void start_page() {
        ++page_;
        canvas_.grey(0.0);
        canvas_.text(running_head_, margin, 26.0, small_font, 0.0);
        canvas_.text(say("pdf.page", {{"number", std::to_string(page_)}}), size_.width - margin, 26.0, small_font, 1.0);
        y_ = 40.0;
    }
    void make_room(double height) {
        if (y_ + height <= size_.height - margin) return;
        canvas_.next_page();
        start_page();
    }

    [[nodiscard]] double text_width() const { return size_.width - 2.0 * margin; }

    PaperSize size_;
    Canvas canvas_;
    std::string running_head_;
    double y_ = 0.0;
    int page_ = 0;
};

void write_eye(Flow& flow, const ReportModel& model, Eye eye) {
    const EyeFinding f = finding(model, eye);
    flow.paragraph(f.headline, strong_font);
    for (const std::string& s : f.sentences) flow.paragraph(s, body_font);
    for (const ElementFinding& e : f.elements) {
        flow.paragraph(e.title, strong_font, 8.0);
        for (const std::string& s : e.sentences) flow.item(s);
    }
    for (const std::string& s : f.globe) flow.paragraph(s, body_font);
}

void write_measurements(Flow& flow, const ReportModel& model) {
    for (const Eye eye : both_eyes) {
        const Timepoint* visit = current_visit(model, eye);
        if (!visit) continue;
        const EyeEntry& entry = visit->eye(eye);
        flow.paragraph(side_in_words(eye) + ", " + visit->study_date.iso(), strong_font);
        flow.item(say("pdf.axial_length", {{"length", in_words(entry.globe.axial_length)}}));
        flow.item(say("pdf.equatorial_diameter", {{"diameter", in_words(entry.globe.equatorial_diameter)}}));
        for (const ElementEntry& e : entry.elements) {
            flow.item(say("pdf.clock_hours", {{"element", e.id}, {"start", position_in_words(e.from, eye)}, {"end", position_in_words(e.to, eye)}}));
            flow.item(say("pdf.largest_area", {{"element", e.id}, {"area", in_words(e.largest_section.area)}}));
            flow.item(say("pdf.indentation", {{"element", e.id}, {"indentation", in_words(e.indentation)}}));
            flow.item(say("pdf.water", {{"element", e.id}, {"water", in_words(e.material.water_fraction)}}));
            if (e.material.water_by_swelling.has_value()) flow.item(say("pdf.water_by_swelling", {{"element", e.id}, {"water", in_words(e.material.water_by_swelling)}}));
        }
        if (entry.globe.status != GlobeStatus::found) continue;
        for (const MuscleEntry& m : entry.muscles) {
            const MuscleWords words = words_of(m);
            flow.item(say("pdf.muscle", {{"muscle", words.muscle}, {"thickness", words.thickness}, {"course", words.course}, {"insertion", words.insertion}, {"elements", words.elements}}));
        }
    }
}

void write_material(Flow& flow, const ReportModel& model) {
    for (const Eye eye : both_eyes) {
        const Timepoint* visit = current_visit(model, eye);
        if (!visit) continue;
        for (const ElementEntry& e : visit->eye(eye).elements) {
            flow.heading(say("pdf.material", {{"element", e.id}, {"eye", in_words(eye)}}));
            flow.paragraph(explanation(model, *visit, eye, e), body_font);
            flow.paragraph(say("page.what_would_settle"), strong_font);
            for (const std::string& step : settling_steps(visit->eye(eye), e.material)) flow.item(step);
        }
    }
}

void write_mechanisms(Flow& flow, const ReportModel& model) {
    const MechanismsToSeparate all = mechanisms(model);
    if (all.elements.empty() && !model.examination) return;
    flow.heading(say("mechanisms.heading"));
    flow.paragraph(std::string(position_foretells_nothing()), body_font);
    flow.paragraph(findings_in_words(model), body_font);
    for (const ElementMechanisms& one : all.elements) {
        flow.paragraph(one.element + ", " + in_words(one.eye), strong_font);
        for (const MechanismEntry& entry : one.entries) {
            const MechanismWords words = words_of(entry.mechanism);
            const std::string findings = entry.fit ? " " + say("pdf.with_findings", {{"fit", fit_in_words(*entry.fit)}, {"why", entry.why}}) : "";
            const std::string source = words.basis == Basis::published ? say("page.published", {{"source", words.source}}) : std::string(words.source);
            flow.item(say("pdf.mechanism", {{"mechanism", words.what}, {"test", words.test}, {"seen", entry.on_this_scan}}) + findings + " [" + source + "]");
        }
    }
    if (!all.unexplained.empty()) flow.paragraph(say("mechanisms.unexplained"), strong_font);
    for (const std::string& words : all.unexplained) flow.item(words);
}

}  // namespace

Result<std::string> to_pdf(const ReportModel& model, const Identity& identity, const Figures& figures, Paper paper) {
    std::string patient = identity.name.reveal_for_page_header();
    std::replace(patient.begin(), patient.end(), '^', ' ');
    if (patient.empty()) patient = say("page.name_not_given");
    const std::string number = identity.id.empty() ? say("pdf.number_not_given") : identity.id.reveal_for_page_header();
    Flow flow((model.simulated ? say("pdf.simulated_data") + "   " : "") + patient + "   " + number + "   perisclera " + model.version, size_of(paper));

    flow.paragraph(say("page.heading"), title_font);
    std::string dates;
    for (const Timepoint& t : model.timepoints) dates += (dates.empty() ? "" : ", ") + t.study_date.iso();
    flow.paragraph(say("pdf.patient", {{"name", patient}, {"number", number}, {"dates", dates.empty() ? say("page.none") : dates}}), body_font);
    if (model.simulated) flow.paragraph(say("page.simulated_sentence"), strong_font);
    flow.paragraph(say("page.unverified") + " " + say("page.to_be_checked"), strong_font);

    flow.heading(say("page.answer"));
    for (const std::string& sentence : answer(model)) flow.paragraph(sentence, body_font);
    flow.heading(say("page.examination"));
    flow.paragraph(say("page.clinical_context") + " " + clinical_context(model), body_font);
    for (const std::string& sentence : technique(model, label_series(model))) flow.paragraph(say("page.technique") + " " + sentence, body_font);
    flow.paragraph(say("page.comparison") + " " + comparison(model), body_font);
    flow.heading(say("page.finding"));
    for (const Eye eye : both_eyes) write_eye(flow, model, eye);
    flow.heading(say("page.images"), figures.images.empty() ? 30.0 : Flow::picture_height(picture_width));
    if (figures.images.empty()) flow.paragraph(say("page.no_picture"), body_font);
    std::vector<const std::string*> row;  // two pictures without outlines share one
    const auto show_row = [&] {
        if (!row.empty()) flow.pictures(row, picture_width);
        row.clear();
    };
    for (const DrawnImage& d : figures.images) {
        if (!d.outlined_png.empty()) show_row();
        row.push_back(&d.plain_png);
        if (!d.outlined_png.empty()) row.push_back(&d.outlined_png);
        if (row.size() == 2) show_row();
    }
    show_row();
    for (const EyeStill& still : figures.stills) row.push_back(&still.png);
    show_row();
    for (const DrawnProfile& p : figures.profiles) {
        if (!p.png.empty()) flow.pictures({&p.png}, 300.0);
        flow.paragraph(p.description, small_font);
    }
    for (const DrawnChart& c : figures.charts) flow.pictures({&c.png}, 300.0);
    write_material(flow, model);
    flow.heading(say("pdf.measurements"));
    write_measurements(flow, model);
    write_mechanisms(flow, model);
    flow.heading(say("page.limits"));
    for (const std::string& words : limits(model)) flow.item(words);
    for (const Error& w : model.warnings) flow.item(say("pdf.warning", {{"code", name(w.code)}, {"what", w.what}}));
    flow.heading(say("page.impression"));
    for (const std::string& sentence : answer(model)) flow.paragraph(sentence, body_font);
    flow.paragraph(impression_note(), body_font);
    flow.heading(say("page.cautions"));
    flow.paragraph(std::string(statement()), body_font);
    flow.paragraph(say("pdf.rest_is_on_the_page"), small_font);
    return flow.finish();
}

}  // namespace perisclera::report
