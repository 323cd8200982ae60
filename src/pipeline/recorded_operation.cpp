// SPDX-License-Identifier: Apache-2.0
#include "recorded_operation.h"

namespace perisclera {

std::optional<report::RecordedOperation> recorded_operation(const report::MaterialEntry& by_images, const OperationRecord& record) {
    if (!record.year && !record.material) return std::nullopt;
    PerClass images{};
    for (const report::Material m : report::all_materials) images[static_cast<std::size_t>(m)] = by_images.probabilities[m];
    const WithRecord both = with_record(images, record);
    report::RecordedOperation out{record.year, {}, {}, {}, both.year_contradicts, both.material_contradicts};
    for (const report::Material m : report::all_materials) {
        const auto k = static_cast<std::size_t>(m);
        out.prior[m] = both.prior[k];
        out.probabilities[m] = both.probability[k];
        if (record.material == all_material_classes[k]) out.material = m;
    }
    return out;
}

}  // namespace perisclera
