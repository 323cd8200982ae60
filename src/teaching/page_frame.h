// SPDX-License-Identifier: Apache-2.0
#pragma once
// The frame of every page of a teaching file: head, style for screen and print, title, and the caution.
#include <string>

namespace perisclera::teaching {

/// `body` is HTML, `title` plain text.
std::string page(const std::string& title, const std::string& body);

}  // namespace perisclera::teaching
