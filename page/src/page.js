// On every page. What the server says has changed is fetched and put in its place; what is
// being typed stays. What is sent while there is no connection is kept and sent later.

import { keepForms, sendKept } from "./_kept.js";
import { stayWhileLost } from "./_lost.js";
import { putInPlace, released, whenLeft } from "./_live.js";

const AGAIN = 2000; // how long until a closed line is tried again, ms
const SOON = 100; // what is sent meanwhile is answered by then, as a rule, ms
const line = document.getElementById("line");

let fetching = null;
let isWanted = false;

// Whoever asks while the page is being fetched waits until it was fetched once more.
function refresh() {
  isWanted = true;
  fetching ??= fetchAnew().finally(() => (fetching = null));
  return fetching;
}

async function fetchAnew() {
  try {
    do {
      isWanted = false;
      const answer = await fetch(location.href, { headers: { Accept: "text/html" } });
      const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
      await released();
      if (answer.status === 401 || answer.url.endsWith("/pair")) {
        say("This device has to be let in again.", "/pair");
        return;
      }
      if (!fresh.body.dataset.version) return;
      if (answer.redirected && document.querySelector("[data-leads-on]")) {
        location.replace(answer.url); // what was waited for is there
        return;
      }
      putInPlace(fresh, answer.ok ? "[data-live]" : "#faults");
      if (!answer.ok) say(fresh.getElementById("refused")?.textContent ?? "");
      document.body.dataset.version = fresh.body.dataset.version;
      document.body.dataset.token = fresh.body.dataset.token;
      for (const field of document.querySelectorAll('input[name="token"]')) {
        field.value = fresh.body.dataset.token;
      }
      document.dispatchEvent(new CustomEvent("refreshed"));
      lookAtDrawings();
    } while (isWanted);
  } catch {
    isWanted = true; // no connection: it is fetched when the line is open again
  }
}

// What is picked on drawings, as last told. An answer may have been under way meanwhile, so
// what stands here is held against it after each.
let drawings = "";
let later = 0;
function lookAtDrawings() {
  clearTimeout(later);
  const shown = document.querySelector("[data-drawings]");
  if (shown && drawings && shown.dataset.drawings !== drawings) later = setTimeout(refresh, SOON);
}

function say(words, address = "") {
  line.textContent = words;
  if (address) {
    const link = document.createElement("a");
    link.href = address;
    link.textContent = "Go there";
    line.append(" ", link);
  }
  line.hidden = !words;
}

// One line to the server, while the page is looked at: a browser has only six in all.
let events = null;
let wasLost = false;
let timer = 0;

function listen() {
  clearTimeout(timer);
  if (events || document.hidden) return;
  events = new EventSource("/live");
  events.addEventListener("open", () => {
    clearTimeout(timer);
    if (wasLost || isWanted) refresh(); // it may be another server by now
    else askForJobs();
    if (wasLost) say("");
    wasLost = false;
    sendKept();
  });
  events.addEventListener("version", (event) => {
    if (event.data !== document.body.dataset.version) refresh();
  });
  events.addEventListener("drawings", (event) => {
    drawings = event.data;
    lookAtDrawings();
  });
  events.addEventListener("devices", () => {
    if (document.getElementById("devices")) refresh();
  });
  events.addEventListener("job", (event) => move(JSON.parse(event.data)));
  events.addEventListener("error", () => {
    if (!wasLost) say("No connection. What you type is kept."); // once: more may be said meanwhile
    wasLost = true;
    if (events.readyState === EventSource.CLOSED) {
      events = null;
      clearTimeout(timer);
      timer = setTimeout(listen, AGAIN);
      fetch("/live", { method: "HEAD" }).then((answer) => {
        if (answer.status === 401) say("This device has to be let in again.", "/pair");
      }, () => {});
    }
  });
}

document.addEventListener("visibilitychange", () => {
  if (!document.hidden) {
    listen();
  } else if (events) {
    events.close();
    events = null;
  }
});
addEventListener("pagehide", () => events?.close());
addEventListener("pageshow", (event) => {
  if (!event.persisted) return;
  events = null;
  wasLost = true;
  listen();
});

function move(job) {
  const shown = document.querySelector(`[data-job="${CSS.escape(job.id)}"]`);
  const isGoing = job.state === "waiting" || job.state === "running";
  if (!isGoing || !shown) {
    if (shown || document.querySelector(`[data-jobs~="${CSS.escape(job.kind)}"]`)) refresh();
    return;
  }
  shown.querySelector("[data-job-words]").textContent = job.words;
  const bar = shown.querySelector("progress");
  if (job.of) {
    bar.max = job.of;
    bar.value = job.done;
  } else {
    bar.removeAttribute("value");
  }
}

// A job that ended before anyone listened, or while a page came, is told by nobody.
function askForJobs() {
  for (const shown of document.querySelectorAll("[data-job]")) {
    fetch(`/jobs/${shown.dataset.job}`, { headers: { Accept: "application/json" } })
      .then(async (answer) => (answer.ok ? move(await answer.json()) : refresh()), () => {});
  }
}
document.addEventListener("renewed", () => {
  lookAtDrawings();
  askForJobs();
});

whenLeft(refresh);
keepForms(refresh);
stayWhileLost(() => wasLost || !navigator.onLine, say);
listen();
