// SPDX-License-Identifier: Apache-2.0
#include "database.h"

#include <sqlite3.h>

#include <utility>

#include "refusals.h"

namespace perisclera {

namespace {

/// Another program's entry takes some milliseconds; many of them may be waiting.
constexpr int patience_ms = 30'000;

struct Finalised {
    void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
};

int bind(sqlite3_stmt* statement, int place, const Value& value) {
    if (const auto* whole = std::get_if<std::int64_t>(&value)) return sqlite3_bind_int64(statement, place, *whole);
    if (const auto* number = std::get_if<double>(&value)) return sqlite3_bind_double(statement, place, *number);
    if (const auto* text = std::get_if<std::string>(&value)) return sqlite3_bind_text(statement, place, text->data(), static_cast<int>(text->size()), SQLITE_TRANSIENT);
    return sqlite3_bind_null(statement, place);
}

Value value_at(sqlite3_stmt* statement, int column) {
    switch (sqlite3_column_type(statement, column)) {
        case SQLITE_INTEGER: return std::int64_t{sqlite3_column_int64(statement, column)};
        case SQLITE_FLOAT: return sqlite3_column_double(statement, column);
        case SQLITE_NULL: return std::monostate{};
        default: {
            const auto* text = static_cast<const char*>(sqlite3_column_blob(statement, column));
            return text == nullptr ? std::string() : std::string(text, static_cast<std::size_t>(sqlite3_column_bytes(statement, column)));
        }
    }
}

}  // namespace

Result<std::unique_ptr<Database>> Database::open(const std::filesystem::path& path, Purpose purpose) {
    sqlite3* handle = nullptr;
    std::error_code unreadable;
    const std::string file = std::filesystem::absolute(path, unreadable).string();   // a name alone might be one of SQLite's own, such as ":memory:"
    const int code = sqlite3_open_v2(file.c_str(), &handle, SQLITE_OPEN_READWRITE, nullptr);
    std::unique_ptr<Database> database(new Database(handle, purpose));
    if (code != SQLITE_OK) return database->error(code);
    sqlite3_busy_timeout(handle, patience_ms);
    sqlite3_db_config(handle, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
    // A commit is on disk, its folder's entry included, before it returns; what is replaced is overwritten; a schema from elsewhere is not trusted.
    for (const char* setting : {"PRAGMA synchronous = EXTRA", "PRAGMA foreign_keys = ON", "PRAGMA secure_delete = ON", "PRAGMA trusted_schema = OFF", "PRAGMA cell_size_check = ON"})
        if (const auto done = database->ask(setting); !done) return done.error();
    return database;
}

Database::~Database() { sqlite3_close(handle_); }

Error Database::error(int code) const {
    switch (code & 0xff) {
        case SQLITE_NOTADB: return no_register();
        case SQLITE_CORRUPT:
        case SQLITE_ERROR:      // a table or column is missing
        case SQLITE_CONSTRAINT:
        case SQLITE_MISMATCH: return damaged_register();
        case SQLITE_NOMEM: return Error{ErrorCode::limit_reached, "memory ran out", "--register", "give the run more memory"};
        default: break;
    }
    const bool busy = (code & 0xff) == SQLITE_BUSY || (code & 0xff) == SQLITE_LOCKED;
    if (purpose_ == Purpose::read) return Error{ErrorCode::cannot_read, busy ? "another program holds the register" : "the register cannot be read", "--register", busy ? "try again" : "check its rights"};
    return Error{ErrorCode::output_failed, busy ? "another program holds the register" : "the register cannot be written", "--register",
            busy ? "try again" : "check free space, and the rights of the file and its folder; the register is as it was"};
}

Result<std::vector<Row>> Database::ask(const std::string& statement, const std::vector<Value>& bound) {
    sqlite3_stmt* raw = nullptr;
    if (const int code = sqlite3_prepare_v2(handle_, statement.data(), static_cast<int>(statement.size()), &raw, nullptr); code != SQLITE_OK) return error(code);
    const std::unique_ptr<sqlite3_stmt, Finalised> prepared(raw);
    for (std::size_t i = 0; i < bound.size(); ++i)
        if (const int code = bind(raw, static_cast<int>(i) + 1, bound[i]); code != SQLITE_OK) return error(code);
    std::vector<Row> rows;
    int code = SQLITE_OK;
    while ((code = sqlite3_step(raw)) == SQLITE_ROW) {
        Row& row = rows.emplace_back();
        const int columns = sqlite3_column_count(raw);
        row.reserve(static_cast<std::size_t>(columns));
        for (int c = 0; c < columns; ++c) row.push_back(value_at(raw, c));
    }
    if (code != SQLITE_DONE) return error(code);
    return rows;
}

Result<std::int64_t> Database::number(const std::string& statement, const std::vector<Value>& bound) {
    const auto rows = ask(statement, bound);
    if (!rows) return rows.error();
    const std::int64_t* const whole = rows.value().empty() ? nullptr : std::get_if<std::int64_t>(&rows.value().front().front());
    if (whole == nullptr) return error(SQLITE_CORRUPT);
    return *whole;
}

Result<Transaction> Transaction::begin(Database& database) {
    if (const auto begun = database.ask("BEGIN IMMEDIATE"); !begun) return begun.error();
    return Transaction(database);
}

Transaction::Transaction(Transaction&& other) noexcept : database_(std::exchange(other.database_, nullptr)) {}

Transaction::~Transaction() {
    if (database_ != nullptr) static_cast<void>(database_->ask("ROLLBACK"));
}

Result<Done> Transaction::commit() {
    if (const auto done = database_->ask("COMMIT"); !done) return done.error();
    database_ = nullptr;
    return Done{};
}

}  // namespace perisclera
