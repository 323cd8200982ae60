// SPDX-License-Identifier: Apache-2.0
// Arguments in, exit status out.
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <new>
#include <string>
#include <system_error>

#include <CLI/CLI.hpp>
#include <fcntl.h>
#include <malloc.h>
#include <unistd.h>

#include "commands.h"
#include "interruption.h"
#include "perisclera/core/version.h"

namespace {

using namespace perisclera;

/// Slices come and go by the hundred; returning each to the system costs more than reading it.
void keep_freed_memory() {
    mallopt(M_MMAP_THRESHOLD, 1 << 30);
    mallopt(M_TRIM_THRESHOLD, 0x7fffffff);
    mallopt(M_TOP_PAD, 64 << 20);
}

/// A descriptor that was closed before the start would become that of the next file opened, and messages would go into it. What stands
/// in for it here takes nothing, so that writing to it fails as it should.
void keep_standard_descriptors() {
    for (const int descriptor : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO})
        if (::fcntl(descriptor, F_GETFD) < 0 && ::open("/dev/null", O_RDONLY) != descriptor) std::abort();
}

/// track without images: which options then serve, and which need images.
void add_clinic_list(CLI::App& track, app::Options& options) {
    CLI::Option* const images = track.get_option("INPUT")->required(false);
    track.get_option("--out")->required(false);
    for (const char* of_images : {"--out", "--patient", "--same-patient", "--findings", "--surgery-date", "--recorded-material", "--recorded-section", "--material-shares", "--eye", "--paper", "--seed"}) track.get_option(of_images)->needs(images);
    CLI::Option* const file = track.get_option("--register");
    CLI::Option* const sort = track.add_option("--sort", options.sort, "of the clinic list: patient, last_scan, rate, verdict, volume or next_contact")
                                  ->check(CLI::IsMember({"patient", "last_scan", "rate", "verdict", "volume", "next_contact"}));
    CLI::Option* const csv = track.add_option("--csv", options.csv, "write the clinic list there, as CSV");
    CLI::Option* const key = track.add_option("--patient-key", options.patient_key, "enter something for this patient, instead of listing")->check([](const std::string& text) { return std::string(text.empty() ? "a key" : ""); });
    for (CLI::Option* const option : {sort, csv, key}) option->needs(file)->excludes(images);
    for (CLI::Option* const option : {sort, csv}) option->excludes(key);
    CLI::Option* const by = track.add_option("--reviewed-by", options.reviewed_by, "who looked at the findings: role or initials; none takes it back");
    CLI::Option* const on = track.add_option("--reviewed-on", options.reviewed_on, "when: YYYY-MM-DD; none");
    CLI::Option* const next = track.add_option("--next-contact", options.next_contact, "when the patient is to be seen, as the clinician decided: YYYY-MM-DD; none");
    for (CLI::Option* const option : {by, on, next}) option->needs(key);
}

std::string what_is_wrong(const std::string& kind) {
    if (kind == "RequiredError") return "an argument is missing";
    if (kind == "RequiresError" || kind == "ExcludesError") return "arguments do not go together";
    return "an argument is unknown or has a wrong value";
}

int run(int argc, char** argv) {
    CLI::App program("Imaging-assisted identification of scleral explants. Not a medical device; unverified machine output.", "perisclera");
    program.set_version_flag("--version", std::string(program_version));
    program.require_subcommand(0, 1);
    bool limits = false;
    program.add_flag("--limits", limits, "print every cap on input");
    app::Options options;
    const auto with_inputs = [&](CLI::App* command) {
        command->add_option("INPUT", options.inputs, "DICOM files or folders")->required();
        command->add_option("--patient", options.patient, "the number that survey gave");
        command->add_option("--threads", options.threads, "does not change the result")->check(CLI::Range(1, 256));
        command->add_flag("--quiet", options.quiet, "no progress");
        command->add_flag("--json", options.json, "print JSON on standard output");
        command->add_flag("--limits", limits, "print every cap on input");
    };
    const auto with_output = [&](CLI::App* command) {
        command->add_option("--out", options.out, "folder for the results")->required();
        command->add_flag("--force", options.force, "allow a folder that is not empty");
        command->add_option("--seed", options.seed, "for whatever is drawn at random");
    };
    CLI::App* survey = program.add_subcommand("survey", "what the files hold: patients by number, series, roles, problems");
    with_inputs(survey);
    CLI::App* identify = program.add_subcommand("identify", "which explant sits round an eye: presence, place, size, material");
    CLI::App* track = program.add_subcommand("track", "the same, asked for change between dates; with --register and without images: the clinic list");
    for (CLI::App* command : {identify, track}) {
        with_inputs(command);
        with_output(command);
        command->add_flag("--same-patient", options.same_patient, "images under several patient numbers are of one person");
        command->add_flag("--with-identity", options.with_identity, "fhir.json and the register hold the patient's name and number, and the list shows them");
        command->add_option("--register", options.register_file, "the clinic's register, a file that the findings are entered in; made where there is none");
        command->add_option("--findings", options.findings, "JSON file of what an examiner found (docs/findings.schema.json)");
        command->add_option("--surgery-date", options.surgery_dates, "of the buckling operation: YYYY[-MM[-DD]], with right: or left: before it for one eye");
        command->add_option("--recorded-material", options.recorded_materials, "as the operation note names it: solid_silicone, silicone_sponge, hydrogel or other; right: or left: as above");
        command->add_option("--recorded-section", options.recorded_sections, "cross-section of the element as sewn on, WIDTHxTHICKNESS in mm; right: or left: as above");
        command->add_option("--material-shares", options.material_shares, "of the materials before any image is seen, instead of the program's own: solid_silicone=A,silicone_sponge=B,hydrogel=C,other=D, sum 1");
        command->add_option("--eye", options.eye, "right, left or both")->check(CLI::IsMember({"right", "left", "both"}));
        command->add_option("--paper", options.paper, "that report.pdf is set on: a4 or letter")->check(CLI::IsMember({"a4", "letter"}));
    }
    add_clinic_list(*track, options);
    CLI::App* teach = program.add_subcommand("teach", "a de-identified teaching file, question and answer, from a finished result and its images");
    CLI::Option* const result = teach->add_option("RESULT", options.result, "folder that identify or track wrote");
    with_inputs(teach);
    CLI::Option* const images = teach->get_option("INPUT")->required(false);
    with_output(teach);
    teach->add_option("--eye", options.eye, "keep this eye's orbit only: right, left or both")->check(CLI::IsMember({"right", "left", "both"}));
    teach->add_option("--history", options.history, "text file for the question's page, as it stands; it must not tell who the patient is");
    teach->add_option("--key", options.key, "the re-identification key, for its owner alone to read: written there, or, of an earlier export of the same patient, used again and extended");
    teach->add_flag("--drop-overlays", options.drop_overlays, "images with overlays or curves are taken without these, instead of being refused");
    CLI::Option* const set = teach->add_option("--set", options.set, "instead of RESULT and INPUT: finished teaching files, to make one set of")->excludes(result)->excludes(images)->expected(1, 999);
    teach->add_option("--level", options.levels, "with --set: N=introductory|intermediate|advanced, for the teacher's index")->needs(set);
    teach->add_flag("--with-dicom", options.with_dicom, "with --set: students get the images as DICOM too")->needs(set);
    teach->add_flag("--small", options.small, "with --set: pictures in 64 greys, to save room")->needs(set);
    CLI::App* phantom = program.add_subcommand("phantom", "synthesise DICOM series with exact truth from a scenario");
    phantom->add_option("SCENARIO", options.inputs, "JSON file")->required()->expected(1);
    phantom->add_option("--threads", options.threads, "does not change the result")->check(CLI::Range(1, 256));
    phantom->add_flag("--quiet", options.quiet, "no progress");
    with_output(phantom);
    phantom->add_flag("--sweep", options.sweep, "the scenario is a family: synthesise every member, going on where a run was stopped");
    std::string shard = "1/1";
    phantom->add_option("--shard", shard, "with --sweep: I/N, every Nth member from the Ith on")->check([](const std::string& text) {
        int i = 0, n = 0, end = 0;
        const bool fits = std::sscanf(text.c_str(), "%d/%d%n", &i, &n, &end) == 2 && end == static_cast<int>(text.size()) && 1 <= i && i <= n && n <= 100'000;
        return fits ? std::string() : std::string("I/N with I from 1 to N");
    });

    try {
        program.parse(argc, argv);
        if (track->parsed() && options.register_file.empty() && options.inputs.empty()) throw CLI::RequiredError("INPUT, or --register");
        if (track->parsed() && !options.inputs.empty() && options.out.empty()) throw CLI::RequiredError("--out");
        if (teach->parsed() && options.set.empty() && (options.result.empty() || options.inputs.empty())) throw CLI::RequiredError("RESULT and INPUT, or --set");
    } catch (const CLI::Success& wanted) {
        return program.exit(wanted) == 0 ? 0 : 2;
    } catch (const CLI::ParseError& wrong) {
        // The library repeats what was typed, which may be a path with a name in it; its kind alone is told.
        return app::Console(false).fail({ErrorCode::usage, what_is_wrong(wrong.get_name()),
                                         "command line", "see perisclera --help"});
    }
    const app::Console console(options.quiet);
    if (limits) {
        return console.result(app::limits_text());
    }
    if (survey->parsed()) return app::survey_command(options, console);
    if (identify->parsed()) return app::identify_command(options, false, console);
    if (track->parsed() && options.inputs.empty()) return app::register_command(options, console);
    if (track->parsed()) return app::identify_command(options, true, console);
    if (teach->parsed()) return options.set.empty() ? app::teach_command(options, console) : app::teach_set_command(options, console);
    if (phantom->parsed()) {
        std::sscanf(shard.c_str(), "%d/%d", &options.shard, &options.shards);
        return options.sweep ? app::phantom_sweep_command(options, console) : app::phantom_command(options, console);
    }
    return console.fail({ErrorCode::usage, "no command given", "command line", "see perisclera --help"});
}

}  // namespace

int main(int argc, char** argv) {
    keep_standard_descriptors();
    keep_freed_memory();
    const perisclera::app::Console console(false);
    try {
        perisclera::app::watch_for_interruption();
        return run(argc, argv);
    } catch (const std::bad_alloc&) {
        return console.fail({perisclera::ErrorCode::limit_reached, "memory ran out", "the run", "give fewer or smaller series"});
    } catch (const std::system_error& refused) {  // a thread, as a rule
        const bool scarce = refused.code() == std::errc::resource_unavailable_try_again || refused.code() == std::errc::not_enough_memory;
        if (scarce) return console.fail({perisclera::ErrorCode::limit_reached, "memory or threads ran out", "the run", "give fewer or smaller series"});
        return console.fail({perisclera::ErrorCode::internal_fault, "an unexpected fault", "the run", "please report it with the version"});
    } catch (const std::exception&) {
        return console.fail({perisclera::ErrorCode::internal_fault, "an unexpected fault", "the run", "please report it with the version"});
    }
}
