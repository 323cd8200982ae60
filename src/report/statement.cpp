// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/report_model.h"

namespace perisclera::report {

std::string_view statement() {
    return "Not a medical device. Unverified machine output. Made to help trained readers find and measure scleral-buckle explants on CT and MR "
           "that was acquired for other reasons; it neither diagnoses nor recommends treatment. Licensed clinicians and local rules decide. Every "
           "value must be checked against the images and the operation record; an explant that was not found may still be there.";
}

}  // namespace perisclera::report
