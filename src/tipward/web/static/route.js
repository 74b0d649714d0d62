// The pad of the Route page: draw or tap the torch lead, and see what it costs while it is drawn.
// Without this file the form with loops and radius does the same. A photo stays on the phone: it is only drawn upon.
(() => {
  "use strict";
  const section = document.querySelector(".draws"), form = document.getElementById("route-form");
  const answer = document.getElementById("route-answer"), pad = document.getElementById("pad");
  if (!section || !form || !pad) return;
  const svg = pad.querySelector("svg"), photo = pad.querySelector("img"), hint = pad.querySelector(".pad-hint");
  const rigField = form.elements.namedItem("rig"), lengthField = form.elements.namedItem("length");
  const NS = svg.namespaceURI, WIDTH = 1000, WAIT_MS = 220, MOST = 3000, KEPT = "tipward.draft.route";
  let points = [], mode = "draw", drawing = null, timer = 0, asking = null, pinned = 0;

  const part = (name) => svg.querySelector(`.pad-${name}`);
  const element = (name, attributes) => {
    const made = document.createElementNS(NS, name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    return made;
  };
  const trace = (line) => line.length ? `M${line.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join("L")}` : "";

  function shape(ratio) {
    svg.setAttribute("viewBox", `0 0 ${WIDTH} ${Math.round(WIDTH * ratio)}`);
    pad.style.aspectRatio = `1 / ${ratio}`;
    const lines = [];
    for (let at = 100; at < Math.max(WIDTH, WIDTH * ratio); at += 100) lines.push(`M${at} 0V${WIDTH * ratio}M0 ${at}H${WIDTH}`);
    part("grid").replaceChildren(element("path", { d: lines.join("") }));
  }

  function show(overlay) {
    part("hand").setAttribute("d", trace(points));
    part("taps").replaceChildren(...(mode === "tap" ? points.map(([x, y]) => element("circle", { cx: x, cy: y, r: 9 })) : []));
    const ends = points.length > 1 ? [[points[0], "machine"], [points.at(-1), "gun"]] : [];
    part("ends").replaceChildren(...ends.flatMap(([[x, y], which]) => {
      const text = element("text", { x: x > WIDTH / 2 ? x - 22 : x + 22, y: Math.max(y - 16, 34), "text-anchor": x > WIDTH / 2 ? "end" : "start" });
      text.textContent = answer.dataset[which];
      return [element("circle", { cx: x, cy: y, r: 14, class: `pad-${which}` }), text];
    }));
    part("bends").replaceChildren(...(overlay ? marks(overlay) : []));
    hint.hidden = points.length > 0;
    pad.dataset.points = String(points.length);
    svg.classList.toggle("read", Boolean(overlay));
  }

  function marks({ line, bends }) {
    const drawn = [element("path", { d: trace(line), class: "pad-line" })];
    for (const bend of bends) {
      drawn.push(element("path", { d: trace(line.slice(bend.from, bend.to + 1)), class: bend.most ? "pad-bend most" : "pad-bend" }));
      const [x, y] = beside(line.slice(bend.from, bend.to + 1));
      const text = element("text", { x: Math.min(Math.max(x, 90), WIDTH - 90), y: Math.max(y, 50), "text-anchor": "middle", "dominant-baseline": "middle", class: bend.most ? "most" : "" });
      text.textContent = bend.costs;
      drawn.push(text);
    }
    return drawn;
  }

  // A loop carries its cost inside, any other bend outside its middle.
  function beside(bend) {
    const middle = bend[bend.length >> 1], [first, last] = [bend[0], bend.at(-1)];
    const centre = [0, 1].map((axis) => bend.reduce((sum, point) => sum + point[axis], 0) / bend.length);
    const chord = Math.hypot(last[0] - first[0], last[1] - first[1]);
    const across = Math.max(...bend.map(([x, y]) => Math.hypot(x - first[0], y - first[1])));
    if (chord < 0.6 * across && across > 150) return centre;
    const out = [middle[0] - (first[0] + last[0]) / 2, middle[1] - (first[1] + last[1]) / 2], far = Math.hypot(...out) || 1;
    return [middle[0] + 62 * out[0] / far, middle[1] + 46 * out[1] / far];
  }

  const where = (event) => {
    const box = svg.getBoundingClientRect(), scale = WIDTH / box.width;
    return [(event.clientX - box.left) * scale, (event.clientY - box.top) * scale];
  };

  function add(point) {
    const last = points.at(-1);
    if (last && Math.hypot(point[0] - last[0], point[1] - last[1]) < 1) return;
    if (points.length < MOST) points.push(point.map((value) => Math.round(value * 10) / 10));
  }

  svg.addEventListener("pointerdown", (event) => {
    if (event.button || !event.isPrimary) return;
    event.preventDefault();
    if (mode === "draw") { points = []; drawing = event.pointerId; svg.setPointerCapture(event.pointerId); }
    add(where(event));
    changed();
  });
  svg.addEventListener("pointermove", (event) => {
    if (event.pointerId !== drawing) return;
    const moves = event.getCoalescedEvents?.() ?? [];
    for (const move of moves.length ? moves : [event]) add(where(move));
    changed();
  });
  for (const name of ["pointerup", "pointercancel"])
    svg.addEventListener(name, (event) => { if (event.pointerId === drawing) { drawing = null; ask(); } });

  function changed() {
    show(null);
    keep();
    // While the finger moves the cost follows at a steady pace, not only when it rests.
    if (!timer) timer = window.setTimeout(ask, WAIT_MS);
  }

  async function ask() {
    window.clearTimeout(timer); timer = 0;
    if (points.length < 3) { if (!points.length) answer.replaceChildren(); return; }
    asking?.abort();
    const mine = asking = new AbortController(), number = ++pinned, asked = points.length;
    const body = new URLSearchParams({ token: section.dataset.token, rig: rigField.value,
      length: lengthField.value || lengthField.placeholder, points: JSON.stringify(points) });
    try {
      const reply = await fetch("/route/cost", { method: "POST", body, signal: mine.signal });
      const text = await reply.text();
      if (number !== pinned) return;
      if (reply.status !== 200 && reply.status !== 422) throw new Error(String(reply.status));
      const told = new DOMParser().parseFromString(text, "text/html");
      answer.replaceChildren(...told.body.childNodes);
    } catch (problem) {
      if (problem.name === "AbortError") return;
      answer.textContent = answer.dataset.lost;
      timer = window.setTimeout(ask, 4000);
      return;
    }
    const cost = answer.querySelector("[data-overlay]");
    answer.dataset.read = String(asked);
    show(cost ? JSON.parse(cost.dataset.overlay) : null);
    for (const field of answer.querySelectorAll("[data-points]")) field.value = JSON.stringify(points);
    for (const field of answer.querySelectorAll("[data-length]")) field.value = body.get("length");
  }

  const keep = () => { try { localStorage.setItem(KEPT, JSON.stringify({ points, mode })); } catch { /* full or forbidden */ } };

  function take(wanted) {
    mode = wanted;
    for (const choice of section.querySelectorAll("[name=pad-mode]")) choice.checked = choice.value === mode;
    hint.textContent = hint.dataset[mode];
    pad.dataset.mode = mode;
  }

  section.addEventListener("change", (event) => {
    if (event.target.name === "pad-mode") { take(event.target.value); points = []; changed(); ask(); }
    if (event.target.type === "file" && event.target.files[0]) {
      URL.revokeObjectURL(photo.src);
      photo.src = URL.createObjectURL(event.target.files[0]);
    }
  });
  photo.addEventListener("load", () => {
    photo.hidden = false;
    shape(photo.naturalHeight / photo.naturalWidth);
    points = []; take("tap"); changed(); ask();
  });
  section.querySelector("[data-undo]").addEventListener("click", () => { points = mode === "tap" ? points.slice(0, -1) : []; changed(); ask(); });
  section.querySelector("[data-clear]").addEventListener("click", () => {
    points = []; photo.hidden = true; photo.removeAttribute("src"); shape(0.75); changed(); ask();
  });
  form.addEventListener("change", (event) => {
    const chosen = rigField.selectedOptions[0];
    if (event.target === rigField && chosen.dataset.length) lengthField.value = chosen.dataset.length;
    if (points.length) ask();
  });

  section.hidden = false;
  shape(0.75);
  try {
    const kept = JSON.parse(localStorage.getItem(KEPT));
    if (kept?.points?.length > 2 && !answer.querySelector(".route-cost, .refused")) { points = kept.points; take(kept.mode); ask(); }
  } catch { /* nothing kept */ }
  show(null);
})();
