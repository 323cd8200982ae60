// SPDX-License-Identifier: Apache-2.0
#include "muscle_entries.h"

#include <algorithm>

#include "muscle_relation.h"
#include "perisclera/core/text.h"

namespace perisclera {

namespace {

using namespace report;

MuscleName name_of(Rectus rectus) { return static_cast<MuscleName>(rectus); }
static_assert(static_cast<int>(MuscleName::superior) == static_cast<int>(Rectus::superior) && static_cast<int>(MuscleName::inferior) == static_cast<int>(Rectus::inferior) &&
              static_cast<int>(MuscleName::medial) == static_cast<int>(Rectus::medial) && static_cast<int>(MuscleName::lateral) == static_cast<int>(Rectus::lateral));

/// What one series calls whole another may not call interrupted.
Continuity joined(const std::vector<MuscleCourse>& told) {
    const bool whole = std::count(told.begin(), told.end(), MuscleCourse::continuous) > 0, ends = std::count(told.begin(), told.end(), MuscleCourse::interrupted) > 0;
    return whole && !ends ? Continuity::continuous : ends && !whole ? Continuity::interrupted : Continuity::not_determinable;
}

}  // namespace

std::array<MuscleEntry, 4> muscle_entries(const std::vector<const EyeView*>& views, const std::vector<ElementEntry>& elements, Eye eye) {
    std::array<MuscleEntry, 4> out = EyeEntry{}.muscles;
    const Unmeasured tendon{say("reason.tendon")};
    for (const Rectus rectus : all_recti) {
        const auto k = static_cast<std::size_t>(rectus);
        MuscleEntry& entry = out[k];
        entry.muscle = name_of(rectus);
        entry.insertion = tendon;
        std::vector<MuscleCourse> courses;
        const RectusReading* best = nullptr;
        const RectusReading* silent = nullptr;   // CT before MR, since it comes nearest
        for (const EyeView* view : views) {
            const RectusReading& here = view->recti[k];
            courses.push_back(here.course);
            const Measured<Mm>* thickness = here.thickness.measured();
            if (thickness == nullptr) {
                if (silent == nullptr || view->modality == Modality::ct) silent = &here;
            } else if (best == nullptr || thickness->standard_uncertainty() < best->thickness.measured()->standard_uncertainty()) {
                best = &here;
            }
        }
        if (best != nullptr)
            entry.thickness = best->thickness;
        else if (silent != nullptr)
            entry.thickness = silent->thickness;
        entry.continuity = joined(courses);
        for (const ElementEntry& element : elements) entry.elements.push_back(relation_by_place(element, rectus, eye));
    }
    return out;
}

}  // namespace perisclera
