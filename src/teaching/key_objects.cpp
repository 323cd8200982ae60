// SPDX-License-Identifier: Apache-2.0
#include "perisclera/teaching/key_objects.h"

#include <dcmtk/config/osconfig.h>
#include <dcmtk/dcmdata/dcuid.h>

#include "perisclera/core/text.h"
#include "perisclera/dicom/uid.h"
#include "src/report/key_image_object.h"

namespace perisclera::teaching {

namespace {

constexpr int series_number = 9400;

/// Midnight: the images have no time of day, and when the teaching file is made is nobody's business.
report::Moment day_of(const Visit& visit) {
    const std::string iso = visit.date.iso();
    return {std::stoi(iso.substr(0, 4)), std::stoi(iso.substr(5, 2)), std::stoi(iso.substr(8, 2)), 0, 0, 0};
}

Result<std::string> selection_of(const Visit& visit, const StudyFiling& study) {
    using namespace report;
    ContentTree tree(ContentTree::Kind::key_object_selection, codes::for_teaching);
    bool simulated = false;
    for (const ImageSeries& series : visit.series) simulated = simulated || series.description.simulated;
    begin_selection(tree, (simulated ? say("teachkeys.simulated") + " " : "") + say("teachkeys.description"));
    for (const ImageSeries& series : visit.series) {
        if (series.description.study_uid != study.study_uid) continue;
        for (const SourceSlice& slice : series.slices) {
            const InstanceReference image{study.study_uid, series.description.series_uid, slice.sop_class_uid, slice.sop_instance_uid};
            tree.image(Relation::contains, nullptr, image);
            tree.evidence(image, true);
        }
    }
    // The study's UID is a replacement by the secret of this teaching file, so what is made of it tells no more.
    return tree.bytes(study, {uid_from("perisclera teaching key object series\n" + study.study_uid), "KO", say("teachkeys.series"), series_number},
                      {UID_KeyObjectSelectionDocumentStorage, uid_from("perisclera teaching key objects\n" + study.study_uid), 1, true}, day_of(visit));
}

}  // namespace

Result<std::vector<report::OutputFile>> key_object_selections(const PatientStudies& deidentified) {
    std::vector<report::OutputFile> files;
    for (const Visit& visit : deidentified.visits)
        for (const StudyFiling& study : visit.studies) {
            auto bytes = selection_of(visit, study);
            if (!bytes) return bytes.error();
            files.push_back({"dicom/key-objects-" + std::to_string(files.size() + 1) + ".dcm", std::move(bytes).value()});
        }
    return files;
}

}  // namespace perisclera::teaching
