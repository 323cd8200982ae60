// SPDX-License-Identifier: Apache-2.0
// Places in the patient that are missing or make no sense (PS3.3 C.7.6.2): none is ever made up.
#include "tests/bad_input/bad_input.h"

namespace perisclera::test {

namespace {

std::string with(TagNumber tag, const std::string& value) {
    DicomSlice slice;
    slice.compression = Compression::implicit_little;   // its values may be longer than 64 KiB
    slice.text[tag] = value;
    return bytes_of(slice);
}

std::string without(TagNumber tag) {
    DicomSlice slice;
    slice.absent = {tag};
    return bytes_of(slice);
}

constexpr TagNumber spacing{0x0028, 0x0030}, orientation{0x0020, 0x0037}, position{0x0020, 0x0032};

}  // namespace

PERISCLERA_BAD_INPUT(17, spacing_that_is_none, "a pixel spacing that is missing, empty, zero, negative, no number, one value, 1e308, or written with commas", "the file is refused; never 1 mm", "BAD_SPACING", "3, 0") {
    for (const char* value : {"0\\0", "0.5\\0", "-0.5\\-0.5", "nan\\nan", "abc", "", "0.5", "1e308\\1e308", "0,5\\0,5"}) expect_file_refused(with(spacing, value), "BAD_SPACING");
    expect_file_refused(without(spacing), "BAD_SPACING");
}

PERISCLERA_BAD_INPUT(18, orientation_that_is_none, "an orientation that is missing, zero, parallel, not of unit length, five values, or no number", "the file is refused", "BAD_ORIENTATION", "3, 0") {
    for (const char* value : {"", "0\\0\\0\\0\\0\\0", "1\\0\\0\\1\\0\\0", "2\\0\\0\\0\\1\\0", "1\\0\\0\\0\\1", "nan\\0\\0\\0\\1\\0"}) expect_file_refused(with(orientation, value), "BAD_ORIENTATION");
    expect_file_refused(without(orientation), "BAD_ORIENTATION");
}

PERISCLERA_BAD_INPUT(19, position_that_is_none, "a position that is missing, 20,000 values, or no number", "the file is refused", "BAD_POSITION", "3, 0") {
    std::string endless = "0";
    for (int i = 1; i < 20'000; ++i) endless += "\\0";
    for (const std::string& value : {std::string(), std::string("1\\2"), std::string("nan\\0\\0"), endless}) expect_file_refused(with(position, value), "BAD_POSITION");
    expect_file_refused(without(position), "BAD_POSITION");
}

PERISCLERA_BAD_INPUT(23, a_tilted_gantry, "slices stacked at an angle to their planes, as a tilted gantry leaves them", "read; the geometry follows every slice exactly, and the tilt is told", "", "0") {
    for (const double sideways : {0.3346, -0.2962}) {   // tan 18.5 degrees, -tan 16.5
        clear();
        DicomSlice prototype;
        write_series(in(), series_of(8, {0, 0, 0}, {0, sideways, 1}, prototype));
        const Told told = survey();
        expect_read(told);
        EXPECT_NE(told.problems.find(sideways > 0 ? "tilted by 18.50 degrees" : "tilted by 16.50 degrees"), std::string::npos) << told.problems;
        EXPECT_EQ(told.json["patients"][0]["studies"][0]["series"][0]["spacing_mm"], (nlohmann::json{0.25, 0.5, 1.0})) << "the distance is that between the planes";
    }
}

}  // namespace perisclera::test
