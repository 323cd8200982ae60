// SPDX-License-Identifier: Apache-2.0
#pragma once
// What is believed of an element's material and, within each material, of its specimen, as readings come in.
#include <vector>

#include "hypotheses.h"
#include "material_likelihood.h"

namespace perisclera {

class Belief {
public:
    /// `look_alikes`: what imitates, before any reading; sum 1.
    Belief(const PerClass& prior, const PerLookAlike& look_alikes);

    /// What each class gives the reading, as it is believed now.
    [[nodiscard]] PerClass likelihood_of(const Reading& reading) const { return Weighed(reading).of(*this); }
    /// Takes the reading in; returns what each class gave it.
    PerClass take(const Reading& reading);

    [[nodiscard]] PerClass probability() const;
    [[nodiscard]] const std::vector<double>& hydrogels() const { return hydrogels_; }   ///< share of each of hydrogel_states(); sum 1
    [[nodiscard]] PerLookAlike look_alikes() const;   ///< sum 1

    /// What every specimen shows on series like the reading's, reckoned once for readings of any value there.
    class Weighed {
    public:
        explicit Weighed(const Reading& like);
        [[nodiscard]] PerClass of(const Belief& belief) const { return of(belief, reading_.value); }
        [[nodiscard]] PerClass of(const Belief& belief, double value) const;

    private:
        friend class Belief;
        Reading reading_;
        std::vector<Expected> solid_, sponge_, hydrogel_;
    };

private:
    PerClass weight_;
    std::vector<double> solids_, sponges_, hydrogels_;
    std::vector<Possible<Imitation>> others_;
};

}  // namespace perisclera
