// SPDX-License-Identifier: Apache-2.0
#pragma once
// Sets made by the built program of drawn cases.
#include "tests/support/child_process.h"
#include "tests/teaching/drawn_case.h"

namespace perisclera::test {

inline Ended make_set(const std::vector<std::filesystem::path>& cases, const std::filesystem::path& out, const std::vector<std::string>& more = {}) {
    std::vector<std::string> arguments{PERISCLERA_PROGRAM, "teach", "--quiet", "--out", out.string()};
    arguments.insert(arguments.end(), more.begin(), more.end());
    arguments.emplace_back("--set");
    for (const auto& folder : cases) arguments.push_back(folder.string());
    return run_child(arguments);
}

/// Three cases, one of each material, with their pictures of even greys.
struct MaterialCases {
    TestFolder folder;
    std::filesystem::path hydrogel = folder.path() / "a-hydrogel", solid = folder.path() / "b-solid", sponge = folder.path() / "c-sponge";
    MaterialCases() {
        using report::Material;
        auto model = teaching::conclusion(Material::hydrogel, 0.97, Eye::right);
        teaching::show_evenly(model, Eye::right, {70, 80, 90});
        teaching::write_case(hydrogel, model, teaching::drawn_patient(8.0f));
        model = teaching::conclusion(Material::solid_silicone, 0.995, Eye::left);
        teaching::show_evenly(model, Eye::left, {100, 110, 120});
        teaching::write_case(solid, model, teaching::drawn_patient(9.0f));
        model = teaching::conclusion(Material::silicone_sponge, 0.999, Eye::right);
        teaching::show_evenly(model, Eye::right, {130, 140, std::nullopt});
        teaching::write_case(sponge, model, teaching::drawn_patient(10.0f));
    }
};

inline const MaterialCases& material_cases() {
    static const MaterialCases* const cases = new MaterialCases;
    return *cases;
}

}  // namespace perisclera::test
