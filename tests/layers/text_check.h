// SPDX-License-Identifier: Apache-2.0
#pragma once
// What people read stands in the catalogue, and catalogue and code agree. Each check gives what is wrong, one line each.
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "source_literals.h"

namespace perisclera::layers {

using Faults = std::vector<std::string>;
using Catalogue = std::map<std::string, std::string, std::less<>>;

Catalogue texts_of(std::string_view file);
/// Lines that are no "key = text", keys that stand twice, texts with markup or with braces that hold no name.
Faults faults_of_catalogue(std::string_view file);

/// Literals that look like keys of one of the catalogue's parts, and whatever say() is given, without a text.
Faults keys_without_text(const Source& source, const Catalogue& texts);
/// The catalogue's keys among the literals.
std::set<std::string> keys_used(const Source& source, const Catalogue& texts);
/// Calls of say() whose names are not those of the text; where the key is chosen, of each text it is chosen from.
Faults names_that_differ(const Source& source, const Catalogue& texts);

/// Literals of three words and more in code: neither markup, style or shader, nor of errors, which go to the terminal, nor what codes mean, nor what UIDs are made of.
Faults prose_in(const Source& source);

}  // namespace perisclera::layers
