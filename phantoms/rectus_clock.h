// SPDX-License-Identifier: Apache-2.0
#pragma once
// At which clock hour each rectus inserts, as an examiner facing the patient sees it.
#include "anatomy.h"
#include "perisclera/core/eye.h"

namespace perisclera::phantoms {

constexpr double rectus_clock_hour(Eye eye, Rectus rectus) {
    const double nasal = eye == Eye::right ? 3.0 : 9.0;
    switch (rectus) {
        case Rectus::superior:
            return 12.0;
        case Rectus::inferior:
            return 6.0;
        case Rectus::medial:
            return nasal;
        case Rectus::lateral:
            return 12.0 - nasal;
    }
    return 12.0;
}

}  // namespace perisclera::phantoms
