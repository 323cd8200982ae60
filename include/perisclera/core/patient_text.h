// SPDX-License-Identifier: Apache-2.0
#pragma once
// Text that may identify the patient. It has no stream operator and no conversion; only the header of page and PDF, and the objects
// filed with the patient's images, unwrap it, by name, so that it cannot slip into a log, a message or report.json.
#include <string>
#include <utility>

namespace perisclera {

class PatientText {
public:
    PatientText() = default;
    explicit PatientText(std::string text) : text_(std::move(text)) {}
    [[nodiscard]] const std::string& reveal_for_page_header() const { return text_; }
    [[nodiscard]] const std::string& reveal_for_filing() const { return text_; }
    [[nodiscard]] bool empty() const { return text_.empty(); }
    bool operator==(const PatientText&) const = default;

private:
    std::string text_;
};

}  // namespace perisclera
