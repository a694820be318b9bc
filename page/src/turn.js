// On the first view: the build is turned by a finger, a mouse or the arrow keys.
// While it turns, a scene stands in for the drawing; once it rests, the server's own
// drawing for that eye takes its place. The scene is fetched when a hand comes near.

import { putInPlace } from "./_live.js";

const GRID = 2, LOWEST = -30, HIGHEST = 80; // degrees: where the server draws from
const PER_PIXEL = 0.4; // degrees that the build turns by, for each pixel of a drag
const SLACK = 6; // pixels: less is a click with an unsteady hand
const REST = 350; // ms after the last key before the drawing is asked for

const stage = document.getElementById("stage");
const shown = () => document.getElementById("picture");
let view = null; // the scene, once it is there; false if there can be none
let viewOf = ""; // version of the build that it shows
let eye = null; // [turn, tilt] while it differs from the drawing
let asked = null; // what is being fetched
let waiting = 0, drawing = 0;

const eyeShown = () => shown().dataset.eye.split(",").map(Number);
const clamped = ([turn, tilt]) => [turn, Math.min(HIGHEST, Math.max(LOWEST, tilt))];

async function load() {
  const version = shown().dataset.shows;
  if (view === false || viewOf === version) return;
  viewOf = version;
  try {
    const module = "/static/scene.js"; // a bundle of its own: nobody who does not turn needs it
    const [{ Scene }, answer] = await Promise.all([import(module), fetch(`/scene.glb?of=${version}`)]);
    if (!answer.ok) throw new Error(answer.statusText);
    const data = await answer.arrayBuffer();
    if (view) view.close();
    view = new Scene(stage, data, shown().dataset);
  } catch {
    view = false; // no WebGL, or no connection: the server draws every step
  }
  if (eye) show();
}

// A hand moves more often than the screen is drawn: once for each frame is enough.
function show() {
  if (!view || !eye) return;
  stage.classList.add("turning");
  drawing ||= requestAnimationFrame(() => {
    drawing = 0;
    if (view && eye) view.draw(eye, shown().dataset);
  });
}

async function rest() {
  if (!eye) return;
  eye = eye.map((angle) => GRID * Math.round(angle / GRID));
  show();
  asked?.abort();
  const mine = (asked = new AbortController());
  const address = `${((eye[0] + 180) % 360 + 360) % 360 - 180},${eye[1]}`;
  try {
    const answer = await fetch(`/?eye=${address}`, { headers: { Accept: "text/html" }, signal: mine.signal });
    if (!answer.ok) throw new Error(answer.statusText);
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
    if (mine.signal.aborted) return;
    putInPlace(fresh, "#picture, #presses");
    history.replaceState(null, "", `/?eye=${address}`);
  } catch (fault) {
    if (fault.name === "AbortError") return;
  }
  eye = null;
  stage.classList.remove("turning");
}

// What the forecasts say comes later than the page: ask for it once it is worked out.
async function later() {
  if (!document.querySelector("#stands[data-later]")) return;
  const version = document.body.dataset.version;
  const { search } = location;
  const address = new URL(location.href);
  address.searchParams.set("stands", "1");
  try {
    const answer = await fetch(address, { headers: { Accept: "text/html" } });
    if (!answer.ok) throw new Error(answer.statusText);
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
    if (document.body.dataset.version !== version) return;
    // turned meanwhile: its rings belong into the drawing for another eye, once that is there
    if (eye || location.search !== search) setTimeout(later, REST);
    else putInPlace(fresh, "#stands, #every-part, #picture");
  } catch {
    setTimeout(later, 3000);
  }
}

function drags() {
  let from = null, last = null, pointer = 0, dragged = false;
  stage.addEventListener("pointerdown", (event) => {
    if (!event.isPrimary || event.button !== 0) return;
    from = last = [event.clientX, event.clientY];
    pointer = event.pointerId;
    dragged = false;
    load();
  });
  stage.addEventListener("pointermove", (event) => {
    if (!from || event.pointerId !== pointer) return;
    const [dx, dy] = [event.clientX - last[0], event.clientY - last[1]];
    if (!dragged) {
      const [across, along] = [event.clientX - from[0], event.clientY - from[1]];
      if (Math.hypot(across, along) < SLACK) return;
      if (event.pointerType === "touch" && Math.abs(along) > Math.abs(across)) {
        from = null; // it scrolls the page, which the browser may tell us only later
        return;
      }
      dragged = true;
      asked?.abort();
      clearTimeout(waiting);
      stage.setPointerCapture(pointer);
    }
    last = [event.clientX, event.clientY];
    const [turn, tilt] = eye ?? eyeShown();
    eye = clamped([turn - PER_PIXEL * dx, tilt + PER_PIXEL * dy]);
    show();
  });
  const end = () => {
    if (dragged) rest();
    from = null;
  };
  stage.addEventListener("pointerup", end);
  stage.addEventListener("pointercancel", end);
  // the end of a drag is no click on the part below it, nor is a link dragged away
  stage.addEventListener("click", (event) => {
    if (dragged) event.preventDefault();
    dragged = false;
  }, true);
  stage.addEventListener("dragstart", (event) => event.preventDefault());
  for (const near of ["pointerenter", "focusin"]) stage.addEventListener(near, load, { once: true });
}

function keys() {
  const ways = { ArrowLeft: [-10, 0], ArrowRight: [10, 0], ArrowUp: [0, 6], ArrowDown: [0, -6] };
  stage.addEventListener("keydown", (event) => {
    const way = ways[event.key];
    if (!way || event.ctrlKey || event.altKey || event.metaKey) return;
    event.preventDefault();
    turnBy(way);
  });
  document.addEventListener("click", (event) => {
    const press = event.target.closest?.("#presses a");
    if (!press || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    asked?.abort();
    eye = press.dataset.eye.split(",").map(Number);
    load().then(show);
    rest();
  });
}

function turnBy([turn, tilt]) {
  const now = eye ?? eyeShown();
  asked?.abort();
  eye = clamped([now[0] + turn, now[1] + tilt]);
  load().then(show);
  show();
  clearTimeout(waiting);
  waiting = setTimeout(rest, REST);
}

if (stage) {
  drags();
  keys();
  later();
  document.addEventListener("refreshed", () => {
    later();
    if (view || viewOf) load();
  });
}
