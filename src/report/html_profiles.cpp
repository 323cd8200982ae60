// SPDX-License-Identifier: Apache-2.0
#include "perisclera/core/text.h"
#include "src/report/html_sections.h"

namespace perisclera::report {

std::string profile_figures(const Figures& figures) {
    if (figures.profiles.empty()) return "";
    std::string out = element("h3", say("profile.heading")) + "<div class=\"images\">\n", without;
    for (const DrawnProfile& drawn : figures.profiles) {
        if (drawn.png.empty())
            without += "<p class=\"note\">" + escaped(drawn.description) + "</p>\n";
        else
            out += "<figure class=\"wide\"><div class=\"single\"><img src=\"" + data_uri(drawn.png) + "\" alt=\"" + escaped(say("profile.heading")) + "\"></div>" + element("figcaption", drawn.description) + "</figure>\n";
    }
    return out + "</div>\n" + without;
}

}  // namespace perisclera::report
