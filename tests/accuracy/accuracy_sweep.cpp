// SPDX-License-Identifier: Apache-2.0
// The accuracy sweep: draws patients, synthesises each once into a cache outside the repository, identifies, compares with the
// truth and writes docs/accuracy.md. Stopped and started again it goes on where it was.
// Rows go to standard error as they come. A patient that fails is told and left out of the document, which says how many are in it.
//   accuracy_sweep [--patients N] [--seed N] [--shard I/N] [--only K] [--out FILE]
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "accuracy_table.h"
#include "perisclera/assemble/load_patient.h"
#include "perisclera/dicom/output_folder.h"
#include "perisclera/dicom/uid.h"
#include "perisclera/pipeline/identify.h"
#include "phantoms/scenario.h"
#include "phantoms/simulator_version.h"
#include "phantoms/synthesise.h"

namespace {

using namespace perisclera;
using namespace perisclera::accuracy;

std::filesystem::path cache_folder() {
    if (const char* given = std::getenv("PERISCLERA_CACHE")) return std::filesystem::path(given) / "sweep";
    const char* home = std::getenv("HOME");
    return std::filesystem::path(home != nullptr ? home : "/tmp") / ".cache/perisclera/sweep";
}

/// The patient's images, synthesised unless they are there. Empty on failure, which is told.
std::filesystem::path images_of(const DrawnPatient& patient) {
    const std::filesystem::path folder = cache_folder() / uid_from(patient.scenario + std::string(phantoms::simulator_version));
    if (std::filesystem::exists(folder / "truth.json")) return folder;
    const auto scenario = phantoms::parse_scenario(patient.scenario);
    if (!scenario) {
        std::fprintf(stderr, "%s\n%s\n", one_line(scenario.error()).c_str(), patient.scenario.c_str());
        return {};
    }
    std::filesystem::create_directories(folder.parent_path());
    auto out = OutputFolder::open(folder, true);
    if (!out) return {};
    const auto made = phantoms::synthesise(scenario.value(), out.value(), {}, 2);
    if (!made || !out.value().commit()) return {};
    return folder;
}

std::string text_of(const std::filesystem::path& path) {
    std::ifstream file(path, std::ios::binary);
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

}  // namespace

int main(int argc, char** argv) {
    int patients = 72, shard = 0, shards = 1, only = -1, failed = 0;
    unsigned long seed = 1;
    std::string out_file;
    for (int k = 1; k + 1 < argc; k += 2) {
        const std::string option = argv[k];
        if (option == "--patients") patients = std::atoi(argv[k + 1]);
        if (option == "--seed") seed = std::strtoul(argv[k + 1], nullptr, 10);
        if (option == "--shard" && std::sscanf(argv[k + 1], "%d/%d", &shard, &shards) != 2) return 2;
        if (option == "--only") only = std::atoi(argv[k + 1]);
        if (option == "--out") out_file = argv[k + 1];
    }
    std::vector<Outcome> outcomes;
    for (int number = 0; number < patients; ++number) {
        if (number % shards != shard || (only >= 0 && number != only)) continue;
        const DrawnPatient patient = with_room(draw_patient(seed, number));
        const std::filesystem::path folder = images_of(patient);
        if (folder.empty()) {
            std::fprintf(stderr, "patient %d could not be synthesised\n", number);
            ++failed;
            continue;
        }
        LoadOptions load;
        load.threads = 2;
        const auto studies = read_patient({folder}, load);
        if (!studies) {
            std::fprintf(stderr, "patient %d: %s\n", number, one_line(studies.error()).c_str());
            ++failed;
            continue;
        }
        IdentifyOptions how;
        how.threads = 2;
        outcomes.push_back(compare(patient, identify(studies.value(), how, {}).value(), text_of(folder / "truth.json")));
        std::fprintf(stderr, "%s  %s\n", row_of(outcomes.back()).c_str(), folder.filename().c_str());
    }
    const std::string document = accuracy_document(outcomes, about_synthesised(outcomes.size(), seed));
    if (out_file.empty()) {
        std::fputs(document.c_str(), stdout);
    } else {
        std::ofstream(out_file, std::ios::binary) << document;
    }
    return failed == 0 ? 0 : 1;
}
