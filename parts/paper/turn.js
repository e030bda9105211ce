// Solids that turn: drag to turn, two fingers or shift to move, pinch or wheel to zoom.
// `host` holds what is shown without WebGL; it is left alone where there is none.
"use strict";
function turn(host, data, chooser) {
  const canvas = document.createElement("canvas");
  const gl = canvas.getContext("webgl2", { antialias: true, preserveDrawingBuffer: true });
  if (!gl) return false;
  canvas.tabIndex = 0;
  canvas.setAttribute("aria-label", "the part in 3D; arrow keys turn it");
  const program = (vertex, fragment) => {
    const made = gl.createProgram();
    for (const [kind, text] of [[gl.VERTEX_SHADER, vertex], [gl.FRAGMENT_SHADER, fragment]]) {
      const shader = gl.createShader(kind);
      gl.shaderSource(shader, "#version 300 es\nprecision highp float;\n" + text);
      gl.compileShader(shader);
      gl.attachShader(made, shader);
    }
    ["point", "normal"].forEach((name, k) => gl.bindAttribLocation(made, k, name));
    gl.linkProgram(made);
    if (!gl.getProgramParameter(made, gl.LINK_STATUS)) throw new Error(gl.getProgramInfoLog(made));
    return { made, at: (name) => gl.getUniformLocation(made, name) };
  };
  const place = `in vec3 point; uniform mat3 view; uniform vec3 middle; uniform vec4 scale;
    vec4 placed() { vec3 p = view * (point - middle) * scale.xyz; return vec4(p.xy, -p.z, 1.); }`;
  const faces = program(
    place + "in vec3 normal; out vec3 n; void main() { n = view * normal; gl_Position = placed(); }",
    `in vec3 n; out vec4 colour; void main() {
      float light = dot(normalize(n), normalize(vec3(-.4, .7, .9)));
      colour = vec4(vec3(.80, .85, .89) * (.62 + .38 * max(light, 0.) + .1 * min(light, 0.)), 1.); }`);
  const lines = program(
    place + "void main() { gl_Position = placed() - vec4(0., 0., 5e-4, 0.); }",
    "uniform float grey; out vec4 colour; void main() { colour = vec4(vec3(grey), 1.); }");
  const bytes = (text) => Uint8Array.from(atob(text), (c) => c.charCodeAt(0)).buffer;
  const buffer = (kind, text) => {
    const made = gl.createBuffer();
    gl.bindBuffer(kind, made);
    gl.bufferData(kind, bytes(text), gl.STATIC_DRAW);
    return made;
  };
  [["points", gl.SHORT, false], ["normals", gl.BYTE, true]].forEach(([name, type, unit], k) => {
    buffer(gl.ARRAY_BUFFER, data[name]);
    gl.enableVertexAttribArray(k);
    gl.vertexAttribPointer(k, 3, type, unit, 0, 0);
  });
  const runs = ["triangles", "edges", "seams"].map((name) => buffer(gl.ELEMENT_ARRAY_BUFFER, data[name]));
  const [size, type] = data.wide ? [4, gl.UNSIGNED_INT] : [2, gl.UNSIGNED_SHORT];
  let seen, yaw, pitch, zoom, shift, asked = false;
  const choose = () => {
    seen = data.views[chooser ? chooser.value : 0];
    [yaw, pitch, zoom, shift] = [seen.yaw, 0.6155, 1, [0, 0, 0]];
    redraw();
  };
  const axes = () => {
    const [a, b, c, d] = [Math.cos(yaw), Math.sin(yaw), Math.cos(pitch), Math.sin(pitch)];
    return [[-b, a, 0], [-d * a, -d * b, c], [c * a, c * b, d]]; // right, up, toward the reader
  };
  const draw = () => {
    asked = false;
    const fine = Math.min(window.devicePixelRatio || 1, 2);
    const [wide, high] = [canvas.clientWidth, canvas.clientHeight];
    if (!wide || !high) return;
    [canvas.width, canvas.height] = [wide * fine, high * fine];
    gl.viewport(0, 0, canvas.width, canvas.height);
    gl.clearColor(1, 1, 1, 1);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    gl.enable(gl.DEPTH_TEST);
    const [r, u, t] = axes(), k = (0.94 * zoom) / seen.reach, m = Math.min(wide, high);
    const each = (shader, run, first, count, mode, grey) => {
      gl.useProgram(shader.made);
      gl.uniformMatrix3fv(shader.at("view"), false, r.flatMap((_, i) => [r[i], u[i], t[i]]));
      gl.uniform3fv(shader.at("middle"), seen.middle.map((v, i) => v - shift[i]));
      gl.uniform4f(shader.at("scale"), (k * m) / wide, (k * m) / high, 0.3 / seen.reach, 1);
      if (grey) gl.uniform1f(shader.at("grey"), grey);
      gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, runs[run]);
      gl.drawElements(mode, count, type, first * size);
    };
    for (const solid of seen.solids.map((number) => data.solids[number])) {
      each(faces, 0, 3 * solid[0][0], 3 * solid[0][1], gl.TRIANGLES);
      each(lines, 1, 2 * solid[1][0], 2 * solid[1][1], gl.LINES, 0.13);
      each(lines, 2, 2 * solid[2][0], 2 * solid[2][1], gl.LINES, 0.55);
    }
  };
  const redraw = () => { if (!asked) { asked = true; requestAnimationFrame(draw); } };
  const turned = (dx, dy) => {
    yaw -= 0.01 * dx;
    pitch = Math.max(-1.57, Math.min(1.57, pitch + 0.01 * dy));
  };
  const moved = (dx, dy) => {
    const [r, u] = axes(), k = seen.reach / (0.47 * zoom * Math.min(canvas.clientWidth, canvas.clientHeight));
    shift = shift.map((v, i) => v + k * (dx * r[i] - dy * u[i]));
  };
  const zoomed = (by) => { zoom = Math.max(0.3, Math.min(30, zoom * by)); };
  const fingers = new Map();
  canvas.onpointerdown = (e) => { canvas.setPointerCapture(e.pointerId); fingers.set(e.pointerId, e); };
  canvas.onpointerup = canvas.onpointercancel = (e) => fingers.delete(e.pointerId);
  canvas.onpointermove = (e) => {
    const before = fingers.get(e.pointerId);
    if (!before) return;
    const [dx, dy] = [e.clientX - before.clientX, e.clientY - before.clientY];
    const other = [...fingers.values()].find((one) => one.pointerId !== e.pointerId);
    const far = (one) => Math.hypot(one.clientX - other.clientX, one.clientY - other.clientY);
    if (other) { moved(dx / 2, dy / 2); zoomed(far(e) / Math.max(far(before), 1)); }
    else if (e.shiftKey || e.buttons === 2) moved(dx, dy);
    else turned(dx, dy);
    fingers.set(e.pointerId, e);
    redraw();
  };
  canvas.onwheel = (e) => { // only once it was pressed: the page scrolls past it otherwise
    if (document.activeElement !== canvas) return;
    e.preventDefault();
    zoomed(Math.exp(-0.001 * e.deltaY));
    redraw();
  };
  canvas.onkeydown = (e) => {
    const way = { ArrowLeft: [-15, 0], ArrowRight: [15, 0], ArrowUp: [0, -15], ArrowDown: [0, 15] }[e.key];
    if (way) turned(...way);
    else if (e.key === "+" || e.key === "-") zoomed(e.key === "+" ? 1.25 : 0.8);
    else return;
    e.preventDefault();
    redraw();
  };
  canvas.oncontextmenu = (e) => e.preventDefault();
  canvas.ondblclick = choose;
  canvas.addEventListener("webglcontextlost", () => host.classList.remove("turns"));
  if (chooser) chooser.onchange = choose;
  host.append(canvas);
  host.classList.add("turns");
  new ResizeObserver(redraw).observe(canvas);
  choose();
  return true;
}
