// SPDX-License-Identifier: Apache-2.0
#include "element_row.h"

#include <cmath>

namespace perisclera {

namespace {

template <class Q>
void add(Row& row, const Measurement<Q>& m) {
    const auto* measured = m.measured();
    const bool finite = measured && std::isfinite(measured->value().value()) && std::isfinite(measured->low().value()) && std::isfinite(measured->high().value());
    if (finite) row.insert(row.end(), {measured->value().value(), measured->low().value(), measured->high().value(), Value()});
    else row.insert(row.end(), {Value(), Value(), Value(), m.unmeasured() ? m.unmeasured()->why : std::string()});
}

/// Reads a row from left to right; what does not fit is remembered.
class Reader {
public:
    Reader(const Row& row, std::size_t at) : row_(row), at_(at) {}
    std::string text() {
        const auto* text = std::get_if<std::string>(&next());
        fits_ = fits_ && text != nullptr;
        return text ? *text : std::string();
    }
    std::optional<double> number() {
        const Value& value = next();
        const auto* number = std::get_if<double>(&value);
        fits_ = fits_ && (number != nullptr || std::holds_alternative<std::monostate>(value));
        return number ? std::optional(*number) : std::nullopt;
    }
    std::optional<std::string> text_if_any() {
        if (std::holds_alternative<std::monostate>(row_[at_])) return ++at_, std::nullopt;
        return text();
    }
    template <class Q>
    Measurement<Q> measurement() {
        const std::optional<double> value = number(), low = number(), high = number();
        const std::string why = text_if_any().value_or("");
        if (!value) return Unmeasured{why};
        fits_ = fits_ && low && high && *low <= *value && *value <= *high;
        if (!fits_) return Unmeasured{why};
        return Measured<Q>(Q(*value), Q(*low), Q(*high));
    }
    [[nodiscard]] bool fits() const { return fits_; }

private:
    const Value& next() { return row_[at_++]; }
    const Row& row_;
    std::size_t at_;
    bool fits_ = true;
};

}  // namespace

std::optional<StudyDate> date_of(const std::string& iso) {
    if (iso.size() != 10 || iso[4] != '-' || iso[7] != '-') return std::nullopt;
    const auto date = StudyDate::from_dicom(iso.substr(0, 4) + iso.substr(5, 2) + iso.substr(8));
    return date ? std::optional(date.value()) : std::nullopt;
}

Row values_of(std::int64_t patient, const ElementRecord& e) {
    Row row{patient, std::string(name(e.eye)), e.id, e.form, e.middle ? Value(e.middle->hours()) : Value(), e.measured_on.iso()};
    add(row, e.volume);
    row.insert(row.end(), {e.material, e.probability ? Value(*e.probability) : Value()});
    add(row, e.rate);
    if (!e.last_change) row.insert(row.end(), 3, Value());
    else row.insert(row.end(), {e.last_change->on.iso(), e.last_change->verdict, e.last_change->smallest_detectable ? Value(e.last_change->smallest_detectable->value()) : Value()});
    return row;
}

std::optional<ElementRecord> element_of(const Row& row, std::size_t first) {
    constexpr std::size_t columns = 18;
    if (row.size() < first + columns) return std::nullopt;
    Reader reader(row, first);
    const Eye eye = reader.text() == name(Eye::right) ? Eye::right : Eye::left;
    const std::string id = reader.text(), form = reader.text();
    const std::optional<double> middle = reader.number();
    const std::optional<StudyDate> measured_on = date_of(reader.text());
    if (!measured_on) return std::nullopt;
    const auto volume = reader.measurement<Mm3>();
    const std::string material = reader.text();
    const std::optional<double> probability = reader.number();
    ElementRecord element{eye, id, form, middle ? std::optional(ClockPosition(*middle)) : std::nullopt, *measured_on, volume, material, probability, reader.measurement<Mm3PerYear>(), std::nullopt};
    if (const auto changed_on = reader.text_if_any()) {
        const auto date = date_of(*changed_on);
        if (!date) return std::nullopt;
        const std::string verdict = reader.text();
        const std::optional<double> smallest = reader.number();
        element.last_change = LastChange{*date, verdict, smallest ? std::optional(Percent(*smallest)) : std::nullopt};
    }
    return reader.fits() ? std::optional(element) : std::nullopt;
}

}  // namespace perisclera
