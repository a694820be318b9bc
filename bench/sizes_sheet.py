"""How long a changed size takes to the redrawn sheet: on the server alone, and in a browser.

    python bench/sizes_sheet.py [ROUNDS]

Every size of the demo is changed so many times, each time to a number that was not there
before. As a maker types, the first answer has the part that changes most, with picture and
blank, and the second the others; the bench tells both. Times of the server are those of
one request without a network; times in the browser run from the key to the frame that
shows what it changed. Without a browser it says so, and tells those of the server.
"""

import os
import re
import statistics
import sys
import tempfile
import time
import warnings
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))
from playwright.sync_api import sync_playwright

from foldwright.web import LiveBuild, page_of
from web.browser.driving import find_browser, launched, served
from web.conftest import copy_of_demo

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

# From the key to the frame with the first answer, and to the one where nothing is missing.
REDRAWN = """async ([field, text]) => {
  for (const other of document.querySelectorAll("input[data-written]")) {
    other.value = other.dataset.written;
  }
  const input = document.getElementById(field), drawn = document.getElementById("drawn");
  const begin = performance.now();
  const painted = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  const changed = new Promise((done) => {
    let first = 0;
    const watch = new MutationObserver(async (seen) => {
      if (seen.some((s) => s.type === "childList") && !first) {
        first = -1;
        await painted();
        first = performance.now() - begin;
      }
      if (!first || drawn.classList.contains("waiting")) return;
      watch.disconnect();
      await painted();
      done([first, performance.now() - begin]);
    });
    watch.observe(drawn, { childList: true, attributes: true, attributeFilter: ["class"] });
  });
  input.value = text;
  input.dispatchEvent(new Event("input", { bubbles: true }));
  const times = await changed;
  if (!drawn.textContent.includes("As it would be")) throw new Error(drawn.textContent);
  return times;
}"""


def tell(what: str, times: list[float]) -> None:
    """Print the median and the worst of some times [ms]."""
    print(
        f"  {what:<34} median {statistics.median(times):5.0f} ms, worst {max(times):5.0f} ms, "
        f"{len(times)} changes"
    )


def on_the_server(folder: Path, rounds: int) -> None:
    """Ask as a browser asks while one types."""
    app = page_of(LiveBuild(folder))
    browser = TestClient(app, base_url="http://127.0.0.1", client=("127.0.0.1", 50000))
    text = browser.get("/sizes", headers={"Accept": "text/html"}).text
    sent = dict(re.findall(r'name="((?:plan|give|trust)\.\w+)" value="([^"]*)"', text))
    sent["token"] = re.search(r'data-token="(\w+)"', text)[1]
    took: dict[str, list[float]] = {"first": [], "all": []}
    worked = []
    for turn in range(rounds):
        for name in (name for name in sent if name.startswith("plan.")):
            body = sent | {name: f"{float(sent[name]) + 0.1 * (turn + 1):.2f}", "try": "1"}
            at_work = time.process_time()
            for drawn, times in took.items():
                begun = time.perf_counter()
                answer = browser.post("/sizes", data=body | {"drawn": drawn})
                times.append(1e3 * (time.perf_counter() - begun))
                assert answer.status_code == 200 and "As it would be" in answer.text
                if drawn == "first":
                    worked.append(1e3 * (time.process_time() - at_work))
    app.state.jobs.close()
    print("On the server:")
    tell("the part that changes most", took["first"])
    tell("of it the processor's time", worked)
    tell("then the others", took["all"])


def in_the_browser(folder: Path, rounds: int) -> None:
    """Type in a browser, and look when it is drawn."""
    with served(folder) as bench, sync_playwright() as playwright:
        browser = launched(playwright)
        page = browser.new_page(viewport={"width": 1280, "height": 900})
        page.goto(bench.at("/sizes"))
        fields = page.locator('input[id^="plan."]').evaluate_all(
            "all => all.map((field) => [field.id, Number(field.dataset.written)])"
        )
        times = [
            page.evaluate(REDRAWN, [field, f"{value + 0.1 * (turn + 1):.2f}"])
            for turn in range(rounds)
            for field, value in fields
        ]
        browser.close()
    print("In the browser, from the key to the frame that shows it:")
    tell("the part that changes most", [first for first, _ in times])
    tell("all that is drawn", [whole for _, whole in times])


def main(rounds: int) -> None:
    """Change sizes, and print how long the answers took."""
    with tempfile.TemporaryDirectory() as folder:
        demo = copy_of_demo(Path(folder) / "demo")
        print(f"Load before: {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors.")
        on_the_server(demo, rounds)
        found, trouble = find_browser()
        if found:
            in_the_browser(demo, rounds)
        else:
            print(trouble)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 10)
