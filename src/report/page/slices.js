// SPDX-License-Identifier: Apache-2.0
// Leafing through the slices of a series round an eye, with the elements' outlines on or off.
"use strict";
for (const figure of document.querySelectorAll("figure.slices")) {
    const stacks = JSON.parse(figure.querySelector("script").textContent), sheets = [...figure.querySelectorAll("img")];
    // Without the graphics card every drawing of a slice is the same to the pixel.
    const canvas = figure.querySelector("canvas"), pen = canvas.getContext("2d", { willReadFrequently: true });
    const series = figure.querySelector("select"), outlines = figure.querySelector("input[type=checkbox]"), slider = figure.querySelector("input[type=range]");
    const words = figure.querySelector(".where");
    let plane = "", offset = 0;

    const cased = (draw, width) => {
        pen.strokeStyle = "#000"; pen.lineWidth = width + 2.5; draw();
        pen.strokeStyle = "#fff"; pen.lineWidth = width; draw();
    };
    const write = (text, x, y, size, align) => {
        pen.font = `bold ${size}px "DejaVu Sans", Arial, sans-serif`;
        pen.textAlign = align; pen.textBaseline = "middle"; pen.lineJoin = "round"; pen.setLineDash([]);
        pen.strokeStyle = "#000"; pen.lineWidth = 5; pen.strokeText(text, x, y);
        pen.fillStyle = "#fff"; pen.fillText(text, x, y);
    };

    const draw = () => {
        const stack = stacks[series.value], n = Number(slider.value), slice = stack.slices[n];
        const scale = 720 / (stack.width * stack.across);          // canvas pixels per mm
        const sx = scale * stack.across, sy = scale * stack.down;
        canvas.width = 720; canvas.height = Math.round(stack.height * sy);
        pen.imageSmoothingQuality = "high";
        const column = n % stack.columns, row = Math.floor(n / stack.columns);
        pen.drawImage(sheets[series.value], column * stack.width, row * stack.height, stack.width, stack.height, 0, 0, canvas.width, canvas.height);
        if (outlines.checked) {
            for (const [id, line, at] of slice.outlines) {
                const path = new Path2D(), placed = new DOMMatrix([sx, 0, 0, sy, sx / 2, sy / 2]);
                path.addPath(new Path2D(line), placed);
                pen.setLineDash(stack.brought ? [3, 5] : [9, 5]);
                cased(() => pen.stroke(path), 1.8);
                write(id, Math.min(690, at[0] * sx + 24), at[1] * sy, 18, "center");
            }
        }
        const [left, right, top, bottom] = stack.letters, middle = canvas.height / 2;
        write(left, 10, middle, 24, "left"); write(right, 710, middle, 24, "right");
        write(top, 360, 18, 24, "center"); write(bottom, 360, canvas.height - 18, 24, "center");
        write(stack.mark, 10, 18, 16, "left");
        const [bar_mm, bar_text] = stack.bar, bar = bar_mm * scale, y = canvas.height - 18;
        pen.setLineDash([]);
        cased(() => { pen.beginPath(); pen.moveTo(700 - bar, y - 6); pen.lineTo(700 - bar, y + 6); pen.moveTo(700 - bar, y); pen.lineTo(700, y); pen.moveTo(700, y - 6); pen.lineTo(700, y + 6); pen.stroke(); }, 2.5);
        write(bar_text, 700 - bar / 2, y - 18, 16, "center");
        words.textContent = slice.words;
        figure.querySelector(".shown").textContent = stack.note;
        canvas.setAttribute("aria-label", `${slice.words} ${stack.borders}`);
        slider.setAttribute("aria-valuetext", slice.words);
    };
    const go = (n) => {
        slider.value = n;
        ({ plane } = stacks[series.value]);
        ({ offset } = stacks[series.value].slices[Number(slider.value)]);
        draw();
    };
    const choose = () => {
        // Another series of the same plane goes on at the nearest place: offsets are counted from the globe's centre.
        const { slices, plane: now, start } = stacks[series.value];
        slider.max = slices.length - 1;
        let best = now === plane ? 0 : start;
        if (now === plane) slices.forEach((s, k) => { if (Math.abs(s.offset - offset) < Math.abs(slices[best].offset - offset)) best = k; });
        go(best);
    };
    series.addEventListener("change", choose);
    outlines.addEventListener("change", draw);
    slider.addEventListener("input", () => go(slider.value));
    canvas.addEventListener("wheel", (event) => {
        const to = Number(slider.value) + Math.sign(event.deltaY);
        if (to < 0 || to > Number(slider.max) || event.ctrlKey) return;   // at the end the page goes on scrolling
        event.preventDefault();
        go(to);
    }, { passive: false });
    canvas.addEventListener("keydown", (event) => {
        const steps = { ArrowUp: 1, ArrowRight: 1, ArrowDown: -1, ArrowLeft: -1, PageUp: 5, PageDown: -5, Home: -1e6, End: 1e6 };
        if (event.key in steps) go(Number(slider.value) + steps[event.key]);
        else if (event.key === "o") { outlines.checked = !outlines.checked; draw(); }
        else return;
        event.preventDefault();
    });
    figure.hidden = false;
    Promise.all(sheets.map((sheet) => sheet.decode())).then(choose);
}
