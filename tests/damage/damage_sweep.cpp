// SPDX-License-Identifier: Apache-2.0
// Damages files, reads each among its whole neighbours, and counts what became of it. Stopped and started again it goes on where it
// was: results are appended to a file for each seed and shard below --work. With --table it then writes the page of all shards' results.
//   damage_sweep --work FOLDER [--seed N] [--flips N] [--shard I/N] [--table FILE] [--explain INDEX]
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <sstream>

#include "tests/damage/damage_table.h"
#include "tests/damage/reading.h"
#include "tests/damage/subject.h"
#include "tests/support/test_folder.h"

namespace {

using namespace perisclera::test;
namespace fs = std::filesystem;

struct Options {
    fs::path work, table;
    std::uint64_t seed = 1, flips = 10'000, shard = 0, shards = 1;
    long explain = -1;
};

bool parse(int argc, char** argv, Options& options) {
    for (int i = 1; i + 1 < argc; i += 2) {
        const std::string key = argv[i];
        char* rest = argv[i + 1];
        if (key == "--work") options.work = rest;
        else if (key == "--table") options.table = rest;
        else if (key == "--seed") options.seed = std::strtoull(rest, &rest, 10);
        else if (key == "--flips") options.flips = std::strtoull(rest, &rest, 10);
        else if (key == "--explain") options.explain = std::strtol(rest, &rest, 10);
        else if (key == "--shard") {
            options.shard = std::strtoull(rest, &rest, 10);
            if (*rest == '/') options.shards = std::strtoull(rest + 1, &rest, 10);
        } else return false;
    }
    return argc % 2 == 1 && !options.work.empty() && options.shards > 0 && options.shard < options.shards;
}

fs::path results_file(const Options& options, std::uint64_t shard) {
    return options.work / ("seed_" + std::to_string(options.seed) + "_shard_" + std::to_string(shard) + "_of_" + std::to_string(options.shards));
}

void explain(const Reading& reading) {
    for (const auto& told : reading.told) std::printf("told: %s\n", told.c_str());
    for (const auto& [key, value] : reading.content) std::printf("%s: %s\n", key.c_str(), value.c_str());
}

}  // namespace

int main(int argc, char** argv) {
    Options options;
    if (!parse(argc, argv, options)) {
        std::fprintf(stderr, "usage: damage_sweep --work FOLDER [--seed N] [--flips N] [--shard I/N] [--table FILE] [--explain INDEX]\n");
        return 2;
    }
    fs::create_directories(options.work);
    DamageRun run(make_subjects());
    const auto damages = all_damages(run.subjects(), options.seed, options.flips);
    if (options.explain >= 0) {
        explain(run.reading(damages.at(static_cast<std::size_t>(options.explain))));
        return 0;
    }
    const fs::path file = results_file(options, options.shard);
    std::uint64_t done = read_results(file).size();
    std::ofstream out(file, std::ios::app);
    for (std::uint64_t i = options.shard + done * options.shards; i < damages.size(); i += options.shards) {
        const Result result = run.result(i, damages[i]);
        out << to_line(result) << std::flush;
        if (++done % 500 == 0) std::fprintf(stderr, "%llu done\n", static_cast<unsigned long long>(done));
    }
    if (options.table.empty()) return 0;
    std::vector<Result> results;
    for (std::uint64_t shard = 0; shard < options.shards; ++shard)
        for (Result& result : read_results(results_file(options, shard))) results.push_back(std::move(result));
    std::ofstream(options.table, std::ios::binary) << damage_table(run.subjects(), results, options.seed, options.flips);
    return 0;
}
