// SPDX-License-Identifier: Apache-2.0
// The eye in space: globe, elements and muscles, turned by pointer or keyboard. Without WebGL a sentence says so.
"use strict";
for (const figure of document.querySelectorAll("figure.scene")) {
    const scene = JSON.parse(figure.querySelector("script").textContent), canvas = figure.querySelector("canvas");
    const gl = canvas.getContext("webgl", { antialias: true, preserveDrawingBuffer: true });   // kept, so that it can be printed
    figure.hidden = false;
    if (!gl) {
        figure.querySelector(".stage").hidden = figure.querySelector(".controls").hidden = true;
        figure.querySelector(".without").hidden = false;
        continue;
    }
    const regl = createREGL({ gl });
    const bytes = (text) => Uint8Array.from(atob(text), (c) => c.charCodeAt(0)).buffer;

    /** Corner positions in mm, and normals as the mean of the triangles that meet there. */
    const mesh = (part) => {
        const at = Float32Array.from(new Int16Array(bytes(part.corners)), (v) => v / 100), corners = new Uint16Array(bytes(part.triangles));
        const normal = new Float32Array(at.length);
        for (let t = 0; t < corners.length; t += 3) {
            const [a, b, c] = [corners[t] * 3, corners[t + 1] * 3, corners[t + 2] * 3];
            const u = [at[b] - at[a], at[b + 1] - at[a + 1], at[b + 2] - at[a + 2]], v = [at[c] - at[a], at[c + 1] - at[a + 1], at[c + 2] - at[a + 2]];
            const n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
            for (const k of [a, b, c]) for (let i = 0; i < 3; ++i) normal[k + i] += n[i];
        }
        return { position: regl.buffer(at), normal: regl.buffer(normal), elements: regl.elements(corners) };
    };
    const draw = regl({
        vert: `precision highp float; attribute vec3 position, normal; uniform mat3 turn; uniform vec2 shape; varying vec3 n, p;
               void main() { p = position; n = turn * normal; vec3 q = turn * position; gl_Position = vec4(q.xy * shape, -q.z / 80.0, 1.0); }`,
        frag: `precision highp float; varying vec3 n, p; uniform float lightness, opacity; uniform bool ruled;
               void main() {
                   float light = lightness * (0.3 + 0.7 * max(0.0, normalize(n).z));
                   if (ruled) {
                       // Meridians at the clock hours and the equator.
                       float hour = atan(p.x, p.y) * 6.0 / 3.14159265, off = abs(hour - floor(hour + 0.5)) * 3.14159265 / 6.0 * length(p.xy);
                       if (off < 0.09 || abs(p.z) < 0.16) light *= 0.55;
                   }
                   gl_FragColor = vec4(vec3(light), opacity); }`,
        attributes: { position: (_, m) => m.position, normal: (_, m) => m.normal },
        elements: (_, m) => m.elements,
        uniforms: { turn: (_, m) => m.turn, shape: (_, m) => m.shape, lightness: (_, m) => m.lightness, opacity: (_, m) => m.opacity, ruled: (_, m) => m.ruled},
        cull: { enable: true, face: "back" },
        blend: { enable: true, func: { src: "src alpha", dst: "one minus src alpha" } },
    });
    /** A disc across the limbus stands for the cornea, which is not measured. */
    const disc = ([radius, forward]) => {
        const rim = [...Array(48).keys()].map((k) => [radius * Math.cos(k * Math.PI / 24), radius * Math.sin(k * Math.PI / 24), forward]);
        return { position: [[0, 0, forward], ...rim], normal: Array(49).fill([0, 0, 1]), elements: rim.map((_, k) => [0, k + 1, (k + 1) % 48 + 1]) };
    };
    const parts = scene.parts.map((part) => ({ ...mesh(part), ...part.look }));
    parts.push({ ...disc(scene.limbus), ...scene.cornea });

    const labels = scene.labels.map(([text, x, y, z]) => {
        const label = document.createElement("span");
        label.textContent = text;
        figure.querySelector(".stage").append(label);
        return { label, at: [x, y, z] };
    });
    let yaw = 0, pitch = 0, roll = 0;
    const show = () => {
        const [a, b, c, d, e, f] = [Math.cos(yaw), Math.sin(yaw), Math.cos(pitch), Math.sin(pitch), Math.cos(roll), Math.sin(roll)];
        // Rows of the rotation: roll about the eye's axis, then yaw about the upright, then pitch.
        const rows = [[a * e, -a * f, b], [c * f + d * b * e, c * e - d * b * f, -d * a], [d * f - c * b * e, d * e + c * b * f, c * a]];
        const turn = [0, 1, 2].flatMap((k) => rows.map((row) => row[k]));
        regl.poll();
        regl.clear({ color: [1, 1, 1, 1], depth: 1 });
        const half = scene.half;
        for (const part of parts) draw({ ...part, turn, shape: [1 / half, 1 / half] });
        for (const { label, at } of labels) {
            const [x, y, z] = rows.map((row) => row[0] * at[0] + row[1] * at[1] + row[2] * at[2]);
            label.hidden = z < 0;
            label.style.left = `${50 + 50 * x / half}%`;
            label.style.top = `${50 - 50 * y / half}%`;
        }
        canvas.dataset.view = [yaw, pitch, roll].map((v) => Math.round(v * 180 / Math.PI)).join(" ");
    };
    const towards = (x, y, z) => { yaw = -Math.atan2(x, z); pitch = Math.atan2(y, Math.hypot(x, z)); roll = 0; show(); };
    const views = { examiner: () => towards(0, 0, 1), surgeon: () => { yaw = pitch = 0; roll = Math.PI; show(); }, element: () => towards(...scene.towards), behind: () => towards(0, 0, -1) };
    for (const button of figure.querySelectorAll("button")) button.addEventListener("click", views[button.value]);
    const step = Math.PI / 18;
    canvas.addEventListener("keydown", (event) => {
        if (event.key === "ArrowLeft") yaw -= step;
        else if (event.key === "ArrowRight") yaw += step;
        else if (event.key === "ArrowUp") pitch -= step;
        else if (event.key === "ArrowDown") pitch += step;
        else if (event.key === "Home") views.element();
        else return;
        event.preventDefault();
        show();
    });
    canvas.addEventListener("pointerdown", (event) => canvas.setPointerCapture(event.pointerId));
    canvas.addEventListener("pointermove", (event) => {
        if (!event.buttons) return;
        yaw += event.movementX / 120;
        pitch += event.movementY / 120;
        show();
    });
    views.element();
}
