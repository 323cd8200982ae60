// SPDX-License-Identifier: Apache-2.0
#include "page_frame.h"

#include "perisclera/report/html.h"
#include "perisclera/teaching/question.h"

namespace perisclera::teaching {

namespace {

constexpr const char* style = R"(
body { margin: 0 auto; max-width: 60rem; padding: 1.2rem 1.6rem 3rem; color: #16202a; background: #fff; font: 15px/1.5 "DejaVu Sans", "Noto Sans", Arial, sans-serif; }
h1 { font-size: 1.4rem; } h2 { font-size: 1.1rem; border-bottom: 2px solid #16202a; padding-bottom: .2rem; margin-top: 2rem; }
.caution { border: 1px solid #16202a; padding: .45rem .8rem; } .history { white-space: pre-wrap; }
.images { display: grid; grid-template-columns: 1fr 1fr 1fr; gap: .6rem; } .images img { width: 100%; height: auto; } figure { margin: 0; } figcaption, .note { color: #46535f; font-size: .85rem; }
ol.choices { list-style: upper-alpha; } .right { font-weight: 700; }
.cases { display: grid; grid-template-columns: 1fr 1fr 1fr; gap: 1rem; } .case { border: 1px solid #b9c2ca; border-top: 4px solid #16202a; padding: .2rem .9rem .7rem; break-inside: avoid; }
.case img, .plate { width: 100%; height: auto; } .case h2 { border: 0; margin: .4rem 0; } a { color: #16202a; }
table { border-collapse: collapse; width: 100%; font-size: .87rem; } th, td { text-align: left; vertical-align: top; padding: .28rem .5rem; border-bottom: 1px solid #b9c2ca; }
thead th { border-bottom: 2px solid #16202a; background: #f2f4f5; } td ul { margin: 0; padding-left: 1.1rem; } tr { break-inside: avoid; }
@media print { @page { size: A4; margin: 14mm; } body { max-width: none; padding: 0; font-size: 9.5pt; } figure, li { break-inside: avoid; } }
)";

}  // namespace

std::string page(const std::string& title, const std::string& body) {
    return "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>" + report::escaped(title) +
           "</title>\n<style>" + style + "</style>\n</head>\n<body>\n" + "<h1>" + report::escaped(title) + "</h1>\n" + "<p class=\"caution\">" + report::escaped(caution) + "</p>\n" + body + "</body>\n</html>\n";
}

}  // namespace perisclera::teaching
