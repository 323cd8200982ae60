// SPDX-License-Identifier: Apache-2.0
#include "tests/bank/sweep_options.h"

#include <charconv>
#include <cstdio>
#include <iostream>
#include <limits>

#include "perisclera/dicom/atomic_file.h"

namespace perisclera::bank {

namespace {

constexpr int most = 100'000;

/// Stricter than the library, which takes 010 for 8 and lets numbers wrap round.
template <class Number, class Target>
CLI::Option* add_number(CLI::App& command, const std::string& name, Target& target, Number least, Number largest, const std::string& help) {
    const auto read = [=, &target](const std::string& text) {
        Number number{};
        const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
        if (error != std::errc{} || end != text.data() + text.size() || number < least || number > largest)
            throw CLI::ValidationError(name, "a whole number from " + std::to_string(least) + " to " + std::to_string(largest));
        target = number;
    };
    return command.add_option_function<std::string>(name, read, help);
}

void read_shard(const std::string& text, SweepOptions& options) {
    int i = 0, n = 0, end = 0;
    const bool fits = std::sscanf(text.c_str(), "%d/%d%n", &i, &n, &end) == 2 && end == static_cast<int>(text.size()) && 1 <= i && i <= n && n <= most;
    if (!fits) throw CLI::ValidationError("--shard", "I/N with I from 1 to N");
    options.shard = i;
    options.shards = n;
}

std::string lies_in_a_folder(const std::string& file) {
    const std::filesystem::path parent = std::filesystem::path(file).parent_path();
    return parent.empty() || std::filesystem::is_directory(parent) ? "" : "the folder of " + file + " does not exist";
}

}  // namespace

std::vector<int> SweepOptions::numbers() const {
    if (only) return {*only};
    std::vector<int> chosen;
    for (int number = shard - 1; number < patients; number += shards) chosen.push_back(number);
    return chosen;
}

void add_sweep_options(CLI::App& command, SweepOptions& options) {
    add_number(command, "--patients", options.patients, 1, most, "how many are drawn, numbered from 0");
    add_number(command, "--seed", options.seed, std::uint64_t{0}, std::numeric_limits<std::uint64_t>::max(), "what they are drawn from");
    const auto into_shard = [&options](const std::string& text) { read_shard(text, options); };
    auto* shard = command.add_option_function<std::string>("--shard", into_shard, "I/N: every Nth patient from the Ith on");
    add_number(command, "--only", options.only, 0, most, "this patient alone")->excludes(shard);
    command.add_option("--out", options.out, "file for the document")->check(lies_in_a_folder)->take_last();
    command.final_callback([&options] {
        if (options.only && *options.only >= options.patients)
            throw CLI::ValidationError("--only", "there is no patient " + std::to_string(*options.only) + " of " + std::to_string(options.patients));
    });
}

std::optional<int> ends_at_command_line(CLI::App& command, int argc, const char* const* argv, std::ostream& told) {
    try {
        command.parse(argc, argv);
        return std::nullopt;
    } catch (const CLI::ParseError& reason) {
        return command.exit(reason, std::cout, told) == 0 ? 0 : 2;
    }
}

Result<Done> write_document(const std::filesystem::path& file, const std::string& document) {
    if (file.empty()) {
        std::cout << document << std::flush;
        return Done{};
    }
    auto whole = AtomicFile::create(file);
    if (!whole) return whole.error();
    if (const auto written = whole.value().write(document); !written) return written.error();
    return whole.value().commit();
}

}  // namespace perisclera::bank
