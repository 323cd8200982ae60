// SPDX-License-Identifier: Apache-2.0
#pragma once
// Elements keep their name from date to date.
#include <array>
#include <string>
#include <vector>

#include "visit_analysis.h"

namespace perisclera {

class ElementNames {
public:
    /// Names of the elements of an eye, date after date: "R1", "L2". Each is matched to the last date that shows it; what lies about one place is one element, and so is what lies
    /// within an element, or about one, that has no match of its own.
    std::vector<std::string> name(Eye eye, const std::vector<AnalysedElement>& elements);

private:
    struct Known {
        std::string name;
        ElementMeasurements measured;
        FoundElement found;
    };
    std::array<std::vector<Known>, 2> known_;
};

}  // namespace perisclera
