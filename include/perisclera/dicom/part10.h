// SPDX-License-Identifier: Apache-2.0
#pragma once
// A data set as the bytes of a DICOM file (PS3.10), explicit little endian, nothing compressed. Equal data sets give equal bytes.
#include <string>

#include "perisclera/core/result.h"

class DcmDataset;

namespace perisclera {

/// The data set must hold its SOP class and instance UID. Error: internal_fault.
Result<std::string> part10_bytes(const DcmDataset& data_set);

/// A number as DICOM decimal string (DS): at most 16 characters, ten significant digits where they fit, "." whatever the locale.
std::string decimal_string(double value);

}  // namespace perisclera
