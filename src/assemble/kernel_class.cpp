// SPDX-License-Identifier: Apache-2.0
#include "kernel_class.h"

#include <charconv>
#include <string>

#include "perisclera/ingest/dicom_values.h"

namespace perisclera {

namespace {

bool contains_any(std::string_view text, std::initializer_list<std::string_view> words) {
    for (const std::string_view word : words)
        if (text.find(word) != std::string_view::npos) return true;
    return false;
}

bool is_letter(char c) { return c >= 'A' && c <= 'Z'; }

}  // namespace

KernelClass kernel_class(std::string_view kernel, std::string_view group) {
    // PS3.3 C.8.15.3.6: the group is a defined term and goes first.
    if (group == "BONE" || group == "LUNG") return KernelClass::sharp;
    if (group == "BRAIN" || group == "SOFT_TISSUE") return KernelClass::soft;
    const std::string label = upper_case(trimmed(kernel));
    if (contains_any(label, {"BONE", "LUNG", "EDGE", "SHARP", "ULTRA"})) return KernelClass::sharp;
    if (contains_any(label, {"SOFT", "STANDARD", "STND", "BRAIN", "SMOOTH", "DETAIL"})) return KernelClass::soft;
    // Letters, then a number.
    std::size_t letters = 0;
    while (letters < label.size() && is_letter(label[letters])) ++letters;
    int number = 0;
    const auto [end, problem] = std::from_chars(label.data() + letters, label.data() + label.size(), number);
    if (letters == 0 || letters > 2 || problem != std::errc{}) return KernelClass::not_told;
    // "FC" labels: the thirties, fifties and from eighty on are for bone, ear and lung; the sixties are in use for brain and for others.
    if (label.starts_with("FC")) {
        if (number >= 60 && number < 80) return KernelClass::not_told;
        return (number >= 30 && number < 40) || number >= 50 ? KernelClass::sharp : KernelClass::soft;
    }
    // Region letters with a two-digit sharpness.
    if (number < 10 || number > 99) return KernelClass::not_told;
    return number >= 55 ? KernelClass::sharp : KernelClass::soft;
}

}  // namespace perisclera
