// One drawing: what is picked on it, here and on other screens. Every pick is sent at once;
// the words beside the picture are the server's.
import { carry } from "./_fields.js";
import { takeKeys, takePointers } from "./_hand.js";
import { Look } from "./_look.js";
import { marks, node } from "./_marks.js";
import { asked, isEnough, isFull } from "./_picking.js";

const NEAR = 22; // css pixels: a thumb
const by = (id) => document.getElementById(id);

if (by("drop")) dropIn(by("drop"));
if (by("stage")) drawingSheet(by("stage"));

function dropIn(form) {
  const file = by("file");
  form.querySelector("[data-drop]").hidden = false;
  document.addEventListener("submit", (event) => {
    if (event.target !== form) return;
    // it may be held back where there is no connection
    setTimeout(() => {
      if (!event.defaultPrevented) by("sending").textContent = "It is on its way. A large scan takes some seconds.";
    });
  });
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

function drawingSheet(stage) {
  const view = by("view"), next = by("next"), keep = by("keep");
  const layer = view.appendChild(node("g", {}));
  let text = by("told").dataset.board;
  const look = new Look(view, by("glass"), JSON.parse(text), drawMarks);

  // What the hand works on; points are of the picture as it came.
  const sheet = {
    look,
    picking: null, // { id: 0, kind, points } while a pick is being made
    chosen: null, // { id, index } of a point
    hold: null, // what is under the finger
    sending: 0, // timer of a move by keys
    say, nearest, pointOf, moveTo, choose, set, less, leave, moved, goToField,
  };

  function drawMarks() {
    const focus = document.activeElement?.dataset?.spot;
    const { picks, straight } = look.board;
    const how = { shown: (p) => look.shown(p), flat: straight ? straight.mm : null, scale: look.k, chosen: sheet.chosen };
    const all = sheet.picking ? [...picks, sheet.picking] : picks;
    layer.replaceChildren(...all.map((pick) => marks(pick, how)));
    if (focus) layer.querySelector(`[data-spot="${focus}"]`)?.focus({ preventScroll: true });
  }

  function say(words, isWrong = false) {
    by("now").textContent = words;
    by("now").classList.toggle("wrong", isWrong);
  }

  // --- points -------------------------------------------------------------------------------
  const pickOf = (id) => (id === 0 ? sheet.picking : look.board.picks.find((pick) => pick.id === id));
  function pointOf({ id, index }) {
    return pickOf(id)?.points[index];
  }
  function moveTo(spot, point) {
    if (!pointOf(spot)) return;
    pickOf(spot.id).points[spot.index] = point;
    look.draw();
  }
  function nearest(event) {
    // while more are to be set, the next may lie close to one that is
    let best = null, least = sheet.picking && !isFull(sheet.picking) ? NEAR / 2 : NEAR;
    for (const pick of sheet.picking ? [sheet.picking] : look.board.picks) {
      pick.points.forEach((point, index) => {
        const [x, y] = look.onScreen(look.shown(point));
        const far = Math.hypot(x - event.clientX, y - event.clientY);
        if (far < least) [best, least] = [{ id: pick.id, index }, far];
      });
    }
    return best;
  }
  function choose(spot) {
    sheet.chosen = spot;
    for (const li of document.querySelectorAll(".picks > li")) li.classList.toggle("chosen", li.id === `pick-${spot?.id ?? 0}`);
    look.draw();
  }
  function moved(spot) {
    if (spot.id) sendMove(spot);
    else if (sheet.picking) ask();
  }

  // --- picking ------------------------------------------------------------------------------
  const asksFor = () => [...keep.querySelectorAll("[name=given]")].filter((field) => !field.closest("[hidden]"));
  function begin(kind) {
    sheet.picking = { id: 0, kind, points: [], name: "" };
    sheet.chosen = null;
    for (const field of keep.querySelectorAll("[data-for]")) field.hidden = !["all", kind].includes(field.dataset.for);
    keep.reset();
    keep.hidden = false;
    next.hidden = true;
    view.classList.add("picking");
    ask();
    look.draw();
    view.focus({ preventScroll: true });
    const box = stage.getBoundingClientRect();
    if (box.top < 0 || box.bottom > innerHeight) stage.scrollIntoView({ block: "start" });
  }
  function ask() {
    by("keep-it").disabled = !isEnough(sheet.picking);
    by("take-back").disabled = !sheet.picking.points.length;
    say(asked(sheet.picking));
  }
  function set(point) {
    if (isFull(sheet.picking)) return;
    const index = sheet.picking.points.push(look.came(point)) - 1;
    sheet.chosen = { id: 0, index };
    ask();
    look.draw();
  }
  function goToField() {
    if (isFull(sheet.picking)) asksFor()[0]?.focus();
  }
  function less() {
    sheet.picking.points.pop();
    sheet.chosen = null;
    ask();
    look.draw();
  }
  function leave(words = "") {
    sheet.picking = sheet.chosen = null;
    keep.hidden = true;
    next.hidden = false;
    view.classList.remove("picking");
    look.noGlass();
    say(words);
    look.draw();
  }

  // --- sending ------------------------------------------------------------------------------
  async function send(address, fields, form = null) {
    let answer, body;
    try {
      answer = await fetch(address, {
        method: "POST",
        headers: { Accept: "text/html", "X-Token": document.body.dataset.token },
        body: fields,
      });
      body = await answer.text();
    } catch {
      wrong("The server does not answer. What you picked is still here: try again.", form);
      return false;
    }
    const fresh = new DOMParser().parseFromString(body, "text/html");
    if (!answer.ok) {
      const list = [...fresh.querySelectorAll("main li")].map((li) => li.textContent.trim());
      wrong([fresh.getElementById("refused")?.textContent ?? "This cannot be done.", ...list].join(" "), form);
      return false;
    }
    if (new URL(answer.url).pathname === location.pathname) take(fresh, form);
    else location.href = answer.url;
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
  // Only the point that was moved: its fellows may be moved on another screen.
  function sendMove({ id, index }) {
    const pick = pickOf(id);
    if (!pick) return;
    const [x, y] = pick.points[index];
    const fields = new URLSearchParams({ pick: String(id), index: String(index), x: x.toFixed(3), y: y.toFixed(3) });
    send(`${look.board.address}/move`, fields).then((done) => { if (done) say(`${pick.name} moved.`); });
  }
  // What was sent is done with; what is typed elsewhere stays.
  function take(fresh, form) {
    if (form?.closest("#words")) form.reset();
    for (const id of ["words", "straightening", "told"]) {
      const now = fresh.getElementById(id);
      carry(by(id), now);
      by(id).replaceWith(now);
    }
    renew();
    document.dispatchEvent(new CustomEvent("renewed"));
  }

  // --- news, from this screen or another ----------------------------------------------------
  function renew() {
    if (by("told").dataset.board === text) return;
    text = by("told").dataset.board;
    const board = JSON.parse(text);
    const held = holding();
    if (held) keepHold(held, board);
    look.renew(board);
  }
  // A point that is under the finger, or was moved by keys and not sent yet: what another
  // browser does to the drawing meanwhile does not take it away.
  function holding() {
    const { hold, sending, chosen } = sheet;
    const spot = hold?.what === "drag" && hold.moved ? hold.spot : sending ? chosen : null;
    return spot?.id ? { ...spot, point: pointOf(spot) } : null;
  }
  function keepHold({ id, index, point }, board) {
    const points = board.picks.find((pick) => pick.id === id)?.points;
    if (points?.[index]) points[index] = point;
    else {
      clearTimeout(sheet.sending);
      sheet.sending = 0;
      sheet.hold = sheet.chosen = null;
      look.noGlass();
      say("This pick was taken away on another screen.", true);
    }
  }

  keep.addEventListener("submit", async (event) => {
    event.preventDefault();
    const fields = new URLSearchParams({ kind: sheet.picking.kind, name: by("keep-name").value });
    for (const [x, y] of sheet.picking.points) {
      fields.append("x", x.toFixed(3));
      fields.append("y", y.toFixed(3));
    }
    for (const field of asksFor()) fields.append("given", field.value);
    if (await send(`${look.board.address}/pick`, fields, keep)) leave("Kept.");
  });
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.closest("#words")) return;
    event.preventDefault();
    send(form.action, new URLSearchParams(new FormData(form)), form);
  });
  document.addEventListener("refreshed", renew);
  by("take-back").addEventListener("click", less);
  by("leave-it").addEventListener("click", () => leave());
  for (const button of next.querySelectorAll("[data-kind]")) button.addEventListener("click", () => begin(button.dataset.kind));
  const eyes = {
    larger: () => look.zoom(1 / 1.5),
    smaller: () => look.zoom(1.5),
    whole: () => look.whole(),
    other: () => look.turnOver(),
  };
  for (const button of document.querySelectorAll("[data-eye]")) button.addEventListener("click", eyes[button.dataset.eye]);
  // not on the layer: a browser would take it for a thing to be focused itself
  view.addEventListener("focusin", (event) => {
    const { spot } = event.target.dataset; // what is drawn round a point has none
    if (!spot) return;
    const [id, index] = spot.split("/").map(Number);
    if (sheet.chosen?.id !== id || sheet.chosen.index !== index) choose({ id, index });
  });
  takePointers(view, sheet);
  takeKeys(view, sheet);
  next.hidden = by("eye").hidden = false;
  look.show();
  look.whole();
  new ResizeObserver(() => look.draw()).observe(view);
}
