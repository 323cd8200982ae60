// SPDX-License-Identifier: Apache-2.0
#include "perisclera/teaching/replacements.h"

#include <algorithm>
#include <charconv>
#include <chrono>
#include <cstdio>

#include "perisclera/core/sha256.h"
#include "perisclera/dicom/uid.h"

namespace perisclera::teaching {

namespace {

std::optional<std::chrono::sys_days> day_of(std::string_view da) {
    while (!da.empty() && da.back() == ' ') da.remove_suffix(1);
    if (da.size() != 8 || !std::all_of(da.begin(), da.end(), [](char c) { return c >= '0' && c <= '9'; })) return std::nullopt;
    const auto number = [&](std::size_t from, std::size_t count) {
        int value = 0;
        std::from_chars(da.data() + from, da.data() + from + count, value);
        return value;
    };
    const std::chrono::year_month_day date{std::chrono::year(number(0, 4)), std::chrono::month(static_cast<unsigned>(number(4, 2))), std::chrono::day(static_cast<unsigned>(number(6, 2)))};
    return date.ok() ? std::optional<std::chrono::sys_days>(date) : std::nullopt;
}

}  // namespace

Replacements::Replacements(Secret secret, StudyDate first_study)
    : secret_(secret), shift_days_(StudyDate::from_dicom("19600101").value().days_since(first_study)) {}

std::string Replacements::keyed_digest(std::string_view text) const {
    // Twice, with the secret first each time, as HMAC does it (RFC 2104): nothing can be appended to what was digested.
    const auto inner = Sha256().add("inner").add(secret_).add(text).digest();
    return hexadecimal(Sha256().add("outer").add(secret_).add(inner).digest());
}

std::string Replacements::uid(const std::string& original) {
    if (original.empty()) return {};
    return uids_.try_emplace(original, uid_from(keyed_digest("uid " + original))).first->second;
}

std::optional<std::string> Replacements::date(std::string_view original) const {
    const auto day = day_of(original);
    if (!day) return std::nullopt;
    const std::chrono::year_month_day shifted(*day + std::chrono::days(shift_days_));
    char text[32];
    std::snprintf(text, sizeof text, "%04d%02u%02u", static_cast<int>(shifted.year()), static_cast<unsigned>(shifted.month()), static_cast<unsigned>(shifted.day()));
    return std::string(text);
}

std::string Replacements::pseudonym() const { return "TEACH-" + keyed_digest("patient").substr(0, 8); }

}  // namespace perisclera::teaching
