// One drawing: zoom and pan, a glass for the thumb, picking, and moving what was picked.
// Every pick is sent at once; the words beside the picture are the server's.
import { through, times, undone } from "./_flat.js";
import { carry } from "./_fields.js";
import { marks, node } from "./_marks.js";

const LEAST = { place: 1, known: 2, length: 2, angle: 3, outline: 3, hole: 3 };
const MOST = { place: 1, known: 2, length: 2, angle: 3, outline: 400, hole: 100 };
const ASK = {
  place: ["Put the point on a place whose measures you know."],
  known: ["Put the first point on one end of the length that you know.", "Now the other end."],
  length: ["Put the first point on one end.", "Now the other end."],
  angle: ["Put the first point somewhere along one side.", "Now the corner.", "Now somewhere along the other side."],
  outline: ["Put the first point on a corner, then go round, corner by corner."],
  hole: ["Put three points or more on the rim of the hole, well round."],
};
const NEAR = 22; // css pixels: a thumb
const STILL = 4; // a mouse that moves less has clicked
const by = (id) => document.getElementById(id);

const drop = by("drop");
if (drop) dropIn(drop);
if (by("stage")) sheet(by("stage"));

function dropIn(form) {
  const file = by("file");
  form.querySelector("[data-drop]").hidden = false;
  form.addEventListener("submit", () => { by("sending").textContent = "It is on its way. A large scan takes some seconds."; });
  for (const name of ["dragenter", "dragover", "dragleave", "drop"]) {
    document.addEventListener(name, (event) => {
      if (![...(event.dataTransfer?.types ?? [])].includes("Files")) return;
      event.preventDefault();
      form.classList.toggle("over", name === "dragenter" || name === "dragover");
      if (name === "drop" && event.dataTransfer.files.length) {
        file.files = event.dataTransfer.files;
        form.requestSubmit();
      }
    });
  }
}

function sheet(stage) {
  const view = by("view"), glass = by("glass"), now = by("now"), next = by("next"), keep = by("keep");
  const picture = view.querySelector("image");
  const layer = view.appendChild(node("g", {}));
  const look = { x: 0, y: 0, k: 1 }; // middle of the view, and units of the picture to a css pixel
  let text = by("told").dataset.board;
  let board = JSON.parse(text);
  let isStraight = Boolean(board.straight);
  let picking = null; // { id: 0, kind, points }
  let chosen = null; // { id, index }
  let sending = 0; // timer of a move by keys

  next.hidden = by("eye").hidden = false;
  show();
  whole();

  // --- places -------------------------------------------------------------------------------
  function plane() {
    if (!isStraight) return null;
    return times(undone(board.straight.to_mm), board.straight.mm); // picture as it came -> straightened
  }
  function shown(point) { const m = plane(); return m ? through(m, point) : point; }
  function came(point) {
    const m = plane();
    const [x, y] = m ? through(undone(m), point) : point;
    return [Math.min(Math.max(x, 0), board.width), Math.min(Math.max(y, 0), board.height)];
  }
  function extent() { return isStraight ? board.straight : board; }
  function placeOf(event) {
    const box = view.getBoundingClientRect();
    return [
      look.x + (event.clientX - box.left - box.width / 2) * look.k,
      look.y + (event.clientY - box.top - box.height / 2) * look.k,
    ];
  }

  // --- looking ------------------------------------------------------------------------------
  function show() {
    const { width, height } = extent();
    const href = isStraight ? board.straight.picture : board.picture;
    if (picture.getAttribute("href") !== href) picture.setAttribute("href", href);
    picture.setAttribute("width", width);
    picture.setAttribute("height", height);
    const other = document.querySelector("[data-eye=other]");
    other.hidden = !board.straight;
    other.textContent = isStraight ? "As it came" : "Straightened";
  }
  function whole() {
    const { width, height } = extent();
    look.x = width / 2;
    look.y = height / 2;
    look.k = Math.max(width / view.clientWidth, height / view.clientHeight) * 1.02;
    draw();
  }
  function zoom(times_, [x, y] = [look.x, look.y]) {
    const { width } = extent();
    const k = Math.min(Math.max(look.k * times_, 0.05), (4 * width) / view.clientWidth);
    look.x = x + ((look.x - x) * k) / look.k;
    look.y = y + ((look.y - y) * k) / look.k;
    look.k = k;
    draw();
  }
  function draw() {
    const [w, h] = [view.clientWidth * look.k, view.clientHeight * look.k];
    view.setAttribute("viewBox", `${look.x - w / 2} ${look.y - h / 2} ${w} ${h}`);
    const focus = document.activeElement?.dataset?.spot;
    const flat = board.straight ? board.straight.mm : null;
    const all = picking ? [...board.picks, picking] : board.picks;
    layer.replaceChildren(...all.map((pick) => marks(pick, { shown, flat, scale: look.k, chosen })));
    if (focus) layer.querySelector(`[data-spot="${focus}"]`)?.focus({ preventScroll: true });
  }
  function peer(point, event) {
    const box = view.getBoundingClientRect();
    const k = Math.max(look.k / 3, 0.12), size = 150 * k;
    const [x, y] = shown(point);
    glass.setAttribute("viewBox", `${x - size / 2} ${y - size / 2} ${size} ${size}`);
    const { width, height } = extent();
    const cross = `M${x - size} ${y}H${x - 8 * k}M${x + 8 * k} ${y}H${x + size}M${x} ${y - size}V${y - 8 * k}M${x} ${y + 8 * k}V${y + size}`;
    const image = glass.querySelector("image") ?? glass.appendChild(node("image", {}));
    for (const [key, value] of Object.entries({ href: picture.getAttribute("href"), width, height })) image.setAttribute(key, value);
    glass.querySelectorAll("path").forEach((old) => old.remove());
    glass.append(node("path", { d: cross, class: "rim" }), node("path", { d: cross, class: "cross" }));
    const isLeft = event ? event.clientX - box.left < box.width / 2 : false;
    glass.setAttribute("class", isLeft ? "at-right" : "at-left");
    glass.removeAttribute("hidden");
  }
  function noGlass() { glass.setAttribute("hidden", ""); }
  function say(words, isWrong = false) {
    now.textContent = words;
    now.classList.toggle("wrong", isWrong);
  }
  function told([x, y]) { return `${x.toFixed(1)}, ${y.toFixed(1)}`; }

  // --- picking ------------------------------------------------------------------------------
  function begin(kind) {
    picking = { id: 0, kind, points: [], name: "" };
    chosen = null;
    for (const field of keep.querySelectorAll("[data-for]")) field.hidden = !["all", kind].includes(field.dataset.for);
    keep.reset();
    keep.hidden = false;
    next.hidden = true;
    view.classList.add("picking");
    ask();
    draw();
    view.focus({ preventScroll: true });
    const box = stage.getBoundingClientRect();
    if (box.top < 0 || box.bottom > innerHeight) stage.scrollIntoView({ block: "start" });
  }
  function ask() {
    const { kind, points } = picking;
    by("keep-it").disabled = points.length < LEAST[kind];
    by("take-back").disabled = !points.length;
    const known = kind === "place" || kind === "known" ? " Then say what you know of it." : "";
    if (points.length < LEAST[kind]) say(ASK[kind][Math.min(points.length, ASK[kind].length - 1)] + (points.length ? ` ${points.length} of ${LEAST[kind]} set.` : ""));
    else if (points.length < MOST[kind]) say(`${points.length} points set. Go on, or keep it.`);
    else say(`Set. Arrow keys move the last point by a pixel, a drag moves any.${known}`);
  }
  function set(point) {
    if (picking.points.length >= MOST[picking.kind]) return;
    picking.points.push(came(point));
    chosen = { id: 0, index: picking.points.length - 1 };
    ask();
    draw();
  }
  function less() {
    picking.points.pop();
    chosen = null;
    ask();
    draw();
  }
  function leave(words = "") {
    picking = null;
    chosen = null;
    keep.hidden = true;
    next.hidden = false;
    view.classList.remove("picking");
    noGlass();
    say(words);
    draw();
  }
  function pickOf(id) { return id === 0 ? picking : board.picks.find((pick) => pick.id === id); }
  function moveTo({ id, index }, point) {
    const pick = pickOf(id);
    if (!pick) return;
    pick.points[index] = point;
    draw();
  }
  function nearest(event) {
    const box = view.getBoundingClientRect();
    const all = picking ? [picking] : board.picks;
    let best = null, least = NEAR;
    for (const pick of all) {
      pick.points.forEach((point, index) => {
        const [x, y] = shown(point);
        const far = Math.hypot(
          box.left + box.width / 2 + (x - look.x) / look.k - event.clientX,
          box.top + box.height / 2 + (y - look.y) / look.k - event.clientY,
        );
        if (far < least) [best, least] = [{ id: pick.id, index }, far];
      });
    }
    return best;
  }

  // --- sending ------------------------------------------------------------------------------
  async function send(address, fields, form = null) {
    let answer, text;
    try {
      answer = await fetch(address, {
        method: "POST",
        headers: { Accept: "text/html", "X-Token": document.body.dataset.token },
        body: fields,
      });
      text = await answer.text();
    } catch {
      wrong("The server does not answer. What you picked is still here: try again.", form);
      return false;
    }
    const fresh = new DOMParser().parseFromString(text, "text/html");
    if (!answer.ok) {
      const list = [...fresh.querySelectorAll("main li")].map((li) => li.textContent.trim());
      wrong([fresh.getElementById("refused")?.textContent ?? "This cannot be done.", ...list].join(" "), form);
      return false;
    }
    if (new URL(answer.url).pathname !== location.pathname) {
      location.href = answer.url;
      return true;
    }
    take(fresh, form);
    return true;
  }
  function wrong(words, form) {
    if (!form || form === keep) return say(words, true);
    form.querySelector("[role=alert]")?.remove();
    const said = document.createElement("p");
    said.className = "danger";
    said.setAttribute("role", "alert");
    said.textContent = words;
    form.append(said);
  }
  // What was sent is done with; what is typed elsewhere stays.
  function take(fresh, form) {
    if (form?.closest("#words")) form.reset();
    for (const id of ["words", "straightening", "told"]) {
      const now = fresh.getElementById(id);
      carry(by(id), now);
      by(id).replaceWith(now);
    }
    told_();
    document.dispatchEvent(new CustomEvent("renewed"));
  }
  function told_() {
    if (by("told").dataset.board === text) return;
    text = by("told").dataset.board;
    const had = board.straight?.picture;
    const middle = came([look.x, look.y]);
    const before = extent().width;
    const held = holding();
    board = JSON.parse(text);
    if (held) keepHold(held);
    if (Boolean(board.straight) !== Boolean(had)) isStraight = Boolean(board.straight);
    show();
    if (isStraight && had !== board.straight.picture) {
      if (!had) return whole();
      // the frame moved a little: keep looking at the same place
      [look.x, look.y] = shown(middle);
      look.k *= extent().width / before;
    } else if (!board.straight && had) return whole();
    draw();
  }
  // A point that is under the finger, or was moved by keys and not sent yet: what another
  // browser does to the drawing meanwhile does not take it away.
  function holding() {
    const spot = hold?.what === "drag" && hold.moved ? hold.spot : sending ? chosen : null;
    return spot?.id ? { ...spot, point: pickOf(spot.id)?.points[spot.index] } : null;
  }
  function keepHold({ id, index, point }) {
    const pick = pickOf(id);
    if (pick?.points[index]) pick.points[index] = point;
    else {
      clearTimeout(sending);
      sending = 0;
      hold = chosen = null;
      noGlass();
      say("This pick was taken away on another screen.", true);
    }
  }
  // Only the point that was moved: its fellows may be moved on another screen.
  function sendMove({ id, index }) {
    const pick = pickOf(id);
    if (!pick || !id) return;
    const [x, y] = pick.points[index];
    const fields = new URLSearchParams({ pick: String(id), index: String(index), x: x.toFixed(3), y: y.toFixed(3) });
    send(`${board.address}/move`, fields).then((done) => { if (done) say(`${pick.name} moved.`); });
  }

  keep.addEventListener("submit", async (event) => {
    event.preventDefault();
    const fields = new URLSearchParams({ kind: picking.kind, name: by("keep-name").value });
    for (const [x, y] of picking.points) {
      fields.append("x", x.toFixed(3));
      fields.append("y", y.toFixed(3));
    }
    for (const field of keep.querySelectorAll("[name=given]")) if (!field.closest("[hidden]")) fields.append("given", field.value);
    if (await send(`${board.address}/pick`, fields, keep)) leave("Kept.");
  });
  document.addEventListener("refreshed", told_);
  by("take-back").addEventListener("click", less);
  by("leave-it").addEventListener("click", () => leave());
  for (const button of next.querySelectorAll("[data-kind]")) button.addEventListener("click", () => begin(button.dataset.kind));
  const eyes = {
    larger: () => zoom(1 / 1.5),
    smaller: () => zoom(1.5),
    whole,
    other: () => { isStraight = !isStraight; show(); whole(); },
  };
  for (const button of document.querySelectorAll("[data-eye]")) button.addEventListener("click", () => eyes[button.dataset.eye]());
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.closest("#words")) return;
    event.preventDefault();
    send(form.action, new URLSearchParams(new FormData(form)), form);
  });

  // --- hand ---------------------------------------------------------------------------------
  const down = new Map();
  let hold = null; // { what: "aim" | "drag" | "pan" | "pinch", ... }
  view.addEventListener("pointerdown", (event) => {
    if (event.button > 1) return;
    view.setPointerCapture(event.pointerId);
    down.set(event.pointerId, event);
    if (down.size === 2) {
      noGlass();
      hold = { what: "pinch", ...pinched() };
      return;
    }
    if (down.size > 2) return;
    const start = { x: event.clientX, y: event.clientY, middle: [look.x, look.y] };
    const spot = event.button === 0 ? nearest(event) : null;
    if (spot) {
      chosen = spot;
      hold = { what: "drag", ...start, spot, moved: false };
      mark(spot.id);
      draw();
      return;
    }
    if (picking && event.button === 0 && picking.points.length < MOST[picking.kind]) {
      hold = { what: "aim", ...start, isThumb: event.pointerType !== "mouse" };
      peer(came(placeOf(event)), event);
      return;
    }
    hold = { what: "pan", ...start, moved: false };
  });
  view.addEventListener("pointermove", (event) => {
    if (down.has(event.pointerId)) down.set(event.pointerId, event);
    if (!hold) {
      if (picking && event.pointerType === "mouse") peer(came(placeOf(event)), event);
      return;
    }
    const far = Math.hypot(event.clientX - hold.x, event.clientY - hold.y);
    if (hold.what === "pinch" && down.size === 2) {
      const { apart, at } = pinched();
      const box = view.getBoundingClientRect();
      look.x += (hold.at[0] - at[0]) * look.k;
      look.y += (hold.at[1] - at[1]) * look.k;
      const about = [look.x + (at[0] - box.left - box.width / 2) * look.k, look.y + (at[1] - box.top - box.height / 2) * look.k];
      zoom(hold.apart / apart, about);
      Object.assign(hold, { apart, at });
    } else if (hold.what === "aim") {
      if (!hold.isThumb && far > STILL) hold = { ...hold, what: "pan", moved: true };
      else peer(came(placeOf(event)), event);
    } else if (hold.what === "drag" && (hold.moved || far > STILL)) {
      hold.moved = true;
      const point = came(placeOf(event));
      moveTo(hold.spot, point);
      peer(point, event);
    }
    if (hold.what === "pan" && (hold.moved || far > STILL)) {
      hold.moved = true;
      noGlass();
      look.x = hold.middle[0] - (event.clientX - hold.x) * look.k;
      look.y = hold.middle[1] - (event.clientY - hold.y) * look.k;
      draw();
    }
  });
  const up = (event) => {
    if (!down.delete(event.pointerId)) return;
    const was = hold;
    hold = null;
    if (was?.what !== "pinch") noGlass();
    if (event.type !== "pointerup" || !was) return;
    if (was.what === "aim") {
      set(placeOf(event));
      const field = [...keep.querySelectorAll("[name=given]")].find((each) => !each.closest("[hidden]"));
      if (!was.isThumb && field && picking.points.length === MOST[picking.kind]) field.focus();
    } else if (was.what === "drag" && was.moved) {
      if (was.spot.id) sendMove(was.spot);
      else ask();
    } else if (was.what === "pan" && !was.moved && !picking) {
      chosen = null;
      mark(0);
      draw();
    }
  };
  view.addEventListener("pointerup", up);
  view.addEventListener("pointercancel", up);
  view.addEventListener("pointerleave", () => { if (!hold) noGlass(); });
  view.addEventListener("wheel", (event) => {
    event.preventDefault();
    zoom(Math.exp(Math.sign(event.deltaY) * Math.min(Math.abs(event.deltaY), 120) * 0.0016), placeOf(event));
  }, { passive: false });
  function pinched() {
    const [a, b] = [...down.values()];
    return {
      apart: Math.max(20, Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY)),
      at: [(a.clientX + b.clientX) / 2, (a.clientY + b.clientY) / 2],
    };
  }
  function mark(id) {
    for (const li of document.querySelectorAll(".picks > li")) li.classList.toggle("chosen", li.id === `pick-${id}`);
  }

  // --- keys ---------------------------------------------------------------------------------
  const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  layer.addEventListener("focusin", (event) => {
    const { spot } = event.target.dataset; // what is drawn round a point has none
    if (!spot) return;
    const [id, index] = spot.split("/").map(Number);
    if (chosen?.id === id && chosen.index === index) return;
    chosen = { id, index };
    mark(id);
    draw();
  });
  view.addEventListener("keydown", (event) => {
    const arrow = ARROWS[event.key];
    if (arrow) {
      event.preventDefault();
      const by_ = event.shiftKey ? 10 : 1;
      const pick = chosen && pickOf(chosen.id);
      if (!pick) {
        look.x += arrow[0] * 60 * look.k;
        look.y += arrow[1] * 60 * look.k;
        return draw();
      }
      const [x, y] = shown(pick.points[chosen.index]);
      const point = came([x + arrow[0] * by_, y + arrow[1] * by_]);
      moveTo(chosen, point);
      peer(point);
      say(`Point ${chosen.index + 1} at ${told(point)}.`);
      clearTimeout(sending);
      const moved = { ...chosen };
      sending = 0;
      if (moved.id) sending = setTimeout(() => { sending = 0; noGlass(); sendMove(moved); }, 700);
      return;
    }
    const keys = {
      "+": () => zoom(1 / 1.5),
      "=": () => zoom(1 / 1.5),
      "-": () => zoom(1.5),
      0: whole,
      Escape: () => (picking ? leave() : ((chosen = null), mark(0), noGlass(), draw())),
      Backspace: () => picking?.points.length && less(),
      Enter: () => picking && set([look.x, look.y]),
    };
    if (keys[event.key] && !event.ctrlKey && !event.metaKey && !event.altKey) {
      event.preventDefault();
      keys[event.key]();
    }
  });
  new ResizeObserver(draw).observe(view);
}
