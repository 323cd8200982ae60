// SPDX-License-Identifier: Apache-2.0
#include "src/report/filed_object.h"

#include <dcmtk/config/osconfig.h>
#include <dcmtk/dcmdata/dctk.h>

#include "perisclera/core/text.h"
#include "perisclera/dicom/uid.h"

namespace perisclera::report {

namespace {

void put(DcmDataset& d, const DcmTagKey& tag, const std::string& text) { d.putAndInsertString(tag, text.c_str()); }
void put(DcmDataset& d, const DcmTagKey& tag, const PatientText& text) { put(d, tag, text.reveal_for_filing()); }
void put_if_stated(DcmDataset& d, const DcmTagKey& tag, const PatientText& text) {
    if (!text.empty()) put(d, tag, text);
}

}  // namespace

void put_common_modules(DcmDataset& d, const StudyFiling& study, const FiledSeries& series, const FiledInstance& instance, const Moment& now) {
    put(d, DCM_SpecificCharacterSet, "ISO_IR 192");
    put(d, DCM_PatientName, study.patient_name);
    put(d, DCM_PatientID, study.patient_id);
    put_if_stated(d, DCM_IssuerOfPatientID, study.patient_id_issuer);
    put(d, DCM_PatientBirthDate, study.birth_date);
    put(d, DCM_PatientSex, study.sex);
    put(d, DCM_StudyInstanceUID, study.study_uid);
    put(d, DCM_StudyDate, study.study_date);
    put(d, DCM_StudyTime, study.study_time);
    put(d, DCM_StudyID, study.study_id);
    put(d, DCM_AccessionNumber, study.accession_number);
    put(d, DCM_ReferringPhysicianName, study.referring_physician);
    put_if_stated(d, DCM_StudyDescription, study.study_description);
    put(d, DCM_SeriesInstanceUID, series.uid);
    put(d, DCM_Modality, series.modality);
    put(d, DCM_SeriesNumber, std::to_string(series.number));
    put(d, DCM_SeriesDescription, series.description);
    put(d, DCM_SeriesDate, now.date());
    put(d, DCM_SeriesTime, now.time());
    put(d, DCM_Manufacturer, manufacturer);
    put(d, DCM_ManufacturerModelName, model_name);
    put(d, DCM_DeviceSerialNumber, device_serial_number);
    put(d, DCM_SoftwareVersions, std::string(program_version));
    put(d, DCM_SOPClassUID, instance.sop_class_uid);
    put(d, DCM_SOPInstanceUID, instance.uid);
    put(d, DCM_InstanceNumber, std::to_string(instance.number));
    put(d, DCM_InstanceCreationDate, now.date());
    put(d, DCM_InstanceCreationTime, now.time());
    put(d, DCM_ContentDate, now.date());
    put(d, DCM_ContentTime, now.time());
}

std::string series_description(const ReportModel& model, std::string_view key) {
    const std::string description = say(key);
    return model.simulated ? say("filed.simulated_series", {{"description", description}}) : description;
}

std::string filed_uid(const ReportModel& model, const Moment& now, std::string_view what) {
    std::string text = "filed/" + model.version + "/" + model.reference_table + "/" + now.date() + now.time();
    for (const Option& option : model.options) {
        text += "/" + option.name + "=";
        if (const auto* words = std::get_if<std::string>(&option.value)) text += *words;
        else if (const auto* number = std::get_if<std::int64_t>(&option.value)) text += std::to_string(*number);
        else text += std::get<bool>(option.value) ? "true" : "false";
    }
    for (const Timepoint& visit : model.timepoints)
        for (const SeriesEntry& series : visit.series)
            if (series.used) text += "/" + series.series_uid;
    return uid_from(text + "/" + std::string(what));
}

}  // namespace perisclera::report
