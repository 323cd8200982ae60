// SPDX-License-Identifier: Apache-2.0
#include "register_steps.h"

#include <unistd.h>

#include "command_steps.h"
#include "drawn_secret.h"
#include "perisclera/core/sha256.h"
#include "perisclera/core/text.h"
#include "perisclera/pipeline/entry_for_register.h"
#include "perisclera/register/patient_register.h"
#include "perisclera/report/json.h"

namespace perisclera::app {

namespace fs = std::filesystem;

std::optional<Error> register_refused(const Options& options) {
    const fs::path& file = options.register_file;
    if (file.empty()) return std::nullopt;
    if (lies_inside(file, options.inputs)) return Error{ErrorCode::output_inside_input, "the register lies inside an input folder", "--register", "choose a place elsewhere"};
    if (lies_inside(file, {options.out})) return Error{ErrorCode::usage, "the register lies inside the output folder", "--register", "choose a place elsewhere"};
    std::error_code problem;
    const bool to_be_made = !fs::exists(file, problem) || (fs::is_regular_file(file, problem) && fs::is_empty(file, problem));
    if (to_be_made) {
        const fs::path folder = fs::absolute(file, problem).parent_path();
        if (fs::is_directory(folder, problem) && ::access(folder.c_str(), W_OK) == 0) return std::nullopt;
        return Error{ErrorCode::output_failed, "the register cannot be made", "--register", "name a file in a folder that you may write to"};
    }
    auto opened = PatientRegister::open(file, PatientRegister::Purpose::enter);
    if (!opened) return opened.error();
    if (const auto tried = opened.value().try_writing(); !tried) return tried.error();
    return std::nullopt;
}

std::optional<Error> register_cannot_tell(const Options& options, const PatientStudies& patient) {
    if (options.register_file.empty() || !patient.patient_id.empty()) return std::nullopt;
    return Error{ErrorCode::bad_value, "the images state no patient ID, by which the register tells patients apart", "--register", "leave the register out"};
}

int enter_in_register(const Options& options, const report::ReportModel& model, const PatientStudies& patient, int status, const Console& console) {
    if (options.register_file.empty()) return status;
    std::optional<Eye> eye;
    if (options.eye != "both") eye = options.eye == "right" ? Eye::right : Eye::left;
    const std::string digest = "sha256:" + hexadecimal(Sha256().add(report::to_json(model)).digest());
    const RegisterEntry entry = entry_for_register(model, patient, digest, eye, options.with_identity);
    auto opened = PatientRegister::open_or_make(options.register_file, drawn_secret());
    const Result<EntryOutcome> outcome = opened ? opened.value().enter(entry) : Result<EntryOutcome>(opened.error());
    if (!outcome) {
        // Whatever it is, the input was usable: it could be opened and written before the work.
        return console.fail({ErrorCode::output_failed, outcome.error().what + "; the report is written", "--register", outcome.error().hint + ", and run again with --force"});
    }
    if (outcome.value() == EntryOutcome::place_differs) {
        console.warn({ErrorCode::incomplete, "an element of the same name lies elsewhere in the register, which was left as it is", "--register", "give the images of all dates together"});
        return 4;
    }
    const std::string key = opened.value().key_of(entry.patient_id, entry.patient_id_issuer);
    const std::string told = (outcome.value() == EntryOutcome::entered ? say("register.entered", {{"patient", key}}) : say("register.known_already", {{"patient", key}})) + "\n";
    // JSON on standard output stays JSON.
    if (options.json) console.tell(told);
    else if (const int failed = console.result(told); failed != 0) return failed;
    return status;
}

}  // namespace perisclera::app
