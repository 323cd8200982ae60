// SPDX-License-Identifier: Apache-2.0
// Muscle by muscle, as last seen: thickness, course, insertion, relation to the elements, and where one is missing the reason.
#include "perisclera/core/text.h"
#include "perisclera/report/eye_words.h"
#include "perisclera/report/wording.h"
#include "src/report/html_sections.h"
#include "src/report/muscle_wording.h"

namespace perisclera::report {

std::string muscle_table(const ReportModel& model, Eye eye) {
    const Timepoint* visit = current_visit(model, eye);
    if (visit == nullptr || visit->eye(eye).globe.status != GlobeStatus::found) return "";
    std::string out = "<div class=\"scroll\"><table class=\"muscles\">" +
                      element("caption", say("muscles.caption", {{"eye", side_in_words(eye)}, {"date", visit->study_date.iso()}})) + "<thead><tr>" +
                      head_cells({say("muscles.muscle"), say("muscles.thickness"), say("muscles.course"), say("muscles.insertion"), say("muscles.elements")}) + "</tr></thead><tbody>\n";
    for (const MuscleEntry& m : visit->eye(eye).muscles) {
        const MuscleWords words = words_of(m);
        out += "<tr><th scope=\"row\">" + escaped(words.muscle) + "</th>" + element("td", words.thickness) + element("td", words.course) + element("td", words.insertion) + element("td", words.elements) + "</tr>\n";
    }
    return out + "</tbody></table></div>\n";
}

}  // namespace perisclera::report
