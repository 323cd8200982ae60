// SPDX-License-Identifier: Apache-2.0
// What is measured inside the page, each as one function that the browser runs.

/** Texts whose contrast with what lies behind them is below 4.5 : 1 (WCAG 2.2, 1.4.3), by the definition of relative luminance there. */
export function poor_contrasts() {
    const channel = (v) => (v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
    const luminance = ([r, g, b]) => 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b);
    const colour = (text) => { const v = text.match(/[\d.]+/g)?.map(Number); return v && v.length >= 3 && (v.length === 3 || v[3] === 1) ? v.slice(0, 3) : null; };
    const behind = (element) => {
        const style = getComputedStyle(element);
        // A drawing's text stands on its own rim.
        if (element instanceof SVGElement) return style.paintOrder.startsWith("stroke") && colour(style.stroke) || behind(element.parentElement);
        return colour(style.backgroundColor) ?? (element.parentElement ? behind(element.parentElement) : [255, 255, 255]);
    };
    const poor = [];
    let texts = 0;
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
        const element = walker.currentNode.parentElement;
        if (!walker.currentNode.data.trim() || element.closest("script, style, noscript") || !element.getClientRects().length) continue;
        ++texts;
        const style = getComputedStyle(element), ink = colour(element instanceof SVGElement ? style.fill : style.color);
        const [a, b] = [luminance(ink), luminance(behind(element))].sort((x, y) => y - x), ratio = (a + 0.05) / (b + 0.05);
        if (!(ratio >= 4.5)) poor.push(`${ratio.toFixed(2)}: ${walker.currentNode.data.trim().slice(0, 40)}`);
    }
    return { texts, poor };
}

/** Elements that reach beyond the window and cannot be scrolled to by themselves. */
export function too_wide() {
    const out = document.documentElement.scrollWidth > innerWidth ? [`page: ${document.documentElement.scrollWidth}`] : [];
    for (const element of document.body.querySelectorAll("*")) {
        if (element.closest("svg") && element.tagName !== "svg" || element.closest(".scroll, .stage")) continue;
        if (element.getBoundingClientRect().right > innerWidth + 0.5) out.push(`${element.tagName} ${element.className}: ${element.getBoundingClientRect().right}`);
    }
    return out;
}

/** What may be operated, in the order of the page; those hidden left out. */
export function controls() {
    return [...document.querySelectorAll("a[href], button, input, select, summary, [tabindex='0']")].filter((e) => e.getClientRects().length).map((e) => {
        e.dataset.control ??= String(globalThis.counted = (globalThis.counted ?? 0) + 1);
        return e.dataset.control;
    });
}

/** The control that has the focus, and how wide its visible outline is. */
export function focused() {
    const e = document.activeElement, style = getComputedStyle(e);
    return { control: e.dataset.control ?? null, outline: style.outlineStyle === "none" ? 0 : parseFloat(style.outlineWidth) };
}
