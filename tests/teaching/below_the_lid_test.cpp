// SPDX-License-Identifier: Apache-2.0
// A sponge whose front end lies below the lid, within the depth to which skin is taken away: in the images cut down it is found and named as in the whole ones
// (truth: the scenario draws one radial silicone sponge on the left eye).
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tests/teaching/teach_run.h"

namespace perisclera::test {

TEST(BelowTheLid, a_radial_sponge_is_still_found_in_the_images_cut_down) {
    using Json = nlohmann::json;
    TestFolder folder;
    const auto images = folder.path() / "images", result = folder.path() / "result", taught = folder.path() / "taught";
    const std::string scenario = std::string(PERISCLERA_SOURCE_DIR) + "/phantoms/scenarios/sponge_radial.json";
    for (const std::vector<std::string>& step : {std::vector<std::string>{"phantom", scenario, "--out", images.string(), "--quiet"},
                                                 {"identify", images.string(), "--out", result.string(), "--quiet"},
                                                 {"teach", result.string(), images.string(), "--out", taught.string(), "--quiet"}}) {
        const Ended ended = run_program(step);
        ASSERT_EQ(ended.status, 0) << step.front() << ": " << ended.error_text;
    }
    const Json whole = Json::parse(read_bytes(result / "report.json"))["timepoints"][0]["eyes"], cut = Json::parse(read_bytes(taught / "answer/report.json"))["timepoints"][0]["eyes"];
    ASSERT_EQ(whole["left"]["elements"].size(), 1U);
    EXPECT_EQ(whole["left"]["elements"][0]["material"]["label"], "silicone_sponge");
    for (const char* eye : {"right", "left"}) {
        EXPECT_EQ(cut[eye]["explant"]["presence"], whole[eye]["explant"]["presence"]);
        ASSERT_EQ(cut[eye]["elements"].size(), whole[eye]["elements"].size());
    }
    EXPECT_EQ(cut["left"]["elements"][0]["material"]["label"], "silicone_sponge");
    for (const Json& series : Json::parse(read_bytes(taught / "deidentification.json"))["series"]) EXPECT_LE(series["face_surface"]["kept_share"].get<double>(), 0.02);
}

}  // namespace perisclera::test
