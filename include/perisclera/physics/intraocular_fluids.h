// SPDX-License-Identifier: Apache-2.0
#pragma once
// What fills a globe, and what each filling shows on CT. No CT number of oil, gas or heavy liquid within a patient's eye was found published: the ranges of
// those are calculated from composition, and wide.
#include <array>
#include <bitset>
#include <cstddef>
#include <initializer_list>
#include <string>
#include <string_view>

namespace perisclera {

/// From light to heavy, as they lie on each other. `other` stands for whatever has no name here: growths, exudate, implants, emulsions.
enum class Fluid { gas, silicone_oil, vitreous, haemorrhage, heavy_liquid, other };
inline constexpr std::size_t fluid_count = 6;
inline constexpr std::array<Fluid, fluid_count> all_fluids{Fluid::gas, Fluid::silicone_oil, Fluid::vitreous, Fluid::haemorrhage, Fluid::heavy_liquid, Fluid::other};

/// What a part of a globe may be, as far as something seen of it tells.
class FluidSet {
public:
    FluidSet(std::initializer_list<Fluid> fluids) {
        for (const Fluid f : fluids) held_.set(static_cast<std::size_t>(f));
    }
    static FluidSet all() {
        FluidSet set{};
        set.held_.set();
        return set;
    }
    void add(Fluid f) { held_.set(static_cast<std::size_t>(f)); }
    [[nodiscard]] bool holds(Fluid f) const { return held_.test(static_cast<std::size_t>(f)); }
    [[nodiscard]] bool is_only(Fluid f) const { return held_.count() == 1 && holds(f); }
    [[nodiscard]] bool empty() const { return held_.none(); }
    [[nodiscard]] std::size_t size() const { return held_.count(); }
    [[nodiscard]] FluidSet without(FluidSet taken) const {
        FluidSet left = *this;
        left.held_ &= ~taken.held_;
        return left;
    }
    friend FluidSet operator&(FluidSet a, FluidSet b) {
        a.held_ &= b.held_;
        return a;
    }
    bool operator==(const FluidSet&) const = default;

private:
    std::bitset<fluid_count> held_;
};

/// The names of report.json: "gas", "silicone_oil", ...
std::string_view name(Fluid fluid);

/// "blood or silicone oil"
std::string in_words(FluidSet fluids);

struct HuRange {
    double low, high;
    [[nodiscard]] bool holds(double hu) const { return hu >= low && hu <= high; }
};

/// Dimethyl silicone of 0.97 g/cm3: 285, 161, 121, 90, 67, 48 HU at 50, 60, 65, 70, 75, 80 keV (calculated). What energy a scanner's beam amounts to
/// depends on what it has passed: silicones measured in a small object fit 62 keV at 80 kVp, 72 at 100, 70 to 79 at 120, 79 at 140; filtered less, or through
/// less, some 10 keV lower. The range spans both, and 10 HU of calibration.
HuRange silicone_oil_hu(double kvp);

/// Vitreous, aqueous, and what replaces them after surgery: salt water with little protein, 8 to 14 HU by composition at 80 to 140 kVp; 12 to 20 HU in one
/// real head behind its bone. Thinned blood begins at 13 HU.
HuRange watery_hu();

/// Blood that has settled or fills an eye: unclotted 13 to 50, clotted 50 to 75 HU (encyclopaedia's scale), and 10 HU of calibration; what overlaps with
/// watery fluid is left out. A clot as dense as 85 HU has shrunk and pressed its serum out, and does not fill an eye evenly (common practice, no source).
HuRange blood_hu();

/// Gas is at -994 (calculated for two tamponade gases); nothing else in an eye is darker than -400.
HuRange gas_hu();

/// Perfluoro-octane 585, perfluorodecalin 735 HU at 70 keV, nearly the same at all voltages (calculated).
HuRange heavy_liquid_hu();

}  // namespace perisclera
