// On every page: what the server says has changed is fetched and put in its place.
// Regions marked data-live are replaced by those of the same id; what is being typed stays.

async function refresh() {
  const answer = await fetch(location.href, { headers: { Accept: "text/html" } });
  if (!answer.ok) return;
  const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
  for (const old of document.querySelectorAll("[data-live]")) {
    const now = fresh.getElementById(old.id);
    if (now && !old.contains(document.activeElement)) old.replaceWith(now);
  }
  document.body.dataset.version = fresh.body.dataset.version;
  document.dispatchEvent(new CustomEvent("refreshed"));
}

const events = new EventSource("/live");
events.addEventListener("version", (event) => {
  if (event.data !== document.body.dataset.version) refresh();
});
