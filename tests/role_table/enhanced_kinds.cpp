// SPDX-License-Identifier: Apache-2.0
// Enhanced multi-frame MR and CT. Terms of MR: PS3.3 C.8.13.3.1 (contrast, kind of image), C.8.13.4 (pulse sequence), C.8.13.5.9 (modifier).
#include "tests/role_table/role_table.h"

namespace perisclera::test {

std::vector<SeriesKind> enhanced_kinds() {
    const TagNumber echo_sequence{0x0018, 0x9008}, echo_planar{0x0018, 0x9018}, steady_state{0x0018, 0x9017};
    const TagNumber inverted{0x0018, 0x9009}, inversion_times{0x0018, 0x9079}, suppression{0x0018, 0x9025}, excitation{0x0018, 0x9026}, spoiling{0x0018, 0x9016};
    std::vector<SeriesKind> kinds{
        {.what = "T1 stated", .expected = "t1", .source = standard, .repetition = 600, .echo = 12, .flip = 90, .contrast = "T1"},
        {.what = "T1 stated, fat suppressed", .expected = "t1_fatsat", .source = standard, .repetition = 600, .echo = 12, .flip = 90, .contrast = "T1", .modifier = {{suppression, "FAT"}}},
        {.what = "T1 stated, water excited", .expected = "t1_fatsat", .source = standard, .repetition = 600, .echo = 12, .flip = 90, .contrast = "T1", .modifier = {{excitation, "WATER"}}},
        {.what = "T1 stated, after agent", .expected = "t1_contrast", .source = standard, .repetition = 600, .echo = 12, .flip = 90, .agent = "agent", .contrast = "T1"},
        {.what = "T2 stated", .expected = "t2", .source = standard, .repetition = 4000, .echo = 90, .flip = 90, .contrast = "T2"},
        {.what = "T2 stated, fat suppressed", .expected = "t2_fatsat", .source = standard, .repetition = 4000, .echo = 90, .flip = 90, .contrast = "T2", .modifier = {{suppression, "FAT"}}},
        {.what = "T2 stated, fat and water suppressed", .expected = "other", .source = standard, .repetition = 4000, .echo = 90, .flip = 90, .contrast = "T2", .modifier = {{suppression, "FAT_AND_WATER"}}},
        {.what = "proton density stated", .expected = "pd", .source = standard, .repetition = 2500, .echo = 20, .flip = 90, .contrast = "PROTON_DENSITY"},
        {.what = "fluid-attenuated stated", .expected = "flair", .source = standard, .repetition = 9000, .echo = 120, .flip = 90, .contrast = "FLUID_ATTENUATED"},
        {.what = "STIR stated", .expected = "stir", .source = standard, .repetition = 4000, .echo = 60, .flip = 90, .contrast = "STIR"},
        {.what = "diffusion stated", .expected = "dwi", .source = standard, .repetition = 5000, .echo = 80, .flip = 90, .contrast = "DIFFUSION", .b_value = 1000},
        {.what = "apparent diffusion coefficient", .expected = "derived", .source = standard, .repetition = 5000, .echo = 80, .flip = 90, .image_type = "DERIVED\\PRIMARY\\DIFFUSION\\ADC",
         .contrast = "DIFFUSION"},
        {.what = "anisotropy", .expected = "derived", .source = standard, .repetition = 5000, .echo = 80, .flip = 90, .image_type = "DERIVED\\PRIMARY\\DIFFUSION\\FRACT_ANISO", .contrast = "DIFFUSION"},
        {.what = "T2* stated", .expected = "gre", .source = standard, .repetition = 28, .echo = 20, .flip = 15, .contrast = "T2_STAR"},
        {.what = "perfusion stated", .expected = "other", .source = standard, .repetition = 1500, .echo = 30, .flip = 90, .contrast = "PERFUSION"},
        {.what = "inflow angiography stated", .expected = "other", .source = standard, .repetition = 28, .echo = 4, .flip = 25, .contrast = "TOF"},
        {.what = "maximum projection", .expected = "derived", .source = standard, .repetition = 28, .echo = 4, .flip = 25, .image_type = "DERIVED\\PRIMARY\\ANGIO\\MAX_IP", .contrast = "TOF"},
        {.what = "T1 spin echo, contrast unknown", .expected = "t1", .source = westbrook, .repetition = 600, .echo = 12, .flip = 90, .contrast = "UNKNOWN"},
        {.what = "T2 spin echo, contrast unknown", .expected = "t2", .source = westbrook, .repetition = 4000, .echo = 100, .flip = 90, .contrast = "UNKNOWN"},
        {.what = "FLAIR, contrast unknown", .expected = "flair", .source = westbrook, .repetition = 9000, .echo = 110, .flip = 90, .contrast = "UNKNOWN",
         .modifier = {{inverted, "YES"}, {inversion_times, "2500"}}},
        {.what = "double inversion, contrast unknown", .expected = "other", .source = standard, .repetition = 7500, .echo = 300, .flip = 90, .contrast = "UNKNOWN",
         .modifier = {{inverted, "YES"}, {inversion_times, "3400\\450"}}},
        {.what = "prepared T1 volume, contrast mixed", .expected = "t1", .source = population, .repetition = 2000, .echo = 2, .flip = 8, .more = {{echo_sequence, "GRADIENT"}}, .contrast = "MIXED",
         .modifier = {{inverted, "YES"}, {inversion_times, "880"}, {spoiling, "RF"}}},
        {.what = "balanced steady state, contrast unknown", .expected = "other", .source = westbrook, .repetition = 6, .echo = 2.8, .flip = 60,
         .more = {{echo_sequence, "GRADIENT"}, {steady_state, "FREE_PRECESSION"}}, .contrast = "UNKNOWN"},
        {.what = "echo-planar spin echo, contrast unknown", .expected = "dwi", .source = practice, .repetition = 5000, .echo = 80, .flip = 90, .more = {{echo_planar, "YES"}}, .contrast = "UNKNOWN"},
    };
    // CT: the frame type's terms of PS3.3 C.8.15.2.1.1; names of kernels are common practice. An enhanced localizer is no series here: it is told as an object left out.
    const auto ct = [](const char* what, const char* expected, const char* kernel, const char* type, const char* description = "") {
        return SeriesKind{.what = what, .expected = expected, .source = standard, .sequence = "CT", .description = description, .image_type = type, .more = {{{0x0018, 0x1210}, kernel}}, .contrast = "VOLUME"};
    };
    kinds.insert(kinds.end(), {ct("soft tissue", "ct_soft", "H31s", "ORIGINAL\\PRIMARY\\VOLUME\\NONE"), ct("bone", "ct_bone", "BONEPLUS", "ORIGINAL\\PRIMARY\\VOLUME\\NONE"),
                               ct("maximum projection", "derived", "H31s", "DERIVED\\PRIMARY\\VOLUME\\MAXIMUM"),
                               ct("reformatted, named", "derived", "H31s", "DERIVED\\SECONDARY\\VOLUME\\MPR", "Orbita cor")});
    for (SeriesKind& kind : kinds)
        if (kind.image_type == "ORIGINAL\\PRIMARY\\M") kind.image_type = "ORIGINAL\\PRIMARY\\VOLUME\\NONE";
    return kinds;
}

}  // namespace perisclera::test
