// Forms marked data-keep="what it is" are sent here. What cannot be sent is kept in the
// browser until the server has answered; the key in the field "once" has the server do it
// once, however often it comes. What is typed and not sent outlives a reload of the page.

const STORE = "foldwright-kept";
const EVERY = 4000; // how often it is tried again, ms
const shown = document.getElementById("unsent");

let inMemory = [];
let isSending = false;
let isLost = false;
let timer = 0;
let refresh = () => {};
const atWork = new Map(); // forms whose answer is awaited, by key

function all() {
  try {
    return JSON.parse(localStorage.getItem(STORE) ?? "[]");
  } catch {
    return inMemory; // a browser that stores nothing
  }
}

function keep(entries) {
  inMemory = entries;
  try {
    localStorage.setItem(STORE, JSON.stringify(entries));
  } catch {
    // it stays in memory
  }
  show(entries);
}

function change(key, how) {
  keep(all().flatMap((entry) => (entry.key === key ? how(entry) : [entry])));
}

// Not randomUUID: a browser has that for encrypted pages only.
function newKey() {
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), (b) => b.toString(16).padStart(2, "0")).join("");
}

export function keepForms(refreshed) {
  refresh = refreshed;
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.matches("form[data-keep]")) return;
    event.preventDefault();
    if ([...atWork.values()].includes(form)) return; // pressed twice
    const fields = new FormData(form, event.submitter);
    fields.delete("token");
    const key = newKey();
    fields.set("once", key);
    atWork.set(key, form);
    keep([...all(), {
      key,
      what: form.dataset.keep,
      address: form.getAttribute("action") || location.pathname,
      page: location.pathname,
      fields: [...fields],
      typed: [...form.elements].filter((e) => e.matches("input:not([type=hidden], [type=checkbox], [type=radio])"))
        .map((e) => e.value).filter(Boolean).join(", "),
      refused: "",
      isDoubted: false,
    }]);
    sendKept();
  });
  document.addEventListener("input", (event) => remember(event.target.form));
  document.addEventListener("refreshed", recall);
  addEventListener("online", sendKept);
  addEventListener("storage", (event) => {
    if (event.key === STORE) show(all());
  });
  recall();
  show(all());
}

export async function sendKept() {
  if (isSending) return;
  isSending = true;
  clearTimeout(timer);
  let target = "";
  let isDone = false;
  try {
    let entry;
    while ((entry = all().find((one) => !one.refused))) {
      const answer = await send(entry);
      isLost = false;
      if (answer.redirected || answer.ok) {
        if (answer.redirected && atWork.has(entry.key)) target = answer.url;
        change(entry.key, () => []);
        emptied(entry.key);
        isDone = true;
      } else {
        const { kind, message } = await wordsOf(answer);
        atWork.delete(entry.key);
        const refused = { ...entry, refused: message, isDoubted: kind === "DoubtfulReading" };
        // the page that it was typed on may ask back in a better way than a line of words
        const asks = new CustomEvent("refused", { detail: refused, cancelable: true });
        change(entry.key, () => (document.dispatchEvent(asks) ? [refused] : []));
      }
    }
  } catch {
    isLost = true;
    for (const key of [...atWork.keys()]) emptied(key); // it is kept: the field is free
    timer = setTimeout(sendKept, EVERY);
  } finally {
    isSending = false;
    show(all());
  }
  if (target && !isHere(new URL(target))) location.assign(target);
  else if (isDone) refresh();
}

const isHere = (url) => url.pathname === location.pathname && url.search === location.search;

// Throws where it was not answered by the build: it is kept and tried again.
async function send(entry) {
  const post = () => fetch(entry.address, {
    method: "POST",
    headers: { "X-Token": document.body.dataset.token, Accept: "application/json" },
    body: new URLSearchParams(entry.fields),
  });
  let answer = await post();
  if (answer.status === 403) { // the server was begun anew, and knows this page no more
    await refresh();
    answer = await post();
  }
  if ([401, 403, 408].includes(answer.status) || answer.status >= 500) throw new Error("not now");
  return answer;
}

async function wordsOf(answer) {
  try {
    return (await answer.json()).error;
  } catch {
    return { kind: "", message: "It was not taken." };
  }
}

function emptied(key) {
  const form = atWork.get(key);
  atWork.delete(key);
  if (!form) return;
  form.reset();
  sessionStorage.removeItem(typedIn(form));
}

function show(entries) {
  const told = entries.filter((entry) => entry.refused || isLost);
  shown.replaceChildren(...told.map(lineOf));
  shown.hidden = told.length === 0;
}

function lineOf(entry) {
  const one = document.createElement("div");
  const words = document.createElement("p");
  const what = [entry.what, entry.typed].filter(Boolean).join(": ");
  words.textContent = entry.refused
    ? `${what}. ${entry.refused}`
    : `${what}. Kept here, and sent as soon as the connection is back.`;
  one.append(words);
  if (!entry.refused) return one;
  if (entry.isDoubted) {
    one.append(button("I am sure", () => change(entry.key, () => [{
      ...entry,
      fields: surely(entry.fields),
      refused: "",
      isDoubted: false,
    }]), ""));
  }
  one.append(button(entry.isDoubted ? "Type it again" : "Seen", () => change(entry.key, () => []), "plain"));
  return one;
}

// A form with one field says "sure"; one with several says which of them.
function surely(fields) {
  const several = fields.filter(([name, value]) => name.startsWith("value.") && value);
  const sure = several.map(([name]) => [`sure.${name.slice("value.".length)}`, "yes"]);
  return [...fields.filter(([name]) => name !== "sure" && !name.startsWith("sure.")), ["sure", "yes"], ...sure];
}

function button(words, act, looks) {
  const made = document.createElement("button");
  made.type = "button";
  made.className = looks;
  made.textContent = words;
  made.addEventListener("click", () => {
    act();
    sendKept();
  });
  return made;
}

// What is being typed, for the case that the phone throws the page away meanwhile.
const typedIn = (form) => `typed:${location.pathname}:${form.getAttribute("action")}:${form.dataset.keep}`;

function remember(form) {
  if (!form?.matches("form[data-keep]")) return;
  const typed = [...new FormData(form)].filter(([name]) => name !== "token" && name !== "once");
  try {
    sessionStorage.setItem(typedIn(form), JSON.stringify(typed));
  } catch {
    // a browser that stores nothing
  }
}

function recall() {
  for (const form of document.querySelectorAll("form[data-keep]")) {
    const typed = JSON.parse(sessionStorage.getItem(typedIn(form)) ?? "[]");
    for (const [name, value] of typed) {
      const field = form.elements.namedItem(name);
      if (field instanceof HTMLInputElement && field.type !== "hidden" && !field.value) field.value = value;
    }
  }
}
