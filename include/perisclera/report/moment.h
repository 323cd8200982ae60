// SPDX-License-Identifier: Apache-2.0
#pragma once
// When objects are made, by the local clock of whoever asks for them: libraries look at no clock.
#include <cassert>
#include <string>

namespace perisclera::report {

class Moment {
public:
    /// Precondition: a moment of the calendar, the year of four digits.
    Moment(int year, int month, int day, int hour, int minute, int second) {
        assert(year >= 1000 && year <= 9999 && month >= 1 && month <= 12 && day >= 1 && day <= 31);
        assert(hour >= 0 && hour <= 23 && minute >= 0 && minute <= 59 && second >= 0 && second <= 60);
        date_ = digits(year) + digits(month) + digits(day);
        time_ = digits(hour) + digits(minute) + digits(second);
    }
    [[nodiscard]] const std::string& date() const { return date_; }   ///< DICOM DA, "YYYYMMDD"
    [[nodiscard]] const std::string& time() const { return time_; }   ///< DICOM TM, "HHMMSS"

private:
    static std::string digits(int n) { return (n < 10 ? "0" : "") + std::to_string(n); }
    std::string date_, time_;
};

}  // namespace perisclera::report
