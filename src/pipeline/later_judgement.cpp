// SPDX-License-Identifier: Apache-2.0
#include "later_judgement.h"

namespace perisclera {

void take_gas(AnalysedVisit& visit) {
    for (const std::size_t which : {0u, 1u}) {
        AnalysedEye& eye = visit.eye[which];
        if (eye.inflammation.gas.empty()) continue;
        // All that can tell show it; they are one finding.
        const Reading gas{EvidenceKind::gas_beside, visit.views(which)[eye.inflammation.gas.front().view]->series, 1.0, 0.0};
        for (AnalysedElement& e : eye.elements) {
            std::vector<Reading> readings = readings_of(e.opinion);
            readings.push_back(gas);
            e.opinion = judge_material(readings);
        }
    }
}

void judge_under(AnalysedVisit& visit, const PerClass& prior) {
    for (AnalysedEye& eye : visit.eye)
        for (AnalysedElement& e : eye.elements) e.opinion = judge_material(readings_of(e.opinion), prior);
}

}  // namespace perisclera
