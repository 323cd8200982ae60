// SPDX-License-Identifier: Apache-2.0
#pragma once
// Invented entries for a clinic's register.
#include <string>

#include "perisclera/register/register_entry.h"

namespace perisclera::test {

inline StudyDate day(const std::string& digits) { return StudyDate::from_dicom(digits).value(); }

/// A hydrogel in the right eye, centred at one o'clock, measured once.
ElementRecord element(const std::string& measured_on, double volume);

/// One result of one patient, made of one series for each name.
RegisterEntry entry(const std::string& patient_id, const std::string& last_scan, const std::vector<std::string>& series, std::vector<ElementRecord> elements);

/// The `number`th patient of a clinic: drawn from its number alone, with or without element, comparison, rate and volume. One in seven is simulated.
RegisterEntry drawn_entry(int number);

}  // namespace perisclera::test
