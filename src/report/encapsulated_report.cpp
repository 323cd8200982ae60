// SPDX-License-Identifier: Apache-2.0
#include "src/report/encapsulated_report.h"

#include <dcmtk/config/osconfig.h>
#include <dcmtk/dcmdata/dctk.h>

#include "perisclera/core/text.h"
#include "perisclera/dicom/part10.h"
#include "src/report/filed_object.h"
#include "src/report/filing_study.h"

namespace perisclera::report {

namespace {

constexpr int series_number = 9500;

void put(DcmItem& d, const DcmTagKey& tag, const std::string& text) { d.putAndInsertString(tag, text.c_str()); }

}  // namespace

Result<std::string> encapsulated_report_bytes(const ReportModel& model, const Identity& identity, const std::string& pdf, const Moment& now) {
    DcmDataset d;
    put_common_modules(d, filing_of(identity, filing_study_uid(model.timepoints.back())),
                       {filed_uid(model, now, "encapsulated report series"), "DOC", series_description(model, "filed.report"), series_number},
                       {UID_EncapsulatedPDFStorage, filed_uid(model, now, "encapsulated report"), 1}, now);
    put(d, DCM_ConversionType, "WSD");
    put(d, DCM_AcquisitionDateTime, "");
    put(d, DCM_BurnedInAnnotation, "YES");   // its header names the patient
    put(d, DCM_DocumentTitle, say("filed.report_title"));
    put(d, DCM_VerificationFlag, "UNVERIFIED");
    DcmItem* name_of_it = nullptr;
    d.findOrCreateSequenceItem(DCM_ConceptNameCodeSequence, name_of_it);
    put(*name_of_it, DCM_CodeValue, "18748-4");
    put(*name_of_it, DCM_CodingSchemeDesignator, "LN");
    put(*name_of_it, DCM_CodeMeaning, "Diagnostic Imaging Report");
    put(d, DCM_MIMETypeOfEncapsulatedDocument, "application/pdf");
    d.putAndInsertUint32(DCM_EncapsulatedDocumentLength, static_cast<Uint32>(pdf.size()));
    std::string even = pdf;
    if (even.size() % 2 != 0) even += '\0';
    d.putAndInsertUint8Array(DCM_EncapsulatedDocument, reinterpret_cast<const Uint8*>(even.data()), even.size());
    return part10_bytes(d);
}

}  // namespace perisclera::report
