// SPDX-License-Identifier: Apache-2.0
#include "perisclera/register/patient_register.h"

#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <set>

#include "database.h"
#include "element_row.h"
#include "merge.h"
#include "perisclera/core/hmac.h"
#include "refusals.h"
#include "schema.h"
#include "statements.h"

namespace perisclera {

namespace {

namespace fs = std::filesystem;

std::string text_of(const Value& value) {
    const auto* text = std::get_if<std::string>(&value);
    return text ? *text : std::string();
}

Value value_of(const std::optional<std::string>& text) { return text ? Value(*text) : Value(); }

/// For its owner alone from the first byte on. Nothing where it is there.
Result<Done> make_file(const fs::path& path) {
    const int made = ::open(path.c_str(), O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    if (made < 0 && errno != EEXIST) return Error{ErrorCode::output_failed, "the register cannot be made", "--register", "check its folder's rights and free space"};
    if (made >= 0) ::close(made);
    return Done{};
}

Result<std::unique_ptr<Database>> open_file(const fs::path& path, Database::Purpose purpose) {
    std::error_code unreadable;
    const auto kind = fs::status(path, unreadable).type();
    if (kind == fs::file_type::not_found) return Error{ErrorCode::cannot_read, "there is no register of this name", "--register", "name one that identify or track wrote"};
    if (kind == fs::file_type::none) return Error{ErrorCode::cannot_read, "the register cannot be read", "--register", "check its rights and those of its folder"};
    if (kind != fs::file_type::regular) return Error{ErrorCode::not_a_file, "the register is no regular file", "--register", "name a file"};
    // SQLite takes a file of a single byte for an empty one and would write over it.
    if (fs::file_size(path, unreadable) == 1) return no_register();
    return Database::open(path, purpose);
}

std::string order_by(ListOrder order) {
    switch (order) {
        case ListOrder::patient: break;
        case ListOrder::last_scan: return "last_scan, ";
        case ListOrder::rate: return "rate DESC NULLS LAST, ";
        case ListOrder::verdict: return "verdict NULLS LAST, ";
        case ListOrder::volume: return "volume DESC NULLS LAST, ";
        case ListOrder::next_contact: return "nullif(next_contact, '') NULLS LAST, ";
    }
    return "";
}

/// All series that were entered for this patient are among those of the entry.
Result<bool> covers(Database& database, std::int64_t patient, const RegisterEntry& entry) {
    const auto known = database.ask(statements::series_of, {patient});
    if (!known) return known.error();
    const std::set<std::string> given(entry.series_digests.begin(), entry.series_digests.end());
    return std::all_of(known.value().begin(), known.value().end(), [&](const Row& row) { return given.contains(text_of(row.front())); });
}

Result<std::vector<ElementRecord>> elements_of(Database& database, std::int64_t patient) {
    const auto rows = database.ask(statements::elements_of, {patient});
    if (!rows) return rows.error();
    std::vector<ElementRecord> elements;
    for (const Row& row : rows.value()) {
        const auto element = element_of(row, 0);
        if (!element) return damaged_register();
        elements.push_back(*element);
    }
    return elements;
}

Result<Done> write_findings(Database& database, std::int64_t patient, const RegisterEntry& entry, const std::vector<ElementRecord>& elements) {
    if (const auto removed = database.ask(statements::remove_elements, {patient}); !removed) return removed.error();
    for (const ElementRecord& element : elements)
        if (const auto added = database.ask(statements::add_element, values_of(patient, element)); !added) return added.error();
    for (const std::string& digest : entry.series_digests)
        if (const auto added = database.ask(statements::add_series, {patient, digest}); !added) return added.error();
    if (const auto added = database.ask(statements::add_result, {patient, entry.result_digest}); !added) return added.error();
    return Done{};
}

}  // namespace

PatientRegister::PatientRegister(std::unique_ptr<Database> database, std::string secret) : database_(std::move(database)), secret_(std::move(secret)) {}
PatientRegister::PatientRegister(PatientRegister&&) noexcept = default;
PatientRegister::~PatientRegister() = default;

Result<PatientRegister> PatientRegister::open(const fs::path& path, Purpose purpose) {
    auto database = open_file(path, purpose == Purpose::list ? Database::Purpose::read : Database::Purpose::write);
    if (!database) return database.error();
    if (const auto checked = check_schema(*database.value(), path); !checked) return checked.error();
    const auto secret = database.value()->ask(statements::secret);
    if (!secret) return secret.error();
    if (secret.value().size() != 1) return damaged_register();
    return PatientRegister(std::move(database).value(), text_of(secret.value().front().front()));
}

Result<PatientRegister> PatientRegister::open_or_make(const fs::path& path, const Secret& secret) {
    if (const auto made = make_file(path); !made) return made.error();
    auto database = open_file(path, Database::Purpose::write);
    if (!database) return database.error();
    const auto empty = is_empty(*database.value());
    if (!empty) return empty.error();
    if (empty.value())
        if (const auto made = make_schema(*database.value(), hexadecimal(secret)); !made) return made.error();
    return open(path, Purpose::enter);
}

Result<Done> PatientRegister::try_writing() {
    const auto transaction = Transaction::begin(*database_);
    if (!transaction) return transaction.error();
    const auto written = database_->ask(statements::touch_secret);  // is never committed
    if (!written) return written.error();
    return Done{};
}

std::string PatientRegister::key_of(const PatientText& patient_id, const PatientText& issuer) const {
    // No text of DICOM holds the character between the two.
    const std::string whose = issuer.reveal_for_filing() + '\0' + patient_id.reveal_for_filing();
    const std::span<const unsigned char> key(reinterpret_cast<const unsigned char*>(secret_.data()), secret_.size());
    return "P" + hexadecimal(hmac_sha256(key, whose)).substr(0, 16);
}

Result<EntryOutcome> PatientRegister::enter(const RegisterEntry& entry) {
    const std::string key = key_of(entry.patient_id, entry.patient_id_issuer);
    auto transaction = Transaction::begin(*database_);
    if (!transaction) return transaction.error();
    const auto known = database_->number(statements::results_like, {key, entry.result_digest});
    if (!known) return known.error();
    if (known.value() == 0) {
        if (const auto added = database_->ask(statements::add_patient, {key, std::int64_t{entry.simulated}, entry.last_scan.iso()}); !added) return added.error();
        const auto patient = database_->number(statements::patient_of_key, {key});
        if (!patient) return patient.error();
        const auto all = covers(*database_, patient.value(), entry);
        if (!all) return all.error();
        auto stored = elements_of(*database_, patient.value());
        if (!stored) return stored.error();
        const auto elements = merged(std::move(stored).value(), entry, all.value());
        if (!elements) return EntryOutcome::place_differs;
        if (const auto written = write_findings(*database_, patient.value(), entry, *elements); !written) return written.error();
    }
    if (entry.patient_name)
        if (const auto kept = database_->ask(statements::keep_identity, {key, entry.patient_id.reveal_for_filing(), entry.patient_name->reveal_for_filing()}); !kept) return kept.error();
    if (const auto done = transaction.value().commit(); !done) return done.error();
    return known.value() == 0 ? EntryOutcome::entered : EntryOutcome::known_already;
}

Result<bool> PatientRegister::review(const std::string& patient, const Review& review) {
    auto transaction = Transaction::begin(*database_);
    if (!transaction) return transaction.error();
    const auto known = database_->ask(statements::patient_of_key, {patient});
    if (!known) return known.error();
    if (known.value().empty()) return false;
    const auto written = database_->ask(statements::review, {patient, value_of(review.reviewed_by), value_of(review.reviewed_on), value_of(review.next_contact)});
    if (!written) return written.error();
    if (const auto done = transaction.value().commit(); !done) return done.error();
    return true;
}

Result<std::vector<RegisterRow>> PatientRegister::rows(ListOrder order, bool with_identity) {
    const std::string statement = std::string(with_identity ? statements::list_with_identity : statements::list) + statements::list_elements + order_by(order) + statements::list_ties;
    const auto found = database_->ask(statement);
    if (!found) return found.error();
    std::vector<RegisterRow> rows;
    rows.reserve(found.value().size());
    for (const Row& row : found.value()) {
        const auto last_scan = date_of(text_of(row[4]));
        if (!last_scan) return damaged_register();
        RegisterRow& told = rows.emplace_back(RegisterRow{text_of(row[0]), PatientText(text_of(row[2])), PatientText(text_of(row[1])), row[3] == Value(std::int64_t{1}), *last_scan,
                                                          text_of(row[5]), text_of(row[6]), text_of(row[7]), std::nullopt});
        constexpr std::size_t first_of_element = 8;
        if (row[first_of_element] == Value()) continue;
        told.element = element_of(row, first_of_element);
        if (!told.element) return damaged_register();
    }
    return rows;
}

}  // namespace perisclera
