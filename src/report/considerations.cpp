// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/considerations.h"

#include <algorithm>

#include "perisclera/report/wording.h"

namespace perisclera::report {

namespace {

/// What kinds of element the report has to speak of.
struct Seen {
    bool any = false, encircling = false;
    PerMaterial<bool> possible{};
};

Seen seen_elements(const ReportModel& model) {
    Seen seen;
    for (const Eye eye : both_eyes) {
        const Timepoint* visit = current_visit(model, eye);
        if (!visit) continue;
        for (const ElementEntry& e : visit->eye(eye).elements) {
            // A foreign body that is no buckle brings nothing: the facts below are about explants.
            if (e.material.label == Material::other) continue;
            seen.any = true;
            seen.encircling = seen.encircling || e.form == Form::encircling;
            if (e.material.label) {
                seen.possible[*e.material.label] = true;
            } else {
                for (const Material m : e.material.candidates) seen.possible[m] = true;
            }
        }
    }
    return seen;
}

constexpr auto no_source = "common practice, no source";

}  // namespace

std::vector<Consideration> considerations(const ReportModel& model) {
    const Seen seen = seen_elements(model);
    std::vector<Consideration> out;
    const auto published = [&](const char* text, const char* source) { out.push_back({text, Basis::published, source}); };
    const auto practice = [&](const char* text) { out.push_back({text, Basis::common_practice, no_source}); };

    if (seen.possible[Material::hydrogel]) {
        practice("Hydrogel: an explant that causes symptoms is usually removed; one found by chance is usually watched.");
        published("Hydrogel: follow-up once a year over the long term has been advised.",
                  "second-hand report of a series of 23 patients with removed hydrogel explants, 2012; original not read");
        published(
            "Hydrogel: explants removed after 5.5 years or less (3 eyes) looked unaltered; all 28 removed after 5.8 years or more were discoloured, friable "
            "and swollen. A swollen explant has broken into pieces on grasping.",
            "Retina 2003;23:257-261, doi 10.1097/00006982-200304000-00025; Bhagat N, Khanna A, Langer PD, Br J Ophthalmol 2005;89:1380");
        published("Hydrogel: at removal (17 eyes) the wall of the eye was perforated in 3 (17.6 %) and the retina detached again in 5 (29 %). "
                  "No surgical complication was reported in another series of 11 patients.",
                  "Kearney JJ et al., Complications of hydrogel explants used in scleral buckling surgery; J Pers Med 2022;12:629, doi 10.3390/jpm12040629");
        published("Hydrogel: removal was incomplete in 3 of 10 eyes in one series.", "J Korean Ophthalmol Soc 2006;47:512-518");
    }
    if (seen.possible[Material::solid_silicone] || seen.possible[Material::silicone_sponge]) {
        practice("Silicone, solid or sponge: usually left in place unless it is exposed, infected, has migrated or restricts the eye's movement.");
        published("Over a mean of 76 months in 757 patients, removed were 2 of 360 solid silicone elements (0.6 %), 3 of 32 sponges (9 %) and 5 of 386 hydrogels (1.3 %).",
                  "Roldan-Pallares M et al., Arch Ophthalmol 1999;117:197, doi 10.1001/archopht.117.2.197");
    }
    if (seen.possible[Material::silicone_sponge]) {
        published("Sponge: of 841 sponge buckles 40 were removed for infection (4.75 %) and 7 had orbital cellulitis (0.83 %), after a mean of 5.7 years.",
                  "Nemet AY et al., Clin Ophthalmol 2013;7:2147-2152, doi 10.2147/OPTH.S50321");
    }
    if (seen.any) {
        published("After removal of buckles of mixed materials the retina detached again in none of 46 eyes in one series and in 6.9 % of 102, 8.2 % of 49, "
                  "8.8 % of 90 and 10 % of 40 eyes in others; among the 49, half of these within three months.",
                  "Acta Biomed series; Oman J Ophthalmol 2015;8:171-174, doi 10.4103/0974-620X.169891; Outcomes of scleral buckle removal: experience from the "
                  "last decade; Retina 2003;23:641-646, doi 10.1097/00006982-200310000-00006; Korean J Ophthalmol 2020;34:454-461, doi 10.3341/kjo.2020.0099 "
                  "(abstracts)");
        published("The globe was perforated at removal in 4 of 90 eyes (4.4 %) and in 14 of 102 (13.7 %).",
                  "Retina 2003;23:641-646, doi 10.1097/00006982-200310000-00006; Oman J Ophthalmol 2015;8:171-174, doi 10.4103/0974-620X.169891 (abstracts)");
        if (seen.encircling) {
            published("The retina detached again in 4 of 16 eyes (25 %) after removal of an encircling element and in 0 of 24 after removal of a segmental one (p 0.02).",
                      "Kim KW et al., Korean J Ophthalmol 2020;34:454-461, doi 10.3341/kjo.2020.0099");
        }
        published("Misaligned eyes, for removal before or with muscle surgery: alignment succeeded in 62.5 % with removal and 10.0 % without (18 patients, p 0.04).",
                  "Chang JH et al., Strabismus 2013;21:235-241, doi 10.3109/09273972.2013.851260");
        published("Misaligned eyes, against removal: without it alignment succeeded in 17 of 23 patients (74 %) and double vision improved in 17 of 18 (94 %); kept "
                  "against removed in 47 patients, alignment 76 % and 71 %, single vision 79 % and 93 % (not significant), with two further detachments, both "
                  "after removal; in 25 patients removal did not improve results.",
                  "Osigian Probst C et al., Strabismus surgery outcomes without removal of scleral buckle in patients with previous retinal detachment repair "
                  "(abstract); comparative study of two centres, 47 patients (abstract; authors not read); J AAPOS 2013;17:594-597, doi "
                  "10.1016/j.jaapos.2013.08.009");
        published("The effect of removal on alignment has been judged minimal unless the buckle has migrated forward.",
                  "Velez FG, J Binocul Vis Ocul Motil 2021 (review)");
    }
    return out;
}

}  // namespace perisclera::report
