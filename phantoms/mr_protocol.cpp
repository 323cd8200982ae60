// SPDX-License-Identifier: Apache-2.0
#include "mr_protocol.h"

namespace perisclera::phantoms {

namespace {

MrSetting base(MrSequence sequence, double repetition_ms, double echo_ms, double flip_deg) {
    MrSetting s{};
    s.sequence = sequence;
    s.repetition_time_ms = repetition_ms;
    s.echo_time_ms = echo_ms;
    s.flip_angle_deg = flip_deg;
    s.train_length = 1;
    s.train_spacing_ms = sequence == MrSequence::spin_echo ? echo_ms : repetition_ms;
    s.field_strength_tesla = 1.5;
    s.zero_filling = 1.0;
    return s;
}

MrSetting spin_echo(double repetition_ms, double echo_ms, int train_length, double spacing_ms) {
    MrSetting s = base(MrSequence::spin_echo, repetition_ms, echo_ms, 90.0);
    s.train_length = train_length;
    s.train_spacing_ms = spacing_ms;
    return s;
}

MrSetting inverted(MrSetting s, double inversion_ms) {
    s.inversion_time_ms = inversion_ms;
    return s;
}

MrSetting t1(bool fat_saturated, bool with_contrast_agent) {
    MrSetting s = spin_echo(520, 12, 1, 12);
    s.fat_saturated = fat_saturated;
    s.with_contrast_agent = with_contrast_agent;
    return s;
}

}  // namespace

MrSetting usual_mr_setting(Kind kind) {
    switch (kind) {
        case Kind::ct: break;
        case Kind::t1: return t1(false, false);
        case Kind::t1_fatsat: return t1(true, false);
        case Kind::t1_contrast: return t1(false, true);
        case Kind::t1_contrast_fatsat: return t1(true, true);
        case Kind::t1_gradient_echo: {
            MrSetting s = base(MrSequence::gradient_echo, 20, 4.6, 25);
            s.three_dimensional = true;
            return s;
        }
        case Kind::t1_prepared: {
            MrSetting s = inverted(base(MrSequence::prepared_gradient_echo, 2000, 3.4, 9), 1000);
            s.three_dimensional = true;
            s.train_length = 160;
            s.train_spacing_ms = 7.5;
            return s;
        }
        case Kind::pd: return spin_echo(3000, 15, 7, 15);
        case Kind::t2: return spin_echo(4000, 100, 15, 10);
        case Kind::t2_fatsat: {
            MrSetting s = spin_echo(4000, 90, 15, 10);
            s.fat_saturated = true;
            return s;
        }
        case Kind::t2_star: return base(MrSequence::gradient_echo, 600, 20, 20);
        case Kind::stir: return inverted(spin_echo(4500, 50, 11, 10), 160);
        case Kind::flair: return inverted(spin_echo(9000, 110, 21, 10), 2450);
    }
    return {};
}

MrAcquisition mr_acquisition(const MrSetting& s, double slice_thickness_mm) {
    MrAcquisition a{};
    switch (s.sequence) {
        case MrSequence::spin_echo:
            a.scanning_sequence = s.inversion_time_ms ? "IR" : "SE";
            a.sequence_variant = "SK";
            break;
        case MrSequence::gradient_echo:
            a.scanning_sequence = "GR";
            a.sequence_variant = "SP";
            break;
        case MrSequence::prepared_gradient_echo:
            a.scanning_sequence = "GR\\IR";
            a.sequence_variant = "SK\\SP\\MP";
            break;
    }
    a.scan_options = s.fat_saturated ? "FS" : "";
    a.repetition_time_ms = s.repetition_time_ms;
    a.echo_time_ms = s.echo_time_ms;
    a.inversion_time_ms = s.inversion_time_ms;
    a.flip_angle_deg = s.flip_angle_deg;
    a.field_strength_tesla = s.field_strength_tesla;
    a.echo_train_length = s.sequence == MrSequence::spin_echo ? s.train_length : 1;
    a.three_dimensional = s.three_dimensional;
    a.slice_thickness_mm = slice_thickness_mm;
    if (s.with_contrast_agent) a.contrast_agent = "GADOLINIUM CHELATE";
    if (s.bandwidth_hz > 0.0) a.pixel_bandwidth_hz = s.bandwidth_hz;
    a.phase_along_row = s.phase_along == PhaseAlong::row;
    return a;
}

}  // namespace perisclera::phantoms
