// SPDX-License-Identifier: Apache-2.0
#include "recorded_operation.h"

#include <algorithm>

#include "perisclera/core/text.h"
#include "perisclera/material/hydrogel_swelling.h"

namespace perisclera {

namespace {

std::optional<report::RecordedOperation> recorded_operation(const report::MaterialEntry& by_images, const OperationRecord& record, const PerClass& prior) {
    if (!record.year && !record.material && !record.section) return std::nullopt;
    PerClass images{};
    for (const report::Material m : report::all_materials) images[static_cast<std::size_t>(m)] = by_images.probabilities[m];
    const WithRecord both = with_record(images, record, prior);
    report::RecordedOperation out{record.year, {}, {}, {}, both.year_contradicts, both.material_contradicts, record.section};
    for (const report::Material m : report::all_materials) {
        const auto k = static_cast<std::size_t>(m);
        out.prior[m] = both.prior[k];
        out.probabilities[m] = both.probability[k];
        if (record.material == all_material_classes[k]) out.material = m;
    }
    return out;
}

}  // namespace

void add_record(report::ElementEntry& element, const OperationRecord& record, const PerClass& prior) {
    report::MaterialEntry& material = element.material;
    material.record = recorded_operation(material, record, prior);
    if (!record.section) return;
    const bool hydrogel = std::find(material.candidates.begin(), material.candidates.end(), report::Material::hydrogel) != material.candidates.end();
    material.water_by_swelling = hydrogel ? water_by_swelling(element.largest_section.area, *record.section) : Unmeasured{say("reason.not_hydrogel")};
}

}  // namespace perisclera
