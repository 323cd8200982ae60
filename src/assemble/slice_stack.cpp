// SPDX-License-Identifier: Apache-2.0
#include "perisclera/assemble/slice_stack.h"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "perisclera/core/limits.h"
#include "perisclera/core/text.h"
#include "perisclera/ingest/read_pixels.h"
#include "decimals.h"
#include "same_place.h"

namespace perisclera {

namespace {

// Smoothing along an axis needs four samples, and four slices are the least that show a globe.
constexpr std::size_t fewest_slices = 4;
// A step this much longer than the usual one means that a slice is missing.
constexpr double gap_ratio = 1.5;
// Positions rounded to a tenth of a millimetre lie up to 0.09 mm off their line; thin slices are held to a tenth of their step.
constexpr double largest_deviation_mm = 0.1;
constexpr double largest_deviation_of_step = 0.1;
constexpr double tilt_worth_telling_degrees = 0.5;

PatientVector normal_of(const SliceHeader& slice) { return unit(cross(slice.geometry.row, slice.geometry.column)); }

Error fail(ErrorCode code, std::string what, const std::string& where) {
    return Error{code, std::move(what), where, "export the whole series again from the archive"};
}

double middle_of(std::vector<double> values) {
    std::nth_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2), values.end());
    return values[values.size() / 2];
}

/// Drops identical copies from slices ordered by place; true copies are told from their pixels.
Result<int> drop_copies(std::vector<SliceHeader>& slices, PatientVector normal, const std::string& where) {
    int dropped = 0;
    for (std::size_t i = 1; i < slices.size();) {
        const SliceHeader &before = slices[i - 1], &here = slices[i];
        if (dot(here.geometry.position - before.geometry.position, normal) >= same_place_mm) {
            ++i;
            continue;
        }
        const auto first = read_pixels(before), second = read_pixels(here);
        if (!first) return first.error();
        if (!second) return second.error();
        const bool same_pixels = first.value() == second.value() && length(here.geometry.position - before.geometry.position) < same_place_mm;
        if (!same_pixels)
            return before.sop_instance_uid == here.sop_instance_uid && before.frame == here.frame
                       ? fail(ErrorCode::same_uid_different_image, say("series_problem.one_identifier", {{"first", before.where}, {"second", here.where}}), where)
                       : fail(ErrorCode::overlapping_slices, say("series_problem.one_place", {{"first", before.where}, {"second", here.where}}), where);
        slices.erase(slices.begin() + static_cast<std::ptrdiff_t>(i));
        ++dropped;
    }
    return dropped;
}

/// A gap ends the volume: nothing is put in its place. Where one side holds most of the slices it is a sound volume of its own.
constexpr double share_that_stands_alone = 0.6;

std::optional<Error> find_gap(const std::vector<SliceHeader>& slices, PatientVector normal, const std::string& where) {
    std::vector<double> steps;
    for (std::size_t i = 1; i < slices.size(); ++i) steps.push_back(dot(slices[i].geometry.position - slices[i - 1].geometry.position, normal));
    const double usual = middle_of(steps);
    for (std::size_t i = 0; i < steps.size(); ++i)
        if (steps[i] > gap_ratio * usual)
            return fail(ErrorCode::gap_in_stack,
                        say("series_problem.gap", {{"gap", two_decimals(steps[i])}, {"before", std::to_string(i + 1)}, {"behind", std::to_string(i + 2)}, {"usual", two_decimals(usual)}}),
                        where);
    return std::nullopt;
}

/// Keeps the longest run without a gap if it is most of the stack. Returns whether it did.
bool keep_longest_run(std::vector<SliceHeader>& slices, PatientVector normal) {
    std::vector<double> steps;
    for (std::size_t i = 1; i < slices.size(); ++i) steps.push_back(dot(slices[i].geometry.position - slices[i - 1].geometry.position, normal));
    const double usual = middle_of(steps);
    std::size_t first = 0, best_first = 0, best_count = 0;
    for (std::size_t i = 0; i < slices.size(); ++i) {
        if (i > 0 && steps[i - 1] > gap_ratio * usual) first = i;
        if (i + 1 - first > best_count) best_count = i + 1 - first, best_first = first;
    }
    if (static_cast<double>(best_count) < share_that_stands_alone * static_cast<double>(slices.size()) || best_count < fewest_slices) return false;
    slices = std::vector<SliceHeader>(slices.begin() + static_cast<std::ptrdiff_t>(best_first), slices.begin() + static_cast<std::ptrdiff_t>(best_first + best_count));
    return true;
}

struct StraightLine {
    PatientPoint start;
    PatientVector step;
};

/// Least-squares line through equally counted positions, one of which may be left out.
StraightLine fit_line(const std::vector<SliceHeader>& slices, std::optional<std::size_t> without = std::nullopt) {
    const PatientPoint reference = slices.front().geometry.position;
    double n = 0.0, middle = 0.0, spread = 0.0;
    PatientVector mean{0, 0, 0}, step{0, 0, 0};
    for (std::size_t i = 0; i < slices.size(); ++i) {
        if (i == without) continue;
        n += 1.0;
        middle += static_cast<double>(i);
        mean = mean + (slices[i].geometry.position - reference);
    }
    middle /= n;
    mean = mean / n;
    for (std::size_t i = 0; i < slices.size(); ++i) {
        if (i == without) continue;
        const double along = static_cast<double>(i) - middle;
        spread += along * along;
        step = step + (slices[i].geometry.position - reference - mean) * along;
    }
    step = step / spread;
    return {reference + (mean - step * middle), step};
}

double distance_from(const StraightLine& line, const std::vector<SliceHeader>& slices, std::size_t i) {
    return length(slices[i].geometry.position - (line.start + line.step * static_cast<double>(i)));
}

// Rounded positions lie off their line a little, all of them. One that lies off alone has been altered.
constexpr double worth_telling_mm = 0.005, times_as_far_as_others = 5.0;

std::optional<std::string> slice_off_the_line(const std::vector<SliceHeader>& slices, const StraightLine& line) {
    const auto worst_of = [&](const StraightLine& of, std::optional<std::size_t> without) {
        std::size_t worst = without == 0U ? 1 : 0;
        for (std::size_t i = 0; i < slices.size(); ++i)
            if (i != without && distance_from(of, slices, i) > distance_from(of, slices, worst)) worst = i;
        return worst;
    };
    const std::size_t worst = worst_of(line, std::nullopt);
    const StraightLine others = fit_line(slices, worst);
    const double off = distance_from(others, slices, worst);
    if (off < worth_telling_mm || off < times_as_far_as_others * distance_from(others, slices, worst_of(others, worst))) return std::nullopt;
    return say("series_problem.off_the_line", {{"slice", std::to_string(worst + 1)}, {"distance", two_decimals(off)}});
}

std::optional<Error> check_line(const std::vector<SliceHeader>& slices, const StraightLine& line, PatientVector normal, const std::string& where) {
    const double tolerance = std::min(largest_deviation_mm, largest_deviation_of_step * std::abs(dot(line.step, normal)));
    for (std::size_t i = 0; i < slices.size(); ++i) {
        const PatientVector off = slices[i].geometry.position - (line.start + line.step * static_cast<double>(i));
        const double along = std::abs(dot(off, normal)), across = length(off - normal * dot(off, normal));
        if (along > tolerance)
            return fail(ErrorCode::uneven_spacing, say("series_problem.uneven", {{"slice", std::to_string(i + 1)}, {"distance", two_decimals(along)}}), where);
        if (across > largest_deviation_mm)
            return fail(ErrorCode::bad_position, say("series_problem.shifted", {{"slice", std::to_string(i + 1)}, {"distance", two_decimals(across)}}), where);
    }
    return std::nullopt;
}

}  // namespace

Result<SliceStack> SliceStack::make(std::vector<SliceHeader> slices, const std::string& where) {
    if (slices.size() > limits::slices) return fail(ErrorCode::limit_reached, say("series_problem.too_many_slices", {{"limit", std::to_string(limits::slices)}}), where);
    if (slices.empty()) return fail(ErrorCode::too_few_slices, say("series_problem.no_slices"), where);
    for (const SliceHeader& slice : slices)
        if (slice.frame_of_reference_uid != slices.front().frame_of_reference_uid)
            return fail(ErrorCode::mixed_frame, say("series_problem.mixed_frames"), where);

    // Directions differ in their last digits: whichever order the slices come in, the same one of them is taken.
    const PatientVector normal = normal_of(*std::min_element(slices.begin(), slices.end(), by_identifier));
    std::sort(slices.begin(), slices.end(), [&](const SliceHeader& a, const SliceHeader& b) {
        const double along_a = dot(a.geometry.position - PatientPoint{0, 0, 0}, normal), along_b = dot(b.geometry.position - PatientPoint{0, 0, 0}, normal);
        return std::tie(along_a, a.sop_instance_uid, a.path, a.archive_member, a.frame) < std::tie(along_b, b.sop_instance_uid, b.path, b.archive_member, b.frame);
    });
    const auto dropped = drop_copies(slices, normal, where);
    if (!dropped) return dropped.error();
    if (slices.size() < fewest_slices)
        return fail(ErrorCode::too_few_slices, say("series_problem.too_few_slices", {{"slices", std::to_string(slices.size())}, {"needed", std::to_string(fewest_slices)}}), where);
    std::optional<Error> cut = find_gap(slices, normal, where);
    if (cut) {
        const std::size_t all = slices.size();
        if (!keep_longest_run(slices, normal)) return *cut;
        cut->what = say("series_problem.one_side_used", {{"gap", cut->what}, {"used", std::to_string(slices.size())}, {"all", std::to_string(all)}});
    }
    const StraightLine line = fit_line(slices);
    if (auto uneven = check_line(slices, line, normal, where)) return *uneven;

    const SliceGeometry& first = slices.front().geometry;
    auto geometry = VolumeGeometry::make(line.start, first.row, first.column, line.step, {first.column_spacing_mm, first.row_spacing_mm},
                                         {first.columns, first.rows, static_cast<int>(slices.size())});
    if (!geometry) return Error{geometry.error().code, geometry.error().what, where, geometry.error().hint};

    std::vector<std::string> notes;
    if (cut) notes.push_back(cut->what);
    if (dropped.value() > 0) notes.push_back(say("series_problem.copies", {{"count", std::to_string(dropped.value())}}));
    const double tilt = std::acos(std::min(1.0, dot(unit(line.step), normal))) * 180.0 / 3.14159265358979323846;
    if (auto off = slice_off_the_line(slices, line)) notes.push_back(*std::move(off));
    if (tilt > tilt_worth_telling_degrees) notes.push_back(say("series_problem.tilted", {{"angle", two_decimals(tilt)}}));
    return SliceStack(std::move(slices), geometry.value(), std::move(notes), std::move(cut));
}

}  // namespace perisclera
