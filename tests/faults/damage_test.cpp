// SPDX-License-Identifier: Apache-2.0
// Copies that ended early and bits that flipped, read by the libraries of the program in this process. Sources: the values that the
// test wrote; DCMTK's own parser for what a damaged header says.
#include <dcmtk/config/osconfig.h>
// osconfig.h comes first by the library's rule.
#include <dcmtk/dcmdata/dcdeftag.h>
#include <dcmtk/dcmdata/dcfilefo.h>

#include <cmath>
#include <functional>
#include <random>

#include "perisclera/assemble/load_patient.h"
#include "perisclera/ingest/file_set.h"
#include "tests/faults/faulty_run.h"
#include "tests/support/dicom_slice.h"
#include "tests/support/enhanced_image.h"
#include "tests/support/outside_tools.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

class DamagedCopies : public ::testing::Test {
protected:
    [[nodiscard]] const fs::path& in() const { return folder_.path(); }
    [[nodiscard]] Result<PatientStudies> read() const { return read_patient({in()}, {}); }

private:
    TestFolder folder_;
};

/// Noise, so that no encoding makes little of it.
std::vector<std::int32_t> noise(int count, unsigned seed) {
    std::mt19937 random(seed);
    std::vector<std::int32_t> values;
    for (int i = 0; i < count; ++i) values.push_back(static_cast<std::int32_t>(random() & 0xFFF));
    return values;
}

constexpr int slices = 5, side = 48;

void give_classic(const fs::path& folder, Compression compression, bool jpeg_2000 = false) {
    DicomSlice prototype;
    prototype.rows = prototype.columns = side;
    prototype.compression = compression;
    auto all = series_of(slices, {0, 0, 0}, {0, 0, 1}, prototype);
    for (unsigned i = 0; i < all.size(); ++i) all[i].stored = noise(side * side, i);
    write_series(folder, all);
    if (jpeg_2000)
        for (const auto& entry : fs::directory_iterator(folder)) recode_with_gdcm(entry.path(), {"--j2k"});
}

void give_enhanced(const fs::path& folder, bool ct) {
    EnhancedImage image;
    image.ct = ct;
    image.frames = frames_of(slices, {0, 0, 0}, {0, 0, 1});
    write_enhanced(folder / "image", image);
}

bool same_volume(const VoxelGrid& a, const VoxelGrid& b) {
    const auto& g = a.geometry();
    const auto& h = b.geometry();
    return g.size() == h.size() && g.origin() == h.origin() && g.slice_step() == h.slice_step() && g.spacing_mm() == h.spacing_mm() && a.values() == b.values();
}

/// Rows, columns, spacing, position and orientation as DCMTK's parser finds them in a file; empty where it cannot.
std::vector<double> geometry_by_dcmtk(const fs::path& file) {
    DcmFileFormat format;
    std::vector<double> values;
    if (format.loadFile(file.c_str()).bad()) return {};
    Uint16 number = 0;
    for (const DcmTagKey& tag : {DCM_Rows, DCM_Columns}) {
        if (format.getDataset()->findAndGetUint16(tag, number).bad()) return {};
        values.push_back(number);
    }
    for (const auto& [tag, count] : {std::pair{DCM_PixelSpacing, 2UL}, {DCM_ImagePositionPatient, 3UL}, {DCM_ImageOrientationPatient, 6UL}})
        for (unsigned long i = 0; i < count; ++i) {
            Float64 value = 0;
            if (format.getDataset()->findAndGetFloat64(tag, value, i).bad()) return {};
            values.push_back(value);
        }
    return values;
}

std::vector<double> geometry_read(const SliceHeader& slice) {
    const SliceGeometry& g = slice.geometry;
    return {static_cast<double>(g.rows), static_cast<double>(g.columns), g.row_spacing_mm, g.column_spacing_mm, g.position.x, g.position.y, g.position.z,
            g.row.x, g.row.y, g.row.z, g.column.x, g.column.y, g.column.z};
}

}  // namespace

PERISCLERA_FAULT(14, DamagedCopies, a_copy_cut_short_gives_no_other_number, "a file cut at each step of 512 bytes: classic plain, big endian, deflated, RLE, JPEG-LS, JPEG 2000; enhanced CT and MR",
                 "the series or enhanced image is refused; never other pixels or another geometry") {
    using Giver = std::function<void(const fs::path&)>;
    const std::vector<Giver> kinds{[](const fs::path& f) { give_classic(f, Compression::implicit_little); }, [](const fs::path& f) { give_classic(f, Compression::explicit_big); },
                                   [](const fs::path& f) { give_classic(f, Compression::deflated); },        [](const fs::path& f) { give_classic(f, Compression::rle); },
                                   [](const fs::path& f) { give_classic(f, Compression::jpeg_ls); },         [](const fs::path& f) { give_classic(f, Compression::explicit_little, true); },
                                   [](const fs::path& f) { give_enhanced(f, true); },                        [](const fs::path& f) { give_enhanced(f, false); }};
    for (std::size_t kind = 0; kind < kinds.size(); ++kind) {
        fs::remove_all(in());
        fs::create_directories(in());
        kinds[kind](in());
        const auto whole = read();
        ASSERT_TRUE(whole) << kind << one_line(whole.error());
        const fs::path file = kind < 6 ? in() / "CT_0002" : in() / "image";
        const std::string bytes = read_bytes(file);
        ASSERT_GT(bytes.size(), 3000U) << kind;
        for (std::size_t kept = 0; kept < bytes.size(); kept += 512) {
            write_bytes(file, bytes.substr(0, kept));
            const auto cut = read();
            // The slices on either side of the one in the middle are too few to be used alone.
            EXPECT_FALSE(cut) << "kind " << kind << ", " << kept << " bytes";
        }
        write_bytes(file, bytes);
        const auto again = read();
        ASSERT_TRUE(again) << kind;
        EXPECT_TRUE(same_volume(again.value().visits[0].series[0].grid(), whole.value().visits[0].series[0].grid()));
    }
}

PERISCLERA_FAULT(15, DamagedCopies, a_flipped_bit_invents_no_geometry, "one bit flipped anywhere before the pixels of one slice in the middle, 10,000 times",
                 "refused or told, or the same geometry; what is read of the slice is what DCMTK's parser reads") {
    give_classic(in(), Compression::explicit_little);
    const auto whole = catalogue(scan_inputs({in()}).value());
    ASSERT_TRUE(whole);
    const VolumeGeometry geometry = whole.value().patients.at(0).studies.at(0).series.at(0).stack.value().geometry();
    const fs::path file = in() / "CT_0002";
    const std::string bytes = read_bytes(file);
    const std::size_t header = bytes.find(std::string("\xe0\x7f\x10\x00OW", 6));
    ASSERT_NE(header, std::string::npos);
    std::mt19937 random(20200131);
    int read_alike = 0, told = 0, unread_by_dcmtk = 0;
    for (int i = 0; i < 10000; ++i) {
        const std::size_t at = random() % header;
        const unsigned bit = random() % 8;
        std::string damaged = bytes;
        damaged[at] = static_cast<char>(static_cast<unsigned char>(damaged[at]) ^ (1U << bit));
        write_bytes(file, damaged);
        const std::string where = "byte " + std::to_string(at) + ", bit " + std::to_string(bit);
        const auto set = scan_inputs({in()});
        ASSERT_TRUE(set) << where;
        for (const SliceHeader& slice : set.value().slices) {
            if (slice.path != file) continue;
            const auto expected = geometry_by_dcmtk(file), got = geometry_read(slice);
            unread_by_dcmtk += expected.empty();  // it stops at a wrong length of the file's own header, which says nothing of the image
            for (std::size_t v = 0; v < expected.size(); ++v) EXPECT_NEAR(got[v], expected[v], 1e-3) << where;  // directions are made unit vectors
        }
        const auto found = catalogue(set.value());
        ASSERT_TRUE(found) << where;
        const auto& patients = found.value().patients;
        const bool one_series = patients.size() == 1 && patients[0].studies.size() == 1 && patients[0].studies[0].series.size() == 1;
        if (!one_series || !found.value().warnings.empty() || !patients[0].studies[0].series[0].stack || patients[0].studies[0].series[0].stack->cut() ||
            patients[0].studies[0].series[0].description.problems != whole.value().patients[0].studies[0].series[0].description.problems) {
            ++told;
            continue;
        }
        ++read_alike;
        const VolumeGeometry& now = patients[0].studies[0].series[0].stack->geometry();
        EXPECT_EQ(now.size(), geometry.size()) << where;
        const auto size = geometry.size();
        for (const VoxelPoint corner : {VoxelPoint{0, 0, 0}, VoxelPoint{size[0] - 1.0, size[1] - 1.0, size[2] - 1.0}}) {
            const PatientVector apart = now.to_patient(corner) - geometry.to_patient(corner);
            EXPECT_LT(std::sqrt(dot(apart, apart)), 0.1) << where;  // the stated tolerance of uneven steps
        }
    }
    EXPECT_GT(read_alike, 1000);
    EXPECT_GT(told, 1000);
    EXPECT_LT(unread_by_dcmtk, read_alike / 10);
}

}  // namespace perisclera::test
