// SPDX-License-Identifier: Apache-2.0
#pragma once
// fhir.json: the report as a FHIR R4 (4.0.1) bundle of type "collection": one DiagnosticReport with its Observations, the explants as BodyStructure and
// Device, the studies, the program as Device, the patient. It is made from report.json, so that every number is rounded once and stands in both alike.
// No extension is used. Codes are those of SNOMED CT, LOINC and HL7 where one is known to fit, and else this program's own (urn:perisclera:code) with text.
// The patient is a pseudonym made from the studies' UIDs; name and number stand in it only where `identity` is given.
#include <string>

#include "perisclera/report/report_model.h"

namespace perisclera::report {

/// `identity`: nullptr leaves it out, and with it the elements' tracking UIDs, which follow from the patient's number. Given, it is the one that
/// render_dicom() gets, so that both name an element alike. Same arguments, same bytes.
std::string to_fhir(const ReportModel& model, const Identity* identity);

}  // namespace perisclera::report
