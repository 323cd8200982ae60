// SPDX-License-Identifier: Apache-2.0
#pragma once
// The commands, each returning the exit status.
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "console.h"
#include "perisclera/core/eye.h"

namespace perisclera::app {

struct Options {
    std::vector<std::filesystem::path> inputs;
    std::filesystem::path out;
    bool force = false, quiet = false, json = false;
    std::string eye = "both", paper = "a4";
    std::optional<int> patient;
    bool same_patient = false;
    int threads = 0;          ///< 0: one for each processor
    long long seed = 0;
    bool with_identity = false;  ///< fhir.json names the patient, and the register, if there is one
    std::vector<std::string> surgery_dates{}, recorded_materials{}, recorded_sections{};  ///< identify, track: as typed
    std::optional<std::string> material_shares{};  ///< identify, track: as typed
    std::filesystem::path findings{};  ///< identify, track: file of the examiner's findings; empty: none
    std::filesystem::path register_file{};       ///< identify, track: the clinic's register; empty: none
    std::filesystem::path csv{};                 ///< track without images: file for the clinic list; empty: standard output
    std::string sort = "patient", patient_key{}; ///< likewise: order of the list; whom a clinician's entries are for
    std::optional<std::string> reviewed_by{}, reviewed_on{}, next_contact{};  ///< as typed
    std::filesystem::path result, history, key;  ///< teach: the finished result; text and key file, or empty
    bool drop_overlays = false;  ///< teach: images with overlays or curves are taken without them, not refused
    std::vector<std::filesystem::path> set;      ///< teach: finished teaching files to make one set of
    std::vector<std::string> levels;             ///< of its cases, as "2=advanced"
    bool with_dicom = false;                     ///< the set's students get the images as DICOM
    bool small = false;                          ///< the set's pictures have fewer greys
    bool sweep = false;       ///< phantom: the input is a family of scenarios
    int shard = 1, shards = 1;
};

int survey_command(const Options& options, const Console& console);
/// `track`: asked for change; ends with 4 when fewer than two dates can be compared.
int identify_command(const Options& options, bool track, const Console& console);
/// `track` without images: lists the register, or enters what a clinician says.
int register_command(const Options& options, const Console& console);
/// A de-identified teaching file from a finished result and its images.
int teach_command(const Options& options, const Console& console);
/// One set of finished teaching files: a folder for students and one for the teacher.
int teach_set_command(const Options& options, const Console& console);
int phantom_command(const Options& options, const Console& console);
/// Every member of a family in a folder of its own, with its scenario; members that are there are passed over, so that a run that was
/// stopped goes on where it was.
int phantom_sweep_command(const Options& options, const Console& console);
/// The caps on what input may demand, one a line.
std::string limits_text();

}  // namespace perisclera::app
