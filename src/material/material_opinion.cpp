// SPDX-License-Identifier: Apache-2.0
#include "perisclera/material/material_opinion.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "material_likelihood.h"
#include "perisclera/core/text.h"

namespace perisclera {

namespace {

constexpr std::size_t solid = 0, sponge = 1, hydrogel = 2, other = 3;

/// What imitates an explant, shares of `other` (assumed). A mass known only by the fat it holds off is muscle, gland or lid as a rule.
constexpr PerLookAlike usual_share{0.15, 0.12, 0.06, 0.10, 0.57}, share_of_masses{0.80, 0.06, 0.0, 0.02, 0.12};

/// Members of a material that are told apart by all readings together, with their shares, which sum to 1.
template <std::size_t N>
class Family {
public:
    explicit Family(const std::array<double, N>& share) : share_(share) {}
    /// Multiplies each share by its member's likelihood; what the whole family gives the reading.
    template <typename Likelihood>
    double take(Likelihood likelihood) {
        double sum = 0.0;
        for (std::size_t k = 0; k < N; ++k) sum += share_[k] *= likelihood(k);
        if (sum > 0.0)
            for (double& s : share_) s /= sum;
        return sum;
    }
    [[nodiscard]] const std::array<double, N>& share() const { return share_; }

private:
    std::array<double, N> share_;
};

using HydrogelFamily = Family<water_contents.size()>;

HydrogelFamily any_water() {
    std::array<double, water_contents.size()> even{};
    even.fill(1.0 / static_cast<double>(water_contents.size()));
    return HydrogelFamily(even);
}

/// How often a place carried over from another series holds something else, by a millimetre or two of misfit or an eye half
/// imaged (assumed, in view of two sponges in a real head whose place on T1 held muscle).
constexpr double misread_share = 0.1;

/// A reading by place may be of what lies beside the element, which is as likely as anything else.
double if_misread(const Reading& r, double as_element) { return r.by_place ? std::lerp(as_element, look_alike_likelihood(r, LookAlike::unknown), misread_share) : as_element; }

Measured<Fraction> water_of(const HydrogelFamily& family) {
    double mean = 0.0, running = 0.0, low = water_contents.front(), high = water_contents.back();
    bool have_low = false, have_high = false;
    for (std::size_t k = 0; k < water_contents.size(); ++k) {
        const double share = family.share()[k];
        mean += share * water_contents[k];
        running += share;
        if (!have_low && running > 0.025) low = water_contents[k == 0 ? 0 : k - 1], have_low = true;
        if (!have_high && running >= 0.975) high = water_contents[k], have_high = true;
    }
    return {Fraction(mean), Fraction(std::min(low, mean)), Fraction(std::max(high, mean))};
}

NextStep most_informative(const PerClass& p, const std::vector<Reading>& readings) {
    const auto has = [&](EvidenceKind a, EvidenceKind b) { return std::any_of(readings.begin(), readings.end(), [&](const Reading& r) { return r.kind == a || r.kind == b; }); };
    const double lead = *std::max_element(p.begin(), p.end());
    if (lead >= label_margin) return NextStep::none;
    const bool ct = has(EvidenceKind::ct_number, EvidenceKind::ct_peak), t2 = has(EvidenceKind::t2_ratio, EvidenceKind::t2_ratio), t1 = has(EvidenceKind::t1_ratio, EvidenceKind::t1_ratio);
    // CT parts the two silicones; T2 parts either from swollen hydrogel; a second energy parts silicone from firm hydrogel.
    if (!ct && p[solid] + p[sponge] > 0.5) return NextStep::ct;
    if (!t2 && p[hydrogel] > 0.03) return NextStep::t2;
    if (!ct) return NextStep::ct;
    if (p[solid] > 0.05 && p[hydrogel] > 0.05) return NextStep::second_ct_energy;
    return t1 ? NextStep::none : NextStep::t1;
}

}  // namespace

std::string_view name(LookAlike kind) {
    switch (kind) {
        case LookAlike::soft_tissue: return "soft_tissue";
        case LookAlike::fluid: return "fluid";
        case LookAlike::airy: return "airy";
        case LookAlike::dense: return "dense";
        case LookAlike::unknown: return "unknown";
    }
    return "unknown";
}

MaterialOpinion judge_material(const std::vector<Reading>& readings) {
    MaterialOpinion opinion{std::nullopt, {}, prior_share, {}, Unmeasured{say("reason.hydrogel_only")}, {}, NextStep::none};
    const bool mass = std::any_of(readings.begin(), readings.end(), [](const Reading& r) { return r.kind == EvidenceKind::displaces_fat; });
    HydrogelFamily hydrogels = any_water();
    Family<all_look_alikes.size()> look_alikes(mass ? share_of_masses : usual_share);
    PerClass weight = prior_share;
    for (const Reading& r : readings) {
        PerClass likelihood{};
        for (const std::size_t m : {solid, sponge}) likelihood[m] = if_misread(r, explant_likelihood(r, m));
        likelihood[hydrogel] = hydrogels.take([&](std::size_t k) { return if_misread(r, hydrogel_likelihood(r, water_contents[k])); });
        likelihood[other] = look_alikes.take([&](std::size_t k) { return look_alike_likelihood(r, all_look_alikes[k]); });
        JudgedReading judged{r, {}, expected_ranges(r)};
        for (std::size_t m = 0; m < 4; ++m) {
            // A floor keeps one odd reading from excluding a material for good.
            likelihood[m] = std::max(likelihood[m], 1e-9);
            judged.log_likelihood[m] = std::log(likelihood[m]);
            weight[m] *= likelihood[m];
        }
        opinion.evidence.push_back(judged);
    }
    opinion.look_alike_share = look_alikes.share();
    const double sum = std::accumulate(weight.begin(), weight.end(), 0.0);
    for (std::size_t m = 0; m < 4; ++m) opinion.probability[m] = sum > 0.0 ? weight[m] / sum : prior_share[m];

    std::array<std::size_t, 4> order{0, 1, 2, 3};
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return opinion.probability[a] > opinion.probability[b]; });
    for (const std::size_t m : order)
        if (opinion.probability[m] >= 0.05) opinion.candidates.push_back(all_material_classes[m]);
    if (opinion.probability[order[0]] >= label_margin) opinion.label = all_material_classes[order[0]];
    opinion.next = most_informative(opinion.probability, readings);

    if (opinion.label == MaterialClass::hydrogel) opinion.water_fraction = water_of(hydrogels);
    return opinion;
}

}  // namespace perisclera
