// SPDX-License-Identifier: Apache-2.0
// A study date comes from a checked value only.
// refused: is private within this context
#include "perisclera/assemble/image_series.h"

using namespace perisclera;

bool good() { return StudyDate::from_dicom("20240229").ok(); }
#ifdef BAD
StudyDate bad{2023, 2, 29};
#endif
