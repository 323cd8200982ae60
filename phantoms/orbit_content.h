// SPDX-License-Identifier: Apache-2.0
#pragma once
// The soft tissue of one orbit around the globe, in head coordinates: four recti from the apex to their insertions, superior
// oblique (or both, whole), optic nerve with its sheath, lacrimal gland, a vein, and fat. Muscles and nerve follow the eye's gaze.
#include <array>
#include <optional>
#include <vector>

#include "anatomy.h"
#include "head_box.h"
#include "locality.h"
#include "oblique_muscle.h"
#include "perisclera/core/eye.h"
#include "tissue.h"

namespace perisclera::phantoms {

/// One rectus: it hugs the globe from its insertion to the point of contact, then runs straight to its origin.
class RectusMuscle {
public:
    RectusMuscle(const EyePlacement& eye, const GlobeShape& globe, double clock_hour, const RectusAnatomy& anatomy, HeadPoint origin);
    [[nodiscard]] bool contains(HeadPoint point) const;
    /// May some of it lie in the box?
    [[nodiscard]] bool may_meet(const HeadBox& box) const;

private:
    HeadPoint centre_;
    HeadVector insertion_, across_, towards_origin_;  ///< unit vectors; the first and last span the muscle's plane
    double radius_, contact_angle_, straight_, total_, belly_, width_;
    double contact_cosine_, contact_sine_;
};

class OrbitContent {
public:
    OrbitContent(Eye eye, const EyePlacement& placement, const GlobeShape& globe, const EyeAnatomy& anatomy);
    /// Nothing but fat where empty. `near` holds at the point.
    [[nodiscard]] std::optional<Tissue> at(HeadPoint point, Locality near) const;
    /// Adds which of it may lie in a box of this side.
    void note(Locality& near, const HeadBox& box) const;

private:
    [[nodiscard]] bool in_oblique(HeadPoint point) const;
    [[nodiscard]] bool in_gland(double lateral, double y, double z) const;
    /// In a usual face, on the left side.
    [[nodiscard]] HeadPoint trochlea() const { return {17.0, -5.0 + anatomy_.setback_mm, 12.0}; }

    HeadPoint apex_;
    double side_;
    EyeAnatomy anatomy_;
    std::array<RectusMuscle, 4> recti_;
    std::vector<ObliqueMuscle> obliques_;  ///< beside the globe; empty where the anatomy has none
    std::array<HeadPoint, 9> nerve_;  ///< points on its middle line, globe to apex
};

}  // namespace perisclera::phantoms
