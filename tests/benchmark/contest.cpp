// SPDX-License-Identifier: Apache-2.0
#include "tests/benchmark/contest.h"

#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <stdexcept>

namespace perisclera::test {

namespace {

/// Of this process and those that it started and waited for.
double processor_seconds() {
    std::timespec now{};
    ::clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    rusage children{};
    ::getrusage(RUSAGE_CHILDREN, &children);
    const auto seconds = [](const timeval& t) { return static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_usec); };
    return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec) + seconds(children.ru_utime) + seconds(children.ru_stime);
}

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

}  // namespace

void in_own_process(const std::function<void()>& work) {
    timed_in_own_process([&] { return time_of(work); });
}

void run_in_turn(std::vector<Contestant>& contestants, const std::function<void()>& prepare, int rounds) {
    for (int round = -1; round < rounds; ++round)  // the first fills the caches and does not count
        for (Contestant& contestant : contestants) {
            const Time time = timed_in_own_process([&] {
                prepare();
                return time_of(contestant.run);
            });
            if (round >= 0) contestant.times.push_back(time);
        }
}

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

}  // namespace perisclera::test
