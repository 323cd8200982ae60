// SPDX-License-Identifier: Apache-2.0
#pragma once
// What to synthesise: one invented patient, both eyes, the explants on them, and the series taken on each date.
// The keys of the JSON text are described in phantoms/README.md. Lengths mm, angles degrees, clock hours as in ClockPosition.
#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "anatomy.h"
#include "look_alike.h"
#include "mr_setting.h"
#include "perisclera/core/eye.h"
#include "perisclera/core/result.h"

namespace perisclera::phantoms {

enum class Material { solid_silicone, silicone_sponge, hydrogel, titanium, tantalum };  // metals: clips
enum class Form { encircling, segmental, radial, irregular };
enum class Section { rectangle, ellipse };
enum class Contents { vitreous, silicone_oil, gas, perfluorocarbon, haemorrhage };
enum class Lens { natural, implant, none };
enum class Kind { ct, t1, t1_fatsat, t1_contrast, t1_contrast_fatsat, t1_gradient_echo, t1_prepared, pd, t2, t2_fatsat, t2_star, stir, flair };
enum class Plane { axial, coronal, sagittal };
enum class Scale { usual, extended };  // stored CT numbers: to 3071 HU in steps of 1, to 30710 HU in steps of 10
enum class Kernel { soft, bone, edge };

std::string_view name(Material material);
std::string_view name(Form form);
std::string_view name(Contents contents);
std::string_view name(Kind kind);
std::string_view name(Plane plane);
std::string_view name(Kernel kernel);

/// One explant. For a radial element from_hour == to_hour is the meridian it lies on; otherwise it runs clockwise from -> to.
struct Element {
    Material material;
    Form form;
    Section section;
    double from_hour, to_hour;
    double limbus_mm;       ///< arc from the limbus to the middle of the element
    double width_mm;        ///< arc on the outer sclera across the element
    double thickness_mm;    ///< radial, the indented part included
    double length_mm;       ///< radial elements only: arc along the meridian
    double indentation_mm;
    double water_fraction;  ///< hydrogel only
    double hu_at_120_kvp;   ///< silicones only
    double lumpiness = 0.13;  ///< irregular only: share by which the thickness waves; 0 an ellipsoid
    /// Along the middle of the outer face, for a band: of no width where there is none.
    struct Groove {
        double width_mm = 0.0, depth_mm = 0.0;
        bool operator==(const Groove&) const = default;
    } groove{};
    /// Where the two ends of a ring lie on each other: of no length where they meet.
    struct Overlap {
        double hour = 0.0, length_mm = 0.0;
        bool operator==(const Overlap&) const = default;
    } overlap{};
    /// Between these hours a ring runs over something else at this height above the sclera, presses nothing in, and comes down beside it.
    struct Raised {
        double from_hour = 0.0, to_hour = 0.0, height_mm = 0.0;
        bool operator==(const Raised&) const = default;
    } raised{};
    int fragments = 1;             ///< pieces along the element
    double gap_mm = 0.0;           ///< between them
    double capsule_mm = 0.0;       ///< thickness of the fibrous capsule round it, not counted as the element's
    double calcified_share = 0.0;  ///< of the capsule, in patches
    double filled_share = 0.0;     ///< sponges: of the pores' volume, with pus instead of gas
    bool operator==(const Element&) const = default;
};

struct EyeState {
    double globe_radius_mm;   ///< outer, at the equator
    double axial_length_mm;   ///< corneal front to outer posterior sclera
    Contents contents;
    Lens lens;
    std::array<double, 3> offset_mm;  ///< of the globe's centre from its usual place: left, superior, anterior
    std::vector<Element> elements;
    EyeAnatomy anatomy{};  ///< fixed, or drawn from the scenario's seed for it
    double contents_share = 1.0;  ///< of the vitreous cavity's volume that the contents fill, the rest fluid; they float or sink by their weight
    std::vector<LookAlike> look_alikes{};
};

struct Series {
    Kind kind;
    Plane plane;
    std::array<double, 2> tilt_deg;  ///< the plane turned about its row, then about its column direction
    double gantry_tilt_deg;          ///< axial CT: planes turned about the row, the table moving straight on: slices shear; positive: the top leans to the feet
    double spacing_mm, slice_thickness_mm, slice_spacing_mm;
    std::array<double, 3> field_mm;  ///< covered left to right, front to back, bottom to top
    double noise;                    ///< standard deviation: HU, or MR stored units (2000 is fully relaxed water)
    double kvp;
    Kernel kernel;
    Scale scale;
    std::array<double, 2> motion_mm;  ///< CT: how far the head moves along rows and columns while a slice is taken
    double beam_hardening;  ///< how much of what bone does to CT numbers the scanner leaves uncorrected: 0 nothing, 1 all that a calibration on water leaves
    MrSetting mr;                    ///< of no meaning for CT
    std::array<double, 3> pose_deg, shift_mm;       ///< of the head: about x, y, z of the scanner, then moved
    std::array<std::array<double, 2>, 2> gaze_deg;  ///< [right, left]: towards the patient's left, up
    bool is_ct() const { return kind == Kind::ct; }
    bool operator==(const Series&) const = default;
};

struct Timepoint {
    std::string study_date;  ///< YYYY-MM-DD
    std::array<EyeState, 2> eyes;  ///< right, left
    std::vector<Series> series;
};

struct Scenario {
    std::uint64_t seed;
    std::string patient_id, patient_sex;
    int birth_year;
    double texture;  ///< strength of the tissues' unevenness; 1 is usual, 0 none
    std::vector<Timepoint> timepoints;
};

/// Error: bad_scenario, naming the key.
Result<Scenario> parse_scenario(std::string_view json_text);

constexpr std::size_t index_of(Eye eye) { return eye == Eye::right ? 0 : 1; }

}  // namespace perisclera::phantoms
