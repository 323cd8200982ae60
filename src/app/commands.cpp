// SPDX-License-Identifier: Apache-2.0
#include "commands.h"

#include <sys/mman.h>

#include <algorithm>
#include <cstdio>
#include <fstream>
#include <sstream>
#include <thread>

#include "clock.h"
#include "command_steps.h"
#include "interruption.h"
#include "operation_options.h"
#include "perisclera/assemble/load_patient.h"
#include "perisclera/assemble/survey.h"
#include "perisclera/core/limits.h"
#include "perisclera/dicom/output_folder.h"
#include "perisclera/ingest/file_set.h"
#include "perisclera/masks/render_masks.h"
#include "perisclera/pipeline/identify.h"
#include "perisclera/report/fhir.h"
#include "perisclera/report/json.h"
#include "perisclera/report/material_shares.h"
#include "perisclera/report/render_dicom.h"
#include "perisclera/report/render_report.h"
#include "perisclera/report/still_scenes.h"
#include "perisclera/report/survey_json.h"
#include "perisclera/report/wording.h"
#include "phantoms/scenario.h"
#include "phantoms/scenario_family.h"
#include "phantoms/synthesise.h"
#include "register_steps.h"
#include "scene_drawing.h"

namespace perisclera::app {

int thread_count(const Options& options) {
    return options.threads > 0 ? options.threads : std::max(1, static_cast<int>(std::thread::hardware_concurrency()));
}

/// The libraries that read DICOM and draw a report end the process where they get no memory, so it is looked for beforehand: more than
/// they were seen to take (50 MiB), and the address space that each further thread claims, for its stack (8 MiB) and its own
/// allocations (64 MiB).
std::optional<Error> too_little_memory(int threads) {
    constexpr std::size_t taken = 128u << 20, claimed = 72u << 20;
    const std::size_t bytes = taken + claimed * static_cast<std::size_t>(threads - 1);
    void* const place = ::mmap(nullptr, bytes, PROT_NONE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
    const bool enough = place != MAP_FAILED && ::mprotect(place, taken, PROT_READ | PROT_WRITE) == 0;
    if (place != MAP_FAILED) ::munmap(place, bytes);
    if (enough) return std::nullopt;
    return Error{ErrorCode::limit_reached, "less than " + std::to_string(bytes >> 20) + " MiB of memory are left", "the run", "give it more memory or fewer threads, or fewer or smaller series"};
}

bool lies_inside(const std::filesystem::path& out, const std::vector<std::filesystem::path>& inputs) {
    std::error_code error;
    const std::filesystem::path target = std::filesystem::weakly_canonical(out, error);
    for (const std::filesystem::path& input : inputs) {
        const auto searched = searched_folder(input);
        if (!searched) continue;
        const std::filesystem::path folder = std::filesystem::weakly_canonical(*searched, error);
        const auto [end, _] = std::mismatch(folder.begin(), folder.end(), target.begin(), target.end());
        if (end == folder.end()) return true;
    }
    return false;
}

Result<OutputFolder> open_output(const Options& options) {
    if (lies_inside(options.out, options.inputs))
        return Error{ErrorCode::output_inside_input, "the output folder lies inside an input folder", "--out", "choose a folder elsewhere"};
    const auto held = hold_interruption();
    Result<OutputFolder> out = OutputFolder::open(options.out, options.force);
    if (out) remove_when_interrupted(out.value().path(), out.value().first_made(), held);
    return out;
}

std::optional<Error> commit(OutputFolder& out) {
    const auto held = hold_interruption();
    if (const Result<Done> done = out.commit(); !done) return done.error();
    ignore_interruption(held);
    return std::nullopt;
}

namespace {

/// The finding in a few lines for a terminal: what the page says first.
std::string summary(const report::ReportModel& model, const std::filesystem::path& out) {
    std::ostringstream text;
    if (model.simulated) text << "SIMULATED DATA\n";
    for (const Eye eye : both_eyes) {
        const report::EyeFinding finding = report::finding(model, eye);
        text << finding.headline << '\n';
        for (const report::ElementFinding& element : finding.elements) {
            text << "  " << element.title << '\n';
            for (const std::string& sentence : element.sentences) text << "    " << sentence << '\n';
        }
    }
    text << "Unverified machine output, not a medical device; licensed clinicians and local rules decide.\n";
    text << "Page: " << (out / "report.html").string() << '\n';
    return text.str();
}

}  // namespace

std::string limits_text() {
    std::ostringstream text;
    for (const limits::NamedLimit& limit : limits::all) text << limit.what << ": " << limit.value << ' ' << limit.unit << '\n';
    return text.str();
}

int survey_command(const Options& options, const Console& console) {
    if (const auto error = too_little_memory(thread_count(options))) return console.fail(*error);
    Result<FileSet> files = scan_inputs(options.inputs, thread_count(options));
    if (!files) return console.fail(files.error());
    const Result<PatientCatalogue> found = catalogue(std::move(files).value());
    if (!found) return console.fail(found.error());
    const Survey told = survey(found.value());
    return console.result(options.json ? report::to_json(told) : survey_table(told));
}

namespace {

/// Nothing where none were given.
Result<std::optional<report::Examination>> examiners_findings(const std::filesystem::path& path) {
    if (path.empty()) return std::optional<report::Examination>{};
    constexpr std::uintmax_t most_bytes = 1u << 20;
    std::error_code unreadable;
    const std::uintmax_t bytes = std::filesystem::is_regular_file(path, unreadable) ? std::filesystem::file_size(path, unreadable) : most_bytes + 1;
    std::ifstream file(path, std::ios::binary);
    std::ostringstream text;
    if (!unreadable && bytes <= most_bytes && bytes > 0) text << file.rdbuf();
    if (unreadable || bytes > most_bytes || !file)
        return Error{ErrorCode::bad_findings, "the file cannot be read or holds more than 1 MiB", "findings file", "name a readable JSON file as docs/findings.schema.json describes it"};
    auto read = report::parse_examination(text.str());
    if (!read) return read.error();
    return std::optional<report::Examination>(std::move(read).value());
}

}  // namespace

int identify_command(const Options& options, bool track, const Console& console) {
    if (const auto error = too_little_memory(thread_count(options))) return console.fail(*error);
    Result<std::optional<report::Examination>> findings = examiners_findings(options.findings);
    if (!findings) return console.fail(findings.error());
    const Result<std::array<OperationRecord, 2>> records = operation_records(options.surgery_dates, options.recorded_materials, options.recorded_sections);
    if (!records) return console.fail(records.error());
    const auto shares = options.material_shares ? report::read_material_shares(*options.material_shares) : std::nullopt;
    if (options.material_shares && !shares)
        return console.fail({ErrorCode::usage, "the shares of the materials are not four that sum to 1", "--material-shares",
                             "write solid_silicone=0.4,silicone_sponge=0.3,hydrogel=0.2,other=0.1: each once, none below " + report::fixed(report::least_material_share, 3)});
    if (const auto error = register_refused(options)) return console.fail(*error);
    Result<OutputFolder> out = open_output(options);
    if (!out) return console.fail(out.error());
    LoadOptions load;
    load.patient = options.patient;
    load.same_patient = options.same_patient;
    load.threads = thread_count(options);
    load.progress = [&](int done, int total) { console.progress("reading", done, total); };
    const Result<PatientStudies> patient = read_patient(options.inputs, load);
    if (!patient) return console.fail(patient.error());
    if (const auto error = operation_after(records.value(), patient.value().visits.back().date)) return console.fail(*error);
    if (const auto error = register_cannot_tell(options, patient.value())) return console.fail(*error);

    IdentifyOptions how;
    how.threads = thread_count(options);
    how.record = records.value();
    if (shares) how.prior = shares->values;
    if (options.eye != "both") how.eye = options.eye == "right" ? Eye::right : Eye::left;
    Result<report::ReportModel> found = identify(patient.value(), how, [&](int done, int total) { console.progress("analysing", done, total); });
    if (!found) return console.fail(found.error());
    report::ReportModel model = std::move(found).value();
    // Threads and output place change nothing in the result and are left out, so that the same input gives the same bytes.
    model.options = {{"eye", options.eye}, {"seed", static_cast<std::int64_t>(options.seed)}};
    if (options.same_patient) model.options.push_back({"same_patient", true});
    if (shares) model.options.push_back({std::string(report::material_shares_option), report::write_material_shares(*shares)});
    for (const Eye eye : both_eyes) {
        const OperationRecord& record = records.value()[eye == Eye::right ? 0 : 1];
        if (record.year) model.options.push_back({"surgery_year_" + std::string(name(eye)), static_cast<std::int64_t>(*record.year)});
        if (record.section)
            model.options.push_back({"recorded_section_" + std::string(name(eye)), report::fixed(record.section->width.value(), 2) + "x" + report::fixed(record.section->thickness.value(), 2)});
        if (record.material) model.options.push_back({"recorded_material_" + std::string(name(eye)), std::string(report::name(static_cast<report::Material>(*record.material)))});
    }
    model.examination = std::move(findings).value();

    SceneDrawing drawing(report::still_scenes(model), beside_this_program("perisclera-scene"));
    const bool in_part = std::any_of(model.warnings.begin(), model.warnings.end(), [](const Error& w) { return exit_status(w.code) == 4; });
    const bool compared = std::any_of(model.changes.begin(), model.changes.end(), [](const report::Change& c) { return c.verdict != report::Verdict::not_comparable; });
    const bool untracked = track && !compared;
    if (untracked)
        model.warnings.push_back({ErrorCode::cannot_compare, "no element could be compared between two dates", "changes", "give images of at least two dates that show the same element"});
    report::Identity identity{patient.value().patient_name, patient.value().patient_id};
    for (const Visit& visit : patient.value().visits) identity.studies.insert(identity.studies.end(), visit.studies.begin(), visit.studies.end());
    if (const Result<Done> written = out.value().write("fhir.json", report::to_fhir(model, options.with_identity ? &identity : nullptr)); !written) return console.fail(written.error());
    if (const auto error = too_little_memory(threads_of_drawing)) return console.fail(*error);
    const auto files = report::render_report(model, identity, options.paper == "a4" ? report::Paper::a4 : report::Paper::letter, [&] { return drawing.pictures(); });
    if (!files) return console.fail(files.error());
    const auto filed = report::render_dicom(model, identity, files.value(), moment_of_filing());
    if (!filed) return console.fail(filed.error());
    const std::vector<report::OutputFile> masks = masks::render_masks(model);
    for (const auto* some : {&files.value(), &filed.value(), &masks})
        for (const report::OutputFile& file : *some)
            if (const Result<Done> written = out.value().write(file.path, file.bytes); !written) return console.fail(written.error());
    // Before the folder is moved into place: when this fails, that is left as it was.
    if (const int status = console.result(options.json ? report::to_json(model) : summary(model, options.out)); status != 0) return status;
    if (const auto error = commit(out.value())) return console.fail(*error);

    for (const Error& warning : model.warnings) console.warn(warning);
    return enter_in_register(options, model, patient.value(), in_part || untracked ? 4 : 0, console);
}

namespace {

Result<std::string> scenario_text(const std::filesystem::path& path) {
    std::ifstream file(path, std::ios::binary);
    std::ostringstream text;
    text << file.rdbuf();
    if (!file) return Error{ErrorCode::bad_scenario, "the scenario cannot be read", "scenario file", "name a readable JSON file"};
    return text.str();
}

}  // namespace

int phantom_command(const Options& options, const Console& console) {
    if (const auto error = too_little_memory(thread_count(options))) return console.fail(*error);
    const Result<std::string> text = scenario_text(options.inputs.front());
    if (!text) return console.fail(text.error());
    const Result<phantoms::Scenario> scenario = phantoms::parse_scenario(text.value());
    if (!scenario) return console.fail(scenario.error());
    Result<OutputFolder> out = open_output(options);
    if (!out) return console.fail(out.error());
    const Result<Done> made = phantoms::synthesise(scenario.value(), out.value(), [&](int done, int total) { console.progress("synthesising", done, total); },
                                                   static_cast<unsigned>(thread_count(options)));
    if (!made) return console.fail(made.error());
    if (const auto error = commit(out.value())) return console.fail(*error);
    return 0;
}

int phantom_sweep_command(const Options& options, const Console& console) {
    if (const auto error = too_little_memory(thread_count(options))) return console.fail(*error);
    const Result<std::string> text = scenario_text(options.inputs.front());
    if (!text) return console.fail(text.error());
    const auto family = phantoms::parse_family(text.value());
    if (!family) return console.fail(family.error());
    const std::vector<std::string>& members = family.value();
    int mine = 0, done = 0;
    for (std::size_t k = 0; k < members.size(); ++k) mine += static_cast<int>(k) % options.shards == options.shard - 1;
    for (std::size_t k = 0; k < members.size(); ++k) {
        if (static_cast<int>(k) % options.shards != options.shard - 1) continue;
        char name[24];
        std::snprintf(name, sizeof name, "%06zu", k + 1);
        Options one = options;
        one.out = options.out / name;
        std::error_code unreadable;
        // A member's folder appears whole or not at all.
        if (std::filesystem::exists(one.out / "scenario.json", unreadable)) {
            const Result<std::string> there = scenario_text(one.out / "scenario.json");
            if (!there || there.value() != members[k])
                return console.fail({ErrorCode::output_not_empty, "member " + std::to_string(k + 1) + " is there, made from another scenario", "--out", "choose another folder for this family"});
        } else {
            const Result<phantoms::Scenario> scenario = phantoms::parse_scenario(members[k]);
            if (!scenario) return console.fail(scenario.error());
            Result<OutputFolder> out = open_output(one);
            if (!out) return console.fail(out.error());
            Result<Done> made = phantoms::synthesise(scenario.value(), out.value(), {}, static_cast<unsigned>(thread_count(options)));
            if (made) made = out.value().write("scenario.json", members[k]);
            if (!made) return console.fail(made.error());
            const auto held = hold_interruption();
            if (made = out.value().commit(); !made) return console.fail(made.error());
            remove_when_interrupted({}, {}, held);  // this member stays; the run may still be ended before the next
        }
        console.progress("synthesising members", ++done, mine);
    }
    return 0;
}

}  // namespace perisclera::app
