// SPDX-License-Identifier: Apache-2.0
#include "perisclera/assemble/image_series.h"

#include <charconv>
#include <chrono>

namespace perisclera {

std::string_view name(SeriesRole role) {
    switch (role) {
        case SeriesRole::ct_soft: return "ct_soft";
        case SeriesRole::ct_bone: return "ct_bone";
        case SeriesRole::t1: return "t1";
        case SeriesRole::t1_fatsat: return "t1_fatsat";
        case SeriesRole::t1_contrast: return "t1_contrast";
        case SeriesRole::t1_contrast_fatsat: return "t1_contrast_fatsat";
        case SeriesRole::t2: return "t2";
        case SeriesRole::t2_fatsat: return "t2_fatsat";
        case SeriesRole::stir: return "stir";
        case SeriesRole::flair: return "flair";
        case SeriesRole::pd: return "pd";
        case SeriesRole::dwi: return "dwi";
        case SeriesRole::gre: return "gre";
        case SeriesRole::localizer: return "localizer";
        case SeriesRole::derived: return "derived";
        case SeriesRole::other: return "other";
        case SeriesRole::unknown: return "unknown";
    }
    return "unknown";
}

std::string_view name(Confidence confidence) {
    switch (confidence) {
        case Confidence::low: return "low";
        case Confidence::moderate: return "moderate";
        case Confidence::high: return "high";
    }
    return "low";
}

namespace {

std::chrono::sys_days to_days(int y, int m, int d) {
    return std::chrono::year(y) / std::chrono::month(static_cast<unsigned>(m)) / std::chrono::day(static_cast<unsigned>(d));
}

std::string padded(int number, std::size_t width) {
    std::string digits = std::to_string(number);
    return std::string(width - std::min(width, digits.size()), '0') + digits;
}

}  // namespace

Result<StudyDate> StudyDate::from_dicom(std::string_view text) {
    while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
    const auto bad = Error{ErrorCode::bad_value, "a study date is not a calendar date", "study", "correct the date in the archive and export again"};
    if (text.size() != 8) return bad;
    for (const char c : text)
        if (c < '0' || c > '9') return bad;
    const auto number = [&](std::size_t from, std::size_t count) {
        int value = 0;
        std::from_chars(text.data() + from, text.data() + from + count, value);
        return value;
    };
    const StudyDate date(number(0, 4), number(4, 2), number(6, 2));
    const std::chrono::year_month_day calendar{std::chrono::year(date.year_), std::chrono::month(static_cast<unsigned>(date.month_)),
                                               std::chrono::day(static_cast<unsigned>(date.day_))};
    if (!calendar.ok() || date.year_ < 1900) return bad;
    return date;
}

std::string StudyDate::iso() const { return padded(year_, 4) + "-" + padded(month_, 2) + "-" + padded(day_, 2); }

int StudyDate::days_since(StudyDate earlier) const {
    return static_cast<int>((to_days(year_, month_, day_) - to_days(earlier.year_, earlier.month_, earlier.day_)).count());
}

}  // namespace perisclera
