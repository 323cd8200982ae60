// SPDX-License-Identifier: Apache-2.0
#pragma once
// What the rest of the pipeline sees of a patient's images: visits (one per study date), each with its series, each
// with a checked volume and the role it plays.
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "perisclera/core/error.h"
#include "perisclera/core/eye.h"
#include "perisclera/core/frames.h"
#include "perisclera/core/modality.h"
#include "perisclera/core/patient_text.h"
#include "perisclera/core/result.h"
#include "perisclera/image/voxel_grid.h"

namespace perisclera {

enum class SeriesRole {
    ct_soft, ct_bone, t1, t1_fatsat, t1_contrast, t1_contrast_fatsat, t2, t2_fatsat, stir, flair, pd, dwi, gre,
    localizer, derived, other, unknown
};
/// The names of report.json: "ct_soft", "t1_contrast", ...
std::string_view name(SeriesRole role);

/// How far a role is to be believed. High: a defined term or the physics says it. Moderate: a name was needed as well, or a value lies
/// near a limit. Low: statements contradict each other, or nothing tells.
enum class Confidence { low, moderate, high };
/// "low", "moderate", "high"
std::string_view name(Confidence confidence);

/// Calendar date of a study, valid from birth.
class StudyDate {
public:
    /// From DICOM DA "YYYYMMDD" (trailing spaces allowed). Error: bad_value.
    static Result<StudyDate> from_dicom(std::string_view text);
    [[nodiscard]] std::string iso() const;            ///< "YYYY-MM-DD"
    [[nodiscard]] int days_since(StudyDate earlier) const;
    auto operator<=>(const StudyDate&) const = default;

private:
    StudyDate(int y, int m, int d) : year_(y), month_(m), day_(d) {}
    int year_, month_, day_;
};

/// What the headers say of one series; all slices agree on it.
struct SeriesDescription {
    std::string series_uid;
    std::string study_uid;
    std::string frame_of_reference_uid;          ///< may be empty; a guess to be measured, never proof
    Modality modality;
    SeriesRole role;
    Confidence confidence = Confidence::low;      ///< in the role
    std::string why;                              ///< reason for the role, in words; quotes no free text tag
    std::vector<std::string> problems;            ///< in words
    bool simulated = false;                       ///< the series says that it is simulated
    bool lossy = false;
    std::optional<double> kvp;                    ///< CT tube voltage, kV
    std::optional<double> slice_thickness_mm;     ///< the acquired thickness, which need not equal the slice spacing
    std::optional<double> repetition_time_ms, echo_time_ms, inversion_time_ms, flip_angle_deg, field_strength_tesla;
    std::string kernel;                           ///< CT convolution kernel; for roles only, never printed
    std::optional<Eye> stated_side;               ///< laterality as the header states it
    std::optional<PatientVector> down{};          ///< unit vector to the ground, as the header says how the patient lay
};

struct ImageSeries {
    SeriesDescription description;
    std::variant<CtVolume, MrVolume> volume;
    [[nodiscard]] const VoxelGrid& grid() const {
        return std::visit([](const auto& v) -> const VoxelGrid& { return v.grid(); }, volume);
    }
};

/// All series of one study date. Series whose pixels are not used (localizers, derived ...) are described only.
struct Visit {
    StudyDate date;
    std::vector<ImageSeries> series;              ///< ordered by series UID
    std::vector<SeriesDescription> unused;        ///< ordered by series UID
};

/// One patient, visits ordered by date.
struct PatientStudies {
    PatientText patient_name, patient_id;         ///< for the header of page and PDF only
    std::vector<Visit> visits;
    std::vector<Error> warnings;
};

}  // namespace perisclera
