// SPDX-License-Identifier: Apache-2.0
// Diffusion, perfusion, maps and pictures. Private b-values as in the data dictionaries of DCMTK 3.6.7 and pydicom.
#include "tests/role_table/role_table.h"

namespace perisclera::test {

std::vector<SeriesKind> other_mr_kinds() {
    return {
        {.what = "diffusion, echo-planar", .expected = "dwi", .source = population, .sequence = "EP\\SE", .variant = "SK\\SP", .options = "PFP\\FS", .repetition = 3600, .echo = 92, .flip = 90},
        {.what = "diffusion without weighting, echo-planar", .expected = "dwi", .source = practice, .sequence = "EP", .variant = "SK", .repetition = 6000, .echo = 90, .flip = 90,
         .description = "ep2d_diff_b0"},
        {.what = "diffusion by spin-echo train, private weighting (whole number)", .expected = "dwi", .source = practice, .sequence = "SE", .variant = "SK", .repetition = 4500, .echo = 80,
         .secret = {{{0x0019, 0x0010}, {"LO", "SIEMENS MR HEADER"}}, {{0x0019, 0x100C}, {"IS", "1000"}}}},
        {.what = "the same, value representation not written", .expected = "dwi", .source = practice, .sequence = "SE", .variant = "SK", .repetition = 4500, .echo = 80,
         .secret = {{{0x0019, 0x0011}, {"LO", "SIEMENS MR HEADER"}}, {{0x0019, 0x110C}, {"IS", "1000"}}}, .implicit = true},
        {.what = "diffusion by spin-echo train, private weighting (floating)", .expected = "dwi", .source = practice, .sequence = "SE", .variant = "SK", .repetition = 4500, .echo = 80,
         .secret = {{{0x2001, 0x0010}, {"LO", "Philips Imaging DD 001"}}, {{0x2001, 0x1003}, {"FL", "800"}}}},
        {.what = "diffusion by spin-echo train, private weighting (first of four)", .expected = "dwi", .source = practice, .sequence = "SE", .variant = "SK", .repetition = 4500, .echo = 80,
         .secret = {{{0x0043, 0x0010}, {"LO", "GEMS_PARM_01"}}, {{0x0043, 0x1039}, {"IS", "1000001000\\8\\0\\0"}}}},
        {.what = "T2, private weighting of zero", .expected = "t2", .source = practice, .sequence = "SE", .variant = "SK", .repetition = 4500, .echo = 90,
         .secret = {{{0x0043, 0x0010}, {"LO", "GEMS_PARM_01"}}, {{0x0043, 0x1039}, {"IS", "0\\0\\0\\0"}}}},
        {.what = "T2, a weighting of another maker's block", .expected = "t2", .source = practice, .sequence = "SE", .variant = "SK", .repetition = 4500, .echo = 90,
         .secret = {{{0x0019, 0x0010}, {"LO", "SOME OTHER HEADER"}}, {{0x0019, 0x100C}, {"IS", "1000"}}}},
        {.what = "diffusion, trace", .expected = "dwi", .source = practice, .sequence = "EP", .variant = "SK\\SP", .repetition = 5000, .echo = 80,
         .image_type = "ORIGINAL\\PRIMARY\\DIFFUSION\\TRACEW"},
        {.what = "diffusion named with its map", .expected = "dwi", .source = practice, .sequence = "EP\\SE", .repetition = 5000, .echo = 80, .description = "DWI/ADC b1000",
         .image_type = "ORIGINAL\\PRIMARY\\OTHER", .secret = {{{0x0043, 0x0010}, {"LO", "GEMS_PARM_01"}}, {{0x0043, 0x1039}, {"IS", "1000\\8\\0\\0"}}}},
        {.what = "apparent diffusion coefficient", .expected = "derived", .source = practice, .sequence = "EP", .repetition = 5000, .echo = 80, .image_type = "DERIVED\\PRIMARY\\DIFFUSION\\ADC"},
        {.what = "apparent diffusion coefficient, named", .expected = "derived", .source = practice, .sequence = "EP\\SE", .repetition = 5000, .echo = 80,
         .description = "Apparent Diffusion Coefficient (mm2/s)"},
        {.what = "fractional anisotropy", .expected = "derived", .source = practice, .sequence = "EP", .repetition = 8000, .echo = 90, .image_type = "DERIVED\\PRIMARY\\DIFFUSION\\FA"},
        {.what = "functional images", .expected = "gre", .source = population, .sequence = "EP\\GR", .variant = "SK", .options = "FS", .repetition = 735, .echo = 39, .flip = 52},
        {.what = "functional images, echo-planar only", .expected = "gre", .source = population, .sequence = "EP", .variant = "SK", .repetition = 735, .echo = 39, .flip = 52},
        {.what = "functional images with a full pulse, named", .expected = "gre", .source = practice, .sequence = "EP", .variant = "SK", .repetition = 3000, .echo = 30, .flip = 90,
         .description = "ep2d_bold_moco"},
        {.what = "T1 in an examination for perfusion and angiography", .expected = "t1", .source = practice, .sequence = "SE", .repetition = 550, .echo = 12, .flip = 90,
         .description = "Ax T1", .more = {{{0x0018, 0x1030}, "BRAIN MRA PERFUSION W/WO"}}},
        {.what = "diffusion, echo-planar only", .expected = "dwi", .source = population, .sequence = "EP", .variant = "SK", .repetition = 3600, .echo = 92, .flip = 90},
        {.what = "perfusion, named", .expected = "other", .source = practice, .sequence = "EP\\GR", .repetition = 1500, .echo = 30, .flip = 90, .description = "ep2d_perf DSC", .agent = "agent"},
        {.what = "spin labelling", .expected = "other", .source = practice, .sequence = "SE", .repetition = 4800, .echo = 11, .description = "3D ASL"},
        {.what = "cerebral blood flow", .expected = "derived", .source = practice, .sequence = "SE", .repetition = 4800, .echo = 11, .image_type = "DERIVED\\PRIMARY\\ASL\\CBF"},
        {.what = "mean transit time, named", .expected = "derived", .source = practice, .sequence = "EP", .repetition = 1500, .echo = 30, .description = "MTT"},
        {.what = "T1 map", .expected = "derived", .source = practice, .sequence = "GR\\IR", .repetition = 5000, .echo = 3, .image_type = "DERIVED\\PRIMARY\\T1 MAP"},
        {.what = "subtraction", .expected = "derived", .source = practice, .sequence = "SE", .repetition = 550, .echo = 12, .agent = "agent", .image_type = "DERIVED\\PRIMARY\\SUB"},
        {.what = "subtraction, named", .expected = "derived", .source = practice, .sequence = "SE", .repetition = 550, .echo = 12, .description = "T1 SUBTRACTION"},
        {.what = "reformatted volume", .expected = "derived", .source = practice, .sequence = "GR\\IR", .repetition = 2000, .echo = 2, .inversion = 900, .image_type = "DERIVED\\SECONDARY\\MPR"},
        {.what = "reformatted volume, named", .expected = "derived", .source = practice, .sequence = "GR\\IR", .repetition = 2000, .echo = 2, .inversion = 900, .description = "T1 MPR cor",
         .image_type = "DERIVED\\PRIMARY\\OTHER"},
        {.what = "original volume named like a reformatted one", .expected = "t1", .source = practice, .sequence = "GR\\IR", .variant = "SP\\MP", .repetition = 2000, .echo = 2, .inversion = 900,
         .flip = 8, .description = "t1_mpr_ns_sag"},
        {.what = "curved reformat", .expected = "derived", .source = standard, .sequence = "SE", .repetition = 4000, .echo = 90, .image_type = "DERIVED\\SECONDARY\\CPR"},
        {.what = "picture of a screen", .expected = "derived", .source = practice, .image_type = "DERIVED\\SECONDARY\\SCREEN SAVE"},
        {.what = "picture of a screen, named", .expected = "derived", .source = practice, .description = "Screenshot", .image_type = "ORIGINAL\\PRIMARY\\OTHER"},
        {.what = "real part of inversion recovery", .expected = "other", .source = standard, .sequence = "IR", .repetition = 3000, .echo = 15, .inversion = 400, .image_type = "ORIGINAL\\PRIMARY\\R\\IR"},
        {.what = "filtered by the scanner", .expected = "t1", .source = practice, .sequence = "SE", .variant = "SK", .repetition = 500, .echo = 10, .flip = 90,
         .image_type = "DERIVED\\PRIMARY\\M\\NORM\\DIS2D"},
    };
}

}  // namespace perisclera::test
