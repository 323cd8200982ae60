// SPDX-License-Identifier: Apache-2.0
#include "series_words.h"

#include <algorithm>
#include <array>

#include "perisclera/ingest/dicom_values.h"

namespace perisclera {

namespace {

/// Bytes beyond ASCII are letters of some character set.
bool in_word(char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || static_cast<unsigned char>(c) >= 0x80; }

/// Where the phrase stands next, from a place on; npos when nowhere. "+C" needs no room before it.
std::size_t next(const std::string& text, std::string_view phrase, std::size_t from) {
    const bool open = phrase.back() == '~';
    if (open) phrase.remove_suffix(1);
    for (std::size_t at = text.find(phrase, from); at != std::string::npos; at = text.find(phrase, at + 1)) {
        const std::size_t end = at + phrase.size();
        const bool starts = at == 0 || !in_word(phrase.front()) || !in_word(text[at - 1]);
        const bool ends = open || end == text.size() || !in_word(phrase.back()) || !in_word(text[end]);
        if (starts && ends) return at;
    }
    return std::string::npos;
}

constexpr std::array<std::string_view, 11> denials{"NO", "NON", "NOT", "W/O", "WO", "WITHOUT", "OHNE", "SANS", "SIN", "SENZA", "SEM"};

/// Does a word that denies stand right before the place?
bool denied(const std::string& text, std::size_t at) {
    const std::string_view before = trimmed(std::string_view(text).substr(0, at));
    return std::any_of(denials.begin(), denials.end(), [&](std::string_view word) {
        return before.ends_with(word) && (before.size() == word.size() || !in_word(before[before.size() - word.size() - 1]));
    });
}

}  // namespace

SeriesWords::SeriesWords(std::string_view text) {
    for (const char c : upper_case(text)) {
        const bool joins = c == '_' || c == '-' || c == '.' || c == ',' || c == ':' || c == ';' || c == '(' || c == ')' || c == ' ';
        if (!joins)
            text_ += c;
        else if (!text_.empty() && text_.back() != ' ')
            text_ += ' ';
    }
}

bool SeriesWords::say(std::initializer_list<std::string_view> phrases) const {
    return std::any_of(phrases.begin(), phrases.end(), [&](std::string_view phrase) { return next(text_, phrase, 0) != std::string::npos; });
}

std::optional<bool> SeriesWords::tell(std::initializer_list<std::string_view> phrases) const {
    bool affirmed = false, against = false;
    for (const std::string_view phrase : phrases)
        for (std::size_t at = next(text_, phrase, 0); at != std::string::npos; at = next(text_, phrase, at + 1)) (denied(text_, at) ? against : affirmed) = true;
    return affirmed == against ? std::nullopt : std::optional(affirmed);
}

SeriesWords words_of(const AcquisitionTags& tags) { return SeriesWords(tags.series_description.empty() ? tags.protocol_name : tags.series_description); }

bool named_localizer(const SeriesWords& words) {
    return words.say({"LOC", "LOCALI~", "LOKALI~", "SCOUT~", "SURVEY", "PILOT", "TOPO", "TOPOGRAM~", "SURVIEW", "SCANO~", "REPERAGE", "PLANSCAN"});
}

bool named_t1(const SeriesWords& words) { return words.say({"T1", "T1W~", "T1F~", "T1S~", "T1T~", "T1G~", "T1M~"}) && !words.say({"T1 MAP", "T1MAP", "T1RHO"}); }

bool named_t2(const SeriesWords& words) { return words.say({"T2", "T2W~", "T2F~", "T2T~", "T2B~"}) && !words.say({"T2*", "T2STAR", "T2 STAR", "T2 MAP"}); }

bool bone_named(const SeriesWords& words) { return words.say({"BONE~", "KNOCHEN", "OSSEUX", "OSSEUSE", "OSSO", "HUESO", "BOT"}); }

std::optional<bool> fat_suppression_named(const SeriesWords& words) {
    if (words.say({"DIXON"}) && words.say({"W"})) return true;
    return words.tell({"FS", "FAT SAT~", "FATSAT~", "FAT SUP~", "FATSUP~", "FSAT", "SPIR", "SPAIR", "ASPIR", "T1FS", "T2FS", "FETTS~", "SAT GRA~", "SATGRA~", "WATER",
                       "WATS", "CHESS"});
}

std::optional<bool> contrast_agent_named(const AcquisitionTags& tags) {
    const SeriesWords words(tags.series_description);
    if (words.say({"POST FOSSA", "PHASE CONTRAST"})) return std::nullopt;
    const bool after = words.say({"POST", "POSTGAD~", "POSTCONTR~"});
    if (words.say({"PRE", "PREGAD~", "PRECONTR~", "NATIV~", "UNENHANCED", "NONCON~"})) return after ? std::nullopt : std::optional(false);
    if (after) return true;
    const auto told = words.tell({"GD", "GAD", "GADO~", "KM", "CE", "+C", "C+", "CONTR~", "KONTR~", "MDC", "INJ~", "T1GD"});
    if (!told && words.say({"W/O", "WO", "WITHOUT"})) return false;
    return told;
}

bool contrast_agent_entered(const AcquisitionTags& tags) {
    const std::string agent = upper_case(trimmed(tags.contrast_agent));
    if (agent.empty() || agent == "N" || agent == "0" || agent == "N/A" || agent == "-") return false;
    return !SeriesWords(agent).say({"NO", "NON", "NONE", "NEIN", "KEIN~", "W/O", "WITHOUT", "OHNE", "SANS", "SIN", "SENZA", "NATIV~"});
}

}  // namespace perisclera
