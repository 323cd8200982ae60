// SPDX-License-Identifier: Apache-2.0
// CT numbers that are none, and images without anything in them.
#include "tests/bad_input/bad_input.h"

namespace perisclera::test {

namespace {

constexpr TagNumber intercept{0x0028, 0x1052}, slope{0x0028, 0x1053}, unit{0x0028, 0x1054}, padding{0x0028, 0x0120};

/// A fixed sequence that looks like noise (Numerical Recipes' linear congruential generator).
std::vector<std::int32_t> noise(int count, std::uint32_t seed) {
    std::vector<std::int32_t> values;
    for (int i = 0; i < count; ++i) {
        seed = seed * 1664525U + 1013904223U;
        values.push_back(static_cast<std::int32_t>(seed >> 20));
    }
    return values;
}

}  // namespace

PERISCLERA_BAD_INPUT(25, ct_without_hounsfield_scale, "CT without rescale on one slice or on all, with slope zero or no number, or in another unit", "refused; no scale is guessed", "NO_HOUNSFIELD", "3, 0") {
    for (const TagNumber& missing : {slope, intercept}) {
        DicomSlice slice;
        slice.absent = {missing};
        expect_file_refused(bytes_of(slice), "NO_HOUNSFIELD");
    }
    for (const auto& [tag, value] : std::vector<std::pair<TagNumber, std::string>>{{slope, "0"}, {slope, "nan"}, {slope, "one"}, {unit, "OD"}}) {
        DicomSlice slice;
        slice.text[tag] = value;
        expect_file_refused(bytes_of(slice), "NO_HOUNSFIELD");
    }
    auto slices = ct_series();
    slices[9].absent = {intercept, slope, unit};
    expect_series_refused(slices, "NO_HOUNSFIELD");
    for (auto& slice : slices) slice.absent = {intercept, slope, unit};
    expect_series_refused(slices, "NO_HOUNSFIELD");
}

PERISCLERA_BAD_INPUT(26, padding_and_saturation, "padding, bits beyond those stored, values at the top of the scale as metal leaves them", "padding is masked and surplus bits ignored; all are counted and told with the series", "NO_GLOBE", "4") {
    auto slices = ct_series();
    for (auto& slice : slices) slice.numbers[padding] = 63;
    for (std::size_t i = 0; i < 7; ++i) slices[3].stored[i] = 63;
    for (std::size_t i = 10; i < 15; ++i) slices[4].stored[i] = 4095;
    write_series(in(), slices);
    // write_series masks what it stores, so the surplus bits are set in the file.
    std::string bytes = read_bytes(in() / "CT_0006");
    bytes[bytes.size() - 1] = static_cast<char>(bytes[bytes.size() - 1] | 0x50);
    write_bytes(in() / "CT_0006", bytes);
    const Told told = identify();
    expect_warned(told, "NO_GLOBE", 4);
    for (const char* sentence : {"7 pixels are padding and taken as air", "5 pixels are at the top of the scale", "1 pixel carries bits beyond those stored, which are ignored"})
        EXPECT_NE(told.problems.find(sentence), std::string::npos) << sentence << " expected: " << told.problems;
}

PERISCLERA_BAD_INPUT(35, images_of_nothing, "pure noise, one value throughout, padding throughout", "reported in part: no eye, and no number made up", "NO_GLOBE", "4") {
    for (const char* kind : {"noise", "constant", "padding"}) {
        auto slices = ct_series();
        for (std::size_t i = 0; i < slices.size(); ++i) {
            auto& stored = slices[i].stored;
            const auto count = static_cast<int>(stored.size());
            stored = kind == std::string("noise") ? noise(count, static_cast<std::uint32_t>(i)) : std::vector<std::int32_t>(stored.size(), 1040);
            if (kind == std::string("padding")) slices[i].numbers[padding] = 1040;
        }
        clear();
        write_series(in(), slices);
        const Told told = identify();
        expect_warned(told, "NO_GLOBE", 4);
        for (const char* eye : {"right", "left"}) {
            const auto& found = told.json["timepoints"][0]["eyes"][eye];
            EXPECT_NE(found["globe"]["status"], "found");
            EXPECT_EQ(found["explant"]["presence"], "uncertain") << "not found is not absent";
            EXPECT_TRUE(found["elements"].empty());
        }
    }
}

}  // namespace perisclera::test
