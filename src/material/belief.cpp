// SPDX-License-Identifier: Apache-2.0
#include "belief.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace perisclera {

namespace {

constexpr std::size_t solid = 0, sponge = 1, hydrogel = 2, other = 3;

/// How often a place carried over from another series holds something else, by a millimetre or two of misfit or an eye half
/// imaged (assumed, in view of two sponges in a real head whose place on T1 held muscle).
constexpr double misread_share = 0.1;

/// A floor keeps one odd reading from excluding a material for good.
constexpr double least_likelihood = 1e-9;

/// A reading by place may be of what lies beside the element, which is as likely as anything else.
double if_misread(const Reading& r, double as_element) { return r.by_place ? std::lerp(as_element, likelihood_of_anything(r), misread_share) : as_element; }

template <class State>
std::vector<double> shares_of(const std::vector<Possible<State>>& all) {
    std::vector<double> shares;
    for (const auto& p : all) shares.push_back(p.share);
    return shares;
}

double given(const Reading& r, const std::vector<double>& shares, MaterialClass material, const std::vector<Expected>& shown) {
    double sum = 0.0;
    for (std::size_t k = 0; k < shares.size(); ++k) sum += shares[k] * if_misread(r, likelihood(r, material, shown[k]));
    return sum;
}

void shift(std::vector<double>& shares, const Reading& r, MaterialClass material, const std::vector<Expected>& shown) {
    double sum = 0.0;
    for (std::size_t k = 0; k < shares.size(); ++k) sum += shares[k] *= if_misread(r, likelihood(r, material, shown[k]));
    if (sum > 0.0)
        for (double& s : shares) s /= sum;
}

}  // namespace

Belief::Belief(const PerClass& prior, const PerLookAlike& look_alikes)
    : weight_(prior), solids_(shares_of(silicone_grades())), sponges_(shares_of(sponge_densities())), hydrogels_(shares_of(hydrogel_states())), others_(imitations(look_alikes)) {}

Belief::Weighed::Weighed(const Reading& like) : reading_(like), solid_(shown(like, silicone_grades())), sponge_(shown(like, sponge_densities())), hydrogel_(shown(like, hydrogel_states())) {}

PerClass Belief::Weighed::of(const Belief& belief, double value) const {
    Reading r = reading_;
    r.value = value;
    PerClass out{};
    out[solid] = given(r, belief.solids_, MaterialClass::solid_silicone, solid_);
    out[sponge] = given(r, belief.sponges_, MaterialClass::silicone_sponge, sponge_);
    out[hydrogel] = given(r, belief.hydrogels_, MaterialClass::hydrogel, hydrogel_);
    for (const auto& p : belief.others_) out[other] += p.share * if_misread(r, likelihood(r, p.state));
    return out;
}

PerClass Belief::take(const Reading& r) {
    const Weighed weighed(r);
    PerClass given_by = weighed.of(*this);
    shift(solids_, r, MaterialClass::solid_silicone, weighed.solid_);
    shift(sponges_, r, MaterialClass::silicone_sponge, weighed.sponge_);
    shift(hydrogels_, r, MaterialClass::hydrogel, weighed.hydrogel_);
    double sum = 0.0;
    for (auto& p : others_) sum += p.share *= if_misread(r, likelihood(r, p.state));
    if (sum > 0.0)
        for (auto& p : others_) p.share /= sum;
    for (std::size_t m = 0; m < given_by.size(); ++m) weight_[m] *= given_by[m] = std::max(given_by[m], least_likelihood);
    return given_by;
}

PerLookAlike Belief::look_alikes() const {
    PerLookAlike out{};
    for (const auto& p : others_) out[static_cast<std::size_t>(p.state.kind)] += p.share;
    return out;
}

PerClass Belief::probability() const {
    PerClass out = weight_;
    const double sum = std::accumulate(out.begin(), out.end(), 0.0);
    for (double& p : out) p /= sum;
    return out;
}

}  // namespace perisclera
