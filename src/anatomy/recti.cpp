// SPDX-License-Identifier: Apache-2.0
#include "perisclera/anatomy/recti.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

#include "perisclera/core/text.h"

namespace perisclera {

namespace {

constexpr double degree = std::numbers::pi / 180.0;
/// The orbit's axis runs backwards and some 22 degrees towards the nose (common practice, no source).
constexpr double orbit_axis_deg = 22.0;
constexpr int first_depth = 0, last_depth = 30;      ///< mm behind the globe's centre along that axis
constexpr double ray_step_mm = 0.2;
constexpr std::array<double, 9> sector_deg{-24, -18, -12, -6, 0, 6, 12, 18, 24};

/// Signals that stand for fat and muscle; everything is read as a share of the way from one to the other.
struct Contrast {
    double fat, muscle;
    Modality modality;
    /// Beyond this share it is bone: on CT far brighter than muscle, on MR darker, as nothing is.
    [[nodiscard]] double wall() const { return modality == Modality::ct ? 1.7 : std::min(1.7, 0.5 * (1.0 + share(0.0))); }
    [[nodiscard]] double share(double signal) const { return (signal - fat) / (muscle - fat); }
};

/// A body between fat and fat, or fat and the wall of the orbit, on one ray.
struct Body {
    double inner, outer;         ///< mm from the section's middle
    double inside;               ///< share, mean of its middle half
    bool on_wall, on_globe;      ///< its outer edge is bone or air, its inner edge the sclera
    [[nodiscard]] double thickness() const { return outer - inner; }
    [[nodiscard]] double middle() const { return 0.5 * (inner + outer); }
};

/// The sections' common frame: the middle of each may move with what is found.
struct Orbit {
    const VoxelGrid& grid;
    const Globe& globe;
    EyeFrame frame;              ///< origin the globe's centre, z forwards along the orbit's axis
    PatientVector left, up;      ///< the head's
    std::array<EyeVector, last_depth + 1> middle{};   ///< of the section at each depth, beside the axis

    [[nodiscard]] PatientPoint place(int depth, double radius, double clock_rad) const {
        const EyeVector m = middle[static_cast<std::size_t>(depth)];
        return frame.to_patient(EyePoint{m.x + radius * std::sin(clock_rad), m.y + radius * std::cos(clock_rad), -static_cast<double>(depth)});
    }
    /// How far a place lies off the line straight back from the globe's centre, on the muscle's side, mm.
    [[nodiscard]] double beside_globe(Rectus which, PatientPoint p) const {
        const PatientVector d = p - globe.frame.origin();
        const double to_temple = temporal_sign(globe.eye) * dot(d, left), upwards = dot(d, up);
        switch (which) {
            case Rectus::superior: return upwards;
            case Rectus::inferior: return -upwards;
            case Rectus::medial: return -to_temple;
            case Rectus::lateral: return to_temple;
        }
        return 0.0;
    }
    /// Radians, as the examiner reads the clock.
    [[nodiscard]] double clock(Rectus which) const {
        const double temporal = temporal_sign(globe.eye) * 90.0 * degree;
        switch (which) {
            case Rectus::superior: return 0.0;
            case Rectus::inferior: return std::numbers::pi;
            case Rectus::medial: return -temporal;
            case Rectus::lateral: return temporal;
        }
        return 0.0;
    }
};

double farthest_body_mm(int depth) { return depth < 8 ? 19.0 : std::max(12.0, 19.0 - 0.35 * (depth - 8)); }

/// CT: below this share it is air.
constexpr double air_share = -0.8;

std::vector<Body> bodies_on(const Orbit& orbit, const Contrast& contrast, int depth, double clock_rad) {
    std::vector<Body> found;
    const double end = farthest_body_mm(depth) + 2.0;
    std::vector<double> at;
    double start = 0.0;
    bool from_globe = false;
    for (double r = 0.0; r <= end; r += ray_step_mm) {
        const PatientPoint p = orbit.place(depth, r, clock_rad);
        const PatientVector d = p - orbit.globe.frame.origin();
        const double distance = length(d);
        if (distance < 1e-6 || distance < orbit.globe.outer_radius_mm(d / distance) + 0.2) {
            at.clear();
            start = r + ray_step_mm;
            from_globe = true;
            continue;
        }
        if (!orbit.grid.geometry().contains(p)) break;
        at.push_back(contrast.share(static_cast<double>(orbit.grid.sample(p))));
    }
    const double wall = contrast.wall();
    const auto within = [](double mm) { return static_cast<std::size_t>(mm / ray_step_mm); };
    bool fat_inside = false;
    for (std::size_t i = 0; i < at.size(); ++i) {
        if (at[i] > wall || at[i] < air_share) break;
        fat_inside = fat_inside || at[i] < 0.35;
        const bool enters = at[i] >= 0.5 && (i == 0 ? from_globe : at[i - 1] < 0.5 && fat_inside);
        if (!enters) continue;
        const double inner = i == 0 ? start : start + ray_step_mm * (static_cast<double>(i) - (at[i] - 0.5) / (at[i] - at[i - 1]));
        std::size_t j = i;
        while (j < at.size() && at[j] >= 0.5 && at[j] <= wall) ++j;
        if (j == at.size()) break;
        const bool bone = at[j] > wall;
        double level = 0.5;
        if (bone) {
            // Half way to the bone, which blur spreads over the muscle.
            level = wall;
            for (std::size_t k = j; k < std::min(at.size(), j + within(3.0)); ++k) level = std::max(level, 0.5 * (1.0 + at[k]));
            while (j + 1 < at.size() && at[j] < level) ++j;
        }
        bool fat_outside = false;
        for (std::size_t k = j; k < std::min(at.size(), j + within(1.6)); ++k) fat_outside = fat_outside || (at[k] < 0.35 && at[k] > air_share);
        for (std::size_t k = j; k < std::min(at.size(), j + within(0.8)); ++k) fat_outside = fat_outside && at[k] > air_share;
        const double outer = start + ray_step_mm * (static_cast<double>(j) - (at[j] - level) / (at[j] - at[j - 1]));
        double inside = 0.0;
        const std::size_t quarter = (j - i) / 4;
        for (std::size_t k = i + quarter; k < j - quarter; ++k) inside += std::min(at[k], wall) / static_cast<double>(j - i - 2 * quarter);
        found.push_back({inner, outer, inside, bone || !fat_outside, i == 0});
        fat_inside = false;
        if (bone) break;
        i = j - 1;
    }
    return found;
}

/// What one section shows of one muscle.
struct Cut {
    double clock_rad, middle_mm, thickness_mm;
    double inside;
    bool on_wall, on_globe;
};

constexpr double thinnest_mm = 1.2, least_inside = 0.65, most_inside = 1.45;
/// Thicker bodies are taken for something else: on MR bone beside a muscle is nearly as dark and makes one of both.
constexpr double thickest_mm(Modality modality) { return modality == Modality::ct ? 9.0 : 7.0; }

/// `expected`: where the next section has it. The thickest of neighbouring rays, each the middle of three.
std::optional<Cut> cut_of(const Orbit& orbit, const Contrast& contrast, Rectus which, int depth, std::optional<double> expected) {
    std::vector<std::optional<Body>> rays;
    constexpr double farthest_step_mm = 2.5;
    const double least_beside = which == Rectus::medial ? 7.5 : which == Rectus::lateral ? 2.0 : 5.0;
    constexpr int beside_until = 17;
    for (const double off : sector_deg) {
        std::optional<Body> best;
        for (const Body& b : bodies_on(orbit, contrast, depth, orbit.clock(which) + off * degree)) {
            if (b.thickness() < thinnest_mm || b.thickness() > thickest_mm(contrast.modality) || b.inside < least_inside || b.inside > most_inside || b.middle() > farthest_body_mm(depth)) continue;
            // Close behind the globe the muscles still lie beside it, and the nerve behind it, a little nasal.
            if (depth <= beside_until && orbit.beside_globe(which, orbit.place(depth, b.middle(), orbit.clock(which) + off * degree)) < least_beside) continue;
            if (expected && std::abs(b.middle() - *expected) > farthest_step_mm) continue;
            best = b;   // the outermost: the nerve lies within
        }
        rays.push_back(best);
    }
    std::optional<Cut> out;
    for (std::size_t k = 1; k + 1 < rays.size(); ++k) {
        if (!rays[k - 1] || !rays[k] || !rays[k + 1]) continue;
        std::array<const Body*, 3> three{&*rays[k - 1], &*rays[k], &*rays[k + 1]};
        std::sort(three.begin(), three.end(), [](const Body* a, const Body* b) { return a->thickness() < b->thickness(); });
        const Body& mid = *three[1];
        if (!out || mid.thickness() > out->thickness_mm)
            out = Cut{orbit.clock(which) + sector_deg[k] * degree, mid.middle(), mid.thickness(), mid.inside, mid.on_wall, mid.on_globe};
    }
    return out;
}

using Course = std::array<std::optional<Cut>, last_depth + 1>;

/// Begun where the muscles stand freest, a little behind the globe, and followed to both sides.
Course follow(const Orbit& orbit, const Contrast& contrast, Rectus which) {
    Course course;
    const int behind = static_cast<int>(std::lround(orbit.globe.equatorial_radius_mm())) + 1;
    int begin = -1;
    for (const int off : {0, 1, -1, 2, -2, 3, -3, 4}) {
        const int depth = behind + off;
        if (const auto cut = cut_of(orbit, contrast, which, depth, std::nullopt)) {
            course[static_cast<std::size_t>(depth)] = cut;
            begin = depth;
            break;
        }
    }
    if (begin < 0) return course;
    for (const int step : {1, -1}) {
        double expected = course[static_cast<std::size_t>(begin)]->middle_mm;
        for (int depth = begin + step, missed = 0; depth >= first_depth && depth <= last_depth && missed < 3; depth += step) {
            auto cut = cut_of(orbit, contrast, which, depth, expected);
            if (cut) expected = cut->middle_mm, missed = 0; else ++missed;
            course[static_cast<std::size_t>(depth)] = cut;
        }
    }
    return course;
}

std::optional<Contrast> first_contrast(const Orbit& orbit, Modality modality) {
    std::vector<double> cone;
    for (int depth = 14; depth <= 24; ++depth)
        for (double r = 0.5; r <= 13.0; r += 0.7)
            for (int k = 0; k < 24; ++k) {
                const PatientPoint p = orbit.place(depth, r, k * 15.0 * degree);
                const double distance = length(p - orbit.globe.frame.origin());
                if (distance < orbit.globe.equatorial_radius_mm() + 2.0 || !orbit.grid.geometry().contains(p)) continue;
                const double v = static_cast<double>(orbit.grid.sample(p));
                if (modality == Modality::mr || (v > -170.0 && v < 130.0)) cone.push_back(v);
            }
    constexpr std::size_t least = 1500;
    if (cone.size() < least) return std::nullopt;
    std::sort(cone.begin(), cone.end());
    const auto share = [&](double q) { return cone[static_cast<std::size_t>(q * static_cast<double>(cone.size() - 1))]; };
    // Fat fills most of the cone. Muscle on CT some 50 HU (+10 to +40 unenhanced by the textbook table, more with blood and contrast).
    if (modality == Modality::ct) {
        const double fat = share(0.25);
        return fat < -40.0 ? std::optional(Contrast{fat, 45.0, modality}) : std::nullopt;
    }
    return Contrast{share(0.8), share(0.15), modality};
}

/// By the bodies themselves, where they are broad enough for their middle to be free of fat.
Contrast refined(const Contrast& contrast, const std::array<Course, 4>& courses) {
    std::vector<double> inside;
    for (const Course& course : courses)
        for (const auto& cut : course)
            if (cut && !cut->on_globe && cut->thickness_mm > 2.5) inside.push_back(cut->inside);
    if (inside.size() < 8) return contrast;
    const auto middle = inside.begin() + static_cast<std::ptrdiff_t>(inside.size() / 2);
    std::nth_element(inside.begin(), middle, inside.end());
    return {contrast.fat, contrast.fat + *middle * (contrast.muscle - contrast.fat), contrast.modality};
}

/// The middle of each section half way between opposite muscles, where both are seen.
void centre(Orbit& orbit, const std::array<Course, 4>& courses) {
    EyeVector last{0, 0, 0};
    for (int depth = 0; depth <= last_depth; ++depth) {
        const auto k = static_cast<std::size_t>(depth);
        EyeVector by{0, 0, 0};
        const auto at = [&](std::size_t which) { return courses[which][k]; };
        if (at(0) && at(1)) by.y = 0.5 * (at(0)->middle_mm - at(1)->middle_mm);
        if (at(2) && at(3)) by.x = 0.5 * temporal_sign(orbit.globe.eye) * (at(3)->middle_mm - at(2)->middle_mm);
        const EyeVector next{at(2) && at(3) ? by.x : last.x, at(0) && at(1) ? by.y : last.y, 0.0};
        if (depth > static_cast<int>(orbit.globe.equatorial_radius_mm())) orbit.middle[k] = next, last = next;
    }
}

double voxel_along(const VoxelGrid& grid, PatientVector d) {
    const auto spacing = grid.geometry().spacing_mm();
    return std::abs(dot(d, grid.geometry().row())) * spacing[0] + std::abs(dot(d, grid.geometry().column())) * spacing[1] + std::abs(dot(d, grid.geometry().normal())) * spacing[2];
}

PatientPoint middle_of(const Orbit& orbit, int depth, const Cut& cut) { return orbit.place(depth, cut.middle_mm, cut.clock_rad); }

Measurement<Mm> thickness_of(const Orbit& orbit, const Contrast& contrast, const Course& course) {
    // The belly lies behind the globe; at the apex the muscles run together.
    const int from = static_cast<int>(std::lround(0.65 * orbit.globe.equatorial_radius_mm())), to = 26;
    constexpr int reach = 2;
    struct Belly {
        double thickness, spread, voxel;
        bool on_wall;
    };
    std::optional<Belly> best;
    int cuts = 0;
    for (int depth = from; depth <= to; ++depth) {
        std::vector<double> here;
        bool wall = false;
        int first = -1, last = -1;
        for (int k = std::max(from, depth - reach); k <= std::min(to, depth + reach); ++k) {
            const auto& cut = course[static_cast<std::size_t>(k)];
            // On MR bone and muscle are both dark: without fat between them no edge shows.
            if (!cut || cut->on_globe || (cut->on_wall && contrast.modality == Modality::mr)) continue;
            here.push_back(cut->thickness_mm);
            wall = wall || cut->on_wall;
            if (first < 0) first = k;
            last = k;
        }
        if (course[static_cast<std::size_t>(depth)]) ++cuts;
        if (here.size() < 4) continue;
        std::sort(here.begin(), here.end());
        // Sections lie oblique to the muscle: what counts is the thickness across its own course.
        const PatientPoint a = middle_of(orbit, first, *course[static_cast<std::size_t>(first)]), b = middle_of(orbit, last, *course[static_cast<std::size_t>(last)]);
        const double upright = std::clamp(dot(unit(b - a), -orbit.frame.anterior()), 0.75, 1.0);
        const auto& cut = course[static_cast<std::size_t>(depth)] ? *course[static_cast<std::size_t>(depth)] : *course[static_cast<std::size_t>(first)];
        const PatientVector across = unit(orbit.place(depth, 10.0, cut.clock_rad) - orbit.place(depth, 0.0, cut.clock_rad));
        const Belly belly{here[here.size() / 2] * upright, 0.5 * (here.back() - here.front()), voxel_along(orbit.grid, across), wall};
        if (!best || belly.thickness > best->thickness) best = belly;
    }
    // A muscle runs on: what is seen on a short way only may be anything.
    constexpr int shortest_way = 10;
    if (!best || cuts < shortest_way) return Unmeasured{say(cuts == 0 ? "reason.no_muscle_found" : "reason.muscle_too_short")};
    constexpr double broadest_voxel_mm = 2.2, steadiest_mm = 1.2, least_mm = 1.5;
    if (best->voxel > broadest_voxel_mm) return Unmeasured{say("reason.slices_too_thick")};
    if (best->spread > steadiest_mm || best->thickness < least_mm) return Unmeasured{say("reason.no_steady_thickness")};
    constexpr double of_voxel = 0.4, of_definition_mm = 0.3, of_wall_mm = 0.5;
    const double doubt = std::hypot(std::hypot(of_voxel * best->voxel, of_definition_mm), std::hypot(best->on_wall ? of_wall_mm : 0.0, best->spread / std::sqrt(3.0)));
    return Measured<Mm>(Mm(best->thickness), Mm(std::max(0.0, best->thickness - 1.96 * doubt)), Mm(best->thickness + 1.96 * doubt));
}

/// Followed forward from the belly until its body lies on the globe. An interruption is told only where fat alone fills the sector on 4 mm of its way.
MuscleCourse course_of(const Orbit& orbit, const Contrast& contrast, Rectus which, const Course& course) {
    int front = -1;
    bool reached = false;
    int longest_gap = 0, gap = 0;
    const int behind = static_cast<int>(std::lround(orbit.globe.equatorial_radius_mm()));
    bool seen = false;
    for (int depth = behind + 4; depth >= first_depth; --depth) {
        const auto& cut = course[static_cast<std::size_t>(depth)];
        if (cut) {
            seen = true;
            gap = 0;
            front = depth;
            const PatientPoint p = middle_of(orbit, depth, *cut);
            const double over = length(p - orbit.globe.frame.origin()) - orbit.globe.equatorial_radius_mm() - 0.5 * cut->thickness_mm;
            constexpr double touches_mm = 1.5;
            if (cut->on_globe || over < touches_mm) {
                reached = true;
                break;
            }
        } else if (seen) {
            longest_gap = std::max(longest_gap, ++gap);
        }
    }
    if (!seen) return MuscleCourse::not_determinable;
    if (reached) return longest_gap <= 1 ? MuscleCourse::continuous : MuscleCourse::not_determinable;
    // Does fat fill the sector where it should go on?
    constexpr int way_mm = 4;   // its end is blurred over the first of it
    if (front - way_mm - 1 < first_depth) return MuscleCourse::not_determinable;
    const double expected = course[static_cast<std::size_t>(front)]->middle_mm;
    for (int depth = front - 2; depth >= front - way_mm - 1; --depth)
        for (double off = -40.0; off <= 40.0; off += 5.0)
            for (double r = expected - 3.0; r <= expected + 3.0; r += 0.5) {
                const PatientPoint p = orbit.place(depth, r, orbit.clock(which) + off * degree);
                const PatientVector d = p - orbit.globe.frame.origin();
                if (length(d) < orbit.globe.outer_radius_mm(unit(d)) + 1.0) continue;
                if (!orbit.grid.geometry().contains(p)) return MuscleCourse::not_determinable;
                if (contrast.share(static_cast<double>(orbit.grid.sample(p))) > 0.4) return MuscleCourse::not_determinable;
            }
    return MuscleCourse::interrupted;
}

bool tells_muscle_from_fat(Modality modality, SeriesRole role) {
    if (modality == Modality::ct) return role == SeriesRole::ct_soft;
    return role == SeriesRole::t1 || role == SeriesRole::t1_contrast || role == SeriesRole::t2 || role == SeriesRole::pd;
}

std::array<RectusReading, 4> none(const std::string& why) {
    const RectusReading one{Unmeasured{why}, MuscleCourse::not_determinable, {}};
    return {one, one, one, one};
}

}  // namespace

std::array<RectusReading, 4> read_recti(const VoxelGrid& grid, Modality modality, SeriesRole role, const Globe& globe, std::optional<PatientPoint> other_centre) {
    if (!tells_muscle_from_fat(modality, role)) return none(say("reason.muscle_and_fat_alike"));
    constexpr double thickest_voxel_mm = 3.2;
    const auto spacing = grid.geometry().spacing_mm();
    if (*std::max_element(spacing.begin(), spacing.end()) > thickest_voxel_mm) return none(say("reason.slices_too_far_apart"));
    const double temporal = temporal_sign(globe.eye);
    const PatientVector left = other_centre ? unit((globe.frame.origin() - *other_centre) * temporal) : PatientVector{1, 0, 0};
    const PatientVector ahead = unit(PatientVector{0, -1, 0} - left * dot(PatientVector{0, -1, 0}, left));
    const PatientVector forwards = ahead * std::cos(orbit_axis_deg * degree) + left * (temporal * std::sin(orbit_axis_deg * degree));
    Orbit orbit{grid, globe, EyeFrame(globe.frame.origin(), forwards, cross(ahead, left)), left, cross(ahead, left)};
    auto contrast = first_contrast(orbit, modality);
    if (!contrast) return none(say("reason.fat_not_imaged"));
    constexpr double clear = 4.0;
    if (std::abs(contrast->muscle - contrast->fat) < clear * globe.interior_spread) return none(say("reason.noise_hides_muscle"));
    std::array<Course, 4> courses;
    const auto follow_all = [&] {
        for (const Rectus which : all_recti) courses[static_cast<std::size_t>(which)] = follow(orbit, *contrast, which);
    };
    follow_all();
    centre(orbit, courses);
    contrast = refined(*contrast, courses);
    follow_all();
    std::array<RectusReading, 4> out = none("");
    for (const Rectus which : all_recti) {
        const auto k = static_cast<std::size_t>(which);
        out[k].thickness = thickness_of(orbit, *contrast, courses[k]);
        if (!out[k].thickness.has_value()) continue;
        out[k].course = course_of(orbit, *contrast, which, courses[k]);
        for (int depth = first_depth; depth <= last_depth; ++depth)
            if (const auto& cut = courses[k][static_cast<std::size_t>(depth)]) out[k].middles.push_back(middle_of(orbit, depth, *cut));
    }
    return out;
}

}  // namespace perisclera
