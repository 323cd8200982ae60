// SPDX-License-Identifier: Apache-2.0
#pragma once
// The sheet that report.pdf is set on and that the page asks a printer for.

namespace perisclera::report {

enum class Paper { a4, letter };

struct PaperSize {
    double width, height;   ///< points, 1/72 inch
};
constexpr PaperSize size_of(Paper paper) { return paper == Paper::a4 ? PaperSize{595.0, 842.0} : PaperSize{612.0, 792.0}; }

}  // namespace perisclera::report
