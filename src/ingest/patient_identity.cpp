// SPDX-License-Identifier: Apache-2.0
#include "perisclera/ingest/patient_identity.h"

#include <algorithm>

namespace perisclera {

namespace {

/// A day of the calendar: eight digits that are not placeholders for "unknown".
bool is_day(const std::string& date) {
    return date.size() == 8 && std::all_of(date.begin(), date.end(), [](char c) { return c >= '0' && c <= '9'; }) && date.substr(0, 4) != "0000";
}

}  // namespace

PatientIdentity::PatientIdentity(const Stated& stated) : issuer_(stated.issuer) {
    // Kinds are kept apart: no name equals a number.
    number_ = !stated.id.empty() ? "id " + stated.id : !stated.name.empty() ? "name " + stated.name : "study " + stated.study_uid;
    if (is_day(stated.birth_date)) birth_date_ = stated.birth_date;
    if (stated.sex == "M" || stated.sex == "F") sex_ = stated.sex;
}

bool PatientIdentity::same_number(const PatientIdentity& other) const {
    return number_ == other.number_ && (issuer_.empty() || other.issuer_.empty() || issuer_ == other.issuer_);
}

bool PatientIdentity::contradicts(const PatientIdentity& other) const {
    const auto differ = [](const std::string& a, const std::string& b) { return !a.empty() && !b.empty() && a != b; };
    return differ(birth_date_, other.birth_date_) || differ(sex_, other.sex_);
}

bool PatientIdentity::confirmed_by(const PatientIdentity& other) const { return !birth_date_.empty() && birth_date_ == other.birth_date_ && !contradicts(other); }

}  // namespace perisclera
