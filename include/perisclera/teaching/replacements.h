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
    /// `secret`: drawn anew for each teaching file; who does not know it cannot tell which UID became which. `first_study`: the earliest date of the case, which becomes
    /// 1960-01-01, so that a shifted date is seen to be one; all others keep their distance in whole days.
    Replacements(Secret secret, StudyDate first_study);

    /// 2.25.<number> from the keyed SHA-256 of the UID.
    [[nodiscard]] std::string uid(const std::string& original);
    /// A DA value shifted; nullopt where it is no date.
    [[nodiscard]] std::optional<std::string> date(std::string_view original) const;
    /// "TEACH-1a2b3c4d", for name and number.
    [[nodiscard]] std::string pseudonym() const;
    [[nodiscard]] int shift_days() const { return shift_days_; }
    /// Every UID asked for, with what it became.
    [[nodiscard]] const std::map<std::string, std::string>& uids() const { return uids_; }

private:
    [[nodiscard]] std::string keyed_digest(std::string_view text) const;
    Secret secret_;
    int shift_days_;
    std::map<std::string, std::string> uids_;
};

}  // namespace perisclera::teaching
