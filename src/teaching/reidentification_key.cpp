// SPDX-License-Identifier: Apache-2.0
#include "perisclera/teaching/reidentification_key.h"

#include <charconv>
#include <nlohmann/json.hpp>
#include <optional>

#include "perisclera/core/sha256.h"

namespace perisclera::teaching {

namespace {

using Json = nlohmann::ordered_json;

constexpr int key_version = 2;  // the first one kept no secret

std::optional<Replacements::Secret> secret_from(const std::string& digits) {
    Replacements::Secret secret{};
    if (digits.size() != 2 * secret.size()) return std::nullopt;
    for (std::size_t k = 0; k < secret.size(); ++k) {
        const char* const from = digits.data() + 2 * k;
        const auto read = std::from_chars(from, from + 2, secret[k], 16);
        if (read.ec != std::errc() || read.ptr != from + 2) return std::nullopt;
    }
    return secret;
}

Error refused(const std::string& what) { return Error{ErrorCode::bad_value, what, "--key", "give the key file that an earlier export of this patient wrote, or a new name"}; }

}  // namespace

std::string key_json(const Replacements& replacements, const PatientText& patient_id) {
    Json uids = Json::object();
    for (const auto& [original, replacement] : replacements.uids()) uids[replacement] = original;
    const Json key{{"format", "perisclera-key"},
                   {"format_version", key_version},
                   {"pseudonym", replacements.pseudonym()},
                   {"dates_moved_by_days", replacements.shift_days()},
                   {"patient_mark", replacements.mark_of(patient_id)},
                   {"secret", hexadecimal(replacements.secret())},
                   {"uids", uids}};
    return key.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

Result<Replacements> parse_key(std::string_view text, const PatientText& patient_id) {
    try {
        const Json key = Json::parse(text);
        if (key.at("format") != "perisclera-key") return refused("the key file holds no key");
        if (key.at("format_version") != key_version) return refused("the key is of another format version");
        const auto secret = secret_from(key.at("secret").get<std::string>());
        if (!secret) return refused("the key's secret cannot be read");
        Replacements::Uids uids;
        for (const auto& [replacement, original] : key.at("uids").items()) uids[original.get<std::string>()] = replacement;
        Replacements known(*secret, key.at("dates_moved_by_days").get<int>(), std::move(uids));
        Replacements anew(*secret, known.shift_days(), {});
        for (const auto& [original, replacement] : known.uids())
            if (anew.uid(original) != replacement) return refused("the key's UIDs do not follow from its secret: the file was changed");
        if (known.pseudonym() != key.at("pseudonym")) return refused("the key's pseudonym does not follow from its secret: the file was changed");
        if (patient_id.empty() || key.at("patient_mark") != known.mark_of(patient_id))
            return Error{ErrorCode::not_same_patient, "the key was made for another patient's number", "--key", "give this patient's key, or a new name"};
        return known;
    } catch (const Json::exception&) {
        return refused("the key file cannot be read as a key");
    }
}

}  // namespace perisclera::teaching
