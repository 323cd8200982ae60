// SPDX-License-Identifier: Apache-2.0
// The report page as its readers use it: in a browser, by pointer and by keyboard, narrow, printed, without scripts and without WebGL. The reports are the built
// program's, of synthesised patients whose truth is known.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";

import { open_browser, open_page, without_drawing } from "./browser.mjs";
import { controls, focused, poor_contrasts, too_wide } from "./measures.mjs";

const { PERISCLERA_PROGRAM: program, PERISCLERA_SCENARIOS: scenarios, PERISCLERA_PAGE_SCRATCH: scratch } = process.env;
const reports = { hydrogel: "hydrogel_encircling", sponge: "sponge_circumferential", nothing: "none" };
const with_element = ["hydrogel", "sponge"];
const folder = (name) => join(scratch, name);
const page_of = (name) => join(folder(name), "report.html");
const report_of = (name) => JSON.parse(readFileSync(join(folder(name), "report.json"), "utf8"));
/** The one eye of the report that has elements. */
const operated = (name) => {
    const { eyes } = report_of(name).timepoints[0], side = eyes.right.elements.length ? "right" : "left";
    return { side, element: eyes[side].elements[0] };
};

let chromium;
before(async () => {
    rmSync(scratch, { recursive: true, force: true });
    mkdirSync(scratch, { recursive: true });
    for (const [name, scenario] of Object.entries(reports)) {
        execFileSync(program, ["phantom", join(scenarios, scenario + ".json"), "--out", folder(name) + "-images", "--quiet"]);
        execFileSync(program, ["identify", folder(name) + "-images", "--out", folder(name), "--quiet"], { stdio: "ignore" });
    }
    chromium = await open_browser();
});
after(() => chromium?.close());

const opened = async (name, options) => {
    const { page, ...rest } = await open_page(chromium.browser, page_of(name), options);
    return { page, ...rest };
};
const press = async (page, key, times = 1) => { for (let k = 0; k < times; ++k) await page.keyboard.press(key); };
/** The pixels of a canvas as a string, to be compared. */
const pixels = (canvas) => canvas.evaluate((c) => c.toDataURL());
const shown_hour = (figure) => figure.evaluate((f) => f.querySelector(".hour:not([hidden])").dataset.hour);
const shown_words = (figure) => figure.evaluate((f) => f.querySelector(".hour:not([hidden])").innerText);

for (const name of Object.keys(reports)) {
    test(`${name}: fetches nothing, says nothing on the console, has enough contrast`, async () => {
        const { page, requests, words } = await opened(name);
        assert.deepEqual(requests.filter((url) => !url.startsWith("data:")), ["file://" + page_of(name)]);
        assert.deepEqual(words, []);
        const { texts, poor } = await page.evaluate(poor_contrasts);
        assert.ok(texts > 100);
        assert.deepEqual(poor, []);
        await page.close();
    });

    test(`${name}: fits a window of 400 pixels`, async () => {
        const { page } = await opened(name, { width: 400 });
        assert.deepEqual(await page.evaluate(too_wide), []);
        await page.close();
    });

    test(`${name}: every control is reached by Tab and then has a visible outline`, async () => {
        const { page } = await opened(name);
        const all = await page.evaluate(controls), reached = [];
        assert.ok(all.length >= 4);
        await page.evaluate(() => document.body.focus());
        for (let k = 0; k < all.length; ++k) {
            await press(page, "Tab");
            const at = await page.evaluate(focused);
            assert.ok(at.outline >= 2, `control ${at.control} has an outline of ${at.outline} pixels`);
            reached.push(at.control);
        }
        assert.deepEqual(reached, all);
        await page.close();
    });

    test(`${name}: printed, it has every section and the pages are A4`, async () => {
        const { page } = await opened(name);
        const headings = await page.$$eval("h2", (all) => all.map((h) => h.textContent));
        const file = folder(name) + "-printed.pdf";
        writeFileSync(file, await page.pdf({ preferCSSPageSize: true, printBackground: false }));
        const text = execFileSync("pdftotext", ["-layout", file, "-"], { encoding: "utf8" });
        for (const heading of headings) assert.ok(text.includes(heading), `"${heading}" is not printed`);
        assert.ok(headings.includes("Finding") && headings.includes("Slices") && headings.includes("Measurements"));
        assert.match(execFileSync("pdfinfo", [file], { encoding: "utf8" }), /Page size: +59[45]\.\d+ x 84[12]\.\d+ pts|\(A4\)/);
        await page.close();
    });

    test(`${name}: without scripts, text and still pictures are there and nothing is empty`, async () => {
        const { page } = await opened(name, { scripts: false });
        const seen = await page.$$eval("img:not([hidden])", (all) => all.map((i) => i.naturalWidth));
        assert.ok(seen.length > 0 && seen.every((width) => width > 0));
        assert.equal((await page.$$eval("canvas", (all) => all.filter((c) => c.getClientRects().length))).length, 0);
        if (with_element.includes(name)) assert.equal((await page.$$eval(".hour", (all) => all.filter((p) => p.getClientRects().length))).length, 1);
        await page.close();
    });

    test(`${name}: slices are leafed through by wheel, keys and slider, outlines go on and off`, async () => {
        const { page } = await opened(name);
        const figures = await page.$$("figure.slices");
        assert.equal(figures.length, 2);
        const [figure] = figures, canvas = await figure.$("canvas");
        const words = () => figure.$eval(".where", (p) => p.textContent);
        const number = async () => Number(/slice (\d+) of/.exec(await words())[1]);
        const first = await number(), picture = await pixels(canvas);
        await canvas.scrollIntoView();
        await canvas.hover();
        await page.mouse.wheel({ deltaY: 100 });
        await page.waitForFunction((f, before) => !f.querySelector(".where").textContent.includes(`slice ${before} of`), { timeout: 20_000 }, figure, first);
        assert.equal(await number(), first + 1);
        assert.notEqual(await pixels(canvas), picture);
        await canvas.focus();
        await press(page, "ArrowDown");
        assert.equal(await number(), first);
        assert.equal(await pixels(canvas), picture);
        await (await figure.$("input[type=range]")).focus();
        await press(page, "Home");
        assert.equal(await number(), 1);
        await canvas.focus();
        await press(page, "End");
        assert.match(await words(), new RegExp(`slice (\\d+) of \\1:`));
        await press(page, "ArrowUp");
        assert.match(await words(), new RegExp(`slice (\\d+) of \\1:`));   // no farther than the last
        assert.match(await figure.$eval(".shown", (s) => s.textContent), /Black .* white .*Slices shown \d+\.\d mm apart/);
        assert.match(await canvas.evaluate((c) => c.ariaLabel ?? c.getAttribute("aria-label")), /Left border [RLAPSI]+, right [RLAPSI]+, top [RLAPSI]+, bottom [RLAPSI]+/);

        // On the slice first shown, outlines make a difference exactly where there is an element.
        const { page: anew } = await opened(name);
        const again = await anew.$("figure.slices"), fresh = await again.$("canvas"), box = await again.$("input[type=checkbox]"), on = await pixels(fresh);
        await box.click();
        const off = await pixels(fresh);
        if (with_element.includes(name)) assert.notEqual(off, on);
        else assert.equal(off, on);
        await fresh.focus();
        await press(anew, "o");
        assert.equal(await box.evaluate((b) => b.checked), true);
        assert.equal(await pixels(fresh), on);

        // Every series shows something and says so.
        const choices = await again.$$eval("option", (all) => all.map((o) => [o.value, o.textContent])), seen = new Set();
        assert.equal(choices.length, report_of(name).timepoints[0].series.filter((s) => s.used).length);
        for (const [value, label] of choices) {
            await again.$eval("select", (s, v) => { s.value = v; s.dispatchEvent(new Event("change")); }, value);
            assert.ok((await again.$eval(".where", (p) => p.textContent)).startsWith(label));
            seen.add(await pixels(fresh));
        }
        assert.equal(seen.size, choices.length);
        await page.close();
        await anew.close();
    });
}

for (const name of with_element) {
    test(`${name}: a clock hour is picked by pointer on either map and by keys, and shows the numbers of report.json`, async () => {
        const { page } = await opened(name);
        const { element } = operated(name), figure = await page.$("figure.clock"), [examiner, surgeon] = await figure.$$("svg.map");
        assert.equal((await page.$$("figure.clock")).length, 1);
        const box = async (map) => { await map.scrollIntoView(); return map.boundingBox(); };
        // 6 o'clock is below for an examiner and on top for a surgeon at the head; 3 o'clock is on the right for the one and on the left for the other.
        for (const [map, across, down, hour] of [[examiner, 0.5, 0.85, "6.0"], [examiner, 0.85, 0.5, "3.0"], [surgeon, 0.5, 0.15, "6.0"], [surgeon, 0.15, 0.5, "3.0"]]) {
            const { x, y, width, height } = await box(map);
            await page.mouse.click(x + across * width, y + down * height);
            assert.equal(await shown_hour(figure), hour);
        }
        await examiner.evaluate((map) => map.focus());
        await press(page, "Home");
        assert.equal(await shown_hour(figure), "0.0");
        // The page rounds to 0.1 mm, the file to 0.01 mm.
        const agrees = (text, pattern, quantity) => assert.ok(Math.abs(Number(pattern.exec(text)?.[1]) - quantity.value) <= 0.0551, `${quantity.value} is not in: ${text}`);
        let measured = 0;
        for (let half = 0; half < 24; ++half) {
            const words = await shown_words(figure), section = element.sections.find((s) => Math.abs(s.clock_hour - half / 2) < 0.25);
            if (section) {
                ++measured;
                agrees(words, /width along the sclera (\d+\.\d) mm/, section.width_mm);
                agrees(words, /thickness \(outward\) (\d+\.\d) mm/, section.thickness_mm);
                const drawn = await figure.evaluate((f) => [...f.querySelectorAll(".hour:not([hidden]) svg text")].map((t) => t.textContent).filter((t) => /^\d+\.\d mm$/.test(t)));
                assert.equal(drawn.length, 2);
                agrees(drawn[0], /(\d+\.\d) mm/, section.width_mm);
                agrees(drawn[1], /(\d+\.\d) mm/, section.thickness_mm);
            } else {
                assert.match(words, /no section at this hour|no section was measured here/);
            }
            await press(page, "ArrowRight");
        }
        assert.equal(measured, element.sections.length);
        assert.equal(await shown_hour(figure), "0.0");   // twelve hours on
        await press(page, "ArrowLeft");
        assert.equal(await shown_hour(figure), "11.5");
        assert.match(await surgeon.evaluate((m) => m.getAttribute("aria-valuetext")), /11½ o'clock/);
        await page.close();
    });

    test(`${name}: the element on the map lies where the synthesised one was put`, async () => {
        const { page } = await opened(name);
        const { side, element } = operated(name), truth = JSON.parse(readFileSync(join(folder(name) + "-images", "truth.json"), "utf8"));
        const { limbus_mm } = truth.timepoints[0].elements[0];
        // The map's unit is a millimetre: its inner circle is the limbus, of radius 5.9 mm.
        const place = await page.$eval("figure.clock svg.map > path[fill^='url']", (path) => {
            const n = 400, total = path.getTotalLength(), arcs = [];
            for (let k = 0; k < n; ++k) { const p = path.getPointAtLength(total * k / n); arcs.push(Math.hypot(p.x, p.y) - 5.9); }
            arcs.sort((a, b) => a - b);
            return { low: arcs[n * 0.25], high: arcs[n * 0.75] };
        });
        // Half of its edge lies near the front and half near the rear edge; their middle is free of how far the blur moves both. It is where report.json puts it.
        // Slices are up to 3 mm apart.
        const shown = (place.low + place.high) / 2, middle = (limbus_mm.anterior + limbus_mm.posterior) / 2, { anterior, posterior } = element.limbus_mm;
        assert.ok(Math.abs(shown - (anterior.value + posterior.value) / 2) < 0.5, `${JSON.stringify(place)} against ${JSON.stringify(element.limbus_mm)}`);
        assert.ok(Math.abs(shown - middle) < 1.5, `${JSON.stringify(place)} against ${JSON.stringify(limbus_mm)}`);
        assert.match(await page.$eval("figure.clock h3", (h) => h.textContent), new RegExp(`^${side} eye`, "i"));
        await page.close();
    });

    test(`${name}: the eye in space is drawn, and turned by keys, pointer and buttons`, async () => {
        const { page } = await opened(name);
        const figure = await page.$("figure.scene"), canvas = await figure.$("canvas"), views = new Set([await pixels(canvas)]);
        const shares = await canvas.evaluate((c) => {
            const copy = document.createElement("canvas");
            copy.width = copy.height = 260;
            const pen = copy.getContext("2d");
            pen.drawImage(c, 0, 0, 260, 260);
            const { data } = pen.getImageData(0, 0, 260, 260);
            let white = 0, dark = 0;
            for (let k = 0; k < data.length; k += 4) { white += data[k] > 250; dark += data[k] < 120; }
            return { white: white / 67600, dark: dark / 67600 };
        });
        assert.ok(shares.white > 0.2 && shares.white < 0.95 && shares.dark > 0.01, JSON.stringify(shares));
        await canvas.scrollIntoView();
        await canvas.focus();
        for (const key of ["ArrowLeft", "ArrowUp", "ArrowLeft", "ArrowUp"]) {
            await press(page, key);
            views.add(await pixels(canvas));
        }
        const { x, y, width, height } = await canvas.boundingBox();
        await page.mouse.move(x + width / 2, y + height / 2);
        await page.mouse.down();
        await page.mouse.move(x + width / 2 + 70, y + height / 2 + 20, { steps: 4 });
        await page.mouse.up();
        views.add(await pixels(canvas));
        assert.equal(views.size, 6);
        // The surgeon's view is the examiner's upside down: corner by corner the same picture turned by half a circle.
        const view = async (value) => { await (await figure.$(`button[value=${value}]`)).click(); return canvas.evaluate((c) => {
            const copy = document.createElement("canvas");
            copy.width = copy.height = 130;
            const pen = copy.getContext("2d");
            pen.drawImage(c, 0, 0, 130, 130);
            return [...pen.getImageData(0, 0, 130, 130).data].filter((_, k) => k % 4 === 0);
        }); };
        const front = await view("examiner"), turned = (await view("surgeon")).reverse(), behind = await view("behind");
        const apart = (a, b) => a.reduce((sum, v, k) => sum + Math.abs(v - b[k]), 0) / a.length;
        assert.ok(apart(front, turned) < 2, `${apart(front, turned)} grey levels apart`);
        assert.ok(apart(front, behind) > 4);
        await page.close();
    });

    test(`${name}: without WebGL a sentence stands in its place`, async () => {
        const plain = await open_browser(without_drawing);
        const { page, words } = await open_page(plain.browser, page_of(name));
        assert.equal(await page.$eval("figure.scene canvas", (c) => c.getClientRects().length), 0);
        assert.match(await page.$eval("figure.scene", (f) => f.innerText), /cannot draw the eye in space/);
        assert.deepEqual(words.filter((w) => w.startsWith("error")), []);
        await plain.close();
    });
}

test("nothing found: no map, and no eye in space", async () => {
    const { page } = await opened("nothing");
    assert.equal((await page.$$("figure.clock, figure.scene")).length, 0);
    await page.close();
});

test("the same images give the same page, and all outputs of a visit take no more than 15 MB", () => {
    const again = folder("again");
    execFileSync(program, ["identify", folder("hydrogel") + "-images", "--out", again, "--quiet", "--threads", "1"], { stdio: "ignore" });
    assert.ok(readFileSync(join(again, "report.html")).equals(readFileSync(page_of("hydrogel"))));
    const size = (path) => statSync(path).isDirectory() ? readdirSync(path).reduce((sum, name) => sum + size(join(path, name)), 0) : statSync(path).size;
    assert.ok(existsSync(join(again, "report.pdf")));
    assert.ok(size(again) < 15e6);
});
