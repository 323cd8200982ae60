// SPDX-License-Identifier: Apache-2.0
#pragma once
// The statements that ask and fill a register's tables (schema.cpp).

namespace perisclera::statements {

inline constexpr auto secret = "SELECT hexadecimal FROM secret";
inline constexpr auto touch_secret = "UPDATE secret SET hexadecimal = hexadecimal";

inline constexpr auto add_patient = "INSERT INTO patient (key, simulated, last_scan) VALUES (?, ?, ?) "
                                    "ON CONFLICT (key) DO UPDATE SET simulated = max(simulated, excluded.simulated), last_scan = max(last_scan, excluded.last_scan)";
inline constexpr auto patient_of_key = "SELECT id FROM patient WHERE key = ?";
inline constexpr auto keep_identity = "UPDATE patient SET patient_id = ?2, name = ?3 WHERE key = ?1 AND (patient_id IS NOT ?2 OR name IS NOT ?3)";

inline constexpr auto results_like = "SELECT count(*) FROM result JOIN patient ON patient = id WHERE key = ? AND digest = ?";
inline constexpr auto add_result = "INSERT INTO result VALUES (?, ?)";
inline constexpr auto series_of = "SELECT digest FROM series WHERE patient = ?";
inline constexpr auto add_series = "INSERT OR IGNORE INTO series VALUES (?, ?)";

inline constexpr auto elements_of = "SELECT eye, id, form, middle, measured_on, volume, volume_low, volume_high, volume_why, material, probability, rate, rate_low, rate_high, rate_why, "
                                    "changed_on, verdict, smallest_detectable FROM element WHERE patient = ? ORDER BY eye DESC, id";
inline constexpr auto remove_elements = "DELETE FROM element WHERE patient = ?";
inline constexpr auto add_element = "INSERT INTO element VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)";

inline constexpr auto review = "UPDATE patient SET reviewed_by = ifnull(?2, reviewed_by), reviewed_on = ifnull(?3, reviewed_on), next_contact = ifnull(?4, next_contact) WHERE key = ?1";

/// Begins a list; identity, if wanted, takes the place of the two empty texts. An order follows, then `list_ties`.
inline constexpr auto list = "SELECT key, '', '', simulated, last_scan, reviewed_by, reviewed_on, next_contact, ";
inline constexpr auto list_with_identity = "SELECT key, ifnull(patient_id, ''), ifnull(name, ''), simulated, last_scan, reviewed_by, reviewed_on, next_contact, ";
inline constexpr auto list_elements = "eye, element.id, form, middle, measured_on, volume, volume_low, volume_high, volume_why, material, probability, rate, rate_low, rate_high, rate_why, "
                                      "changed_on, verdict, smallest_detectable FROM patient LEFT JOIN element ON patient = patient.id ORDER BY ";
inline constexpr auto list_ties = "key, eye DESC, element.id";

}  // namespace perisclera::statements
