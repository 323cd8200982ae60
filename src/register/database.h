// SPDX-License-Identifier: Apache-2.0
#pragma once
// A file of SQLite's, asked by statements. Its failures become Errors: bad_value where the file is damaged or no database, else cannot_read or output_failed.
#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>
#include <variant>
#include <vector>

#include "perisclera/core/result.h"

struct sqlite3;

namespace perisclera {

/// NULL, a whole number, a number, a text.
using Value = std::variant<std::monostate, std::int64_t, double, std::string>;
using Row = std::vector<Value>;

class Database {
public:
    enum class Purpose { read, write };
    /// The file must be there; one without rights to write is opened for reading.
    static Result<std::unique_ptr<Database>> open(const std::filesystem::path& path, Purpose purpose);
    Database(const Database&) = delete;
    Database& operator=(const Database&) = delete;
    ~Database();

    /// One statement, with `bound` for its question marks.
    Result<std::vector<Row>> ask(const std::string& statement, const std::vector<Value>& bound = {});
    /// For statements of one number. Error: bad_value where it gives none.
    Result<std::int64_t> number(const std::string& statement, const std::vector<Value>& bound = {});

private:
    Database(sqlite3* handle, Purpose purpose) : handle_(handle), purpose_(purpose) {}
    [[nodiscard]] Error error(int code) const;
    sqlite3* handle_;
    Purpose purpose_;
};

/// What is written while it lives is written together by commit(), or not at all. No other program writes meanwhile.
class Transaction {
public:
    static Result<Transaction> begin(Database& database);
    Transaction(Transaction&& other) noexcept;
    Transaction& operator=(Transaction&&) = delete;
    ~Transaction();
    /// On disk once this returns without an error.
    Result<Done> commit();

private:
    explicit Transaction(Database& database) : database_(&database) {}
    Database* database_;
};

}  // namespace perisclera
