// SPDX-License-Identifier: Apache-2.0
#pragma once
// The one look at the clock.
#include "perisclera/report/moment.h"

namespace perisclera::app {

/// Local time; or, for output that can be repeated to the byte, what SOURCE_DATE_EPOCH says in seconds since 1970, as UTC
/// (reproducible-builds.org/specs/source-date-epoch).
report::Moment moment_of_filing();

}  // namespace perisclera::app
