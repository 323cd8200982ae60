// SPDX-License-Identifier: Apache-2.0
// Little memory and a small stack. Sources: setrlimit(2); the README's list of exit statuses (6: a stated limit stopped the work).
#include "tests/faults/faulty_run.h"
#include "tests/support/dicom_slice.h"
#include "tests/support/outside_tools.h"
#include "tests/support/small_phantom.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

class ScarceMeans : public FaultyRun {
protected:
    /// With no more than so much address space.
    [[nodiscard]] static Ended run_within(unsigned long bytes, Words words) {
        words.insert(words.begin(), {"/usr/bin/prlimit", "--as=" + std::to_string(bytes), PERISCLERA_PROGRAM});
        return run_child(words);
    }
};

constexpr unsigned long mebibyte = 1UL << 20;

}  // namespace

PERISCLERA_FAULT(8, ScarceMeans, refused_memory_ends_the_run_with_its_own_status,
                 "address space limited, in steps from what loads the program up to what it needs: `survey`, a report of slices without an eye, of a simulated patient",
                 "exit status 6, one line, no trace; then whole") {
    if (sanitized) GTEST_SKIP() << "the address sanitizer reserves terabytes of address space";
    unsigned long least = 64 * mebibyte;
    // Below this the system cannot load the program and its libraries.
    while (run_within(least, {"--version"}).status != 0) least += 8 * mebibyte;
    ASSERT_LT(least, 4096 * mebibyte);
    struct Kind {
        Words arguments;
        int usual;
        unsigned long step;
    };
    for (const Kind& kind : {Kind{identify(), 4, 4 * mebibyte}, Kind{{"survey", in().string()}, 0, 4 * mebibyte},
                             Kind{{"identify", small_phantom().string(), "--out", out().string(), "--quiet"}, 0, 16 * mebibyte}}) {
        int refused = 0;
        for (unsigned long bytes = least;; bytes += kind.step) {
            ASSERT_LT(bytes, least + 1024 * mebibyte) << "never enough";
            const Ended ended = run_within(bytes, kind.arguments);
            if (ended.status == kind.usual) break;
            const std::string told = std::to_string(bytes / mebibyte) + " MiB: " + std::to_string(ended.status) + " " + ended.error_text;
            ++refused;
            EXPECT_EQ(ended.status, 6) << told;
            EXPECT_TRUE(is_one_error(ended.error_text, "LIMIT_REACHED")) << told;
            expect_no_trace(told);
        }
        EXPECT_GT(refused, 0);
        if (kind.usual == 4) expect_whole("memory enough");
        fs::remove_all(out());
    }
}

PERISCLERA_FAULT(10, ScarceMeans, a_small_stack_changes_nothing, "256 KiB of stack; pixels in each of seven encodings, a simulated patient", "whole") {
    const auto expect_same_with_small_stack = [&](const Words& words) {
        const Ended usual = run_with_faults({}, words);
        const Contents expected = files_below(out());
        EXPECT_FALSE(expected.empty()) << usual.error_text;
        fs::remove_all(out());
        Words limited{"/usr/bin/prlimit", "--stack=" + std::to_string(sanitized ? 1024 * 1024 : 256 * 1024), PERISCLERA_PROGRAM};
        limited.insert(limited.end(), words.begin(), words.end());
        const Ended ended = run_child(limited);
        EXPECT_EQ(ended.status, usual.status) << ended.error_text;
        EXPECT_EQ(ended.error_text, usual.error_text);
        EXPECT_TRUE(files_below(out()) == expected);
        fs::remove_all(out());
    };
    expect_same_with_small_stack(identify());
    expect_same_with_small_stack({"identify", small_phantom().string(), "--out", out().string(), "--quiet"});
    for (const Compression compression : {Compression::deflated, Compression::rle, Compression::jpeg_lossless_70, Compression::jpeg_ls, Compression::jpeg_extended,
                                          Compression::explicit_little}) {
        fs::remove_all(in());
        fs::create_directories(in());
        DicomSlice prototype;
        prototype.rows = prototype.columns = 16;
        prototype.compression = compression;
        write_series(in(), series_of(4, {0, 0, 0}, {0, 0, 1}, prototype));
        if (compression == Compression::explicit_little)
            for (const auto& entry : fs::directory_iterator(in())) recode_with_gdcm(entry.path(), {"--j2k"});
        expect_same_with_small_stack(identify());
    }
}

}  // namespace perisclera::test
