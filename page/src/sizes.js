// The sizes sheet while one types: what is typed is drawn as it would be, first the parts
// that it changes most, then the others. Nothing is written before the maker keeps it, and
// nothing that was typed is taken away when the build changes meanwhile.

const FIRST = 90; // ms after the last key
const REST = 500;
let waiting = 0;
let asked = null;

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

async function ask(size, few) {
  asked?.abort();
  asked = new AbortController();
  const body = new URLSearchParams(new FormData(form()));
  body.set("try", "1");
  body.set("of", size);
  if (few) body.set("few", "1");
  try {
    const answer = await fetch("/sizes", {
      method: "POST",
      body,
      headers: { Accept: "text/html", "X-Token": document.body.dataset.token },
      signal: asked.signal,
    });
    put(new DOMParser().parseFromString(await answer.text(), "text/html"));
    const isMore = few && document.getElementById("more") !== null;
    document.getElementById("drawn").classList.toggle("waiting", isMore);
    if (isMore) waiting = setTimeout(() => ask(size, false), REST);
  } catch (trouble) {
    if (trouble.name === "AbortError") return;
    document.getElementById("drawn").classList.remove("waiting");
    document.getElementById("fault-").textContent =
      "The program does not answer. What you typed is kept; try again in a moment.";
  }
}

function soon(field) {
  clearTimeout(waiting);
  const size = field.closest("[data-size]").dataset.size;
  document.getElementById("drawn").classList.add("waiting"); // it is of another size until then
  waiting = setTimeout(() => ask(size, true), FIRST);
}

if (form()) {
  const button = document.getElementById("try");
  if (button) button.hidden = true; // it is drawn as one types
  mark();
  document.addEventListener("input", (event) => {
    if (!event.target.matches("form[data-sizes] input[data-written]")) return;
    mark();
    soon(event.target);
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
    soon(event.target);
  });
  document.addEventListener("refreshed", () => {
    const again = document.getElementById("try");
    if (again) again.hidden = true;
    mark();
    const typed = changed();
    if (typed.length) soon(typed[0]);
  });
}
