// SPDX-License-Identifier: Apache-2.0
// Any slices to stacks and a survey. No slice is lost on the way; a volume lies where its slices lie; order does not matter.
#include <algorithm>
#include <cmath>
#include <cstring>

#include "perisclera/assemble/slice_stack.h"
#include "perisclera/assemble/split_stacks.h"
#include "perisclera/assemble/survey.h"
#include "tests/fuzz/require.h"
#include "tests/fuzz/stack_bytes.h"

using namespace perisclera;
using fuzz::require;
using fuzz::StackBytes;

namespace {

SliceHeader slice_from(const StackBytes& b, std::size_t place) {
    SliceHeader s;
    s.path = "/nonexistent/" + std::to_string(place);  // copies are told from pixels, which cannot be read
    s.where = "file " + std::to_string(place + 1);
    s.modality = (b.times & 0x80) != 0 ? Modality::mr : Modality::ct;
    s.series_uid = "1.2." + std::to_string(b.identifiers & 3);
    s.frame_of_reference_uid = "1.9." + std::to_string(b.identifiers >> 2 & 1);
    s.study_uid = "1.3." + std::to_string(b.identifiers >> 3 & 3);
    s.patient = PatientIdentity({.id = "P" + std::to_string(b.identifiers >> 5 & 1), .issuer = {}, .name = {}, .birth_date = "19500101", .sex = {}, .study_uid = s.study_uid});
    s.study_date = (b.identifiers & 0xC0) == 0xC0 ? "20200230" : (b.identifiers & 0xC0) == 0x80 ? "20210131" : "20200131";
    s.sop_instance_uid = "1.5." + std::to_string(b.instance);
    SliceGeometry& g = s.geometry;
    g.position = {b.coarse[0] + 0.01 * b.fine[0], b.coarse[1] + 0.01 * b.fine[1], b.coarse[2] + 0.01 * b.fine[2]};
    const double turn = (b.orientation & 3) * 1.5707963267948966 + 1e-4 * (b.orientation >> 4), c = std::cos(turn), n = std::sin(turn);
    const bool coronal = (b.orientation & 4) != 0;
    g.row = {c, n, 0};
    g.column = coronal ? PatientVector{0, 0, -1} : PatientVector{-n, c, 0};
    g.row_spacing_mm = 0.5 + 0.25 * (b.spacing & 3);
    g.column_spacing_mm = 0.5 + 1e-4 * (b.spacing >> 2 & 3);
    g.rows = 8 + (b.spacing >> 4 & 1);
    g.columns = 8 + (b.spacing >> 5 & 1);
    s.pixels.rescale_intercept = (b.spacing & 0x40) != 0 ? -1024.0 : 0.0;
    AcquisitionTags& t = s.acquisition;
    t.image_type = {"ORIGINAL", "PRIMARY", (b.spacing & 0x80) != 0 ? "LOCALIZER" : "AXIAL"};
    if ((b.times & 3) != 0) t.echo_time_ms = 10.0 * (b.times & 3);
    if ((b.times >> 2 & 3) != 0) t.repetition_time_ms = 500.0 * (b.times >> 2 & 3);
    if ((b.times & 0x10) != 0) t.slice_thickness_mm = 3.0;
    if ((b.times & 0x20) != 0) t.stated_slice_distance_mm = 3.0;
    if ((b.numbers & 3) != 0) t.echo_number = b.numbers & 3;
    if ((b.numbers >> 2 & 3) != 0) t.acquisition_number = b.numbers >> 2 & 3;
    if ((b.numbers >> 4 & 3) != 0) t.temporal_position = b.numbers >> 4 & 3;
    return s;
}

void check_stack(const std::vector<SliceHeader>& slices) {
    const auto stack = SliceStack::make(slices, "series 1");
    std::vector<SliceHeader> reversed(slices.rbegin(), slices.rend());
    const auto other = SliceStack::make(std::move(reversed), "series 1");
    require(stack.ok() == other.ok() && (stack.ok() || stack.error().code == other.error().code), "order does not matter");
    if (!stack) return;
    const SliceStack& s = stack.value();
    require(s.slices().size() >= 4 && s.slices().size() <= slices.size(), "the stack is made of the slices");
    require(static_cast<std::size_t>(s.geometry().size()[2]) == s.slices().size(), "the volume has as many");
    for (std::size_t i = 0; i < s.slices().size(); ++i) {
        const PatientPoint place = s.geometry().to_patient({0, 0, static_cast<double>(i)});
        require(length(place - s.slices()[i].geometry.position) <= 0.15, "the volume lies where its slices lie");
        require(length(place - other.value().geometry().to_patient({0, 0, static_cast<double>(i)})) < 1e-9, "in either order");
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const unsigned char* data, std::size_t size) {
    FileSet set;
    for (std::size_t i = 0; i < std::min(size / sizeof(StackBytes), fuzz::most_slices); ++i) {
        StackBytes bytes;
        std::memcpy(&bytes, data + i * sizeof(StackBytes), sizeof bytes);
        set.slices.push_back(slice_from(bytes, i));
    }
    if (set.slices.empty()) return 0;
    set.files_looked_at = static_cast<int>(set.slices.size());
    std::sort(set.slices.begin(), set.slices.end(), by_identifier);

    const auto stacks = split_into_stacks(set.slices);
    std::size_t count = 0;
    for (const auto& stack : stacks) {
        require(!stack.empty(), "no stack is empty");
        count += stack.size();
        check_stack(stack);
    }
    require(count == set.slices.size(), "no slice is lost");
    static_cast<void>(differences_between(stacks));

    const auto listed = catalogue(set);
    if (!listed) return 0;
    std::size_t images = 0;
    for (const auto& patient : listed.value().patients)
        for (const auto& study : patient.studies)
            for (const auto& series : study.series) {
                require(series.stack.has_value() != series.error.has_value(), "a series has a volume or says why not");
                images += static_cast<std::size_t>(series.images);
            }
    require(images <= set.slices.size(), "no slice is counted twice");
    require(!survey_table(survey(listed.value())).empty(), "there is a table");
    return 0;
}
