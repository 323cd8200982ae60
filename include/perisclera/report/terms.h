// SPDX-License-Identifier: Apache-2.0
#pragma once
// The closed sets of words that report.json may use. name() gives the exact word of the file format; a word is never
// renamed without raising the format version. Where a set has a word for "not known", it is the default of every field.
#include <array>
#include <cstddef>
#include <string_view>

namespace perisclera::report {

enum class GlobeStatus { found, not_found, not_imaged };
enum class GlobeContents { vitreous, silicone_oil, gas, haemorrhage, mixed, undetermined };
enum class Lens { natural, implant, none, undetermined };
enum class MuscleName { superior, inferior, medial, lateral };
enum class Continuity { continuous, interrupted, not_determinable };
enum class MuscleRelation { beneath_muscle, in_front_of_insertion, through_or_superficial, not_crossed, not_determinable };
enum class Sign { seen, not_seen, not_assessable };
enum class MetalStatus { seen, not_seen_on_ct, not_assessable };
enum class Presence { present, absent, uncertain };
enum class Form { encircling, segmental, radial, irregular };
enum class WallRelation { outside, indenting, possible_intrusion, not_determinable };
enum class JunctionKind { overlap, sleeve, clip, unknown, not_seen };
enum class Feature { seen, not_seen, undetermined };
/// What an element can be made of. "Undetermined" is std::optional<Material> without a value.
enum class Material { solid_silicone, silicone_sponge, hydrogel, other };
enum class NextStudy { ct, t1, t2, second_ct_energy, none };
inline constexpr std::array all_next_studies{NextStudy::ct, NextStudy::t1, NextStudy::t2, NextStudy::second_ct_energy};
/// What has to be said beside a material, so that nobody is reassured by it.
enum class MaterialCaution {
    infection_not_excluded,
    tumour_or_abscess_not_excluded,
    gas_outside_element,
    outside_table,
    water_disagrees,
    swelling_disagrees,
    growth_without_water
};
/// Of a globe against its mirrored fellow, judged at its centre and its rear margin by the published difference between the eyes of healthy people.
enum class ForwardPlace { in_front, behind, within_usual, not_determinable };
enum class Verdict { enlarged, unchanged, shrunk, removed, partly_removed, new_element, not_comparable };
enum class Basis { published, common_practice };

inline constexpr std::array<Material, 4> all_materials{Material::solid_silicone, Material::silicone_sponge, Material::hydrogel, Material::other};

std::string_view name(GlobeStatus);
std::string_view name(GlobeContents);
std::string_view name(Lens);
std::string_view name(MuscleName);
std::string_view name(Continuity);
std::string_view name(MuscleRelation);
std::string_view name(Sign);
std::string_view name(MetalStatus);
std::string_view name(Presence);
std::string_view name(Form);
std::string_view name(WallRelation);
std::string_view name(JunctionKind);
std::string_view name(Feature);
std::string_view name(Material);
std::string_view name(NextStudy);
std::string_view name(MaterialCaution);
std::string_view name(ForwardPlace);
std::string_view name(Verdict);  ///< new_element is written "new"
std::string_view name(Basis);

/// One value for each material.
template <class T>
struct PerMaterial {
    std::array<T, all_materials.size()> values{};
    [[nodiscard]] const T& operator[](Material m) const { return values[static_cast<std::size_t>(m)]; }
    [[nodiscard]] T& operator[](Material m) { return values[static_cast<std::size_t>(m)]; }
};

}  // namespace perisclera::report
