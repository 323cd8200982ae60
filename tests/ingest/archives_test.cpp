// SPDX-License-Identifier: Apache-2.0
// Archives made by Python's zipfile and by zip, sound and hostile, and directories (DICOMDIR) beside and in place of images.
#include <gtest/gtest.h>

#include "perisclera/core/limits.h"
#include "perisclera/ingest/file_set.h"
#include "perisclera/ingest/read_pixels.h"
#include "tests/support/dicom_slice.h"
#include "tests/support/outside_tools.h"
#include "tests/support/test_folder.h"

namespace perisclera {
namespace {

using test::DicomSlice;

class Archives : public ::testing::Test {
protected:
    void SetUp() override { std::filesystem::create_directories(images()); }
    std::filesystem::path images() const { return folder_.path() / "images"; }
    std::filesystem::path archive() const { return folder_.path() / "disc.zip"; }
    /// Runs Python with `z` an open archive to write to and `images` the folder of images.
    void write_archive(const std::string& lines) const {
        test::run_tool({"python3", "-c",
                        "import zipfile, os, sys\nimages = sys.argv[2]\nz = zipfile.ZipFile(sys.argv[1], 'w', zipfile.ZIP_DEFLATED)\n" + lines + "\nz.close()\n",
                        archive().string(), images().string()});
    }
    FileSet scan() const {
        auto set = scan_inputs({archive()});
        EXPECT_TRUE(set.ok());
        return std::move(set).value();
    }
    test::TestFolder folder_;
};

const char* const all_images = "for n in sorted(os.listdir(images)): z.write(os.path.join(images, n), 'disc/images/' + n)";

TEST_F(Archives, hold_the_same_images_as_the_folder_they_were_made_of) {
    auto slices = test::series_of(6, {0, 0, 0}, {0, 0, 1});
    slices[1].compression = test::Compression::rle;
    slices[2].compression = test::Compression::deflated;
    slices[4].compression = test::Compression::jpeg_ls;
    test::write_series(images(), slices);
    test::write_bytes(images() / "readme.txt", "notes\n");
    write_archive(all_images);
    const auto before = test::contents_of(folder_.path());
    const auto from_folder = scan_inputs({images()});
    const FileSet from_archive = scan();
    ASSERT_TRUE(from_folder.ok());
    EXPECT_TRUE(from_archive.refused.empty());
    EXPECT_EQ(from_archive.not_dicom, 1);
    EXPECT_EQ(from_archive.files_looked_at, 8) << "the archive and the seven files in it";
    ASSERT_EQ(from_archive.slices.size(), 6U);
    std::vector<float> first(6U * 96U), second(6U * 96U);
    ASSERT_TRUE(read_stack(from_folder.value().slices, first, 2).ok());
    ASSERT_TRUE(read_stack(from_archive.slices, second, 2).ok());
    EXPECT_EQ(first, second);
    EXPECT_EQ(test::contents_of(folder_.path()), before) << "nothing is unpacked";
}

TEST_F(Archives, names_that_lead_out_of_the_archive_lead_nowhere) {
    test::write_slice(images() / "one", {});
    write_archive("for n in ['../../escaped.dcm', '/etc/escaped.dcm', 'a/../../b.dcm', 'C:\\\\escaped.dcm']: z.write(os.path.join(images, 'one'), n)");
    const auto before = test::contents_of(folder_.path());
    const FileSet set = scan();
    EXPECT_EQ(set.slices.size(), 4U);
    EXPECT_EQ(test::contents_of(folder_.path()), before);
    EXPECT_FALSE(std::filesystem::exists("/etc/escaped.dcm"));
}

TEST_F(Archives, encrypted_files_are_refused) {
    test::write_slice(images() / "one", {});
    test::run_tool({"zip", "-q", "-j", "-P", "secret", archive().string(), (images() / "one").string()});
    const FileSet set = scan();
    ASSERT_EQ(set.refused.size(), 1U);
    EXPECT_EQ(set.refused.front().error.code, ErrorCode::unsupported_encoding);
    EXPECT_EQ(one_line(set.refused.front().error),
              "error[UNSUPPORTED_ENCODING] is encrypted inside its archive: file 1 of 1, archive member 1 of 1: unpack the archive and give the folder");
}

TEST_F(Archives, archives_inside_archives_are_refused) {
    test::write_slice(images() / "one", {});
    write_archive("z.writestr('inner.ZIP', b'PK'); z.write(os.path.join(images, 'one'), 'one')");
    const FileSet set = scan();
    EXPECT_EQ(set.slices.size(), 1U) << "the rest is read";
    ASSERT_EQ(set.refused.size(), 1U);
    EXPECT_EQ(set.refused.front().error.code, ErrorCode::unsupported_encoding);
}

TEST_F(Archives, a_member_that_grows_too_large_is_refused) {
    write_archive("z.writestr('bomb', bytes(100 << 20))");
    ASSERT_LT(std::filesystem::file_size(archive()), 200'000U);
    const FileSet set = scan();
    ASSERT_EQ(set.refused.size(), 1U);
    EXPECT_EQ(set.refused.front().error.code, ErrorCode::inflates_too_large);
}

TEST_F(Archives, too_many_members_end_the_run) {
    write_archive("for i in range(" + std::to_string(limits::files_per_run) + "): z.writestr(str(i), b'')");
    const auto set = scan_inputs({archive()});
    ASSERT_FALSE(set.ok());
    EXPECT_EQ(set.error().code, ErrorCode::limit_reached);
}

TEST_F(Archives, damage_costs_the_damaged_member_or_the_archive) {
    test::write_series(images(), test::series_of(4, {0, 0, 0}, {0, 0, 1}));
    write_archive(all_images);
    const std::string whole = test::read_bytes(archive());
    std::string flipped = whole;
    flipped[whole.find("PK\x03\x04", 10) + 120] ^= 0x55;  // within the second member
    test::write_bytes(archive(), flipped);
    const FileSet set = scan();
    EXPECT_EQ(set.slices.size(), 3U);
    ASSERT_EQ(set.refused.size(), 1U);
    EXPECT_EQ(set.refused.front().error.code, ErrorCode::decode_failed);

    for (const std::string& bytes : {whole.substr(0, whole.size() / 2), std::string("PK\x03\x04"), std::string("no archive at all")}) {
        test::write_bytes(archive(), bytes);
        const FileSet none = scan();
        ASSERT_EQ(none.refused.size(), 1U);
        EXPECT_EQ(none.refused.front().error.code, ErrorCode::decode_failed);
    }
}

TEST_F(Archives, any_flipped_byte_gives_the_images_or_a_reason) {
    test::write_slice(images() / "one", {});
    write_archive(all_images);
    const std::string whole = test::read_bytes(archive());
    for (std::size_t i = 0; i < whole.size(); ++i) {
        std::string bytes = whole;
        bytes[i] = static_cast<char>(~bytes[i]);
        test::write_bytes(archive(), bytes);
        const FileSet set = scan();
        ASSERT_EQ(set.slices.size() + set.refused.size(), 1U) << i;
        if (set.slices.empty()) continue;
        const auto pixels = read_pixels(set.slices.front());
        ASSERT_TRUE(pixels.ok()) << i;
        EXPECT_EQ(pixels.value()[5], 105.0F - 1024.0F) << "the checksum guards the content";
    }
}

class Directories : public Archives {
protected:
    /// Images under names that a DICOMDIR may hold, and their DICOMDIR by DCMTK.
    void write_disc() const {
        std::filesystem::create_directories(images() / "SUB");
        auto slices = test::series_of(4, {0, 0, 0}, {0, 0, 1});
        for (std::size_t i = 0; i < slices.size(); ++i) {
            slices[i].text[{0x0008, 0x0030}] = "120000";
            slices[i].text[{0x0020, 0x0010}] = "1";
            slices[i].text[{0x0020, 0x0011}] = "1";
            test::write_slice(images() / "SUB" / ("IM" + std::to_string(i)), slices[i]);
        }
        test::run_tool({"dcmmkdir", "--invent", "--no-consistency-check", "+r", "+id", images().string(), "+D", (images() / "DICOMDIR").string()});
    }
};

TEST_F(Directories, a_disc_is_read_by_its_folder_or_by_its_directory) {
    write_disc();
    for (const auto& input : {images(), images() / "DICOMDIR"}) {
        const auto set = scan_inputs({input});
        ASSERT_TRUE(set.ok());
        EXPECT_EQ(set.value().slices.size(), 4U);
        EXPECT_TRUE(set.value().refused.empty());
        EXPECT_EQ(set.value().ignored_objects, (std::map<std::string, int>{{"DICOM directory", 1}}));
    }
}

TEST_F(Directories, a_directory_file_stands_for_its_folder_and_other_files_for_none) {
    write_disc();
    EXPECT_EQ(searched_folder(images()), images());
    EXPECT_EQ(searched_folder(images() / "DICOMDIR"), std::filesystem::canonical(images()));
    EXPECT_FALSE(searched_folder(images() / "SUB" / "IM0").has_value());
    EXPECT_FALSE(searched_folder(images() / "nothing" / "DICOMDIR").has_value());
}

TEST_F(Directories, a_directory_that_lists_what_is_not_there_or_is_damaged_does_no_harm) {
    write_disc();
    std::filesystem::remove(images() / "SUB" / "IM2");
    std::string bytes = test::read_bytes(images() / "DICOMDIR");
    const std::size_t inside = bytes.size() / 2;
    bytes.replace(inside, 64, std::string(64, '\xff'));
    test::write_bytes(images() / "DICOMDIR", bytes);
    const auto set = scan_inputs({images() / "DICOMDIR"});
    ASSERT_TRUE(set.ok());
    EXPECT_EQ(set.value().slices.size(), 3U);
    EXPECT_TRUE(set.value().refused.empty());
}

}  // namespace
}  // namespace perisclera
