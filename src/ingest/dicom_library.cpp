// SPDX-License-Identifier: Apache-2.0
#include "dicom_library.h"

#include <dcmtk/config/osconfig.h>
// osconfig.h comes first by the library's rule.
#include <dcmtk/dcmdata/dcdict.h>
#include <dcmtk/dcmdata/dcrledrg.h>
#include <dcmtk/dcmjpeg/djdecode.h>
#include <dcmtk/dcmjpls/djdecode.h>
#include <dcmtk/oflog/oflog.h>

#include <mutex>

namespace perisclera {

void prepare_dicom_library() {
    static std::once_flag once;
    std::call_once(once, [] {
        OFLog::configure(OFLogger::OFF_LOG_LEVEL);
        DcmRLEDecoderRegistration::registerCodecs();
        DJDecoderRegistration::registerCodecs();
        DJLSDecoderRegistration::registerCodecs();
        // Its dictionary is otherwise loaded by the first thread that asks; should memory end there, the lock stays closed to all others.
        dcmDataDict.rdlock();
        dcmDataDict.rdunlock();
    });
}

}  // namespace perisclera
