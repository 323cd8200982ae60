// SPDX-License-Identifier: Apache-2.0
#pragma once
// What stands in for a patient's identifiers, one and the same over all images and dates: references still resolve, intervals still hold.
#include <array>
#include <map>
#include <optional>
#include <string>
#include <string_view>

#include "perisclera/assemble/image_series.h"

namespace perisclera::teaching {

class Replacements {
public:
    using Secret = std::array<unsigned char, 32>;
    using Uids = std::map<std::string, std::string>;
    /// `secret`: drawn anew for each patient; who does not know it cannot tell which UID became which. `first_study`: the earliest date of the case, which becomes
    /// 1960-01-01, so that a shifted date is seen to be one; all others keep their distance in whole days.
    Replacements(Secret secret, StudyDate first_study);
    /// As an earlier export of the same patient left them (reidentification_key.h).
    Replacements(Secret secret, int shift_days, Uids uids) : secret_(secret), shift_days_(shift_days), uids_(std::move(uids)) {}

    /// 2.25.<number> from the keyed SHA-256 of the UID.
    [[nodiscard]] std::string uid(const std::string& original);
    /// A DA value shifted; nullopt where it is no date.
    [[nodiscard]] std::optional<std::string> date(std::string_view original) const;
    /// "TEACH-1a2b3c4d", for name and number.
    [[nodiscard]] std::string pseudonym() const;
    [[nodiscard]] int shift_days() const { return shift_days_; }
    /// Tells whether a patient's number is the one these replacements were made for, to whoever holds the secret.
    [[nodiscard]] std::string mark_of(const PatientText& patient_id) const { return keyed_digest("number " + patient_id.reveal_for_filing()); }
    /// Every UID asked for, with what it became.
    [[nodiscard]] const Uids& uids() const { return uids_; }
    [[nodiscard]] const Secret& secret() const { return secret_; }

private:
    [[nodiscard]] std::string keyed_digest(std::string_view text) const;
    Secret secret_;
    int shift_days_;
    Uids uids_;
};

}  // namespace perisclera::teaching
