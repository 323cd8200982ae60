// SPDX-License-Identifier: Apache-2.0
#pragma once
// How question.json and answer.json are told apart from other files and from those of another format version, and written.
#include <optional>
#include <string>
#include <string_view>

#include "perisclera/core/eye.h"
#include "perisclera/core/error.h"

namespace perisclera::teaching {

inline constexpr int record_version = 1;

inline Error record_refused(const std::string& what) {
    return Error{ErrorCode::bad_value, what, "teaching file", "give folders that teach of this version wrote"};
}

inline std::optional<Eye> eye_named(std::string_view word) {
    for (const Eye eye : both_eyes)
        if (word == name(eye)) return eye;
    return std::nullopt;
}

/// What is wrong with the head of a record; nothing where it is one of this kind and version.
template <class Json>
std::optional<Error> wrong_head(const Json& record, std::string_view format) {
    if (!record.is_object() || record.value("format", "") != format) return record_refused("a file of the case is no record of this program");
    if (record.value("format_version", 0) != record_version) return record_refused("the case is of another format version");
    return std::nullopt;
}

}  // namespace perisclera::teaching
