// SPDX-License-Identifier: Apache-2.0
// Segmentations of series that no simulated patient here has: so large that empty slices at the ends are left out, without a frame of reference, with slices whose directions
// are written differently. Read back with DCMTK; the voxels are known because the test sets them.
#include <dcmtk/config/osconfig.h>
// osconfig.h comes first by the library's rule.
#include <dcmtk/dcmdata/dctk.h>

#include <gtest/gtest.h>

#include "src/report/segmentation_object.h"
#include "tests/filing/filed_patient.h"
#include "tests/support/child_process.h"
#include "tests/support/test_folder.h"

namespace perisclera {

namespace {

using report::Segment;
using report::SegmentKind;

constexpr int slices = 120, columns = 501, rows = 499;   // a frame's pixels fill no whole byte

/// A box of filled voxels.
VoxelMask box(std::array<int, 3> first, std::array<int, 3> size) {
    return {first, size, std::vector<std::uint8_t>(static_cast<std::size_t>(size[0] * size[1] * size[2]), 1)};
}

report::SegmentedSeries large_series() {
    const auto geometry = VolumeGeometry::make({-100.0, -90.5, 7.25}, {1, 0, 0}, {0, 1, 0}, {0, 0, 0.4}, {0.4, 0.4}, {columns, rows, slices});
    report::SegmentedSeries series{"t1", "1.2.3.4", "1.2.3", "", Modality::ct, geometry.value(), {}, {}};
    for (int z = 0; z < slices; ++z)
        series.slices.push_back({UID_CTImageStorage, "1.2.3.4." + std::to_string(z + 1), 1, 1,
                                 {"-100.00\\-90.5\\" + std::to_string(725 + 40 * z) + "e-2", z % 2 == 0 ? "1\\0\\0\\0\\1\\0" : "1.0\\0.0\\0.0\\0.0\\1.0\\0.0", "0.40\\0.40", ""}});
    series.segments = {{SegmentKind::element, Eye::right, "R1", box({100, 200, 30}, {3, 5, 20})}, {SegmentKind::globe, Eye::right, {}, box({90, 190, 40}, {50, 40, 31})}};
    return series;
}

std::string words(DcmItem& item, const DcmTagKey& tag) {
    OFString text;
    item.findAndGetOFStringArray(tag, text, OFTrue);
    return text.c_str();
}

}  // namespace

TEST(LargeSegmentation, has_every_slice_from_the_first_to_the_last_that_a_segment_reaches) {
    const report::SegmentedSeries series = large_series();
    const report::ReportModel model{};
    const report::Identity identity{PatientText("Invented^Name"), PatientText("123"), {}};
    const test::TestFolder folder;
    const auto file = folder.path() / "segmentation.dcm";
    test::write_bytes(file, report::segmentation_bytes(model, identity, series, test::some_moment(), 1).value());
    DcmFileFormat format;
    ASSERT_TRUE(format.loadFile(file.c_str()).good());
    DcmDataset& data = *format.getDataset();
    ASSERT_EQ(words(data, DCM_NumberOfFrames), std::to_string(20 + 31));
    EXPECT_EQ(words(data, DCM_SegmentsOverlap), "YES");   // slices 40 to 49 of both
    EXPECT_NE(words(data, DCM_FrameOfReferenceUID), "");
    const Uint8* bits = nullptr;
    unsigned long bytes = 0;
    ASSERT_TRUE(data.findAndGetUint8Array(DCM_PixelData, bits, &bytes).good());
    constexpr std::size_t frame_pixels = static_cast<std::size_t>(columns) * rows;
    ASSERT_GE(bytes * 8, 51 * frame_pixels);
    for (int frame = 0; frame < 51; ++frame) {
        const bool element = frame < 20;
        const int z = element ? 30 + frame : 40 + frame - 20;
        DcmItem* groups = nullptr;
        ASSERT_TRUE(data.findAndGetSequenceItem(DCM_PerFrameFunctionalGroupsSequence, groups, frame).good());
        EXPECT_EQ(words(*groups, DCM_ImagePositionPatient), series.slices[static_cast<std::size_t>(z)].plane.position);
        EXPECT_EQ(words(*groups, DCM_ImageOrientationPatient), series.slices[static_cast<std::size_t>(z)].plane.orientation);
        EXPECT_EQ(words(*groups, DCM_ReferencedSOPInstanceUID), series.slices[static_cast<std::size_t>(z)].sop_instance_uid);
        std::size_t filled = 0;
        for (std::size_t pixel = 0; pixel < frame_pixels; ++pixel) {
            const std::size_t bit = static_cast<std::size_t>(frame) * frame_pixels + pixel, x = pixel % columns, y = pixel / columns;
            if ((bits[bit / 8] >> (bit % 8) & 1) == 0) continue;
            ++filled;
            EXPECT_TRUE(element ? x >= 100 && x < 103 && y >= 200 && y < 205 : x >= 90 && x < 140 && y >= 190 && y < 230);
        }
        EXPECT_EQ(filled, element ? 15u : 2000u);
    }
    const test::Ended told = test::run_child({"/usr/bin/dciodvfy", "-new", file.string()});
    EXPECT_EQ((told.output_text + told.error_text).find("Error"), std::string::npos) << told.output_text << told.error_text;
}

}  // namespace perisclera
