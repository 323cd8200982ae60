// SPDX-License-Identifier: Apache-2.0
#pragma once
// What lies in a set of files: patients, their studies by date, series with role and checked geometry. No pixels are kept.
// The order of everything is the same whatever the order or names of the files.
#include <optional>
#include <string>
#include <vector>

#include "perisclera/assemble/image_series.h"
#include "perisclera/assemble/slice_stack.h"
#include "perisclera/ingest/file_set.h"

namespace perisclera {

struct CatalogueSeries {
    int number = 0;                        ///< counted through the catalogue from 1; messages say "series N"
    SeriesDescription description;
    int images = 0;
    std::optional<SliceStack> stack;       ///< the checked volume
    std::optional<Error> error;            ///< why there is none; never both absent
    /// Has it a role that is measured, and a sound volume?
    [[nodiscard]] bool usable() const;
};

struct CatalogueStudy {
    StudyDate date;
    std::vector<PatientIdentity> identities;  ///< all that its images state, ordered
    std::vector<CatalogueSeries> series;   ///< all studies of that date, ordered by series UID
};

struct CataloguePatient {
    int number = 0;                        ///< from 1
    PatientText name, id;
    std::vector<CatalogueStudy> studies;   ///< by date
};

struct PatientCatalogue {
    std::vector<CataloguePatient> patients;
    std::vector<Error> warnings;           ///< refused files and series without a date, several of one kind told together
    std::map<std::string, int> ignored_objects;
    int files_looked_at = 0, images = 0, not_dicom = 0, not_files = 0;
};

/// Errors: when there is no image at all, the commonest reason why files were refused, or no_images.
Result<PatientCatalogue> catalogue(FileSet files);

}  // namespace perisclera
