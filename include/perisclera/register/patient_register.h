// SPDX-License-Identifier: Apache-2.0
#pragma once
// A clinic's register of patients with their elements, last scans, rates and verdicts, and of what a clinician entered beside them: one file (SQLite 3).
//
// Each entry is one transaction, on disk before it is acknowledged; several programs may write at once, and one that is killed leaves a whole entry or none.
// Patients stand under pseudonymous keys, the keyed digest (HMAC-SHA-256, RFC 2104) of issuer and patient ID; the secret lies in the file, which is made for
// its owner alone to read. Name and patient ID are kept only where an entry brings them along.
//
// Errors when opening: cannot_read, not_a_file, bad_value (no register, of a newer version, damaged); nothing is changed then. When writing: output_failed.
#include <array>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "perisclera/core/result.h"
#include "perisclera/register/register_entry.h"

namespace perisclera {

class Database;

/// What a clinician enters. Nothing of it is ever computed or suggested.
struct Review {
    std::optional<std::string> reviewed_by, reviewed_on, next_contact;  ///< dates as YYYY-MM-DD; nothing: as it stands; empty: taken back
};

/// One line of the clinic list: an element, or a patient of whom none is entered.
struct RegisterRow {
    std::string patient;                            ///< pseudonymous key
    PatientText name, patient_id;                   ///< empty unless asked for and kept
    bool simulated;
    StudyDate last_scan;                            ///< of the patient
    std::string reviewed_by, reviewed_on, next_contact;
    std::optional<ElementRecord> element;
};

/// Dates from the earliest on, volumes and rates from the largest down, words and keys by their letters; what has no value comes last.
enum class ListOrder { patient, last_scan, rate, verdict, volume, next_contact };

/// `place_differs`: nothing was entered, since an element of the same name lies elsewhere and not all images entered before are among those of this result.
enum class EntryOutcome { entered, known_already, place_differs };

class PatientRegister {
public:
    using Secret = std::array<unsigned char, 32>;
    enum class Purpose { list, enter };

    static Result<PatientRegister> open(const std::filesystem::path& path, Purpose purpose);
    /// Makes the register where there is none, or an empty file. `secret`: drawn for it; unused where it is there.
    static Result<PatientRegister> open_or_make(const std::filesystem::path& path, const Secret& secret);
    PatientRegister(PatientRegister&&) noexcept;
    ~PatientRegister();

    /// Whether an entry could be written now; none is.
    Result<Done> try_writing();
    /// The same result again changes nothing. A result of all images entered so far replaces what is there of the eyes it looked at; any other brings
    /// later findings up to date and leaves the rest.
    Result<EntryOutcome> enter(const RegisterEntry& entry);
    /// False: no such patient.
    Result<bool> review(const std::string& patient, const Review& review);
    Result<std::vector<RegisterRow>> rows(ListOrder order, bool with_identity);
    /// "P" and 16 hexadecimal digits: no spreadsheet takes it for a number.
    [[nodiscard]] std::string key_of(const PatientText& patient_id, const PatientText& issuer) const;

private:
    PatientRegister(std::unique_ptr<Database> database, std::string secret);
    std::unique_ptr<Database> database_;
    std::string secret_;
};

}  // namespace perisclera
