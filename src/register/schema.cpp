// SPDX-License-Identifier: Apache-2.0
#include "schema.h"

#include <array>

#include "refusals.h"

namespace perisclera {

namespace {

/// "PcRg": by this and the version a register is known (sqlite.org/fileformat2.html, offsets 60 and 68).
constexpr std::int64_t application = 0x50635267, version = 1;

constexpr std::array tables{
    "CREATE TABLE secret (hexadecimal TEXT NOT NULL) STRICT",
    "CREATE TABLE patient (id INTEGER PRIMARY KEY, key TEXT NOT NULL UNIQUE, patient_id TEXT, name TEXT, simulated INTEGER NOT NULL, last_scan TEXT NOT NULL, "
    "reviewed_by TEXT NOT NULL DEFAULT '', reviewed_on TEXT NOT NULL DEFAULT '', next_contact TEXT NOT NULL DEFAULT '') STRICT",
    "CREATE TABLE result (patient INTEGER NOT NULL REFERENCES patient, digest TEXT NOT NULL, PRIMARY KEY (patient, digest)) STRICT, WITHOUT ROWID",
    "CREATE TABLE series (patient INTEGER NOT NULL REFERENCES patient, digest TEXT NOT NULL, PRIMARY KEY (patient, digest)) STRICT, WITHOUT ROWID",
    "CREATE TABLE element (patient INTEGER NOT NULL REFERENCES patient, eye TEXT NOT NULL CHECK (eye IN ('right', 'left')), id TEXT NOT NULL, form TEXT NOT NULL, middle REAL, "
    "measured_on TEXT NOT NULL, volume REAL, volume_low REAL, volume_high REAL, volume_why TEXT, material TEXT NOT NULL, probability REAL, "
    "rate REAL, rate_low REAL, rate_high REAL, rate_why TEXT, changed_on TEXT, verdict TEXT, smallest_detectable REAL, PRIMARY KEY (patient, eye, id)) STRICT, WITHOUT ROWID",
};

/// SQLite reads what a file lacks of its last page as zeros.
Result<bool> lacks_its_end(Database& database, const std::filesystem::path& path) {
    const auto bytes = database.number("SELECT page_count * page_size FROM pragma_page_count, pragma_page_size");
    if (!bytes) return bytes.error();
    std::error_code unreadable;
    const std::uintmax_t there = std::filesystem::file_size(path, unreadable);
    return unreadable || there < static_cast<std::uintmax_t>(bytes.value());
}

}  // namespace

Result<bool> is_empty(Database& database) {
    const auto marks = database.number("SELECT (SELECT count(*) FROM sqlite_schema) | (SELECT application_id FROM pragma_application_id) | (SELECT user_version FROM pragma_user_version)");
    if (!marks) return marks.error();
    return marks.value() == 0;
}

Result<Done> make_schema(Database& database, const std::string& secret) {
    auto transaction = Transaction::begin(database);
    if (!transaction) return transaction.error();
    const auto empty = is_empty(database);
    if (!empty) return empty.error();
    if (!empty.value()) return Done{};
    for (const char* const table : tables)
        if (const auto made = database.ask(table); !made) return made.error();
    if (const auto kept = database.ask("INSERT INTO secret VALUES (?)", {secret}); !kept) return kept.error();
    for (const std::string& mark : {"PRAGMA application_id = " + std::to_string(application), "PRAGMA user_version = " + std::to_string(version)})
        if (const auto marked = database.ask(mark); !marked) return marked.error();
    return transaction.value().commit();
}

Result<Done> check_schema(Database& database, const std::filesystem::path& path) {
    // While it is read nobody writes, and nothing can change between one look and the next.
    if (const auto begun = database.ask("BEGIN"); !begun) return begun.error();
    const auto kind = database.number("PRAGMA application_id");
    if (!kind) return kind.error();
    if (kind.value() != application) return no_register();
    const auto made_by = database.number("PRAGMA user_version");
    if (!made_by) return made_by.error();
    if (made_by.value() > version) return Error{ErrorCode::bad_value, "the register was made by a newer version of this program", "--register", "use that version"};
    const auto cut = lacks_its_end(database, path);
    if (!cut) return cut.error();
    const auto sound = database.ask("PRAGMA quick_check(1)");
    if (!sound) return sound.error();
    const auto found = database.ask("SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY rowid");
    if (!found) return found.error();
    bool whole = !cut.value() && sound.value() == std::vector<Row>{{std::string("ok")}} && found.value().size() == tables.size();
    for (std::size_t i = 0; whole && i < tables.size(); ++i) whole = found.value()[i] == Row{std::string(tables[i])};
    if (!whole) return damaged_register();
    if (const auto ended = database.ask("COMMIT"); !ended) return ended.error();
    return Done{};
}

}  // namespace perisclera
