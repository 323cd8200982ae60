// SPDX-License-Identifier: Apache-2.0
#include "clock.h"

#include <charconv>
#include <cstdlib>
#include <cstring>
#include <ctime>
#include <optional>

namespace perisclera::app {

namespace {

std::optional<std::time_t> stated_epoch() {
    const char* const text = std::getenv("SOURCE_DATE_EPOCH");
    if (text == nullptr) return std::nullopt;
    const char* const end = text + std::strlen(text);
    std::time_t seconds = 0;
    const auto [stopped, error] = std::from_chars(text, end, seconds);
    constexpr std::time_t year_10000 = 253402300800;
    return error == std::errc() && stopped == end && seconds >= 0 && seconds < year_10000 ? std::optional(seconds) : std::nullopt;
}

}  // namespace

report::Moment moment_of_filing() {
    const std::optional<std::time_t> stated = stated_epoch();
    const std::time_t now = stated ? *stated : std::time(nullptr);
    std::tm parts{};
    if (stated) ::gmtime_r(&now, &parts);
    else ::localtime_r(&now, &parts);
    return {parts.tm_year + 1900, parts.tm_mon + 1, parts.tm_mday, parts.tm_hour, parts.tm_min, parts.tm_sec};
}

}  // namespace perisclera::app
