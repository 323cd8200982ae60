// SPDX-License-Identifier: Apache-2.0
#include "perisclera/core/text.h"
#include "perisclera/report/report_model.h"

namespace perisclera::report {

std::string_view statement() {
    static const std::string text = say("caution.statement");
    return text;
}

}  // namespace perisclera::report
