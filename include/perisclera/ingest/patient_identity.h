// SPDX-License-Identifier: Apache-2.0
#pragma once
// Who an image says it shows. Comparable, never printable. What is not stated contradicts nothing and confirms nothing.
// Source: PS3.3 C.7.1.1 (Patient ID and its issuer, birth date, sex).
#include <string>
#include <tuple>

namespace perisclera {

class PatientIdentity {
public:
    struct Stated {
        std::string id, issuer, name;
        std::string birth_date;  ///< DA as written
        std::string sex;         ///< M, F, O
        std::string study_uid;
    };
    PatientIdentity() = default;
    explicit PatientIdentity(const Stated& stated);

    /// One patient by number: the same ID, of the same issuer where both name one. Without an ID the name stands for it; without either,
    /// images of one study belong together and nothing else does.
    [[nodiscard]] bool same_number(const PatientIdentity& other) const;
    /// Different birth dates, or one male and one female.
    [[nodiscard]] bool contradicts(const PatientIdentity& other) const;
    /// The second check: the same birth date, and nothing against it.
    [[nodiscard]] bool confirmed_by(const PatientIdentity& other) const;

    auto operator<=>(const PatientIdentity&) const = default;

private:
    std::string number_, issuer_, birth_date_, sex_;
};

}  // namespace perisclera
