"""How fast the page answers in a real browser, and twenty browsers at once on one build.

Run: python bench/page_crowd.py [browsers]

* First view: from the start of the command, and from its saying that it is ready, until
  the picture of the demo stands in the browser.
* From a reading that one browser has written down, until another shows it (a second is
  promised).
* So many browsers open pages and write readings on one build, all at the same time; any
  error, in a page or in the ledger afterwards, ends the bench with code 1.
"""

import asyncio
import json
import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))
from playwright.async_api import Browser, Page, async_playwright

from web.browser.driving import ARGUMENTS, Bench, command, find_browser, served
from web.conftest import copy_of_demo

TOLD = 5
PAINTED = "() => new Promise((done) => requestAnimationFrame(() => setTimeout(done)))"
ROUNDS = 3
# Parts that stand alone and their readings as drawn: no reading is doubtful.
PLACES = ("/", "/parts", "/changes", "/sizes", "/rack", "/reckoner", "/book")
READ = {"vent": ("height", 60.0), "tray": ("depth", 180.0), "horn": ("girth", 282.3)}


async def first_view(browser: Browser, bench: Bench) -> float:
    """Seconds from asking until the picture of the build is painted."""
    page = await browser.new_page(viewport={"width": 1280, "height": 900})
    begin = time.perf_counter()
    await page.goto(bench.at("/"))
    await page.locator("#picture svg").wait_for()
    await page.evaluate(PAINTED)
    taken = time.perf_counter() - begin
    await page.close()
    return taken


async def one_of_many(browser: Browser, bench: Bench, number: int) -> tuple[int, list[float]]:
    """Open every page and write readings; how many were written, and how long each took."""
    context = await browser.new_context(viewport={"width": 390, "height": 844})
    page = await context.new_page()
    troubles: list[str] = []
    page.on("pageerror", lambda error: troubles.append(f"script: {error}"))
    page.on(
        "response",
        lambda answer: answer.status >= 400 and troubles.append(f"{answer.status} {answer.url}"),
    )
    written, times = 0, []
    for turn in range(ROUNDS):
        for address in PLACES:
            begin = time.perf_counter()
            await page.goto(bench.at(address), timeout=120_000, wait_until="load")
            times.append(time.perf_counter() - begin)
        part = sorted(READ)[(number + turn) % len(READ)]
        written += await write(page, bench, part, number)
    await context.close()
    if troubles:
        raise AssertionError(f"browser {number}: " + "; ".join(troubles[:5]))
    return written, times


async def write(page: Page, bench: Bench, part: str, number: int) -> int:
    """Type one reading into a route sheet, as a maker does."""
    dim, drawn = READ[part]
    await page.goto(bench.at(f"/parts/{part}?measure={dim}"), timeout=120_000)
    await page.locator(f'input[name="value.{dim}"]').fill(f"{drawn + 0.1 * (number % 3):.1f}")
    await page.locator("button.write:visible").first.click()
    await page.locator("#came-out section").wait_for(timeout=120_000)
    return 1


async def told(browser: Browser, bench: Bench) -> list[float]:
    """Seconds from a reading that stands in one browser until it stands in another."""
    part, times = "vent", []
    here, there = await browser.new_page(), await browser.new_page()
    await there.goto(bench.at(f"/parts/{part}"))
    for number in range(TOLD):
        before = await there.locator("#history").text_content()
        await write(here, bench, part, number)
        begin = time.perf_counter()
        await there.wait_for_function(
            "(before) => document.getElementById('history').textContent !== before", arg=before
        )
        times.append(time.perf_counter() - begin)
    await here.close()
    await there.close()
    return times


async def measured(folder: Path, browsers: int) -> None:
    """Serve the build, and clock it."""
    path, trouble = find_browser()
    if path is None:
        raise SystemExit(trouble)
    async with async_playwright() as playwright:
        browser = await playwright.chromium.launch(executable_path=path, args=ARGUMENTS)
        start = time.perf_counter()
        with served(folder) as bench:
            ready = time.perf_counter()
            seen = await first_view(browser, bench)
            print(f"ready {ready - start:.2f} s after the command, first view {seen:.2f} s later")
            print(f"first view again {await first_view(browser, bench):.2f} s")
            news = await told(browser, bench)
            print(
                f"a reading of one browser shown by another, {len(news)} times: "
                f"median {statistics.median(news):.2f} s, worst {max(news):.2f} s"
            )
            before = entries(folder)
            begin = time.perf_counter()
            crowd = await asyncio.gather(
                *(one_of_many(browser, bench, number) for number in range(browsers))
            )
            taken = time.perf_counter() - begin
            written = sum(count for count, _ in crowd)
            waits = [wait for _, every in crowd for wait in every]
            kept = entries(folder) - before
            print(
                f"{browsers} browsers at once: {len(waits)} pages and {written} readings in "
                f"{taken:.1f} s, no error; a page takes {statistics.median(waits):.2f} s "
                f"median, {max(waits):.2f} s at worst"
            )
            if kept != written:
                raise SystemExit(f"{written} readings were written, {kept} are in the ledger")
        await browser.close()


def entries(folder: Path) -> int:
    """How many readings the ledger holds, by the command line."""
    file = folder.parent / "so-far.jsonl"
    command("export", folder, file)
    lines = [json.loads(line) for line in file.read_text().splitlines()]
    file.unlink()
    return sum(line.get("kind") == "reading" for line in lines)


if __name__ == "__main__":
    browsers = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    with tempfile.TemporaryDirectory() as place:
        asyncio.run(measured(copy_of_demo(Path(place) / "harbour-signal-lamp"), browsers))
