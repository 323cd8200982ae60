// SPDX-License-Identifier: Apache-2.0
#include "perisclera/ingest/dicom_values.h"

#include <charconv>
#include <cmath>

namespace perisclera {

std::string_view trimmed(std::string_view text) {
    while (!text.empty() && (text.back() == ' ' || text.back() == '\0')) text.remove_suffix(1);
    while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
    return text;
}

namespace {

// from_chars takes no plus sign, and DICOM allows one.
std::string_view without_plus(std::string_view text) {
    if (text.size() > 1 && text[0] == '+' && text[1] != '-') text.remove_prefix(1);
    return text;
}

}  // namespace

std::optional<double> parse_decimal(std::string_view text) {
    text = without_plus(trimmed(text));
    double value = 0.0;
    const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (problem != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
    return value;
}

std::optional<std::vector<double>> parse_decimals(std::string_view text, std::size_t count) {
    std::vector<double> values;
    while (values.size() < count) {
        const std::size_t bar = text.find('\\');
        const auto value = parse_decimal(text.substr(0, bar));
        if (!value) return std::nullopt;
        values.push_back(*value);
        if (bar == std::string_view::npos) return values.size() == count ? std::optional(values) : std::nullopt;
        text.remove_prefix(bar + 1);
    }
    return std::nullopt;  // more values than asked for
}

std::optional<long> parse_integer(std::string_view text) {
    text = without_plus(trimmed(text));
    long value = 0;
    const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (problem != std::errc{} || end != text.data() + text.size()) return std::nullopt;
    return value;
}

std::vector<std::string> split_values(std::string_view text) {
    std::vector<std::string> values;
    if (trimmed(text).empty()) return values;
    while (true) {
        const std::size_t bar = text.find('\\');
        values.emplace_back(trimmed(text.substr(0, bar)));
        if (bar == std::string_view::npos) return values;
        text.remove_prefix(bar + 1);
    }
}

bool valid_uid(std::string_view text) {
    if (text.empty() || text.size() > 64 || text.front() == '.' || text.back() == '.') return false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const bool digit = text[i] >= '0' && text[i] <= '9';
        if (!digit && (text[i] != '.' || text[i - 1] == '.')) return false;
    }
    return true;
}

std::string upper_case(std::string_view text) {
    std::string upper(text);
    for (char& c : upper)
        if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
    return upper;
}

}  // namespace perisclera
