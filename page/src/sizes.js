// The sizes sheet while one types: what is typed is drawn as it would be, first the parts
// that it changes most, then the others. Nothing is written before the maker keeps it, and
// nothing that was typed is taken away when the build changes meanwhile.

const REST = 250; // ms after the first part is drawn, unless one types on
let waiting = 0;
let rest = null; // asking for the others, which the next key ends
let isAsking = false;
let next = ""; // the size to ask for as soon as what was asked is answered

const form = () => document.querySelector("form[data-sizes]");
const fields = () => [...form().querySelectorAll("input[data-written]")];
const changed = () => fields().filter((f) => f.value.trim() !== f.dataset.written);

function mark() {
  const typed = changed();
  for (const field of fields()) field.classList.toggle("typed", typed.includes(field));
  // what is typed must not be swept away by news of the build
  for (const region of [form(), document.getElementById("drawn")]) {
    region.toggleAttribute("data-live", typed.length === 0);
  }
  const button = form().querySelector("button[name=keep]");
  if (button) button.disabled = typed.length === 0;
}

function put(fresh) {
  const now = fresh.getElementById("drawn");
  const old = document.getElementById("drawn");
  if (now) old.replaceChildren(...now.childNodes);
  for (const note of document.querySelectorAll("[data-fault]")) {
    const said = fresh.getElementById(note.id)?.textContent ?? "";
    if (note.textContent !== said) note.textContent = said;
    const field = document.getElementById(note.id.slice("fault-".length));
    if (field && said) field.setAttribute("aria-invalid", "true");
    else field?.removeAttribute("aria-invalid");
  }
}

// One first part at a time, so that quick typing piles nothing up on the server: what is
// typed meanwhile is asked for next, as it then stands.
async function askFirst(size) {
  clearTimeout(waiting);
  rest?.abort();
  next = size;
  if (isAsking) return;
  isAsking = true;
  while (next) {
    const now = next;
    next = "";
    const isMore = await ask(now, "first");
    if (!next && isMore) waiting = setTimeout(askRest, REST, now);
  }
  isAsking = false;
}

function askRest(size) {
  rest = new AbortController();
  ask(size, "all", rest.signal);
}

// Whether there are parts that are not drawn yet.
async function ask(size, drawn, signal) {
  const body = new URLSearchParams(new FormData(form()));
  body.set("try", "1");
  body.set("of", size);
  body.set("drawn", drawn);
  try {
    const answer = await fetch("/sizes", {
      method: "POST",
      body,
      headers: { Accept: "text/html", "X-Token": document.body.dataset.token },
      signal,
    });
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
    if (next || signal?.aborted) return false; // it is of what was typed before
    put(fresh);
    const isMore = drawn === "first" && document.getElementById("more") !== null;
    document.getElementById("drawn").classList.toggle("waiting", isMore);
    return isMore;
  } catch (trouble) {
    if (trouble.name === "AbortError") return false;
    document.getElementById("drawn").classList.remove("waiting");
    document.getElementById("fault-").textContent =
      "The program does not answer. What you typed is kept; try again in a moment.";
    return false;
  }
}

function redraw(field) {
  const size = field.closest("[data-size]").dataset.size;
  document.getElementById("drawn").classList.add("waiting"); // it is of another size until then
  askFirst(size);
}

if (form()) {
  const button = document.getElementById("try");
  if (button) button.hidden = true; // it is drawn as one types
  mark();
  document.addEventListener("input", (event) => {
    if (!event.target.matches("form[data-sizes] input[data-written]")) return;
    mark();
    redraw(event.target);
  });
  // coming to another size shows what follows from it, unless something is being tried
  document.addEventListener("focusin", (event) => {
    if (!event.target.matches("form[data-sizes] input[data-written]") || changed().length) return;
    const row = event.target.closest("[data-size]");
    if (row.classList.contains("at-hand")) return;
    for (const other of document.querySelectorAll("[data-size]")) {
      other.classList.toggle("at-hand", other === row);
    }
    history.replaceState(null, "", `/sizes?of=${encodeURIComponent(row.dataset.size)}`);
    form().elements.of.value = row.dataset.size;
    redraw(event.target);
  });
  document.addEventListener("refreshed", () => {
    const again = document.getElementById("try");
    if (again) again.hidden = true;
    mark();
    const typed = changed();
    if (typed.length) redraw(typed[0]);
  });
}
