// The room to turn round: reads the bodies from the page, draws them with WebGL, and ties pieces to table rows.
"use strict";
(() => {
  const byId = (id) => document.getElementById(id);
  const canvas = byId("room-view");
  const gl = canvas.getContext("webgl2", { antialias: true, preserveDrawingBuffer: true });
  if (!gl) return; // the text under the canvas stays
  byId("viewer").classList.add("ready");

  // ---- shaders -------------------------------------------------------------------------------------------------
  // Face normals come from the screen derivatives of the position, so the data need not carry any.
  const program = link(
    `#version 300 es
    uniform mat4 camera; uniform vec3 eye, shift; uniform float nearer; in vec3 place; out vec3 at;
    void main() { at = place + shift; gl_Position = camera * vec4(mix(at, eye, nearer), 1.0); }`,
    `#version 300 es
    precision highp float;
    uniform vec4 colour; uniform vec3 window; uniform float shading; in vec3 at; out vec4 result;
    void main() {
      vec3 normal = normalize(cross(dFdx(at), dFdy(at)));
      float light = 0.68 + 0.34 * (0.5 + 0.5 * dot(normal, window));
      result = vec4(colour.rgb * mix(1.0, light, shading), colour.a);
    }`);
  const uniform = (name) => gl.getUniformLocation(program, name);
  const [atCamera, atEye, atShift, atNearer] = ["camera", "eye", "shift", "nearer"].map(uniform);
  const [atColour, atWindow, atShading] = ["colour", "window", "shading"].map(uniform);

  function link(vertexText, fragmentText) {
    const made = gl.createProgram();
    for (const [kind, text] of [[gl.VERTEX_SHADER, vertexText], [gl.FRAGMENT_SHADER, fragmentText]]) {
      const shader = gl.createShader(kind);
      gl.shaderSource(shader, text);
      gl.compileShader(shader);
      if (!gl.getShaderParameter(shader, gl.COMPILE_STATUS)) throw new Error(gl.getShaderInfoLog(shader));
      gl.attachShader(made, shader);
    }
    gl.bindAttribLocation(made, 0, "place");
    gl.linkProgram(made);
    return made;
  }

  // ---- bodies --------------------------------------------------------------------------------------------------
  const data = JSON.parse(byId("room-data").textContent);
  const SHELL = new Set(["wall", "floor", "ceiling"]); // seen only from within
  const bodies = data.bodies.map(load);
  const box = {
    low: [0, 1, 2].map((axis) => Math.min(...bodies.map((body) => body.low[axis]))),
    high: [0, 1, 2].map((axis) => Math.max(...bodies.map((body) => body.high[axis]))),
  };

  function bytes(text) {
    return Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0)).buffer;
  }

  function load(entry) {
    const steps = new Uint16Array(bytes(entry.places));
    const places = new Float32Array(steps.length);
    const low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity];
    for (let k = 0; k < steps.length; k++) {
      const axis = k % 3;
      places[k] = data.low[axis] + steps[k] * data.step;
      low[axis] = Math.min(low[axis], places[k]);
      high[axis] = Math.max(high[axis], places[k]);
    }
    const Indices = entry.wide ? Uint32Array : Uint16Array;
    const faces = new Indices(bytes(entry.faces)), lines = new Indices(bytes(entry.lines));
    return {
      ...entry,
      low,
      high,
      shell: SHELL.has(entry.kind),
      shown: true,
      indexType: entry.wide ? gl.UNSIGNED_INT : gl.UNSIGNED_SHORT,
      faceCount: faces.length,
      lineCount: lines.length,
      faceArray: arrays(places, faces),
      lineArray: arrays(places, lines),
    };
  }

  function arrays(places, indices) {
    const made = gl.createVertexArray();
    gl.bindVertexArray(made);
    gl.bindBuffer(gl.ARRAY_BUFFER, gl.createBuffer());
    gl.bufferData(gl.ARRAY_BUFFER, places, gl.STATIC_DRAW);
    gl.enableVertexAttribArray(0);
    gl.vertexAttribPointer(0, 3, gl.FLOAT, false, 0, 0);
    gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, gl.createBuffer());
    gl.bufferData(gl.ELEMENT_ARRAY_BUFFER, indices, gl.STATIC_DRAW);
    return made;
  }

  // ---- camera: a target, a distance, and two angles --------------------------------------------------------------
  const middle = box.low.map((low, k) => (low + box.high[k]) / 2);
  const radius = Math.hypot(...box.low.map((low, k) => box.high[k] - low)) / 2;
  // `field` is half the height of what is seen at distance one.
  const STARTS = {
    above: { turn: data.turn, lift: 0.6, distance: radius * 2.9, field: 0.36 },
    below: { turn: data.turn, lift: -0.55, distance: radius * 2.9, field: 0.36 },
    inside: { turn: data.turn, lift: -0.2, distance: radius * 0.62, field: 0.6 },
  };
  const camera = { ...STARTS.above, target: middle };
  const WIDE = 1.35; // width over height of the view for which the distances are meant
  let apart = 0;
  let chosen = "";
  let stage = null; // of the work: what is up, and what has just gone up; null for all
  let waiting = false;

  const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
  const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

  function frame() {
    const { turn, lift } = camera;
    const back = [Math.cos(lift) * Math.cos(turn), Math.cos(lift) * Math.sin(turn), Math.sin(lift)];
    const right = [-Math.sin(turn), Math.cos(turn), 0];
    const eye = camera.target.map((value, k) => value + back[k] * camera.distance);
    return { eye, back, right, up: cross(back, right) };
  }

  function cameraMatrix({ eye, back, right, up }) {
    const near = Math.max(20, camera.distance / 80), far = camera.distance + radius * 3;
    const y = 1 / camera.field, x = y * canvas.height / canvas.width;
    const depth = (near + far) / (near - far), shift = 2 * near * far / (near - far);
    const rows = [[...right, -dot(right, eye)], [...up, -dot(up, eye)], [...back, -dot(back, eye)]];
    const matrix = new Float32Array(16);
    for (let k = 0; k < 4; k++) {
      matrix[4 * k] = x * rows[0][k];
      matrix[4 * k + 1] = y * rows[1][k];
      matrix[4 * k + 2] = depth * rows[2][k] + (k === 3 ? shift : 0);
      matrix[4 * k + 3] = -rows[2][k];
    }
    return matrix;
  }

  // ---- drawing -------------------------------------------------------------------------------------------------
  function ask() {
    if (!waiting) requestAnimationFrame(draw);
    waiting = true;
  }

  function begin() {
    const eye = frame();
    gl.viewport(0, 0, canvas.width, canvas.height);
    gl.enable(gl.DEPTH_TEST);
    gl.useProgram(program);
    gl.uniformMatrix4fv(atCamera, false, cameraMatrix(eye));
    gl.uniform3fv(atEye, eye.eye);
    const { back, right, up } = eye;
    const window_ = back.map((value, k) => 0.55 * value - 0.7 * right[k] + 0.45 * up[k]);
    gl.uniform3fv(atWindow, window_.map((value) => value / Math.hypot(...window_)));
  }

  function faces(body, colour, shading) {
    gl.uniform1f(atNearer, 0);
    gl.uniform3f(atShift, 0, 0, -body.drop * apart);
    gl.uniform4fv(atColour, colour);
    gl.uniform1f(atShading, shading);
    if (body.shell) gl.enable(gl.CULL_FACE); else gl.disable(gl.CULL_FACE);
    gl.bindVertexArray(body.faceArray);
    gl.drawElements(gl.TRIANGLES, body.faceCount, body.indexType, 0);
  }

  // Lines are drawn a little nearer to the eye than they are, so that the faces they bound do not swallow them.
  function outlines(body, ink) {
    gl.uniform1f(atNearer, 0.0015);
    gl.uniform3f(atShift, 0, 0, -body.drop * apart);
    gl.uniform4fv(atColour, ink);
    gl.uniform1f(atShading, 0);
    gl.bindVertexArray(body.lineArray);
    gl.drawElements(gl.LINES, body.lineCount, body.indexType, 0);
  }

  function styleColour(name, property) {
    const parts = getComputedStyle(name)[property].match(/[\d.]+/g).map(Number);
    return parts.slice(0, 3).map((part) => part / 255);
  }

  function draw() {
    waiting = false;
    fit();
    begin();
    gl.clearColor(...styleColour(canvas, "backgroundColor"), 1);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    const visible = bodies.filter(seen);
    for (const body of visible) {
      const picked = chosen && body.piece === chosen, fresh = stage?.fresh.has(body.piece);
      const own = [...body.colour.map((part) => part / 255), 1];
      faces(body, picked ? [0.95, 0.62, 0.1, 1] : fresh ? [0.16, 0.45, 0.72, 1] : own, 1);
    }
    gl.enable(gl.BLEND);
    gl.blendFunc(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA);
    for (const body of visible) outlines(body, [0.15, 0.15, 0.15, body.kind === "trim" ? 0.75 : 0.3]);
    gl.disable(gl.BLEND);
  }

  function seen(body) {
    return body.shown && !(stage && body.piece && !stage.up.has(body.piece));
  }

  function fit() {
    const scale = Math.min(2, window.devicePixelRatio || 1);
    const width = Math.max(1, Math.round(canvas.clientWidth * scale));
    const height = Math.max(1, Math.round(canvas.clientHeight * scale));
    if (canvas.width !== width || canvas.height !== height) Object.assign(canvas, { width, height });
  }

  // ---- picking: each body drawn in its own number's colour, and one pixel read back ------------------------------
  function bodyAt(clientX, clientY) {
    const place = canvas.getBoundingClientRect();
    const x = Math.floor((clientX - place.left) * canvas.width / place.width);
    const y = canvas.height - 1 - Math.floor((clientY - place.top) * canvas.height / place.height);
    const pixel = new Uint8Array(4);
    begin();
    gl.clearColor(0, 0, 0, 1);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    bodies.forEach((body, k) => {
      const number = k + 1;
      if (seen(body)) faces(body, [(number & 255) / 255, ((number >> 8) & 255) / 255, (number >> 16) / 255, 1], 0);
    });
    gl.readPixels(x, y, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, pixel);
    ask();
    return bodies[pixel[0] + 256 * pixel[1] + 65536 * pixel[2] - 1];
  }

  function choose(piece, fromTable) {
    chosen = piece;
    const body = bodies.find((one) => piece && one.piece === piece);
    byId("room-picked").textContent = body ? body.text : "Pick a piece in the view or in a table.";
    const rows = [...document.querySelectorAll("tr[data-piece]")];
    for (const row of rows) row.classList.toggle("chosen", piece !== "" && row.dataset.piece === piece);
    byId("room-cards").replaceChildren(...(body ? body.cuts.map(card) : []));
    if (body && fromTable) lookAt(body);
    ask();
  }

  // ---- cutting cards: each is cut out of the picture of its sheet --------------------------------------------------
  const sheets = JSON.parse(byId("room-card-sheets").textContent);

  function card([title, number, left, top, width, height]) {
    const sheet = sheets[number];
    sheet.href ??= URL.createObjectURL(new Blob([sheet.svg], { type: "image/svg+xml" }));
    const frame = document.createElement("div"), image = document.createElement("img");
    image.src = sheet.href;
    image.alt = title;
    image.addEventListener("load", () => {
      frame.style.aspectRatio = `${width * image.naturalWidth} / ${height * image.naturalHeight}`;
    });
    const part = (value) => `${100 * value}%`;
    Object.assign(image.style, { width: part(1 / width), left: part(-left / width), top: part(-top / height) });
    frame.append(image);
    return frame;
  }

  // Face a piece from the room, a little from below; walls in between are seen from behind and so not drawn.
  function lookAt(body) {
    const [x, y] = body.inward;
    if (!x && !y) return;
    const size = Math.hypot(...body.low.map((low, k) => body.high[k] - low));
    const target = body.low.map((low, k) => (low + body.high[k]) / 2 - (k === 2 ? body.drop * apart : 0));
    goTo({ turn: Math.atan2(y, x) - 0.3, lift: -0.3, distance: Math.max(1200, size * 1.1), field: 0.36 }, target);
  }

  // ---- turning, moving, zooming ----------------------------------------------------------------------------------
  function turn(across, down) {
    camera.turn -= across * 0.006;
    camera.lift = Math.max(-1.5, Math.min(1.5, camera.lift + down * 0.006));
    ask();
  }

  function move(across, down) {
    const { right, up } = frame();
    const size = 2 * camera.field * camera.distance / canvas.clientHeight;
    camera.target = camera.target.map((value, k) => value + (up[k] * down - right[k] * across) * size);
    ask();
  }

  function zoom(factor) {
    camera.distance = Math.max(radius * 0.03, Math.min(radius * 9, camera.distance * factor));
    ask();
  }

  const fingers = new Map();
  let travelled = 0;
  canvas.addEventListener("pointerdown", (event) => {
    fingers.set(event.pointerId, event);
    if (fingers.size === 1) travelled = 0;
    canvas.setPointerCapture(event.pointerId);
  });
  canvas.addEventListener("pointermove", (event) => {
    const before = fingers.get(event.pointerId);
    if (!before) return;
    const across = event.clientX - before.clientX, down = event.clientY - before.clientY;
    travelled += Math.abs(across) + Math.abs(down);
    if (fingers.size === 2) {
      const [other] = [...fingers.values()].filter((finger) => finger.pointerId !== event.pointerId);
      const gap = (finger) => Math.max(1, Math.hypot(finger.clientX - other.clientX, finger.clientY - other.clientY));
      zoom(gap(before) / gap(event));
      move(across / 2, down / 2);
    } else if (event.shiftKey || event.buttons === 4) move(across, down);
    else turn(across, down);
    fingers.set(event.pointerId, event);
  });
  canvas.addEventListener("pointerup", (event) => {
    const alone = fingers.size === 1;
    fingers.delete(event.pointerId);
    if (alone && travelled < 5) choose(bodyAt(event.clientX, event.clientY)?.piece || "", false);
  });
  canvas.addEventListener("pointercancel", (event) => fingers.delete(event.pointerId));
  canvas.addEventListener("wheel", (event) => {
    event.preventDefault();
    zoom(Math.exp(event.deltaY * (event.deltaMode ? 0.04 : 0.0012)));
  }, { passive: false });
  const ARROWS = { ArrowLeft: [-20, 0], ArrowRight: [20, 0], ArrowUp: [0, -20], ArrowDown: [0, 20] };
  canvas.addEventListener("keydown", (event) => {
    const arrow = ARROWS[event.key];
    if (arrow) (event.shiftKey ? move : turn)(...arrow);
    else if (event.key === "+" || event.key === "=") zoom(0.9);
    else if (event.key === "-") zoom(1.1);
    else if (event.key === "Escape") choose("", false);
    else return;
    event.preventDefault();
  });

  function goTo(start, target = middle) {
    const narrow = start.field < 0.5 ? Math.max(1, WIDE * canvas.clientHeight / canvas.clientWidth) : 1;
    Object.assign(camera, start, { target, distance: start.distance * narrow });
    ask();
  }

  // ---- the controls and the tables -------------------------------------------------------------------------------
  for (const switch_ of document.querySelectorAll("input[data-trim]")) {
    switch_.addEventListener("change", () => {
      for (const body of bodies) if (body.trim === switch_.dataset.trim) body.shown = switch_.checked;
      ask();
    });
  }
  byId("room-apart").addEventListener("input", (event) => {
    apart = Number(event.target.value);
    ask();
  });
  for (const [name, start] of Object.entries(STARTS)) {
    byId(`room-${name}`).addEventListener("click", () => {
      goTo(start);
    });
  }
  for (const row of document.querySelectorAll("tr[data-piece]")) {
    row.addEventListener("click", () => choose(row.dataset.piece, true));
  }
  document.addEventListener("room-stage", (event) => {
    stage = event.detail;
    ask();
  });
  new ResizeObserver(ask).observe(canvas);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", ask);

  // ---- the page loaded anew shows what it showed ------------------------------------------------------------------
  // The browser keeps this as long as the tab is open, if it is allowed to keep anything.
  const PLACE = `room ${location.pathname}`;
  addEventListener("pagehide", () => {
    const hidden = [...document.querySelectorAll("input[data-trim]:not(:checked)")].map((box) => box.dataset.trim);
    try {
      sessionStorage.setItem(PLACE, JSON.stringify({ camera, apart, chosen, hidden }));
    } catch { /* then it begins anew */ }
  });

  function remembered() {
    try {
      return JSON.parse(sessionStorage.getItem(PLACE));
    } catch {
      return null;
    }
  }

  function resume({ camera: was, apart: wasApart, chosen: piece, hidden }) {
    Object.assign(camera, was);
    byId("room-apart").value = apart = wasApart;
    for (const box of document.querySelectorAll("input[data-trim]")) {
      box.checked = !hidden.includes(box.dataset.trim);
      box.dispatchEvent(new Event("change"));
    }
    choose(piece, false);
  }

  goTo(STARTS.above);
  const before = remembered();
  if (before) resume(before);
})();
