// SPDX-License-Identifier: Apache-2.0
// A headless browser under test: started here, driven by puppeteer-core through a pipe, and ended. Everything it fetches and every word on its console is kept.
import { spawn } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

// Hidden from the process it runs in, the driver takes itself to be in a browser and asks for no other package.
const driver = readFileSync(join(process.env.PERISCLERA_BROWSER_DRIVER, "lib/es5-iife/puppeteer-core-browser.js"), "utf8");
const { Puppeteer } = new Function("process", driver + "; return { Puppeteer: Puppeteer.default ?? Puppeteer };")(undefined);

/** Messages to and from the browser, each ended by a zero byte. */
function transport_of(child) {
    const [, , , to, from] = child.stdio, transport = { send: (message) => to.write(message + "\0"), close: () => to.end() };
    let parts = [];
    from.on("data", (bytes) => {
        for (let end = bytes.indexOf(0); end >= 0; end = bytes.indexOf(0)) {
            transport.onmessage?.(Buffer.concat([...parts, bytes.subarray(0, end)]).toString("utf8"));
            parts = [];
            bytes = bytes.subarray(end + 1);
        }
        parts.push(bytes);
    });
    child.on("exit", () => transport.onclose?.());
    return transport;
}

/** WebGL by software, so that no graphics card is needed. */
export const drawing = ["--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"];
export const without_drawing = ["--disable-3d-apis"];

export async function open_browser(options = drawing) {
    const profile = mkdtempSync(join(tmpdir(), "perisclera-page-"));
    const child = spawn("chromium", ["--headless=new", "--no-sandbox", "--no-first-run", "--disable-extensions", "--disable-background-networking", "--disable-component-update", "--disable-sync",
                                     "--remote-debugging-pipe", `--user-data-dir=${profile}`, ...options, "about:blank"], { stdio: ["ignore", "ignore", "ignore", "pipe", "pipe"] });
    const failed = new Promise((_, fail) => child.on("error", fail));   // no such program
    const browser = await Promise.race([failed, Puppeteer.connect({ transport: transport_of(child), protocolTimeout: 600_000 })]);
    const close = async () => {
        const ended = new Promise((done) => child.once("exit", done));
        await browser.close();
        await ended;
        rmSync(profile, { recursive: true, force: true, maxRetries: 10 });
    };
    return { browser, close };
}

/** A page with what it asked for and said. */
export async function open_page(browser, file, { width = 1100, scripts = true } = {}) {
    const page = await browser.newPage();
    const requests = [], words = [];
    page.on("request", (request) => requests.push(request.url()));
    page.on("console", (message) => words.push(`${message.type()}: ${message.text()}`));
    page.on("pageerror", (error) => words.push(`error: ${error.message}`));
    await page.setJavaScriptEnabled(scripts);
    await page.setViewport({ width, height: 900 });
    await page.goto("file://" + file, { waitUntil: "load", timeout: 120_000 });
    if (scripts) await page.waitForFunction(() => [...document.querySelectorAll("figure.slices")].every((f) => f.querySelector(".where").textContent), { timeout: 120_000 });
    return { page, requests, words };
}
