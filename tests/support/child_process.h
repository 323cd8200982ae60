// SPDX-License-Identifier: Apache-2.0
#pragma once
// The built program as its users start it: arguments in, exit status and both outputs back.
#include <optional>
#include <string>
#include <vector>

namespace perisclera::test {

struct ChildLimits {
    std::optional<unsigned long> file_bytes;       ///< no file may grow beyond: what a full disk looks like to the program
    std::optional<int> end_at_first_error_text;    ///< this signal is sent once anything stands on standard error
};

struct Ended {
    int status = -1;  ///< as a shell tells it: 128 + signal where one ended the process
    std::string output_text, error_text;
};

/// Throws std::runtime_error where no process can be started.
Ended run_child(const std::vector<std::string>& arguments, const ChildLimits& limits = {});

}  // namespace perisclera::test
