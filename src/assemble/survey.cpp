// SPDX-License-Identifier: Apache-2.0
#include "perisclera/assemble/survey.h"

#include <algorithm>
#include <cmath>

#include "decimals.h"

namespace perisclera {

std::string_view name(Plane plane) {
    switch (plane) {
        case Plane::axial: return "axial";
        case Plane::coronal: return "coronal";
        case Plane::sagittal: return "sagittal";
        case Plane::oblique: return "oblique";
    }
    return "oblique";
}

Plane plane_of(PatientVector slice_normal) {
    constexpr double least_cosine = 0.8660254037844386;  // 30 degrees
    const PatientVector n = unit(slice_normal);
    if (std::abs(n.z) >= least_cosine) return Plane::axial;
    if (std::abs(n.y) >= least_cosine) return Plane::coronal;
    if (std::abs(n.x) >= least_cosine) return Plane::sagittal;
    return Plane::oblique;
}

Survey survey(const PatientCatalogue& catalogue) {
    Survey result{{}, catalogue.ignored_objects, catalogue.files_looked_at, catalogue.images, catalogue.not_dicom, catalogue.not_files, catalogue.warnings};
    for (const CataloguePatient& patient : catalogue.patients) {
        SurveyPatient told{patient.number, {}};
        for (const CatalogueStudy& study : patient.studies) {
            SurveyStudy of_date{study.date, {}};
            for (const CatalogueSeries& series : study.series) {
                const SeriesDescription& d = series.description;
                SurveySeries line{series.number, d.series_uid, d.modality, d.role, d.confidence, d.why, series.usable(), d.simulated, series.images, {}, {}, {}, d.kvp, d.problems};
                if (series.stack) {
                    const VolumeGeometry& geometry = series.stack->geometry();
                    line.plane = plane_of(geometry.normal());
                    line.spacing_mm = geometry.spacing_mm();
                    line.size = geometry.size();
                }
                of_date.series.push_back(std::move(line));
            }
            told.studies.push_back(std::move(of_date));
        }
        result.patients.push_back(std::move(told));
    }
    return result;
}

namespace {

std::string_view role_in_words(SeriesRole role) {
    switch (role) {
        case SeriesRole::ct_soft: return "CT, soft tissue";
        case SeriesRole::ct_bone: return "CT, bone";
        case SeriesRole::t1: return "T1";
        case SeriesRole::t1_fatsat: return "T1, fat suppressed";
        case SeriesRole::t1_contrast: return "T1, contrast";
        case SeriesRole::t1_contrast_fatsat: return "T1, contrast, fat suppressed";
        case SeriesRole::t2: return "T2";
        case SeriesRole::t2_fatsat: return "T2, fat suppressed";
        case SeriesRole::stir: return "STIR";
        case SeriesRole::flair: return "FLAIR";
        case SeriesRole::pd: return "proton density";
        case SeriesRole::dwi: return "diffusion";
        case SeriesRole::gre: return "gradient echo, T2*";
        case SeriesRole::localizer: return "localizer";
        case SeriesRole::derived: return "derived images";
        case SeriesRole::other: return "other";
        case SeriesRole::unknown: return "not known";
    }
    return "not known";
}

using Row = std::vector<std::string>;

/// Columns as wide as their widest entry, two spaces between them, nothing after the last.
std::string aligned(const std::vector<Row>& rows, const std::string& indent) {
    std::vector<std::size_t> widths;
    for (const Row& row : rows)
        for (std::size_t c = 0; c < row.size(); ++c) {
            if (c == widths.size()) widths.push_back(0);
            widths[c] = std::max(widths[c], row[c].size());
        }
    std::string text;
    for (const Row& row : rows) {
        text += indent;
        for (std::size_t c = 0; c < row.size(); ++c) {
            text += row[c];
            if (c + 1 < row.size()) text.append(widths[c] - row[c].size() + 2, ' ');
        }
        text += '\n';
    }
    return text;
}

std::string plural(int count, const std::string& one, const std::string& many) { return std::to_string(count) + " " + (count == 1 ? one : many); }

Row row_of(const SurveySeries& series) {
    std::string geometry = "-", plane = "-";
    if (series.spacing_mm && series.plane) {
        const auto& s = *series.spacing_mm;
        geometry = two_decimals(s[0]) + " x " + two_decimals(s[1]) + " x " + two_decimals(s[2]);
        plane = name(*series.plane);
    }
    return {std::to_string(series.number), std::string(role_in_words(series.role)) + (series.simulated ? " (simulated)" : ""), std::string(name(series.confidence)), plane,
            std::to_string(series.images), geometry, series.used ? "yes" : "no", series.why};
}

}  // namespace

std::string survey_table(const Survey& survey) {
    std::string text;
    for (const SurveyPatient& patient : survey.patients) {
        text += "Patient " + std::to_string(patient.number) + "\n";
        for (const SurveyStudy& study : patient.studies) {
            text += "  Examination of " + study.date.iso() + "\n";
            std::vector<Row> rows{{"series", "role", "confidence", "plane", "slices", "voxel mm", "used", "why"}};
            std::vector<Row> problems;
            for (const SurveySeries& series : study.series) {
                rows.push_back(row_of(series));
                for (const std::string& problem : series.problems) problems.push_back({"series " + std::to_string(series.number) + ":", problem});
            }
            text += aligned(rows, "    ") + aligned(problems, "    note, ");
        }
    }
    text += plural(survey.files_looked_at, "file", "files") + " looked at, " + plural(survey.images, "CT or MR image", "CT or MR images");
    if (survey.not_dicom > 0) text += ", " + std::to_string(survey.not_dicom) + " not DICOM";
    if (survey.not_files > 0) text += ", " + std::to_string(survey.not_files) + " not regular files";
    for (const auto& [kind, count] : survey.ignored_objects) text += ", " + std::to_string(count) + " left aside: " + kind;
    return text + "\n";
}

}  // namespace perisclera
