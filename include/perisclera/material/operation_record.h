// SPDX-License-Identifier: Apache-2.0
#pragma once
// What is told of the operation, beside what the images say. It never changes the images' evidence or label: it gives a second prior, and what
// follows from both together is shown apart.
#include "perisclera/material/hydrogel_swelling.h"
#include "perisclera/material/material_opinion.h"

namespace perisclera {

struct OperationRecord {
    std::optional<int> year;                  ///< of the surgery
    std::optional<MaterialClass> material;    ///< as noted
    std::optional<OriginalSection> section{}; ///< of the element as it was sewn on; says nothing of the material
};

struct WithRecord {
    PerClass prior;              ///< that of the images as the record changes it, before any image is seen; sum 1
    PerClass probability;        ///< by images and record together; sum 1
    bool year_contradicts;       ///< the images make hydrogel likelier than not, in a year in which it was not used
    bool material_contradicts;   ///< the images exclude the material that is noted
};

/// `by_images`: what judge_material says under `prior`, sum 1.
WithRecord with_record(const PerClass& by_images, const OperationRecord& record, const PerClass& prior = prior_share);

}  // namespace perisclera
