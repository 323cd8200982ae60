// SPDX-License-Identifier: Apache-2.0
// track without images: the clinic list, and what a clinician enters beside it.
#include <algorithm>
#include <array>
#include <utility>

#include "commands.h"
#include "owner_file.h"
#include "perisclera/core/printable.h"
#include "perisclera/core/text.h"
#include "perisclera/register/patient_register.h"
#include "perisclera/report/clinic_list.h"

namespace perisclera::app {

namespace {

namespace fs = std::filesystem;

constexpr std::array orders{std::pair{"patient", ListOrder::patient}, std::pair{"last_scan", ListOrder::last_scan}, std::pair{"rate", ListOrder::rate},
                            std::pair{"verdict", ListOrder::verdict}, std::pair{"volume", ListOrder::volume},       std::pair{"next_contact", ListOrder::next_contact}};

/// `none` takes an entry back.
std::optional<std::string> entered(const std::optional<std::string>& typed) { return typed == "none" ? std::optional<std::string>("") : typed; }

std::optional<Error> wrong_date(const std::optional<std::string>& date, const char* option) {
    if (!date || date->empty()) return std::nullopt;
    const bool shaped = date->size() == 10 && (*date)[4] == '-' && (*date)[7] == '-';
    if (shaped && StudyDate::from_dicom(date->substr(0, 4) + date->substr(5, 2) + date->substr(8))) return std::nullopt;
    return Error{ErrorCode::usage, "the date is none", option, "write YYYY-MM-DD, or none to take it back"};
}

std::optional<Error> wrong_entry(const Review& review) {
    constexpr std::size_t longest = 80;
    const auto& by = review.reviewed_by;
    if (by && (by->size() > longest || printable(*by) != *by)) return Error{ErrorCode::usage, "the text is longer than 80 bytes, or not plain text", "--reviewed-by", "write a role or initials"};
    if (auto error = wrong_date(review.reviewed_on, "--reviewed-on")) return error;
    return wrong_date(review.next_contact, "--next-contact");
}

int enter_review(const Options& options, const Console& console) {
    const Review review{entered(options.reviewed_by), entered(options.reviewed_on), entered(options.next_contact)};
    if (!review.reviewed_by && !review.reviewed_on && !review.next_contact)
        return console.fail({ErrorCode::usage, "nothing to enter was given", "--patient-key", "give --reviewed-by, --reviewed-on or --next-contact with it"});
    if (const auto error = wrong_entry(review)) return console.fail(*error);
    auto opened = PatientRegister::open(options.register_file, PatientRegister::Purpose::enter);
    if (!opened) return console.fail(opened.error());
    const auto known = opened.value().review(options.patient_key, review);
    if (!known) return console.fail(known.error());
    if (!known.value()) return console.fail({ErrorCode::usage, "no patient has this key", "--patient-key", "take one from the list"});
    return console.result(say("register.review_entered", {{"patient", options.patient_key}}) + "\n");
}

int write_csv(const std::vector<RegisterRow>& rows, const Options& options, const Console& console) {
    std::error_code problem;
    const bool there = fs::exists(options.csv, problem);
    if (there && fs::equivalent(options.csv, options.register_file, problem)) return console.fail({ErrorCode::usage, "the list would overwrite the register", "--csv", "name another file"});
    if (there && !options.force) return console.fail({ErrorCode::output_not_empty, "the file is there", "--csv", "name another file, or give --force"});
    if (const auto error = write_owner_file(options.csv, report::clinic_csv(rows, options.with_identity))) return console.fail(*error);
    return console.result(report::clinic_caution() + "\n" + say("register.listed_in_file", {{"number", std::to_string(rows.size())}}) + "\n");
}

}  // namespace

int register_command(const Options& options, const Console& console) {
    if (!options.patient_key.empty()) return enter_review(options, console);
    const auto order = std::find_if(orders.begin(), orders.end(), [&](const auto& o) { return options.sort == o.first; });
    auto opened = PatientRegister::open(options.register_file, PatientRegister::Purpose::list);
    if (!opened) return console.fail(opened.error());
    const auto rows = opened.value().rows(order == orders.end() ? ListOrder::patient : order->second, options.with_identity);
    if (!rows) return console.fail(rows.error());
    if (!options.csv.empty()) return write_csv(rows.value(), options, console);
    return console.result(options.json ? report::clinic_json(rows.value(), options.with_identity) : report::clinic_table(rows.value(), options.with_identity));
}

}  // namespace perisclera::app
