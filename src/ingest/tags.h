// SPDX-License-Identifier: Apache-2.0
#pragma once
// The attributes that are read, by the names of PS3.6.
#include "dataset.h"

namespace perisclera::tags {

inline constexpr Tag image_type{0x0008, 0x0008}, sop_class{0x0008, 0x0016}, sop_instance{0x0008, 0x0018}, study_date{0x0008, 0x0020};
inline constexpr Tag series_description{0x0008, 0x103E}, derivation_description{0x0008, 0x2111};
inline constexpr Tag patient_name{0x0010, 0x0010}, patient_id{0x0010, 0x0020}, birth_date{0x0010, 0x0030};
inline constexpr Tag patient_id_issuer{0x0010, 0x0021}, patient_sex{0x0010, 0x0040};
inline constexpr Tag study_time{0x0008, 0x0030}, study_id{0x0020, 0x0010}, accession_number{0x0008, 0x0050}, referring_physician{0x0008, 0x0090};
inline constexpr Tag study_description{0x0008, 0x1030};
inline constexpr Tag contrast_agent{0x0018, 0x0010}, scanning_sequence{0x0018, 0x0020}, sequence_variant{0x0018, 0x0021}, scan_options{0x0018, 0x0022};
inline constexpr Tag acquisition_type{0x0018, 0x0023}, sequence_name{0x0018, 0x0024}, angio_flag{0x0018, 0x0025};
inline constexpr Tag slice_thickness{0x0018, 0x0050}, tube_voltage{0x0018, 0x0060};
inline constexpr Tag slice_distance{0x0018, 0x0088};
inline constexpr Tag repetition_time{0x0018, 0x0080}, echo_time{0x0018, 0x0081}, inversion_time{0x0018, 0x0082}, field_strength{0x0018, 0x0087};
inline constexpr Tag echo_number{0x0018, 0x0086}, trigger_time{0x0018, 0x1060};
inline constexpr Tag echo_train_length{0x0018, 0x0091}, protocol_name{0x0018, 0x1030}, kernel{0x0018, 0x1210}, flip_angle{0x0018, 0x1314};
inline constexpr Tag patient_position{0x0018, 0x5100}, spectral_suppression{0x0018, 0x9025}, spectral_excitation{0x0018, 0x9026};
inline constexpr Tag b_value{0x0018, 0x9087}, kernel_group{0x0018, 0x9316};
inline constexpr Tag study_instance{0x0020, 0x000D}, series_instance{0x0020, 0x000E}, acquisition_number{0x0020, 0x0012}, instance_number{0x0020, 0x0013};
inline constexpr Tag image_position{0x0020, 0x0032}, image_orientation{0x0020, 0x0037}, frame_of_reference{0x0020, 0x0052};
inline constexpr Tag image_laterality{0x0020, 0x0062}, series_laterality{0x0020, 0x0060}, temporal_position{0x0020, 0x0100};
inline constexpr Tag samples_per_pixel{0x0028, 0x0002}, photometric{0x0028, 0x0004}, number_of_frames{0x0028, 0x0008}, rows{0x0028, 0x0010};
inline constexpr Tag columns{0x0028, 0x0011}, pixel_spacing{0x0028, 0x0030}, bits_allocated{0x0028, 0x0100}, bits_stored{0x0028, 0x0101};
inline constexpr Tag high_bit{0x0028, 0x0102}, pixel_representation{0x0028, 0x0103}, padding_value{0x0028, 0x0120}, padding_range_limit{0x0028, 0x0121};
inline constexpr Tag rescale_intercept{0x0028, 0x1052}, rescale_slope{0x0028, 0x1053}, rescale_type{0x0028, 0x1054}, lossy_compression{0x0028, 0x2110};
inline constexpr Tag lossy_compression_ratio{0x0028, 0x2112};

// A medium's directory.
inline constexpr Tag directory_records{0x0004, 0x1220}, referenced_file{0x0004, 0x1500};

// Functional groups of enhanced images.
inline constexpr Tag shared_groups{0x5200, 0x9229}, per_frame_groups{0x5200, 0x9230}, unassigned_shared{0x0020, 0x9170}, unassigned_per_frame{0x0020, 0x9171};
inline constexpr Tag pixel_measures{0x0028, 0x9110}, plane_position{0x0020, 0x9113}, plane_orientation{0x0020, 0x9116}, frame_content{0x0020, 0x9111};
inline constexpr Tag pixel_transformation{0x0028, 0x9145}, frame_anatomy{0x0020, 0x9071}, contrast_usage{0x0018, 0x9341}, ct_frame_type{0x0018, 0x9329};
inline constexpr Tag mr_frame_type{0x0018, 0x9226}, mr_timing{0x0018, 0x9112}, mr_echo{0x0018, 0x9114}, mr_modifier{0x0018, 0x9115};
inline constexpr Tag mr_diffusion{0x0018, 0x9117}, ct_x_ray_details{0x0018, 0x9325}, ct_reconstruction{0x0018, 0x9314};
// What stands in them under tags of its own.
inline constexpr Tag frame_type{0x0008, 0x9007}, volumetric_properties{0x0008, 0x9206}, calculation_technique{0x0008, 0x9207}, complex_component{0x0008, 0x9208};
inline constexpr Tag acquisition_contrast{0x0008, 0x9209}, pulse_sequence_name{0x0018, 0x9005}, echo_pulse_sequence{0x0018, 0x9008}, inversion_recovery{0x0018, 0x9009};
inline constexpr Tag spoiling{0x0018, 0x9016}, steady_state_pulse_sequence{0x0018, 0x9017}, echo_planar_pulse_sequence{0x0018, 0x9018};
inline constexpr Tag inversion_times{0x0018, 0x9079}, effective_echo_time{0x0018, 0x9082}, rf_echo_train_length{0x0018, 0x9240}, contrast_administered{0x0018, 0x9342};
inline constexpr Tag stack_id{0x0020, 0x9056}, frame_laterality{0x0020, 0x9072}, temporal_position_index{0x0020, 0x9128}, frame_acquisition_number{0x0020, 0x9156};

}  // namespace perisclera::tags
