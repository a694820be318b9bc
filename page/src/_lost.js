// While the connection is lost no sheet is left for one that cannot be had: the browser would
// show a page of its own instead, and no way back to what was typed. A link or a form that
// would lead there looks for the build first, and says so if it is not there.

const PATIENCE = 10_000; // how long it is looked for, ms: a machine that was just begun is slow

const WORDS = "No connection, so that cannot be fetched or sent now. What you typed is kept here: "
  + "stay on this sheet, and press again when the connection is back.";

export function stayWhileLost(isLost, say) {
  let passed = null; // a form that goes on, since the build was found

  const look = async (goOn) => {
    say("Looking for the build.");
    try {
      await fetch("/live", { method: "HEAD", cache: "no-store", signal: AbortSignal.timeout(PATIENCE) });
    } catch {
      say(WORDS);
      return;
    }
    goOn();
  };

  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[href]");
    const isPlain = event.button === 0 && !(event.ctrlKey || event.metaKey || event.shiftKey || event.altKey);
    if (!link || !isPlain || event.defaultPrevented || !isLost()) return;
    const url = new URL(link.getAttribute("href"), location.href);
    const isHere = url.pathname === location.pathname && url.search === location.search;
    if (url.origin !== location.origin || (isHere && url.hash)) return;
    event.preventDefault();
    look(() => location.assign(url));
  });

  document.addEventListener("submit", (event) => {
    const { target: form, submitter } = event;
    const isKept = form.matches("[data-keep]"); // has a way of its own
    if (isKept || event.defaultPrevented || form === passed || !isLost()) return;
    event.preventDefault();
    look(() => {
      passed = form;
      form.requestSubmit(submitter);
      passed = null;
    });
  });
}
