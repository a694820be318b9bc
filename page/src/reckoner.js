// Answers while one types: the page that the form leads to is fetched, and what it says anew
// is put in place. The address follows, so that a sum can be kept. Nothing typed is touched.

const WAIT = 180; // ms after the last key: a number is typed in one go
const form = document.querySelector("form[data-answers]");
let waiting = 0;
let asked = null;

function address() {
  const typed = [...new FormData(form)].filter(([, text]) => text.trim() !== "");
  const query = new URLSearchParams(typed).toString();
  return form.getAttribute("action") + (query ? `?${query}` : "");
}

function put(fresh) {
  for (const old of document.querySelectorAll("[data-answer]")) {
    const now = fresh.getElementById(old.id);
    if (now) old.replaceChildren(...now.childNodes);
  }
  for (const field of form.elements) {
    const note = document.getElementById(`note-${field.name}`);
    if (!note) continue;
    const wrong = note.textContent !== "";
    field.closest(".ask").classList.toggle("wrong", wrong);
    if (wrong) field.setAttribute("aria-invalid", "true");
    else field.removeAttribute("aria-invalid");
  }
}

async function ask() {
  asked?.abort();
  asked = new AbortController();
  const where = address();
  history.replaceState(null, "", where);
  try {
    const answer = await fetch(where, { headers: { Accept: "text/html" }, signal: asked.signal });
    put(new DOMParser().parseFromString(await answer.text(), "text/html"));
  } catch (trouble) {
    if (trouble.name === "AbortError") return;
    const said = document.createElement("p");
    said.className = "danger";
    said.textContent = "The program does not answer. What you typed is kept; try again in a moment.";
    document.getElementById("answer").prepend(said);
  }
}

if (form) {
  document.addEventListener("input", (event) => {
    if (event.target.form !== form) return;
    clearTimeout(waiting);
    waiting = setTimeout(ask, WAIT);
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    clearTimeout(waiting);
    ask();
  });
}

// A pad of digits has no fractions and no units; whoever wants them changes the keys.
const letters = document.getElementById("letters");
const digits = document.querySelectorAll("[data-digits]");
if (letters && digits.length && matchMedia("(pointer: coarse)").matches) {
  letters.hidden = false;
  letters.addEventListener("click", () => {
    const wanted = letters.getAttribute("aria-pressed") !== "true";
    letters.setAttribute("aria-pressed", String(wanted));
    for (const field of digits) field.inputMode = wanted ? "text" : "decimal";
  });
}
