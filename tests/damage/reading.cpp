// SPDX-License-Identifier: Apache-2.0
#include "tests/damage/reading.h"

#include <poll.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <charconv>
#include <chrono>
#include <cmath>
#include <csignal>
#include <cstring>
#include <span>
#include <sstream>
#include <stdexcept>

#include "perisclera/assemble/load_patient.h"
#include "perisclera/assemble/survey.h"
#include "perisclera/ingest/file_set.h"

namespace perisclera::test {

namespace {

constexpr const char* told_mark = "told";
constexpr const char* refused_mark = "refused";

/// Fowler, Noll and Vo's hash.
std::string digest(std::span<const float> values) {
    std::uint64_t hash = 14695981039346656037U;
    for (const float value : values) {
        std::uint32_t bits = 0;
        std::memcpy(&bits, &value, sizeof bits);
        hash = (hash ^ bits) * 1099511628211U;
    }
    return std::to_string(hash);
}

std::string numbers(std::initializer_list<double> values) {
    std::string text;
    for (const double value : values) {
        std::array<char, 32> digits{};
        text += std::string(digits.data(), std::to_chars(digits.data(), digits.data() + digits.size(), value).ptr) + " ";
    }
    return text;
}

std::string number(std::optional<double> value) { return value ? numbers({*value}) : ""; }

/// Lines "key\tvalue" of everything that the reading came to.
class Report {
public:
    void tell(const Error& error) { line(told_mark, std::string(name(error.code)) + " " + error.what); }
    void line(const std::string& key, const std::string& value) { text_ += key + "\t" + value + "\n"; }

    void of(const PatientStudies& patient) {
        line("patient name", patient.patient_name.reveal_for_page_header());
        line("patient number", patient.patient_id.reveal_for_page_header());
        for (const Error& warning : patient.warnings) tell(warning);
        for (const Visit& visit : patient.visits) {
            for (const ImageSeries& series : visit.series) {
                const std::string at = described(series.description, visit.date.iso());
                const VoxelGrid& grid = series.grid();
                const auto g = grid.geometry();
                const auto size = g.size();
                line(at + "size", numbers({double(size[0]), double(size[1]), double(size[2])}));
                line(at + "spacing (tolerant)", numbers({g.spacing_mm()[0], g.spacing_mm()[1], g.spacing_mm()[2]}));
                line(at + "origin (tolerant)", numbers({g.origin().x, g.origin().y, g.origin().z}));
                line(at + "directions (tolerant)", numbers({g.row().x, g.row().y, g.row().z, g.column().x, g.column().y, g.column().z, g.slice_step().x, g.slice_step().y, g.slice_step().z}));
                const std::size_t slice = static_cast<std::size_t>(size[0]) * static_cast<std::size_t>(size[1]);
                for (int z = 0; z < size[2]; ++z)
                    line(at + "voxels of slice " + std::to_string(z), digest(std::span(grid.values()).subspan(static_cast<std::size_t>(z) * slice, slice)));
            }
            for (const SeriesDescription& unused : visit.unused) described(unused, visit.date.iso());
        }
    }
    /// Of each slice what turns its pixels into numbers.
    void scales_of(const PatientCatalogue& catalogue) {
        for (const auto& patient : catalogue.patients)
            for (const auto& study : patient.studies)
                for (const auto& series : study.series) {
                    if (series.error) tell(*series.error);
                    for (const std::string& problem : series.description.problems) line(told_mark, "problem " + problem);
                    if (!series.stack) continue;
                    for (std::size_t i = 0; i < series.stack->slices().size(); ++i) {
                        const PixelFormat& f = series.stack->slices()[i].pixels;
                        const std::string at = "series " + std::to_string(series.number) + " slice " + std::to_string(i);
                        line(at + " scale", numbers({f.rescale_slope, f.rescale_intercept}));
                        line(at + " format", numbers({double(f.bits_allocated), double(f.bits_stored), double(f.high_bit), double(f.is_signed),
                                                      double(f.padding_value.value_or(-99999)), double(f.padding_range_limit.value_or(-99999))}));
                    }
                }
    }
    [[nodiscard]] const std::string& text() const { return text_; }

private:
    std::string described(const SeriesDescription& d, const std::string& date) {
        const std::string at = "series " + std::to_string(++series_) + " ";
        for (const std::string& problem : d.problems) line(told_mark, "problem " + problem);
        line(at + "date", date);
        line(at + "identifier", d.series_uid + " " + d.study_uid + " " + d.frame_of_reference_uid);
        line(at + "role", std::string(d.modality == Modality::ct ? "CT " : "MR ") + std::string(name(d.role)));
        line(at + "why", d.why);
        line(at + "tube voltage", number(d.kvp));
        line(at + "slice thickness", number(d.slice_thickness_mm));
        line(at + "times", number(d.repetition_time_ms) + "/" + number(d.echo_time_ms) + "/" + number(d.inversion_time_ms));
        line(at + "flip angle and field", number(d.flip_angle_deg) + "/" + number(d.field_strength_tesla));
        line(at + "kernel", d.kernel);
        line(at + "side, simulated, lossy", numbers({d.stated_side ? 1.0 + double(*d.stated_side == Eye::left) : 0.0, double(d.simulated), double(d.lossy)}));
        return at;
    }

    std::string text_;
    int series_ = 0;
};

std::string read_folder(const std::filesystem::path& folder) {
    Report report;
    const auto files = scan_inputs({folder});
    if (!files) {
        report.tell(files.error());
        report.line(refused_mark, "");
        return report.text();
    }
    for (const RefusedFile& refused : files.value().refused) report.tell(refused.error);
    for (const Error& remark : files.value().remarks) report.tell(remark);
    const auto listed = catalogue(files.value());
    const auto patient = listed ? load_patient(listed.value(), {}) : Result<PatientStudies>(listed.error());
    if (listed) report.scales_of(listed.value());
    if (!patient) {
        report.tell(patient.error());
        report.line(refused_mark, "");
        return report.text();
    }
    report.of(patient.value());
    return report.text();
}

[[noreturn]] void run_child(const std::filesystem::path& folder, int out) {
#if !defined(__SANITIZE_ADDRESS__)
    const rlimit memory{static_cast<rlim_t>(most_kilobytes) * 1024, static_cast<rlim_t>(most_kilobytes) * 1024};
    ::setrlimit(RLIMIT_DATA, &memory);
#endif
    const rlimit core{0, 0};
    ::setrlimit(RLIMIT_CORE, &core);
    const std::string text = read_folder(folder);
    for (std::size_t done = 0; done < text.size();) {
        const ssize_t put = ::write(out, text.data() + done, text.size() - done);
        if (put <= 0) ::_exit(1);
        done += static_cast<std::size_t>(put);
    }
    ::_exit(0);
}

/// Geometry is the same within a hundredth of a millimetre at the origin, and a thousandth of one for steps and directions.
bool nearly_equal(const std::string& key, const std::string& a, const std::string& b) {
    const double tolerance = key.ends_with("origin (tolerant)") ? 0.01 : 0.001;
    std::istringstream first(a), second(b);
    double x = 0.0, y = 0.0;
    while (first >> x) {
        if (!(second >> y) || std::abs(x - y) > tolerance) return false;
    }
    return !(second >> y);
}

}  // namespace

Reading read_in_child(const std::filesystem::path& folder) {
    std::array<int, 2> ends{};
    if (::pipe(ends.data()) != 0) throw std::runtime_error("no pipe");
    const pid_t child = ::fork();
    if (child < 0) throw std::runtime_error("no process");
    if (child == 0) run_child(folder, ends[1]);
    ::close(ends[1]);
    Reading reading;
    std::string text;
    const auto deadline = std::chrono::steady_clock::now() + std::chrono::seconds(most_seconds);
    while (true) {
        const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(deadline - std::chrono::steady_clock::now()).count();
        pollfd readable{ends[0], POLLIN, 0};
        if (left <= 0 || ::poll(&readable, 1, static_cast<int>(left)) == 0) {
            reading.end = Reading::End::hung;
            ::kill(child, SIGKILL);
            break;
        }
        std::array<char, 65536> part;
        const ssize_t got = ::read(ends[0], part.data(), part.size());
        if (got <= 0) break;
        text.append(part.data(), static_cast<std::size_t>(got));
    }
    ::close(ends[0]);
    int how = 0;
    rusage used{};
    ::wait4(child, &how, 0, &used);
    reading.peak_kilobytes = used.ru_maxrss;
    if (WIFEXITED(how) && WEXITSTATUS(how) == 0) reading.end = Reading::End::finished;
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) {
        const std::string key = line.substr(0, line.find('\t')), value = line.substr(std::min(line.size(), key.size() + 1));
        if (key == told_mark)
            reading.told.insert(value);
        else if (key == refused_mark)
            reading.refused = true;
        else
            reading.content[key] = value;
    }
    return reading;
}

const char* name(Outcome outcome) {
    switch (outcome) {
        case Outcome::refused: return "refused";
        case Outcome::warned: return "warned";
        case Outcome::same: return "same";
        case Outcome::other_voxels: return "other_voxels";
        case Outcome::stated_once: return "stated_once";
        case Outcome::silent: return "silent";
        case Outcome::crashed: return "crashed";
        case Outcome::hung: return "hung";
        case Outcome::too_much_memory: return "too_much_memory";
    }
    return "";
}

Judgement judge(const Reading& whole, const Reading& damaged, bool stated_once) {
    if (damaged.end == Reading::End::hung) return {Outcome::hung, ""};
    if (damaged.end == Reading::End::crashed) return {Outcome::crashed, ""};
    if (damaged.peak_kilobytes > most_kilobytes) return {Outcome::too_much_memory, ""};
    if (damaged.refused) return {Outcome::refused, ""};
    for (const std::string& told : damaged.told)
        if (!whole.told.contains(told)) return {Outcome::warned, ""};
    std::string voxels, attribute, frame;
    for (const auto& [key, value] : whole.content) {
        const auto found = damaged.content.find(key);
        const bool tolerant = key.ends_with("(tolerant)");
        if (found != damaged.content.end() && (found->second == value || (tolerant && nearly_equal(key, found->second, value)))) continue;
        if (key.find("voxels") != std::string::npos)
            voxels = key;
        else if (key.ends_with(" scale") || key.ends_with("origin (tolerant)"))
            frame = key;
        else
            attribute = key;
    }
    if (damaged.content.size() > whole.content.size()) attribute = "more series";
    if (!frame.empty()) return {Outcome::silent, frame};
    if (!attribute.empty()) return {stated_once ? Outcome::stated_once : Outcome::silent, attribute};
    if (!voxels.empty()) return {Outcome::other_voxels, voxels};
    return {Outcome::same, ""};
}

}  // namespace perisclera::test
