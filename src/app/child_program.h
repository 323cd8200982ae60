// SPDX-License-Identifier: Apache-2.0
#pragma once
// Another program run beside this one: it gets what it is given and nothing else of this process, and does not outlive it.
#include <chrono>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace perisclera::app {

using Deadline = std::chrono::steady_clock::time_point;

/// An open file or pipe, closed with this object; not handed on to other programs unless asked for.
class Descriptor {
public:
    explicit Descriptor(int number = -1) : number_(number) {}
    Descriptor(Descriptor&& other) noexcept : number_(other.number_) { other.number_ = -1; }
    Descriptor& operator=(Descriptor&&) = delete;
    ~Descriptor();
    [[nodiscard]] int number() const { return number_; }
    void close();

private:
    int number_;
};

/// A file in memory that lies in no folder. Nothing where there is none.
std::optional<Descriptor> file_in_memory(const std::string& content);
std::string content_of(const Descriptor& file);

struct ProgramCall {
    std::filesystem::path program;           ///< absolute
    std::vector<std::string> arguments;
    std::vector<std::string> environment;    ///< NAME=value, all of it
    std::vector<int> descriptors;            ///< become the program's 0, 1, 2 ...; -1: takes and gives nothing
};

class ChildProgram {
public:
    /// In the root folder, leaving no core dump, writing no file beyond 64 MiB. It ends with the thread that starts it, at the latest.
    static std::optional<ChildProgram> start(const ProgramCall& call);
    ChildProgram(ChildProgram&& other) noexcept : process_(other.process_) { other.process_ = 0; }
    ChildProgram& operator=(ChildProgram&&) = delete;
    /// Asks it to end; after a second it is ended.
    ~ChildProgram();
    /// False where it still runs at the deadline.
    bool wait_until(Deadline deadline);

private:
    explicit ChildProgram(int process) : process_(process) {}
    int process_;   ///< by its number; 0: has ended
};

}  // namespace perisclera::app
