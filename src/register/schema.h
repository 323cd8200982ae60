// SPDX-License-Identifier: Apache-2.0
#pragma once
// What a register looks like as a database, how one is made, and how it is told from any other file.
#include "database.h"

namespace perisclera {

/// Nothing stands in it: a file just made, or one whose making was stopped.
Result<bool> is_empty(Database& database);

/// All in one transaction. Does nothing where another program was first.
Result<Done> make_schema(Database& database, const std::string& secret);

/// Refused (bad_value): another kind of database, a newer version, damage. Looks at the structure of the whole file `path`, not at whether indices hold all.
Result<Done> check_schema(Database& database, const std::filesystem::path& path);

}  // namespace perisclera
