// SPDX-License-Identifier: Apache-2.0
// Picking a clock hour on the round maps: by pointer anywhere on a map, or by keyboard as on a slider.
"use strict";
for (const figure of document.querySelectorAll("figure.clock")) {
    const maps = [...figure.querySelectorAll("svg.map")], panels = [...figure.querySelectorAll(".hour")];
    let hour = Number(figure.dataset.hour);

    const show = (wanted) => {
        hour = ((Math.round(wanted * 2) / 2) % 12 + 12) % 12;
        figure.dataset.hour = hour;
        for (const panel of panels) panel.hidden = Number(panel.dataset.hour) !== hour;
        const words = panels.find((panel) => !panel.hidden).querySelector("div").textContent;
        for (const map of maps) {
            const pointer = map.querySelector(".pointer");
            pointer.setAttribute("transform", `rotate(${hour * 30 + Number(pointer.dataset.turn)})`);
            map.setAttribute("aria-valuenow", hour);
            map.setAttribute("aria-valuetext", words);
        }
    };
    const pick = (map, event) => {
        const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(map.getScreenCTM().inverse());
        show((Math.atan2(at.x, -at.y) * 180 / Math.PI - Number(map.querySelector(".pointer").dataset.turn)) / 30);
    };
    const keys = { ArrowRight: 0.5, ArrowUp: 0.5, ArrowLeft: -0.5, ArrowDown: -0.5, PageUp: 3, PageDown: -3 };
    for (const map of maps) {
        map.tabIndex = 0;
        map.setAttribute("role", "slider");
        map.setAttribute("aria-valuemin", 0);
        map.setAttribute("aria-valuemax", 11.5);
        map.addEventListener("pointerdown", (event) => { map.setPointerCapture(event.pointerId); pick(map, event); });
        map.addEventListener("pointermove", (event) => { if (event.buttons) pick(map, event); });
        map.addEventListener("keydown", (event) => {
            if (event.key in keys) show(hour + keys[event.key]);
            else if (event.key === "Home") show(0);
            else return;
            event.preventDefault();
        });
    }
    figure.querySelector(".how").hidden = false;
    show(hour);
}
