// SPDX-License-Identifier: Apache-2.0
// CT, classic. Names of kernels are common practice.
#include "tests/role_table/role_table.h"

namespace perisclera::test {

namespace {

SeriesKind ct(const char* what, const char* expected, const char* kernel, const char* type = "ORIGINAL\\PRIMARY\\AXIAL", const char* description = "", const char* agent = "") {
    return {.what = what, .expected = expected, .source = practice, .sequence = "CT", .description = description, .agent = agent, .image_type = type, .more = {{{0x0018, 0x1210}, kernel}}};
}

}  // namespace

std::vector<SeriesKind> ct_kinds() {
    return {
        ct("soft tissue, word", "ct_soft", "STANDARD"),
        ct("soft tissue, letter and number", "ct_soft", "H31s"),
        ct("soft tissue, two letters and number, iterative", "ct_soft", "Hr38f\\3"),
        ct("soft tissue, FC label", "ct_soft", "FC21"),
        ct("soft tissue after contrast agent", "ct_soft", "SOFT", "ORIGINAL\\PRIMARY\\AXIAL", "orbits + contrast", "iodine"),
        ct("angiography, soft kernel", "ct_soft", "Hv36", "ORIGINAL\\PRIMARY\\AXIAL", "CTA head", "iodine"),
        ct("kernel that does not tell", "ct_soft", "C"),
        ct("processed by the scanner", "ct_soft", "J40s\\2", "DERIVED\\PRIMARY\\AXIAL"),
        ct("bone, word", "ct_bone", "BONEPLUS"),
        ct("bone, letter and number", "ct_bone", "H60s"),
        ct("bone, two letters and number", "ct_bone", "Br64f\\2"),
        ct("bone, FC label", "ct_bone", "FC81"),
        ct("bone, kernel does not tell, named", "ct_bone", "YB", "ORIGINAL\\PRIMARY\\AXIAL", "KNOCHEN 1.0"),
        ct("localizer", "localizer", "T20s", "ORIGINAL\\PRIMARY\\LOCALIZER"),
        ct("localizer, named", "localizer", "", "ORIGINAL\\PRIMARY\\AXIAL", "Topogram 0.6"),
        ct("reformatted", "derived", "H31s", "DERIVED\\SECONDARY\\AXIAL\\MPR", "Orbita cor"),
        ct("reformatted, averaged", "derived", "STANDARD", "DERIVED\\SECONDARY\\REFORMATTED\\AVERAGE"),
        ct("maximum projection, named", "derived", "H31s", "DERIVED\\PRIMARY\\OTHER", "MIP thick"),
        ct("dose report", "derived", "", "DERIVED\\SECONDARY\\OTHER", "Dose Report"),
        ct("dose report, named in German", "derived", "", "ORIGINAL\\PRIMARY\\OTHER", "Dosisprotokoll"),
        ct("perfusion map", "derived", "H20f", "DERIVED\\PRIMARY\\CBF"),
        ct("one energy computed from two", "derived", "Qr40", "DERIVED\\PRIMARY\\AXIAL", "Mono 70 keV"),
        ct("native computed from two energies", "derived", "Qr40", "DERIVED\\PRIMARY\\AXIAL\\VNC"),
    };
}

}  // namespace perisclera::test
