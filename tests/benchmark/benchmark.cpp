// SPDX-License-Identifier: Apache-2.0
// How long reading takes, against the least that other libraries need for the same files. All are run in turn, several times over, so that whatever
// else slows the machine slows all alike; a ratio is the median over the rounds. Nothing here is a test: times depend on the machine.
// It fails only when the readers do not read the same.
//   benchmark [--rounds N] [--table FILE]
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <functional>
#include <span>
#include <stdexcept>
#include <string>
#include <thread>
#include <vector>

#include "perisclera/assemble/load_patient.h"
#include "perisclera/assemble/survey.h"
#include "tests/benchmark/inputs.h"
#include "tests/benchmark/other_readers.h"
#include "tests/support/test_folder.h"

namespace {

using namespace perisclera;
using namespace perisclera::test;
namespace fs = std::filesystem;

constexpr int slices = 200, slice_size = 512;
constexpr int surveyed_series = 10, surveyed_size = 128;

struct Options {
    fs::path table;
    int rounds = 7;
};

bool parse(int argc, char** argv, Options& options) {
    for (int i = 1; i + 1 < argc; i += 2) {
        const std::string key = argv[i];
        if (key == "--table") options.table = argv[i + 1];
        else if (key == "--rounds") options.rounds = std::atoi(argv[i + 1]);
        else return false;
    }
    return argc % 2 == 1 && options.rounds > 0;
}

/// Seconds, by the clock on the wall and of all processors together.
struct Time {
    double elapsed, processor;
};

double processor_seconds() {
    std::timespec now{};
    ::clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

struct Contestant {
    std::string name;
    std::function<void()> run;  ///< throws when it does not read what it should
    std::vector<Time> times;
};

Time time_of(const std::function<void()>& work) {
    const auto start = std::chrono::steady_clock::now();
    const double processor_start = processor_seconds();
    work();
    const double processor = processor_seconds() - processor_start;
    return {std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count(), processor};
}

/// What is done in a process of its own leaves no memory behind, taken and freed, that would speed up what comes next.
Time timed_in_own_process(const std::function<Time()>& work) {
    int ends[2];
    if (::pipe(ends) != 0) throw std::runtime_error("no pipe");
    std::fflush(stdout);  // or the child would write it, too
    const pid_t child = ::fork();
    if (child < 0) throw std::runtime_error("no process");
    if (child == 0) {
        try {
            const Time time = work();
            std::_Exit(::write(ends[1], &time, sizeof time) == sizeof time ? 0 : 1);
        } catch (const std::exception& failure) {
            std::fprintf(stderr, "benchmark: %s\n", failure.what());
            std::_Exit(1);
        }
    }
    ::close(ends[1]);
    Time time{};
    const bool told = ::read(ends[0], &time, sizeof time) == sizeof time;
    ::close(ends[0]);
    int status = 0;
    if (::waitpid(child, &status, 0) != child || status != 0 || !told) throw std::runtime_error("a reader failed");
    return time;
}

void in_own_process(const std::function<void()>& work) {
    timed_in_own_process([&] { return time_of(work); });
}

void run_in_turn(std::vector<Contestant>& contestants, const fs::path& any_file, int rounds) {
    for (int round = -1; round < rounds; ++round)  // the first fills the caches and does not count
        for (Contestant& contestant : contestants) {
            const Time time = timed_in_own_process([&] {
                prepare_other_readers(any_file);
                return time_of(contestant.run);
            });
            if (round >= 0) contestant.times.push_back(time);
        }
}

double median(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

double median_ratio(const Contestant& one, const Contestant& to, double Time::*kind) {
    std::vector<double> ratios;
    for (std::size_t i = 0; i < one.times.size(); ++i) ratios.push_back(one.times[i].*kind / (to.times[i].*kind));
    return median(std::move(ratios));
}

std::string two_digits(double value) {
    char text[32];
    std::snprintf(text, sizeof text, "%.2f", value);
    return text;
}

/// The last contestants are the ones compared with.
std::string ratio_rows(const std::string& work, const std::vector<Contestant>& contestants, std::size_t ours) {
    std::string rows;
    for (std::size_t i = 0; i < ours; ++i)
        for (std::size_t other = ours; other < contestants.size(); ++other)
            rows += "| " + work + " | " + contestants[i].name + " | " + contestants[other].name + " | " +
                    two_digits(median_ratio(contestants[i], contestants[other], &Time::elapsed)) + " | " +
                    two_digits(median_ratio(contestants[i], contestants[other], &Time::processor)) + " |\n";
    return rows;
}

void print_times(const std::string& work, const std::vector<Contestant>& contestants) {
    for (const Contestant& contestant : contestants) {
        std::vector<double> elapsed, processor;
        for (const Time& time : contestant.times) {
            elapsed.push_back(time.elapsed);
            processor.push_back(time.processor);
        }
        std::printf("%s, %s: median %.3f s elapsed, %.3f s of processor\n", work.c_str(), contestant.name.c_str(), median(elapsed), median(processor));
    }
}

void must_be_equal(bool equal) {
    if (!equal) throw std::runtime_error("two readers do not read the same");
}

/// By name, which is by position.
Files files_in(const fs::path& folder) {
    Files files;
    for (const auto& entry : fs::directory_iterator(folder)) files.push_back(entry.path());
    std::sort(files.begin(), files.end());
    return files;
}

using UseNumbers = std::function<void(std::span<const float>)>;

void pixels_by_ours(const fs::path& folder, int threads, const UseNumbers& use) {
    LoadOptions load;
    load.threads = threads;
    const auto patient = read_patient({folder}, load);
    if (!patient) throw std::runtime_error(patient.error().what);
    use(patient.value().visits.at(0).series.at(0).grid().values());
}

std::string pixels(int rounds, int threads) {
    const TestFolder folder;
    in_own_process([&] { write_ct_series(folder.path(), 1, slices, slice_size, HeaderLength::clinical); });
    const Files files = files_in(folder.path());
    in_own_process([&] {
        prepare_other_readers(files.front());
        const std::vector<float> expected = pixels_by_dcmtk(files);
        const auto compare = [&](std::span<const float> numbers) { must_be_equal(std::ranges::equal(numbers, expected)); };
        pixels_by_ours(folder.path(), threads, compare);
        pixels_by_itk(files, compare);
    });
    const auto count = [](std::span<const float> numbers) { must_be_equal(numbers.size() == std::size_t{slices} * slice_size * slice_size); };
    std::vector<Contestant> contestants{
        {"one thread", [&] { pixels_by_ours(folder.path(), 1, count); }, {}},
        {"as shipped", [&] { pixels_by_ours(folder.path(), threads, count); }, {}},
        {"bare DCMTK loop", [&] { count(pixels_by_dcmtk(files)); }, {}},
        {"ITK series reader", [&] { pixels_by_itk(files, count); }, {}},
    };
    run_in_turn(contestants, files.front(), rounds);
    const std::string work = "volume of 200 slices, 512 x 512";
    print_times(work, contestants);
    return ratio_rows(work, contestants, 2);
}

std::string headers(int rounds, int threads, HeaderLength length) {
    const TestFolder folder;
    in_own_process([&] {
        for (int series = 1; series <= surveyed_series; ++series) write_ct_series(folder.path(), series, slices, surveyed_size, length);
    });
    const Files files = files_in(folder.path());
    const auto ours = [&](int with) {
        return [&folder, with] {
            auto found = scan_inputs({folder.path()}, with);
            if (!found) throw std::runtime_error(found.error().what);
            const auto listed = catalogue(std::move(found).value());
            if (!listed) throw std::runtime_error(listed.error().what);
            const Survey told = survey(listed.value());
            must_be_equal(told.images == surveyed_series * slices && !survey_table(told).empty());
        };
    };
    std::vector<Contestant> contestants{
        {"one thread", ours(1), {}},
        {"as shipped", ours(threads), {}},
        {"bare DCMTK loop", [&] { must_be_equal(headers_by_dcmtk(files) == surveyed_series); }, {}},
    };
    run_in_turn(contestants, files.front(), rounds);
    const std::string work = std::string("survey of 2,000 files, ") + (length == HeaderLength::bare ? "bare headers" : "clinical headers");
    print_times(work, contestants);
    return ratio_rows(work, contestants, 2);
}

std::string page(const std::string& rows, int rounds, int threads) {
    return R"(# Speed of reading

Made by `bash tests/benchmark.sh`, )" + std::to_string(rounds) +
           " rounds on " + std::to_string(threads) + R"( processors; not edited by hand. Ratios only: times depend on the
machine, and so, a little, do these. Below 1 this program is the faster. All readers read the same files, which lie in memory by then, in turn in
each round and each in a new process; a ratio is the median over the rounds.

- **volume**: from the files of one CT series to one block of Hounsfield units. This program looks for the files, scans each for damage, checks all
  headers against each other, orders the slices by their positions and counts what is padded or saturated. The others are told the order; the bare
  loop checks nothing. All voxels are compared first: they are equal.
- **survey**: headers only. This program tells patients, studies, series, roles and geometry; the bare loop loads each file up to its pixels and
  counts series.
- **clinical headers** have some 180 elements with private ones and sequences, **bare headers** some 35, hardly more than what the program needs.
- **as shipped**: a thread for each processor. The others have one.

)" + rows;
}

}  // namespace

int main(int argc, char** argv) {
    Options options;
    if (!parse(argc, argv, options)) {
        std::fprintf(stderr, "usage: benchmark [--rounds N] [--table FILE]\n");
        return 2;
    }
    try {
        const int threads = std::max(1, static_cast<int>(std::thread::hardware_concurrency()));
        std::string rows = "| work | this program | compared with | ratio of elapsed time | ratio of processor time |\n| --- | --- | --- | --- | --- |\n";
        for (const HeaderLength length : {HeaderLength::clinical, HeaderLength::bare}) rows += headers(options.rounds, threads, length);
        rows += pixels(options.rounds, threads);
        std::printf("\n%s", rows.c_str());
        if (!options.table.empty() && !(std::ofstream(options.table, std::ios::binary) << page(rows, options.rounds, threads)).flush())
            throw std::runtime_error("the table cannot be written");
    } catch (const std::exception& failure) {
        std::fprintf(stderr, "benchmark: %s\n", failure.what());
        return 1;
    }
    return 0;
}
