# SPDX-License-Identifier: Apache-2.0
"""Checks a page with Python's own HTML parser.

usage: check_page.py PAGE [TEXT...]
Every TEXT must appear in the page's visible text, in the order given. Also required: elements balanced; lang set; UTF-8 declared; scripts
only within the page, and a policy that lets it fetch nothing (CSP level 3: default-src 'none', pictures from data only); no resource from
outside (HTML living standard: src, href, url(), @import); every picture with a text alternative (WCAG 2.2, 1.1.1); ids unique; no heading
level skipped.
Exit status 0: all well; 1: something is not (printed).
"""
import html.parser
import re
import sys

VOID = {"meta", "img", "br", "hr", "link", "input"}
SELF_CLOSED_SVG = {"circle", "path", "rect", "line"}


class Page(html.parser.HTMLParser):
    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.open, self.faults, self.text, self.levels, self.ids = [], [], "", [], set()
        self.lang = self.utf8 = self.policy = False

    def handle_starttag(self, tag, attrs):
        self.look(tag, dict(attrs))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.look(tag, dict(attrs))
        if tag not in VOID | SELF_CLOSED_SVG:
            self.faults.append(f"<{tag}/>")

    def handle_endtag(self, tag):
        if not self.open or self.open.pop() != tag:
            self.faults.append(f"</{tag}> closes nothing")

    def handle_data(self, data):
        if "style" in self.open:
            if re.search(r"url\(|@import", data):
                self.faults.append("style fetches something")
        elif "script" in self.open:
            if "</script" in data or "<!--" in data:
                self.faults.append("script holds what may end it")
        elif "title" not in self.open:
            self.text += data + " "

    def look(self, tag, attrs):
        if tag in {"iframe", "object", "embed", "link", "base"} or any(a.startswith("on") for a in attrs):
            self.faults.append(f"<{tag}> with script or outside content")
        if tag == "meta" and attrs.get("http-equiv") == "Content-Security-Policy":
            rules = dict(rule.strip().split(" ", 1) for rule in attrs["content"].split(";"))
            self.policy = rules.pop("default-src") == "'none'" and rules.pop("img-src") == "data:" and all("unsafe" in allowed and ":" not in allowed for allowed in rules.values())
        for name in ("src", "href", "srcset", "style"):
            if name in attrs and not attrs[name].startswith("data:image/png;base64,"):
                self.faults.append(f"{name} of <{tag}> leads outside")
        if tag == "img" and not attrs.get("alt"):
            self.faults.append("picture without alt")
        if tag == "svg" and not attrs.get("aria-label"):
            self.faults.append("drawing without label")
        if tag == "html":
            self.lang = bool(attrs.get("lang"))
        if tag == "meta" and attrs.get("charset", "").lower() == "utf-8":
            self.utf8 = True
        if re.fullmatch("h[1-6]", tag):
            level = int(tag[1])
            if level > (self.levels[-1] if self.levels else 0) + 1:
                self.faults.append(f"heading level {level} skips one")
            self.levels.append(level)
        if "id" in attrs:
            if attrs["id"] in self.ids:
                self.faults.append(f"id {attrs['id']} twice")
            self.ids.add(attrs["id"])


def main():
    with open(sys.argv[1], "rb") as file:
        source = file.read().decode("utf-8", errors="strict")
    page = Page()
    page.feed(source)
    page.close()
    if page.open:
        page.faults.append(f"never closed: {page.open}")
    if not page.lang or not page.utf8:
        page.faults.append("language or encoding not declared")
    if not page.policy:
        page.faults.append("no policy that keeps it from fetching")
    if page.levels.count(1) != 1:
        page.faults.append("not exactly one main heading")
    text, at = re.sub(r"\s+", " ", page.text), 0
    for wanted in sys.argv[2:]:
        found = text.find(wanted, at)
        if found < 0:
            page.faults.append(f"'{wanted}' is not there, or not in this place")
        else:
            at = found + len(wanted)
    for fault in page.faults:
        print(fault)
    return 1 if page.faults else 0


sys.exit(main())
