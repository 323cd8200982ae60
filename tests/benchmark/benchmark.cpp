// SPDX-License-Identifier: Apache-2.0
// How long reading takes, against the least that other libraries need for the same files, and how long globes and alignment take, against a stock
// registration. All are run in turn, several times over, so that whatever else slows the machine slows all alike; a ratio is the median over the rounds.
// Nothing here is a test: times depend on the machine. It fails only when the readers do not read the same, or eyes are not brought together.
//   benchmark [--rounds N] [--table FILE] [--only list]
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <functional>
#include <span>
#include <stdexcept>
#include <string>
#include <thread>
#include <vector>

#include "perisclera/assemble/load_patient.h"
#include "perisclera/assemble/survey.h"
#include "tests/benchmark/clinic_list.h"
#include "tests/benchmark/contest.h"
#include "tests/benchmark/eyes.h"
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
    bool list_only = false;
};

bool parse(int argc, char** argv, Options& options) {
    for (int i = 1; i + 1 < argc; i += 2) {
        const std::string key = argv[i];
        if (key == "--table") options.table = argv[i + 1];
        else if (key == "--only" && argv[i + 1] == std::string("list")) options.list_only = true;
        else if (key == "--rounds") options.rounds = std::atoi(argv[i + 1]);
        else return false;
    }
    return argc % 2 == 1 && options.rounds > 0 && !(options.list_only && !options.table.empty());
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
    run_in_turn(contestants, [&] { prepare_other_readers(files.front()); }, rounds);
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
    run_in_turn(contestants, [&] { prepare_other_readers(files.front()); }, rounds);
    const std::string work = std::string("survey of 2,000 files, ") + (length == HeaderLength::bare ? "bare headers" : "clinical headers");
    print_times(work, contestants);
    return ratio_rows(work, contestants, 2);
}

std::string page(const std::string& rows, int rounds, int threads) {
    return R"(# Speed

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
- **globes and frames**: both globes of one series found and fitted, with axis and frame of each eye, from its voxels in memory. **alignment**: both eyes of one
  series brought to another, the globes of both known. Both on one thread, against ITK's registration of the two whole series (rigid, mutual information as
  Mattes, three levels, 5 % of the voxels), which yields no globe. Synthesised pairs of CT, T1 and T2.
- **clinic list**: the register's list printed in the order of rates, start of the program included. Python's `sqlite3` selects the same columns in the same order
  and prints them as they are, neither checked nor aligned.

)" + rows;
}

}  // namespace

int main(int argc, char** argv) {
    Options options;
    if (!parse(argc, argv, options)) {
        std::fprintf(stderr, "usage: benchmark [--rounds N] [--table FILE | --only list]\n");
        return 2;
    }
    try {
        const int threads = std::max(1, static_cast<int>(std::thread::hardware_concurrency()));
        std::string rows = "| work | this program | compared with | ratio of elapsed time | ratio of processor time |\n| --- | --- | --- | --- | --- |\n";
        if (!options.list_only) {
            for (const HeaderLength length : {HeaderLength::clinical, HeaderLength::bare}) rows += headers(options.rounds, threads, length);
            rows += pixels(options.rounds, threads);
            rows += eye_rows(options.rounds);
        }
        rows += clinic_list_rows(options.rounds);
        std::printf("\n%s", rows.c_str());
        if (!options.table.empty() && !(std::ofstream(options.table, std::ios::binary) << page(rows, options.rounds, threads)).flush())
            throw std::runtime_error("the table cannot be written");
    } catch (const std::exception& failure) {
        std::fprintf(stderr, "benchmark: %s\n", failure.what());
        return 1;
    }
    return 0;
}
