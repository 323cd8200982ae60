// SPDX-License-Identifier: Apache-2.0
#pragma once
// What a report says, before anyone decides how it looks: the structure of report.json (format version 1) as plain
// values. The pipeline fills it; writers only read it. A field left alone says honestly that it was not looked at:
// Unmeasured, not_assessable, not_determinable, undetermined or no value.
// Units are in the types; positions are patient coordinates of the series that frame_of_series names. Nothing here
// identifies the patient: name and number are in Identity, which only the header of page and PDF shows.
#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "perisclera/assemble/image_series.h"
#include "perisclera/core/clock_position.h"
#include "perisclera/core/error.h"
#include "perisclera/core/eye.h"
#include "perisclera/core/frames.h"
#include "perisclera/core/measured.h"
#include "perisclera/core/patient_text.h"
#include "perisclera/core/text.h"
#include "perisclera/core/units.h"
#include "perisclera/core/version.h"
#include "perisclera/material/hydrogel_swelling.h"
#include "perisclera/material/material_opinion.h"
#include "perisclera/physics/intraocular_fluids.h"
#include "perisclera/report/examination.h"
#include "perisclera/report/eye_shape.h"
#include "perisclera/report/key_image.h"
#include "perisclera/report/profile_entry.h"
#include "perisclera/report/scroll_stack.h"
#include "perisclera/report/segmented_series.h"
#include "perisclera/report/terms.h"

namespace perisclera::report {

inline Unmeasured not_assessed() { return Unmeasured{say("reason.not_assessed")}; }

/// A number whose unit is stated in words beside it.
struct StatedUnit {};
using StatedQuantity = Quantity<StatedUnit>;

struct SeriesEntry {
    std::string series_uid{}, study_uid{};              ///< the study's is not part of report.json
    Modality modality;
    SeriesRole role = SeriesRole::unknown;
    Confidence confidence = Confidence::low;            ///< in the role
    std::string why{};                                  ///< reason for the role; quotes no free-text tag
    bool used = false;
    std::optional<std::array<Mm, 3>> spacing{};         ///< along a row, down a column, between slices
    std::optional<double> kvp{};                        ///< CT tube voltage, kV
    std::vector<std::string> problems{};
    std::string digest{};                               ///< of its images, as content_digest(); empty where they were not read
};

/// Where the globe lies, in the patient coordinates of one series.
struct GlobePlace {
    std::string frame_of_series{};
    PatientPoint centre;
    PatientVector axis;                                 ///< unit length, towards the cornea
    Degrees axis_uncertainty;                           ///< standard uncertainty
};

/// Two fluids in one globe, the lighter on the heavier.
struct FluidLevel {
    FluidSet above, below;                              ///< what either may be; one, where it is known
    Measurement<Fraction> share_above = not_assessed(); ///< of the cavity's volume
    Measurement<Mm> height = not_assessed();            ///< of the level above the cavity's lowest point
};

struct GlobeEntry {
    GlobeStatus status = GlobeStatus::not_imaged;
    std::optional<GlobePlace> place{};                  ///< present exactly when status is found
    Measurement<Mm> axial_length = not_assessed();
    Measurement<Mm> equatorial_diameter = not_assessed();
    GlobeContents contents = GlobeContents::undetermined;
    std::optional<FluidLevel> level{};
    std::string contents_why{};                         ///< what was seen, or why nothing is named
    Lens lens = Lens::undetermined;
    std::string lens_why{};
};

struct MuscleElement {
    std::string id{};
    MuscleRelation relation = MuscleRelation::not_determinable;
    Measurement<Mm> front_edge_to_insertion = not_assessed();
};

struct MuscleEntry {
    MuscleName muscle;
    Measurement<Mm> thickness = not_assessed();         ///< greatest, of the belly; the superior one with the levator
    Measurement<Mm> insertion = not_assessed();         ///< arc from the limbus
    Continuity continuity = Continuity::not_determinable;
    std::vector<MuscleElement> elements{};
};

struct InflammationSigns {
    Sign fat_stranding = Sign::not_assessable;
    Sign gas_outside_element = Sign::not_assessable;
    Sign collection = Sign::not_assessable;
    Sign rim_enhancement = Sign::not_assessable;
};

struct MetalEntry {
    MetalStatus status = MetalStatus::not_assessable;
    std::vector<ClockPosition> clock_hours{};
};

/// Presence of an explant for retinal detachment, and the smallest that these scans would have shown.
struct ExplantEntry {
    Presence presence = Presence::uncertain;
    double probability = 0.5;                           ///< 0..1; one half: nothing known
    std::optional<Mm> smallest_band_thickness{};
    std::optional<Mm> smallest_sponge_diameter{};
    std::optional<Fraction> least_hydrogel_water{};     ///< one with less water may have been missed whatever its size; nothing: water does not matter
    std::optional<Mm> smallest_hydrogel_thickness{};    ///< nothing: a hydrogel of any size may have been taken for muscle
};

/// The cut across the element's centreline at a clock hour.
struct Section {
    std::optional<ClockPosition> clock_hour{};
    Measurement<Mm> width = not_assessed();
    Measurement<Mm> thickness = not_assessed();
    Measurement<Mm2> area = not_assessed();
    Measurement<HuMm> contrast_thickness = not_assessed();
};

/// One quantity read on one series, and what each material should have shown there.
struct Evidence {
    std::string series_uid{};
    SeriesRole role;
    std::string quantity{};                             ///< in words, e.g. "mean CT number"
    Measurement<StatedQuantity> measured = not_assessed();
    std::string unit{};                                 ///< "HU", "ratio to fat", ...
    PerMaterial<std::optional<std::pair<double, double>>> expected{};   ///< low, high, in the same unit
    PerMaterial<std::optional<double>> log_likelihood{};              ///< natural logarithm
};

/// What was told of the operation, beside what the images say: its own prior, and what follows from both together.
struct RecordedOperation {
    std::optional<int> year{};
    std::optional<Material> material{};
    PerMaterial<double> prior{}, probabilities{};       ///< each sum 1
    bool year_contradicts = false, material_contradicts = false;
    std::optional<OriginalSection> section{};           ///< of the element when it was sewn on; changes neither of the above
};

/// What the readings of CT alone, or of MR alone, say.
struct PartOfJudgement {
    std::optional<Material> label{};                    ///< no value: undetermined
    std::vector<Material> candidates{};                 ///< not excluded, likeliest first
};

/// The water that one reading alone would give, were the element hydrogel.
struct WaterOfReading {
    std::string series_uid{};
    std::string quantity{};                             ///< as in Evidence
    Measurement<Fraction> water_fraction = not_assessed();
};

struct MaterialEntry {
    std::optional<Material> label{};                    ///< no value: undetermined
    std::vector<Material> candidates{all_materials.begin(), all_materials.end()};  ///< not excluded, likeliest first
    PerMaterial<double> probabilities{{0.25, 0.25, 0.25, 0.25}};        ///< sum 1; equal: no evidence
    std::vector<LookAlike> look_alikes{};               ///< what it would be if it is no explant material, as far as the readings tell, likeliest first
    Measurement<Fraction> water_fraction = not_assessed();
    std::vector<Evidence> evidence{};
    NextStudy most_informative_next = NextStudy::none;
    PerStep expected_information{};                     ///< what each further study is expected to tell, bits; indexed by NextStudy, none left out
    std::optional<PartOfJudgement> by_ct{}, by_mr{};    ///< where both modalities gave readings
    std::vector<WaterOfReading> water_by_reading{};     ///< where hydrogel is not excluded
    Measurement<Fraction> water_by_swelling = Unmeasured{say("reason.section_not_told")};   ///< from the growth of its section since the surgery
    bool water_disagrees = false;                       ///< no water fraction fits all readings
    bool outside_table = false;                         ///< a reading lies where no row of the material table expects one
    bool growth_without_water = false;                  ///< grown since an earlier visit without the fall of the CT number that water brings
    std::optional<RecordedOperation> record{};          ///< where something was told; label and probabilities above are by images alone
};

struct Junction {
    JunctionKind kind = JunctionKind::unknown;
    std::optional<ClockPosition> clock_hour{};
};

struct ElementEntry {
    std::string id{};                                   ///< "R1", "L2": kept across dates
    Form form = Form::irregular;
    Measurement<ClockHours> from = not_assessed();      ///< clockwise start; interval bounds may pass 0 or 12
    Measurement<ClockHours> to = not_assessed();
    Measurement<ClockHours> span = not_assessed();
    Measurement<Mm> limbus_anterior = not_assessed();   ///< arc from the limbus to the front edge
    Measurement<Mm> limbus_posterior = not_assessed();
    Measurement<Mm> caliper_anterior = not_assessed();  ///< the same as a straight line
    Measurement<Mm> caliper_posterior = not_assessed();
    Measurement<Mm3> volume = not_assessed();
    Measurement<Mm> length = not_assessed();            ///< along the centreline
    WallRelation wall_relation = WallRelation::not_determinable;
    Junction junction{};
    Section largest_section{};
    std::vector<Section> sections{};
    Measurement<Mm> indentation = not_assessed();
    Measurement<Mm> surface_distance = not_assessed();  ///< of its outer face from the air before the eye, the shortest
    Measurement<Mm> orbital_wall_distance = not_assessed();  ///< of its outer face from bone, the shortest
    Measurement<Mm> optic_nerve_distance = not_assessed();
    std::optional<int> fragments{};                     ///< separate pieces
    Feature capsule = Feature::undetermined;
    Feature rim_calcification = Feature::undetermined;
    std::vector<std::string> measured_on{};             ///< series UIDs
    std::string expected_from{};                        ///< id of the timepoint whose finding told where to look; empty: recognised without it
    MaterialEntry material{};
};

struct MassEffect {
    Measurement<Mm> superior = not_assessed();          ///< offset of the globe's centre against the mirrored fellow eye
    Measurement<Mm> anterior = not_assessed();
    Measurement<Mm> left = not_assessed();
    Measurement<Mm> rear_margin = not_assessed();       ///< offset of its rearmost point, forwards
    ForwardPlace forward_place = ForwardPlace::not_determinable;
    Measurement<Mm> line_length = not_assessed();       ///< of the interzygomatic line, CT
    Measurement<Mm> cornea_in_front = not_assessed();   ///< of that line
    Measurement<Mm> centre_in_front = not_assessed();
    Measurement<Mm> rear_margin_behind = not_assessed();
    Measurement<Degrees> turned_left = not_assessed();  ///< the eye's axis in the head
    Measurement<Degrees> turned_up = not_assessed();
    Measurement<Degrees> converging = not_assessed();   ///< both axes together, towards the nose
    Measurement<Degrees> higher_than_fellow = not_assessed();
    std::string offset_series{}, line_series{}, turn_series{};  ///< UIDs; empty where nothing was measured
    std::string reference{};                            ///< what the offset is relative to
    std::string note{};                                 ///< what was seen beside the globe but is no finding
};

struct EyeEntry {
    GlobeEntry globe{};
    std::array<MuscleEntry, 4> muscles{MuscleEntry{MuscleName::superior}, MuscleEntry{MuscleName::inferior}, MuscleEntry{MuscleName::medial},
                                       MuscleEntry{MuscleName::lateral}};
    InflammationSigns inflammation_signs{};
    MetalEntry metal{};
    ExplantEntry explant{};
    std::vector<ElementEntry> elements{};
    MassEffect mass_effect{};
};

struct Timepoint {
    std::string id{};                                   ///< "t1", "t2", ... by date
    StudyDate study_date;
    std::vector<SeriesEntry> series{};
    EyeEntry right, left;
    [[nodiscard]] const EyeEntry& eye(Eye which) const { return which == Eye::right ? right : left; }
    [[nodiscard]] EyeEntry& eye(Eye which) { return which == Eye::right ? right : left; }
};

struct Change {
    Eye eye;
    std::string element{};
    std::string from, to;                               ///< timepoint ids
    int days;
    bool same_method = false;                           ///< both dates measured on the same kind of series
    bool under_one_number = false;                      ///< both volumes were fitted with one CT number
    Measurement<Percent> volume = not_assessed();
    std::optional<Percent> smallest_detectable{};       ///< of volume, for this pair of scans
    Measurement<Percent> largest_area = not_assessed();
    Measurement<Mm> largest_thickness = not_assessed();
    Measurement<Mm> anterior_margin_shift = not_assessed();   ///< positive: towards the limbus
    Measurement<Fraction> water_fraction = not_assessed();
    Measurement<Mm> globe_offset = not_assessed();
    Verdict verdict = Verdict::not_comparable;
};

struct Trend {
    Eye eye;
    std::string element{};
    Measurement<Mm3PerYear> volume = not_assessed();
    std::optional<int> next_informative_days{};
};

/// A published figure or a common practice for the reader to weigh; never an instruction.
struct Consideration {
    std::string text{};
    Basis basis;
    std::string source{};                               ///< citation; for common practice "no source"
};

/// One option that the run used; no paths and nothing that identifies the patient.
struct Option {
    std::string name{};
    std::variant<bool, std::int64_t, std::string> value;
};

struct ReportModel {
    std::string version{program_version};
    std::string reference_table;                        ///< version of the material table
    std::vector<Option> options;
    bool simulated = false;                             ///< any series says that it is simulated
    std::vector<Timepoint> timepoints;                  ///< ordered by date
    std::vector<Change> changes;
    std::vector<Trend> trends;
    std::vector<Consideration> considerations;
    std::vector<Error> warnings;
    std::vector<KeyImage> key_images;                   ///< not part of report.json
    std::vector<SegmentedSeries> segmented{};           ///< likewise; by visit, then series UID
    std::vector<ScrollStack> scroll_stacks{};           ///< likewise; of each eye's current visit
    std::vector<EyeShape> eye_shapes{};                 ///< likewise
    std::vector<ProfileEntry> profiles{};               ///< likewise, but for contrast times thickness; of each element, by visit and series
    std::optional<Examination> examination{};           ///< what the examiner found, where it was told
};

/// Who the patient is, as the source images say: for the header of page and PDF and the objects filed with the images, and nowhere else.
struct Identity {
    PatientText name, id;
    std::vector<StudyFiling> studies{};                 ///< of all visits
};

/// The words under "statement": intended use, limits, unverified machine output.
std::string_view statement();

}  // namespace perisclera::report
