// SPDX-License-Identifier: Apache-2.0
#pragma once
// What the sweeps share: each visit's images, synthesised once, and what the shipped program says of them, found once. Kept outside the repository:
//   <root>/<digest of the scenario and the simulator's version>/images/            series, truth.json, scenario.json
//   <root>/<digest of the scenario and the simulator's version>/report-<digest of the program's file>.json
// Images appear whole or not at all. Whoever makes something holds a lock on the visit's folder meanwhile, so sweeps may run side by side, in one
// process or several: the second waits, and takes what the first has made. The lock ends with its processes, however they end.
// A scenario is meant by its content: spaces and the order of keys do not matter.
#include <filesystem>
#include <string>

#include <nlohmann/json.hpp>

#include "perisclera/core/result.h"
#include "phantoms/simulator_version.h"

namespace perisclera::bank {

/// "bank" in the folder that PERISCLERA_CACHE names, by default in ~/.cache/perisclera.
std::filesystem::path usual_root();

class Bank {
public:
    /// `program`: the executable file of perisclera.
    Bank(std::filesystem::path root, std::filesystem::path program, std::string simulator = std::string(phantoms::simulator_version));

    /// The folder of the visit's images. Errors: bad_scenario, output_failed.
    [[nodiscard]] Result<std::filesystem::path> images_of(const std::string& scenario) const;
    /// The visit's truth.json. Errors: as images_of.
    [[nodiscard]] Result<nlohmann::json> truth_of(const std::string& scenario) const;
    /// report.json of `identify` on these images. A rebuilt program is another file and is asked anew, and its answer replaces those of its forerunners;
    /// libraries of the system that it loads do not count. Errors: as images_of; cannot_read, where there is no program; internal_fault, where it
    /// ends with a status other than 0 and 4, with the error that it printed, or changes while it runs.
    [[nodiscard]] Result<nlohmann::json> report_of(const std::string& scenario) const;

private:
    [[nodiscard]] Result<std::filesystem::path> folder_of(const std::string& scenario) const;
    std::filesystem::path root_, program_;
    std::string simulator_;
};

}  // namespace perisclera::bank
