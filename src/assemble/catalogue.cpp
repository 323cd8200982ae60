// SPDX-License-Identifier: Apache-2.0
#include "perisclera/assemble/catalogue.h"

#include <algorithm>
#include <iterator>
#include <map>
#include <set>
#include <string_view>
#include <utility>

#include "perisclera/assemble/series_role.h"
#include "perisclera/assemble/split_stacks.h"
#include "perisclera/core/text.h"
#include "decimals.h"
#include "odd_slices.h"
#include "patients.h"
#include "stack_quality.h"

namespace perisclera {

bool CatalogueSeries::usable() const { return stack.has_value() && is_measured(description.role); }

namespace {

using SeriesSlices = std::map<std::string, std::vector<SliceHeader>>;  // by series UID
using DatedSeries = std::map<StudyDate, SeriesSlices>;

/// Many files refused for one reason are told in one line.
struct RefusalGroup {
    Error error;
    int count;
};

std::vector<RefusalGroup> grouped(const std::vector<RefusedFile>& files) {
    std::vector<RefusalGroup> groups;
    std::map<std::pair<ErrorCode, std::string>, std::size_t> place;
    for (const RefusedFile& refused : files) {
        const auto [found, is_new] = place.try_emplace({refused.error.code, refused.series_uid}, groups.size());
        if (is_new)
            groups.push_back({refused.error, 1});
        else
            ++groups[found->second].count;
    }
    for (RefusalGroup& group : groups)
        if (group.count > 1) group.error.where += " and " + std::to_string(group.count - 1) + " more";
    return groups;
}

/// Oddities are told as refusals are: once for each kind.
std::vector<RefusalGroup> grouped(const std::vector<Error>& remarks) {
    std::vector<RefusedFile> files;
    for (const Error& remark : remarks) files.push_back({remark, remark.what});  // several kinds share a code
    return grouped(files);
}

/// Patient Position (0018,5100), PS3.3 C.7.3.1.1.2: head or feet first, then supine, prone, or with the right or left side down.
std::optional<PatientVector> down_of(std::string_view position) {
    if (position.size() < 3) return std::nullopt;
    const std::string_view lying = position.substr(2);
    if (lying == "S") return PatientVector{0, 1, 0};
    if (lying == "P") return PatientVector{0, -1, 0};
    if (lying == "DR") return PatientVector{-1, 0, 0};
    if (lying == "DL") return PatientVector{1, 0, 0};
    return std::nullopt;
}

SeriesDescription describe(const SliceHeader& slice, RoleOpinion opinion) {
    const AcquisitionTags& tags = slice.acquisition;
    SeriesDescription description{};
    description.series_uid = slice.series_uid;
    description.study_uid = slice.study_uid;
    description.frame_of_reference_uid = slice.frame_of_reference_uid;
    description.modality = slice.modality;
    description.role = opinion.role;
    description.confidence = opinion.confidence;
    description.why = std::move(opinion.why);
    description.problems = std::move(opinion.problems);
    description.simulated = opinion.simulated;
    description.kvp = tags.kvp;
    description.slice_thickness_mm = tags.slice_thickness_mm;
    description.repetition_time_ms = tags.repetition_time_ms;
    description.echo_time_ms = tags.echo_time_ms;
    description.inversion_time_ms = tags.inversion_time_ms;
    description.flip_angle_deg = tags.flip_angle_deg;
    description.field_strength_tesla = tags.field_strength_tesla;
    description.kernel = tags.kernel;
    description.down = down_of(tags.patient_position);
    if (tags.laterality == "R") description.stated_side = Eye::right;
    if (tags.laterality == "L") description.stated_side = Eye::left;
    return description;
}

/// "size, orientation and echo time"
std::string in_a_row(const std::vector<std::string>& words) {
    std::string text;
    for (std::size_t i = 0; i < words.size(); ++i)
        if (i == 0) text = words[i];
        else if (i + 1 < words.size()) text += ", " + words[i];
        else text = say("series_problem.and_last", {{"others", text}, {"last", words[i]}});
    return text;
}

// Three slices through an eye of 24 mm (usual axial length) are the least that show its shape.
constexpr double coarsest_slice_mm = 8.0;

std::optional<Error> too_coarse(const SliceStack& stack, const SeriesDescription& series, const std::string& where) {
    const auto fail = [&](std::string_view key, double mm) {
        return Error{ErrorCode::too_coarse, say(key, {{"distance", two_decimals(mm)}}), where, "give a series with thinner slices"};
    };
    const double apart = stack.geometry().spacing_mm()[2];
    if (apart > coarsest_slice_mm) return fail("series_problem.too_far_apart", apart);
    if (series.slice_thickness_mm.value_or(0.0) > coarsest_slice_mm) return fail("series_problem.too_thick", *series.slice_thickness_mm);
    return std::nullopt;
}

class Builder {
public:
    explicit Builder(FileSet files) : files_(std::move(files)) {
        for (const RefusedFile& refused : files_.refused)
            if (!refused.series_uid.empty()) refused_in_series_.try_emplace(refused.series_uid, refused.error);
            else if (refused.error.code == ErrorCode::cannot_read || refused.error.code == ErrorCode::changed_while_reading) unread_.push_back(refused.error);
    }

    PatientCatalogue run() {
        PatientCatalogue result;
        result.ignored_objects = files_.ignored_objects;
        result.files_looked_at = files_.files_looked_at;
        result.images = static_cast<int>(files_.slices.size());
        result.not_dicom = files_.not_dicom;
        result.not_files = files_.not_files;
        for (RefusalGroup& group : grouped(files_.refused)) result.warnings.push_back(std::move(group.error));
        for (RefusalGroup& group : grouped(files_.remarks)) result.warnings.push_back(std::move(group.error));

        std::set<PatientIdentity> identities;
        for (const SliceHeader& slice : files_.slices) identities.insert(slice.patient);
        const std::map<PatientIdentity, PatientIdentity> patient_of = patients_of(identities);
        std::map<PatientIdentity, DatedSeries> patients;
        std::set<std::string> undated, doubly_dated;
        for (SliceHeader& slice : files_.slices) {
            const PatientIdentity& whose = patient_of.at(slice.patient);
            owners_[slice.series_uid].insert(whose);
            const auto date = StudyDate::from_dicom(slice.study_date);
            // The date is one of the study's attributes (PS3.3 C.7.2.1), so a study has one.
            if (date && study_dates_.try_emplace(slice.study_uid, date.value()).first->second != date.value() && doubly_dated.insert(slice.study_uid).second)
                result.warnings.push_back(Error{ErrorCode::conflicting_values, "one study carries several study dates", slice.where, "correct the study date in the archive"});
            if (date) {
                auto& series = patients[whose][date.value()][slice.series_uid];
                series.push_back(std::move(slice));
            } else if (undated.insert(slice.series_uid).second) {
                result.warnings.push_back(Error{ErrorCode::no_date, "a series has no valid study date and is left out", slice.where, "correct the study date in the archive"});
            }
        }
        for (auto& [key, studies] : patients) {
            CataloguePatient patient;
            patient.number = static_cast<int>(result.patients.size()) + 1;
            const SliceHeader& any = studies.begin()->second.begin()->second.front();
            patient.name = any.filing.patient_name;
            patient.id = any.filing.patient_id;
            for (auto& [date, series] : studies) {
                CatalogueStudy study{date, {}, {}};
                std::set<PatientIdentity> stated;
                for (auto& [uid, slices] : series) {
                    for (const SliceHeader& slice : slices) stated.insert(slice.patient);
                    add_series(study, std::move(slices));
                }
                study.identities.assign(stated.begin(), stated.end());
                patient.studies.push_back(std::move(study));
            }
            result.patients.push_back(std::move(patient));
        }
        std::move(warnings_.begin(), warnings_.end(), std::back_inserter(result.warnings));
        return result;
    }

private:
    void add_series(CatalogueStudy& study, std::vector<SliceHeader> slices) {
        auto stacks = split_into_stacks(std::move(slices));
        std::string several;
        if (stacks.size() > 1) several = say("series_problem.several_stacks", {{"count", std::to_string(stacks.size())}, {"differences", in_a_row(differences_between(stacks))}});
        for (auto& stack : stacks) {
            CatalogueSeries series;
            series.number = ++last_number_;
            series.images = static_cast<int>(stack.size());
            const SliceHeader& typical = typical_slice(stack);
            series.description = describe(typical, series_role(typical.modality, typical.acquisition));
            auto& problems = series.description.problems;
            if (is_measured(series.description.role)) tell_odd_slices(series, stack);
            if (!several.empty()) problems.push_back(several);
            series.description.lossy = std::any_of(stack.begin(), stack.end(), [](const SliceHeader& s) { return s.lossy; });
            if (series.description.lossy) problems.push_back(say("series_problem.lossy"));
            check_stack(series, std::move(stack));
            if (series.error && is_measured(series.description.role)) problems.push_back(series.error->what);
            study.series.push_back(std::move(series));
        }
    }

    void tell_odd_slices(CatalogueSeries& series, const std::vector<SliceHeader>& stack) {
        for (const std::string& words : odd_slices(stack)) {
            series.description.problems.push_back(words);
            warnings_.push_back(Error{ErrorCode::conflicting_values, words, "series " + std::to_string(series.number), "compare with the archive and export the series again"});
        }
    }

    void check_stack(CatalogueSeries& series, std::vector<SliceHeader> slices) {
        const std::string where = "series " + std::to_string(series.number);
        if (owners_[series.description.series_uid].size() > 1) {
            series.error = Error{ErrorCode::mixed_patients, say("series_problem.mixed_patients"), where, "separate the patients"};
            return;
        }
        const auto refused = refused_in_series_.find(series.description.series_uid);
        const bool damaged = refused != refused_in_series_.end();
        if (damaged) series.description.problems.push_back(say("series_problem.files_refused"));
        auto stack = SliceStack::make(std::move(slices), where);
        if (stack && !(damaged && stack.value().cut())) {
            if (auto coarse = too_coarse(stack.value(), series.description, where)) {
                series.error = std::move(coarse);
                return;
            }
            if (auto words = side_conflict(stack.value().geometry(), series.description.stated_side)) {
                series.error = Error{ErrorCode::eye_conflict, *std::move(words), where, "find out which eye was scanned and correct the header"};
                return;
            }
            auto& problems = series.description.problems;
            problems.insert(problems.end(), stack.value().notes().begin(), stack.value().notes().end());
            if (is_measured(series.description.role))
                for (std::string& words : stack_problems(stack.value().geometry(), series.description.slice_thickness_mm)) problems.push_back(std::move(words));
            if (auto words = contradicted_distance(stack.value().geometry(), series.description.slice_thickness_mm, typical_slice(stack.value().slices()).acquisition.stated_slice_distance_mm))
                problems.push_back(*std::move(words));
            series.stack = std::move(stack).value();
            return;
        }
        series.error = stack ? *stack.value().cut() : stack.error();
        // The refused file is the cause, the gap it leaves only the consequence.
        if (damaged) {
            series.error = refused->second;
            series.error->what = say("series_problem.not_whole", {{"what", refused->second.what}, {"where", refused->second.where}});
            series.error->where = where;
        } else if (!unread_.empty() && series.error->code == ErrorCode::gap_in_stack) {  // a file that could not even tell its series
            series.error = unread_.front();
            series.error->what = say("series_problem.slices_missing", {{"what", unread_.front().what}, {"where", unread_.front().where}});
            series.error->where = where;
        }
    }

    FileSet files_;
    std::map<std::string, std::set<PatientIdentity>> owners_;
    std::map<std::string, Error> refused_in_series_;
    std::vector<Error> unread_;  ///< files of which no series is known, since they could not be read
    std::map<std::string, StudyDate> study_dates_;  ///< by study identifier
    std::vector<Error> warnings_;  ///< of series, in their order
    int last_number_ = 0;
};

}  // namespace

Result<PatientCatalogue> catalogue(FileSet files) {
    if (files.slices.empty()) {
        auto groups = grouped(files.refused);
        if (groups.empty())
            return Error{ErrorCode::no_images, "no CT or MR image found (" + std::to_string(files.files_looked_at) + " files looked at, " + std::to_string(files.not_dicom) + " not DICOM)", "inputs",
                         "give the folder that holds the DICOM images"};
        return std::max_element(groups.begin(), groups.end(), [](const auto& a, const auto& b) { return a.count < b.count; })->error;
    }
    PatientCatalogue result = Builder(std::move(files)).run();
    if (result.patients.empty()) return result.warnings.back();  // every series lacks a date
    return result;
}

}  // namespace perisclera
