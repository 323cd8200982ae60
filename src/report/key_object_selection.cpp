// SPDX-License-Identifier: Apache-2.0
#include <dcmtk/config/osconfig.h>
#include <dcmtk/dcmdata/dcuid.h>

#include <set>

#include "perisclera/core/text.h"
#include "perisclera/dicom/uid.h"
#include "src/report/filing_study.h"
#include "src/report/key_image_object.h"

namespace perisclera::report {

namespace {

constexpr int series_number = 9400;

}  // namespace

Result<std::string> key_object_selection_bytes(const ReportModel& model, const Identity& identity, const std::vector<FiledPicture>& pictures, const std::string& study_uid, const Moment& now) {
    ContentTree tree(ContentTree::Kind::key_object_selection, codes::of_interest);
    tree.code(Relation::concept_modifier, codes::language, codes::english);
    tree.code(Relation::observation_context, codes::observer_type, codes::device);
    tree.uid(Relation::observation_context, codes::device_uid, uid_from(device_observer));
    tree.text(Relation::observation_context, codes::device_name, model_name);
    tree.text(Relation::contains, codes::key_object_description, say(model.simulated ? "filed.key_objects_content_simulated" : "filed.key_objects_content"));
    std::set<std::pair<std::string, int>> shown;   // a slice that two pictures show is named once
    for (const FiledPicture& picture : pictures) {
        if (picture.capture.study_uid != study_uid) continue;
        const InstanceReference& source = picture.nearest_source;
        if (!source.sop_instance_uid.empty() && shown.insert({source.sop_instance_uid, picture.nearest_frame}).second) {
            tree.image(Relation::contains, nullptr, source, {.frame = picture.nearest_frame});
            tree.evidence(source, true);
        }
        tree.image(Relation::contains, nullptr, picture.capture);
        tree.evidence(picture.capture, true);
    }
    return tree.bytes(filing_of(identity, study_uid), {filed_uid(model, now, "key object series/" + study_uid), "KO", series_description(model, "filed.key_objects"), series_number},
                      {UID_KeyObjectSelectionDocumentStorage, filed_uid(model, now, "key objects/" + study_uid), 1}, now);
}

}  // namespace perisclera::report
