// SPDX-License-Identifier: Apache-2.0
#pragma once
// One-time set-up of the DICOM library.

namespace perisclera {

/// Silences its log (it may quote the patient's data), registers the decoders and loads the dictionary: before threads are made. Cheap
/// to call again.
void prepare_dicom_library();

}  // namespace perisclera
