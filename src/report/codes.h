// SPDX-License-Identifier: Apache-2.0
#pragma once
// Codes of public schemes that filed objects use. SCT, UCUM and DCM codes as PS3.16 lists them; the clinic's words for places on an eye (temporal, nasal) as
// SNOMED CT has them.
#include <string_view>

namespace perisclera::report {

struct Code {
    std::string_view value, scheme, meaning;
};

namespace codes {

inline constexpr Code right{"24028007", "SCT", "Right"}, left{"7771000", "SCT", "Left"};
inline constexpr Code laterality{"272741003", "SCT", "Laterality"}, topographical_modifier{"106233006", "SCT", "Topographical modifier"};
inline constexpr Code superior{"264217000", "SCT", "Superior"}, inferior{"261089000", "SCT", "Inferior"};
inline constexpr Code temporal{"255570003", "SCT", "Temporal"}, nasal{"260540009", "SCT", "Nasal"};
inline constexpr Code finding_site{"363698007", "SCT", "Finding Site"}, finding_category{"276214006", "SCT", "Finding category"}, finding{"121071", "DCM", "Finding"};
inline constexpr Code sclera{"18619003", "SCT", "Sclera"}, eyeball{"79652003", "SCT", "Eyeball"}, orbit{"363654007", "SCT", "Orbital structure"};
inline constexpr Code implant{"40388003", "SCT", "Implant"}, physical_object{"260787004", "SCT", "Physical object"}, anatomical_structure{"123037004", "SCT", "Anatomical Structure"};
inline constexpr Code lesion{"52988006", "SCT", "Lesion"}, altered_structure{"49755003", "SCT", "Morphologically Abnormal Structure"};
inline constexpr Code present{"52101004", "SCT", "Present"}, absent{"272519000", "SCT", "Absent"}, uncertain{"64957009", "SCT", "Uncertain"};

inline constexpr Code volume{"118565006", "SCT", "Volume"}, area{"42798000", "SCT", "Area"}, width{"103355008", "SCT", "Width"};
inline constexpr Code path_length{"121211", "DCM", "Path length"};
inline constexpr Code lower_range{"371885007", "SCT", "-, range of lower measurement uncertainty"}, upper_range{"371886008", "SCT", "+, range of upper measurement uncertainty"};
inline constexpr Code measurement_not_attempted{"114007", "DCM", "Measurement not attempted"}, value_unknown{"114010", "DCM", "Value unknown"};

inline constexpr Code no_units{"1", "UCUM", "no units"}, millimetre{"mm", "UCUM", "mm"}, square_millimetre{"mm2", "UCUM", "mm2"}, cubic_millimetre{"mm3", "UCUM", "mm3"};
inline constexpr Code degree{"deg", "UCUM", "deg"}, percent{"%", "UCUM", "%"}, day{"d", "UCUM", "d"}, cubic_millimetre_per_year{"mm3/a", "UCUM", "mm3/a"};
inline constexpr Code hounsfield{"[hnsf'U]", "UCUM", "Hounsfield unit"}, hounsfield_millimetre{"[hnsf'U].mm", "UCUM", "Hounsfield unit millimeter"}, ratio{"{ratio}", "UCUM", "ratio"};
inline constexpr Code clock_hour{"{clock_hour}", "UCUM", "clock hour"}, count_of_series{"{series}", "UCUM", "series"};

inline constexpr Code measurement_report{"126000", "DCM", "Imaging Measurement Report"};
inline constexpr Code language{"121049", "DCM", "Language of Content Item and Descendants"}, english{"eng", "RFC5646", "English"};
inline constexpr Code observer_type{"121005", "DCM", "Observer Type"}, device{"121007", "DCM", "Device"}, device_uid{"121012", "DCM", "Device Observer UID"};
inline constexpr Code device_name{"121013", "DCM", "Device Observer Name"}, device_manufacturer{"121014", "DCM", "Device Observer Manufacturer"};
inline constexpr Code device_model{"121015", "DCM", "Device Observer Model Name"}, device_serial{"121016", "DCM", "Device Observer Serial Number"};
inline constexpr Code procedure_reported{"121058", "DCM", "Procedure reported"};
inline constexpr Code ct_procedure{"25045-6", "LN", "CT unspecified body region"}, mr_procedure{"25056-3", "LN", "MRI unspecified body region"};
inline constexpr Code image_library{"111028", "DCM", "Image Library"}, image_library_group{"126200", "DCM", "Image Library Group"};
inline constexpr Code modality{"121139", "DCM", "Modality"}, target_region{"123014", "DCM", "Target Region"}, frame_of_reference{"112227", "DCM", "Frame of Reference UID"};
inline constexpr Code computed_tomography{"CT", "DCM", "Computed Tomography"}, magnetic_resonance{"MR", "DCM", "Magnetic Resonance"};
inline constexpr Code imaging_measurements{"126010", "DCM", "Imaging Measurements"}, derived_measurements{"126011", "DCM", "Derived Imaging Measurements"};
inline constexpr Code qualitative_evaluations{"C0034375", "UMLS", "Qualitative Evaluations"};
inline constexpr Code algorithm_name{"111001", "DCM", "Algorithm Name"}, algorithm_version{"111003", "DCM", "Algorithm Version"};
inline constexpr Code algorithm_parameters{"111002", "DCM", "Algorithm Parameters"};
inline constexpr Code measurement_group{"125007", "DCM", "Measurement Group"}, tracking_identifier{"112039", "DCM", "Tracking Identifier"};
inline constexpr Code tracking_uid{"112040", "DCM", "Tracking Unique Identifier"};
inline constexpr Code subject_time_point{"126070", "DCM", "Subject Time Point Identifier"}, time_point{"C2348792", "UMLS", "Time Point"}, time_point_order{"126073", "DCM", "Time Point Order"};
inline constexpr Code temporal_offset{"128740", "DCM", "Longitudinal Temporal Offset from Event"}, temporal_event{"128741", "DCM", "Longitudinal Temporal Event Type"};
inline constexpr Code baseline{"121079", "DCM", "Baseline"};
inline constexpr Code referenced_segment{"121191", "DCM", "Referenced Segment"}, source_series{"121232", "DCM", "Source series for segmentation"};

inline constexpr Code edge_detection{"123103", "DCM", "Edge Detection"}, neighborhood_analysis{"123101", "DCM", "Neighborhood Analysis"};

inline constexpr Code of_interest{"113000", "DCM", "Of Interest"}, for_teaching{"128710", "DCM", "For Teaching File Export"}, key_object_description{"113012", "DCM", "Key Object Description"};
inline constexpr Code source_image{"121322", "DCM", "Source image for image processing operation"}, multiplanar{"113072", "DCM", "Multiplanar reformatting"};

}  // namespace codes

}  // namespace perisclera::report
