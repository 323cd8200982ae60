// SPDX-License-Identifier: Apache-2.0
#include "tests/bank/bank.h"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <cstdlib>
#include <fstream>
#include <optional>
#include <sstream>
#include <utility>

#include "perisclera/dicom/output_folder.h"
#include "phantoms/scenario.h"
#include "phantoms/synthesise.h"
#include "tests/bank/digest.h"
#include "tests/support/child_process.h"

namespace perisclera::bank {

namespace fs = std::filesystem;
using nlohmann::json;

namespace {

/// Does not change a result.
constexpr unsigned threads = 2;

/// A visit's folder, made where it is missing and held by one thread of one process, and by the program that it starts: should the sweep be killed, the
/// next waits until that has ended as well.
class HeldFolder {
public:
    static Result<HeldFolder> take(const fs::path& folder) {
        std::error_code ignored;
        fs::create_directories(folder, ignored);
        const int descriptor = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY);
        if (descriptor < 0 || ::flock(descriptor, LOCK_EX) != 0) {
            if (descriptor >= 0) ::close(descriptor);
            return Error{ErrorCode::output_failed, "a visit's folder could not be made or locked", "the bank", "name another place in PERISCLERA_CACHE"};
        }
        return HeldFolder(folder, descriptor);
    }
    HeldFolder(HeldFolder&& other) noexcept : path_(std::move(other.path_)), descriptor_(std::exchange(other.descriptor_, -1)) {}
    HeldFolder& operator=(HeldFolder&&) = delete;
    ~HeldFolder() {
        if (descriptor_ >= 0) ::close(descriptor_);
    }
    [[nodiscard]] const fs::path& path() const { return path_; }

private:
    HeldFolder(fs::path path, int descriptor) : path_(std::move(path)), descriptor_(descriptor) {}
    fs::path path_;
    int descriptor_;
};

std::optional<std::string> bytes_of(const fs::path& file) {
    std::ifstream stream(file, std::ios::binary);
    std::ostringstream bytes;
    bytes << stream.rdbuf();
    return stream ? std::optional(bytes.str()) : std::nullopt;
}

Result<json> json_of(const fs::path& file) {
    json parsed = json::parse(bytes_of(file).value_or(""), nullptr, false);
    if (parsed.is_discarded()) return Error{ErrorCode::cannot_read, file.filename().string() + " is missing or no JSON", "the bank", "remove the visit's folder"};
    return parsed;
}

Result<fs::path> images_in(const HeldFolder& visit, const std::string& scenario_text) {
    fs::path images = visit.path() / "images";
    if (fs::exists(images / "truth.json")) return images;
    const auto scenario = phantoms::parse_scenario(scenario_text);
    if (!scenario) return scenario.error();
    std::error_code ignored;
    fs::remove_all(images, ignored);
    auto out = OutputFolder::open(images, false);
    if (!out) return out.error();
    Result<Done> made = phantoms::synthesise(scenario.value(), out.value(), {}, threads);
    if (made) made = out.value().write("scenario.json", scenario_text);
    if (made) made = out.value().commit();
    if (!made) return made.error();
    return images;
}

Result<std::string> digest_of(const fs::path& program) {
    const auto bytes = bytes_of(program);
    if (!bytes) return Error{ErrorCode::cannot_read, "the program cannot be read", program.string(), "build it"};
    return sha256(*bytes);
}

/// What the program printed of its failure: the contract's one line, or else all.
std::string error_line(const std::string& printed) {
    const auto begin = printed.find("error[");
    return begin == std::string::npos ? printed : printed.substr(begin, printed.find('\n', begin) - begin);
}

/// Runs the program on the images into `out`, which is made anew.
Result<Done> identify(const fs::path& program, const fs::path& images, const fs::path& out) {
    std::error_code ignored;
    fs::remove_all(out, ignored);  // of a run that was killed
    const test::Ended ended = test::run_child({program.string(), "identify", images.string(), "--out", out.string(), "--threads", std::to_string(threads), "--quiet"});
    if (ended.status == 0 || ended.status == 4) return Done{};
    return Error{ErrorCode::internal_fault, "identify ended with status " + std::to_string(ended.status) + ": " + error_line(ended.error_text), images.string(),
                 "run it by hand"};
}

void remove_other_reports(const fs::path& visit, const fs::path& kept) {
    std::error_code ignored;
    std::vector<fs::path> others;
    for (const auto& entry : fs::directory_iterator(visit, ignored))
        if (entry.path() != kept && entry.path().filename().string().starts_with("report-")) others.push_back(entry.path());
    for (const fs::path& other : others) fs::remove(other, ignored);
}

}  // namespace

fs::path usual_root() {
    if (const char* given = std::getenv("PERISCLERA_CACHE")) return fs::path(given) / "bank";
    const char* home = std::getenv("HOME");
    return fs::path(home != nullptr ? home : "/tmp") / ".cache/perisclera/bank";
}

Bank::Bank(fs::path root, fs::path program, std::string simulator) : root_(std::move(root)), program_(std::move(program)), simulator_(std::move(simulator)) {}

Result<fs::path> Bank::folder_of(const std::string& scenario) const {
    const json content = json::parse(scenario, nullptr, false);
    if (content.is_discarded()) return Error{ErrorCode::bad_scenario, "not JSON", "scenario", "see phantoms/README.md"};
    return root_ / sha256(json{content, simulator_}.dump());  // objects are kept by rising key
}

Result<fs::path> Bank::images_of(const std::string& scenario) const {
    const auto folder = folder_of(scenario);
    if (!folder) return folder.error();
    const auto visit = HeldFolder::take(folder.value());
    if (!visit) return visit.error();
    return images_in(visit.value(), scenario);
}

Result<json> Bank::truth_of(const std::string& scenario) const {
    const auto images = images_of(scenario);
    if (!images) return images.error();
    return json_of(images.value() / "truth.json");
}

Result<json> Bank::report_of(const std::string& scenario) const {
    const auto folder = folder_of(scenario);
    if (!folder) return folder.error();
    const auto visit = HeldFolder::take(folder.value());
    if (!visit) return visit.error();
    const auto digest = digest_of(program_);
    if (!digest) return digest.error();
    const fs::path kept = folder.value() / ("report-" + digest.value() + ".json");
    if (fs::exists(kept)) return json_of(kept);

    const auto images = images_in(visit.value(), scenario);
    if (!images) return images.error();
    const fs::path out = folder.value() / "output";
    const auto done = identify(program_, images.value(), out);
    if (!done) return done.error();
    auto report = json_of(out / "report.json");
    if (!report) return report.error();
    const auto digest_after = digest_of(program_);
    if (!digest_after || digest_after.value() != digest.value())
        return Error{ErrorCode::internal_fault, "the program changed while it ran", program_.string(), "start the sweep again"};
    std::error_code error;
    fs::rename(out / "report.json", kept, error);
    if (error) return Error{ErrorCode::output_failed, "report.json could not be kept", "the bank", "check free space and permissions"};
    fs::remove_all(out, error);
    remove_other_reports(folder.value(), kept);
    return report;
}

}  // namespace perisclera::bank
