// SPDX-License-Identifier: Apache-2.0
#pragma once
// What the free text of a series says. Words of several languages, as they are written on scanners; common practice, no source.
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>

#include "perisclera/ingest/slice_header.h"

namespace perisclera {

/// A text in upper case with single spaces for the signs that join words. Never printed.
class SeriesWords {
public:
    explicit SeriesWords(std::string_view text);
    /// Does one of the phrases stand there, as words of their own? A phrase that ends in '~' may go on as a longer word.
    [[nodiscard]] bool say(std::initializer_list<std::string_view> phrases) const;
    /// True or false when one of the phrases stands there affirmed ("FS") or denied ("no FS"); nullopt when none does, or both.
    [[nodiscard]] std::optional<bool> tell(std::initializer_list<std::string_view> phrases) const;

private:
    std::string text_;
};

/// The description, or where there is none the protocol name, which is often that of the whole examination.
SeriesWords words_of(const AcquisitionTags& tags);

bool named_localizer(const SeriesWords& words);
bool named_t1(const SeriesWords& words);
bool named_t2(const SeriesWords& words);
bool bone_named(const SeriesWords& words);
std::optional<bool> fat_suppression_named(const SeriesWords& words);
/// From the series' own description only.
std::optional<bool> contrast_agent_named(const AcquisitionTags& tags);
/// Is an agent entered? "none" and the like are no agent.
bool contrast_agent_entered(const AcquisitionTags& tags);

}  // namespace perisclera
