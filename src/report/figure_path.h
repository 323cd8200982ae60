// SPDX-License-Identifier: Apache-2.0
#pragma once
// Where the drawn key images lie in a result.
#include <string>
#include <string_view>

#include "perisclera/report/key_image.h"

namespace perisclera::report {

/// "figures/03-right-t2-plain.png": number from 1 in the order of ReportModel::key_images, eye and visit, nothing of the patient; `kind` is "plain" or "outlined".
inline std::string figure_path(std::size_t number, const KeyImage& image, std::string_view kind) {
    return "figures/" + std::string(number < 10 ? "0" : "") + std::to_string(number) + "-" + std::string(name(image.eye)) + "-" + image.timepoint_id + "-" +
           std::string(kind) + ".png";
}

}  // namespace perisclera::report
