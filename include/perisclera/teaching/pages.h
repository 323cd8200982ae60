// SPDX-License-Identifier: Apache-2.0
#pragma once
// The two faces of a teaching file as files in memory. The question's side holds the history that the teacher gives, images without outlines and the questions; it is made from what is
// imaged alone, never from what was found, so that it is byte for byte the same whatever the answer. The answer's side adds the whole report and the key.
#include <cstdint>
#include <string>
#include <vector>

#include "perisclera/core/result.h"
#include "perisclera/report/render_report.h"
#include "perisclera/teaching/question.h"

namespace perisclera::teaching {

/// Does the text hold a part of the name (three letters or more), or the number, of the patient?
bool tells_who(const std::string& history, const PatientText& name, const PatientText& id);

/// `model` tells dates and roles of the series, `patient` holds the de-identified images. Errors: as report::render_png().
Result<std::vector<report::OutputFile>> question_files(const report::ReportModel& model, const PatientStudies& patient, const std::string& history, std::uint64_t seed);

/// The report under "answer/", and the key with teaching points and their sources. Errors: as report::render_report().
Result<std::vector<report::OutputFile>> answer_files(const report::ReportModel& model, const std::string& pseudonym, std::uint64_t seed);

}  // namespace perisclera::teaching
