// SPDX-License-Identifier: Apache-2.0
// Text that may name the patient cannot be streamed.
// refused: no match for 'operator<<'
#include <ostream>

#include "perisclera/core/patient_text.h"

using namespace perisclera;

void good(std::ostream& out, const PatientText& text) { out << text.empty(); }
#ifdef BAD
void bad(std::ostream& out, const PatientText& text) { out << text; }
#endif
