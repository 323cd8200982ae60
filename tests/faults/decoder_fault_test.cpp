// SPDX-License-Identifier: Apache-2.0
// A decoder that fails in every way costs the images it was given, not the run. JPEG 2000 stands for all encodings: its library is
// loaded as a whole, so another can stand in for it. Sources: the README's list of exit statuses; `perisclera --limits`.
#include <nlohmann/json.hpp>

#include "tests/faults/faulty_run.h"
#include "tests/support/dicom_slice.h"
#include "tests/support/outside_tools.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

/// A second series beside the sound one, compressed.
class DecoderFaults : public FaultyRun {
protected:
    void SetUp() override {
        FaultyRun::SetUp();
        fs::create_directories(in() / "compressed");
        DicomSlice prototype;
        prototype.rows = prototype.columns = 16;
        prototype.series_uid = "1.2.4";
        write_series(in() / "compressed", series_of(5, {0, 0, 0}, {0, 0, 1}, prototype));
        for (const auto& entry : fs::directory_iterator(in() / "compressed")) recode_with_gdcm(entry.path(), {"--j2k"});
    }
};

}  // namespace

PERISCLERA_FAULT(9, DecoderFaults, costs_its_own_series_and_nothing_else, "a decoder that crashes, waits for ever, says that all is well and gives nothing, or floods its outputs",
                 "DECODE_FAILED for what it decoded, after the stated time at the latest; the series beside it is used, nothing of the decoder's reaches the results") {
    const Ended usual = run_with_faults({}, identify());
    ASSERT_EQ(usual.status, 4) << usual.error_text;
    ASSERT_EQ(usual.error_text.find("DECODE_FAILED"), std::string::npos) << "the series is not sound to begin with";
    for (const char* how : {"crash", "wait", "nonsense", "flood"}) {
        fs::remove_all(out());
        const Ended ended = run_with_faults({std::string("FAULT_DECODER=") + how, "FAULT_ALARM=1"}, identify({"--json"}));
        EXPECT_EQ(ended.status, 4) << how << ended.error_text;
        EXPECT_NE(ended.error_text.find("warning[DECODE_FAILED] "), std::string::npos) << how << ended.error_text;
        EXPECT_LT(ended.error_text.size(), 4000U) << how;
        const auto report = nlohmann::json::parse(ended.output_text, nullptr, false);
        ASSERT_FALSE(report.is_discarded()) << how << ": standard output is no JSON";
        EXPECT_EQ(read_bytes(out() / "report.json"), ended.output_text) << how;
        EXPECT_EQ(report["timepoints"][0]["series"].size(), 2U) << how;
    }
}

}  // namespace perisclera::test
