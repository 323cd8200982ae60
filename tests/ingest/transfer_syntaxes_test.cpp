// SPDX-License-Identifier: Apache-2.0
// Every transfer syntax that CT and MR images come in, times every kind of image that is read: the pixels are GDCM's, or the file is
// refused by the name of its syntax. docs/transfer_syntaxes.md is made of what these cells came to; run with
// PERISCLERA_WRITE_TABLES=1 the last test writes it.
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <functional>
#include <iterator>

#include "perisclera/ingest/file_set.h"
#include "perisclera/ingest/read_pixels.h"
#include "tests/support/dicom_slice.h"
#include "tests/support/enhanced_image.h"
#include "tests/support/outside_tools.h"
#include "tests/support/test_folder.h"

namespace perisclera {
namespace {

using test::Compression;
using Path = std::filesystem::path;

enum class Expected { as_written, lossy, refused };

/// One row: what PS3.6 annex A calls the syntax, and how a file of it is made from one in explicit little endian.
struct Syntax {
    const char* uid;
    const char* name;
    std::function<void(const Path&)> make;
    Expected expected;
    int bits = 12;
};

std::function<void(const Path&)> by_dcmtk(Compression compression) {
    return [compression](const Path& file) { test::recode(file, compression); };
}

std::function<void(const Path&)> by_gdcm(std::vector<std::string> options) {
    return [options](const Path& file) { test::recode_with_gdcm(file, options); };
}

/// No encoder is at hand, and no decoder shall be asked: a JPEG 2000 file that states the syntax instead of its own.
std::function<void(const Path&)> by_statement(std::string uid) {
    return [uid](const Path& file) {
        test::recode_with_gdcm(file, {"--j2k"});
        std::string bytes = test::read_bytes(file);
        const std::string element("\x02\x00\x10\x00UI", 6);
        const std::size_t at = bytes.find(element), length = static_cast<unsigned char>(bytes.at(at + 6));
        std::string value = uid;
        if (value.size() % 2 != 0) value += '\0';
        bytes.replace(at + 8, length, value);
        bytes[at + 6] = static_cast<char>(value.size());
        // The length of the meta group stands first in it (PS3.10 7.1); it stays below 256 here.
        bytes[140] = static_cast<char>(static_cast<std::size_t>(static_cast<unsigned char>(bytes[140])) + value.size() - length);
        test::write_bytes(file, bytes);
    };
}

Syntax stated_only(const char* uid, const char* name) { return {uid, name, by_statement(uid), Expected::refused}; }

const std::vector<Syntax>& syntaxes() {
    static const std::vector<Syntax> list{
        {"1.2.840.10008.1.2", "Implicit VR Little Endian", by_dcmtk(Compression::implicit_little), Expected::as_written},
        {"1.2.840.10008.1.2.1", "Explicit VR Little Endian", by_dcmtk(Compression::explicit_little), Expected::as_written},
        {"1.2.840.10008.1.2.2", "Explicit VR Big Endian (retired)", by_dcmtk(Compression::explicit_big), Expected::as_written},
        {"1.2.840.10008.1.2.1.99", "Deflated Explicit VR Little Endian", by_dcmtk(Compression::deflated), Expected::as_written},
        {"1.2.840.10008.1.2.5", "RLE Lossless", by_dcmtk(Compression::rle), Expected::as_written},
        {"1.2.840.10008.1.2.4.50", "JPEG Baseline (Process 1), 8 bit", by_dcmtk(Compression::jpeg_baseline), Expected::lossy, 8},
        {"1.2.840.10008.1.2.4.51", "JPEG Extended (Process 2 and 4)", by_dcmtk(Compression::jpeg_extended), Expected::lossy},
        {"1.2.840.10008.1.2.4.57", "JPEG Lossless, Non-Hierarchical (Process 14)", by_dcmtk(Compression::jpeg_lossless_57), Expected::as_written},
        {"1.2.840.10008.1.2.4.70", "JPEG Lossless, First-Order Prediction", by_dcmtk(Compression::jpeg_lossless_70), Expected::as_written},
        {"1.2.840.10008.1.2.4.80", "JPEG-LS Lossless", by_dcmtk(Compression::jpeg_ls), Expected::as_written},
        {"1.2.840.10008.1.2.4.81", "JPEG-LS Lossy (Near-Lossless)", by_dcmtk(Compression::jpeg_ls_near), Expected::lossy},
        {"1.2.840.10008.1.2.4.90", "JPEG 2000 (Lossless Only)", by_gdcm({"--j2k"}), Expected::as_written},
        {"1.2.840.10008.1.2.4.91", "JPEG 2000", by_gdcm({"--lossy", "--j2k", "-r", "12"}), Expected::lossy},
        stated_only("1.2.840.10008.1.2.4.92", "JPEG 2000 Part 2 Multi-component (Lossless Only)"),
        stated_only("1.2.840.10008.1.2.4.93", "JPEG 2000 Part 2 Multi-component"),
        stated_only("1.2.840.10008.1.2.4.94", "JPIP Referenced"),
        stated_only("1.2.840.10008.1.2.4.110", "JPEG XL Lossless"),
        stated_only("1.2.840.10008.1.2.4.112", "JPEG XL"),
        stated_only("1.2.840.10008.1.2.4.201", "High-Throughput JPEG 2000 (Lossless Only)"),
        stated_only("1.2.840.10008.1.2.4.202", "High-Throughput JPEG 2000 with RPCL Options (Lossless Only)"),
        stated_only("1.2.840.10008.1.2.4.203", "High-Throughput JPEG 2000"),
    };
    return list;
}

constexpr std::array kinds{"classic CT", "classic MR", "enhanced CT", "enhanced MR"};
constexpr int rows = 24, columns = 36;

/// Smooth enough for lossy codecs, with a different middle in every frame.
std::vector<std::int32_t> picture(int frame, int bits) {
    std::vector<std::int32_t> values;
    for (int y = 0; y < rows; ++y)
        for (int x = 0; x < columns; ++x) values.push_back((900 + 100 * frame + 20 * x + static_cast<int>(300 * std::sin(0.3 * y))) >> (12 - bits));
    return values;
}

struct Scale {
    double slope, intercept;
};
/// Of each frame its own, except in a classic CT or MR as others write them.
Scale scale_of(std::size_t kind, int frame) {
    if (kind == 0) return {1.0, -1024.0};
    if (kind == 1) return {1.0, 0.0};
    return {1.0 + 0.5 * frame, kind == 2 ? -1024.0 : 0.0};
}

std::vector<float> write_image(const Path& file, std::size_t kind, int bits) {
    const int allocated = bits == 8 ? 8 : 16;
    if (kind < 2) {
        test::DicomSlice slice;
        slice.modality = kind == 0 ? "CT" : "MR";
        slice.rows = rows;
        slice.columns = columns;
        slice.bits_allocated = allocated;
        slice.bits_stored = bits;
        slice.stored = picture(0, bits);
        test::write_slice(file, slice);
        return {slice.stored.begin(), slice.stored.end()};
    }
    test::EnhancedImage image;
    image.ct = kind == 2;
    image.rows = rows;
    image.columns = columns;
    image.bits_allocated = allocated;
    image.bits_stored = bits;
    image.frames = test::frames_of(3, {0, 0, 0}, {0, 0, 1});
    std::vector<float> written;
    for (int f = 0; f < 3; ++f) {
        auto& frame = image.frames[static_cast<std::size_t>(f)];
        frame.stored = picture(f, bits);
        frame.slope = scale_of(kind, f).slope;
        frame.intercept = scale_of(kind, f).intercept;
        written.insert(written.end(), frame.stored.begin(), frame.stored.end());
    }
    test::write_enhanced(file, image);
    return written;
}

struct Outcome {
    bool read = false, marked_lossy = false, as_gdcm = false, as_written = false;
    std::string words{}, message{};
};

std::vector<float> rescaled(std::vector<float> stored, std::size_t kind) {
    for (std::size_t i = 0; i < stored.size(); ++i) {
        const Scale scale = scale_of(kind, static_cast<int>(i) / (rows * columns));
        stored[i] = static_cast<float>(stored[i] * scale.slope + scale.intercept);
    }
    return stored;
}

Outcome outcome_of(const Syntax& syntax, std::size_t kind) {
    const test::TestFolder folder;
    const Path file = folder.path() / "image";
    const auto written = rescaled(write_image(file, kind, syntax.bits), kind);
    syntax.make(file);
    const auto set = scan_inputs({file});
    if (!set) return {.words = one_line(set.error())};
    if (!set.value().refused.empty()) {
        const Error& error = set.value().refused.front().error;
        return {.words = error.code == ErrorCode::unsupported_encoding ? "refused" : std::string(name(error.code)), .message = error.what};
    }
    Outcome outcome;
    std::vector<float> values;
    for (const SliceHeader& slice : set.value().slices) {
        if (slice.layout.transfer_syntax_uid != syntax.uid) return {.words = "is in another syntax"};
        outcome.marked_lossy = slice.lossy;
        const auto pixels = read_pixels(slice);
        if (!pixels) return {.words = one_line(pixels.error())};
        values.insert(values.end(), pixels.value().begin(), pixels.value().end());
    }
    outcome.read = true;
    outcome.as_written = values == written;
    // Classic CT comes rescaled from there; of the others the stored values do.
    auto second = test::values_by_gdcm(file);
    if (kind != 0) second = rescaled(second, kind);
    outcome.as_gdcm = values == second;
    outcome.words = !outcome.as_gdcm ? "differs from GDCM" : outcome.marked_lossy ? "read, marked lossy" : "read";
    return outcome;
}

class TransferSyntaxes : public ::testing::TestWithParam<std::tuple<std::size_t, std::size_t>> {};

TEST_P(TransferSyntaxes, are_read_as_gdcm_reads_them_or_refused_by_name) {
    const auto [row, kind] = GetParam();
    const Syntax& syntax = syntaxes()[row];
    const Outcome outcome = outcome_of(syntax, kind);
    if (syntax.expected == Expected::refused) {
        EXPECT_EQ(outcome.words, "refused");
        const std::string uid = syntax.uid;
        EXPECT_NE(outcome.message.find(uid.ends_with(".1.2.4.94") || uid.find(".4.11") != uid.npos ? uid : "JPEG 2000"), std::string::npos) << outcome.message;
        return;
    }
    EXPECT_TRUE(outcome.read) << outcome.words;
    EXPECT_TRUE(outcome.as_gdcm) << outcome.words;
    EXPECT_EQ(outcome.marked_lossy, syntax.expected == Expected::lossy);
    EXPECT_EQ(outcome.as_written, syntax.expected == Expected::as_written);
}

INSTANTIATE_TEST_SUITE_P(all, TransferSyntaxes, ::testing::Combine(::testing::Range<std::size_t>(0, 21), ::testing::Range<std::size_t>(0, kinds.size())));

TEST(TransferSyntaxTable, says_what_every_cell_came_to) {
    ASSERT_EQ(syntaxes().size(), 21U) << "the cells above are counted by hand";
    std::string text =
        "# Transfer syntaxes\n\n"
        "Made by the test `TransferSyntaxTable`; each cell is one file written in that encoding and read. \"Read\": every pixel of every frame is what\n"
        "GDCM's `gdcmconv --raw` decodes, and where the encoding is lossless also what was written. \"Marked lossy\": the series carries the warning\n"
        "`LOSSY_COMPRESSION`. \"Refused\": with `UNSUPPORTED_ENCODING` and the message in the last column. Written by DCMTK, JPEG 2000 by GDCM. The\n"
        "syntaxes that are refused are stated in files that hold something else, since their pixels are never looked at.\n\n"
        "| transfer syntax | name in PS3.6 |";
    for (const char* kind : kinds) text += " " + std::string(kind) + " |";
    text += " message |\n| --- | --- | --- | --- | --- | --- | --- |\n";
    for (const Syntax& syntax : syntaxes()) {
        text += "| " + std::string(syntax.uid) + " | " + syntax.name + " |";
        std::string message;
        for (std::size_t kind = 0; kind < kinds.size(); ++kind) {
            const Outcome outcome = outcome_of(syntax, kind);
            text += " " + outcome.words + " |";
            message = outcome.message;
        }
        text += (message.empty() ? " —" : " " + message) + " |\n";
    }
    const Path page = Path(PERISCLERA_SOURCE_DIR) / "docs" / "transfer_syntaxes.md";
    if (std::getenv("PERISCLERA_WRITE_TABLES") != nullptr) test::write_bytes(page, text);
    EXPECT_EQ(test::read_bytes(page), text) << "run this test with PERISCLERA_WRITE_TABLES=1";
}

}  // namespace
}  // namespace perisclera
