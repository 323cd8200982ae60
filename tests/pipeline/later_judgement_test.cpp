// SPDX-License-Identifier: Apache-2.0
// Elements judged anew: gas drawn outside a sponge on CT lowers the sponge (the same orbits as the tests of the sign itself: tests/support/drawn_beside.h), and other shares before any image
// move the odds by their ratio, which is Bayes' rule, and nothing else.
#include <gtest/gtest.h>

#include "perisclera/measurement/element_measurements.h"
#include "src/pipeline/later_judgement.h"
#include "tests/support/drawn_beside.h"

namespace perisclera {
namespace {

using namespace test::beside;

constexpr std::size_t right = 0, left = 1;
double share(const AnalysedElement& e, MaterialClass m) { return e.opinion.probability[static_cast<std::size_t>(m)]; }

/// A sponge at the left eye, of readings that leave some doubt.
AnalysedVisit visit_of(const Scene& scene) {
    AnalysedVisit visit;
    visit.series.push_back({{view(Eye::right, free_eye(scene)), view(Eye::left, scene)}});
    for (const std::size_t which : {right, left}) visit.eye[which].views = {0};
    EyeElement element{0, test::element_of(sponge, Appearance::ct_dark, test::beside::sponge_hu, fat_hu), {}};
    ElementMeasurements measured = measure_element(visit.series[0].eye[left]->block, element.found);
    const std::vector<Reading> doubtful{{EvidenceKind::ct_number, 0, test::beside::sponge_hu, 20.0}, {EvidenceKind::fits_wall, 0, 1.2, 0.2}};
    visit.eye[left].elements.push_back({std::move(element), std::move(measured), judge_material(doubtful)});
    visit.eye[left].inflammation = signs_of_inflammation(visit.views(left), {&*visit.series[0].eye[right]}, {&visit.eye[left].elements[0].element}, {});
    return visit;
}

TEST(LaterJudgement, gas_outside_a_sponge_lowers_it_and_is_in_the_evidence) {
    AnalysedVisit gassy = visit_of(with({bubble})), plain = visit_of(Scene{});
    const double before = share(gassy.eye[left].elements[0], MaterialClass::silicone_sponge);
    ASSERT_EQ(gassy.eye[left].inflammation.gas_outside_element, SignReading::seen);
    take_gas(gassy);
    take_gas(plain);
    EXPECT_LT(share(gassy.eye[left].elements[0], MaterialClass::silicone_sponge), before);
    EXPECT_EQ(gassy.eye[left].elements[0].opinion.evidence.back().reading.kind, EvidenceKind::gas_beside);
    EXPECT_EQ(share(plain.eye[left].elements[0], MaterialClass::silicone_sponge), before) << "no gas, no evidence";
}

TEST(LaterJudgement, other_shares_move_the_odds_by_their_ratio_alone) {
    AnalysedVisit usual = visit_of(with({bubble}));
    take_gas(usual);
    AnalysedVisit changed = usual;
    constexpr PerClass even{0.25, 0.25, 0.25, 0.25};
    judge_under(changed, even);
    const AnalysedElement &before = usual.eye[left].elements[0], &after = changed.eye[left].elements[0];
    const auto odds = [](const AnalysedElement& e) { return share(e, MaterialClass::silicone_sponge) / share(e, MaterialClass::other); };
    EXPECT_NEAR(odds(after) / odds(before), prior_share[3] / prior_share[1], 1e-9);
    ASSERT_EQ(after.opinion.evidence.size(), before.opinion.evidence.size());
    for (std::size_t k = 0; k < before.opinion.evidence.size(); ++k) EXPECT_EQ(after.opinion.evidence[k].log_likelihood, before.opinion.evidence[k].log_likelihood);
}

}  // namespace
}  // namespace perisclera
