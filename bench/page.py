"""How soon the first view is there, how large what is sent is, how fluently the build turns.

Run: python bench/page.py

Serves the demo, and then a made-up build of 200 parts, each in a process of its own. Times
are those of one run on the machine at hand; sizes are as sent, packed. Without a browser
the frames are left out, and it says so.
"""

import gzip
import json
import shutil
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))
from playwright.sync_api import sync_playwright

from web.browser.driving import command, find_browser, launched, served

ROOT = Path(__file__).parents[1]
DEMO = ROOT / "examples" / "harbour-signal-lamp"
STATIC = ROOT / "src" / "foldwright" / "web" / "static"
FRAMES, PATIENCE = 120, 20.0  # turned by so many, or for so long [s]


def many_parts(folder: Path) -> None:
    """A plate with 99 open boxes and 100 drums on it, every seventh of them measured.

    Leaves a plan and the history of its readings.
    """
    places = [
        "[\n" + ",\n".join(f'{{ on = "base.top", at = [{x}, {y}] }}' for x, y in spots) + ",\n]"
        for spots in (
            [(40 + 130 * (i % 10), 40 + 130 * (i // 10)) for i in range(99)],
            [(1400 + 130 * (i % 10), 100 + 130 * (i // 10)) for i in range(100)],
        )
    ]
    (folder / "plan.toml").write_text(
        f"""
[build]
name = "Two hundred parts"

[rack.board3]
material = "acp-3-0.3"
sheets = [{{ size = [3000, 1500], count = 9, price = 68 }}]

[rack.board2]
material = "acp-2-0.2"
sheets = [{{ size = [1000, 2000], count = 9, price = 41 }}]

[rack.pipe60]
former_d = 60

[part.base]
kind = "plate"
from = "board3"
outline = [[0, 0], [2900, 0], [2900, 1400], [0, 1400]]
place = {{ at = [0, 0], lift = 100 }}

[part.case]
kind = "box"
from = "board3"
count = 99
width = 90
depth = 80
height = 60
leave_open = ["bottom"]
place = {places[0]}

[part.drum]
kind = "drum"
from = "board2"
count = 100
outside_d = 90
length = 120
former = "pipe60"
place = {places[1]}
""",
        encoding="utf-8",
    )
    sets = (("case", 99, "width", 90.0), ("drum", 100, "length", 120.0))
    readings = [
        {
            "kind": "reading",
            "part": f"{part}-{number}",
            "dim": dim,
            "value": drawn + 0.1 * (number % 5 - 2),
            "tool": "rule",
            "bare": True,
            "when": f"2031-01-{1 + number // 7:02d}T10:00:00Z",
            "note": "",
            "revision": 0,
            "drawn": drawn,
            "sigma": 0.25,
            "making": 1,
            "instead": False,
        }
        for part, count, dim, drawn in sets
        for number in range(1, count + 1, 7)
    ]
    head = {"foldwright": "ledger", "form": 1, "entries": len(readings)}
    head |= {"length": "mm", "angle": "rad", "time": "UTC"}
    lines = [head, *({"id": i, **reading} for i, reading in enumerate(readings, 1))]
    text = "".join(json.dumps(line) + "\n" for line in lines)
    (folder / "history.jsonl").write_text(text, encoding="utf-8")


def seconds_for(address: str) -> tuple[float, bytes]:
    """How long an answer takes, and the answer as it was sent."""
    request = urllib.request.Request(
        address, headers={"Accept": "text/html", "Accept-Encoding": "gzip"}
    )
    start = time.perf_counter()
    with urllib.request.urlopen(request) as answer:
        body = answer.read()
    return time.perf_counter() - start, body


def figures(address: str) -> None:
    """Print times and sizes of one build."""
    first, body = seconds_for(address + "/")
    print(f"  first view after it listens      {first:6.2f} s, {len(body) / 1000:.0f} kB")
    again, _ = seconds_for(address + "/")
    print(f"  the same again                   {again:6.2f} s")
    turned = [seconds_for(f"{address}/picture?eye={turn},24")[0] for turn in range(40, 140, 20)]
    print(f"  picture for another eye, median  {sorted(turned)[2]:6.2f} s")
    stands, _ = seconds_for(address + "/?stands=1")
    print(f"  with how the meets stand         {stands:6.2f} s more")
    _, scene = seconds_for(address + "/scene.glb")
    plain = gzip.decompress(scene) if scene[:2] == b"\x1f\x8b" else scene
    print(
        f"  scene                            {len(scene) / 1000:6.0f} kB of {len(plain) / 1000:.0f}"
    )


def frames_of(address: str) -> None:
    """Turn the build by script, a degree a frame, and print how many frames came in a second."""
    script = """async ([frames, patience]) => {
      const about = document.getElementById("picture").dataset;
      const { Scene } = await import("/static/scene.js");
      const data = await (await fetch("/scene.glb")).arrayBuffer();
      const begun = performance.now();
      const scene = new Scene(document.getElementById("stage"), data, about);
      const read = performance.now() - begun;
      document.getElementById("stage").classList.add("turning");
      const next = () => new Promise(requestAnimationFrame);
      const pixel = new Uint8Array(4), gl = scene.renderer.getContext();
      const drawn = () => gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, pixel);
      await next();
      scene.draw([0, 20], about);
      drawn();
      const own = [], start = performance.now();
      for (let i = 1; i <= frames && performance.now() < start + 1000 * patience; i++) {
        await next();
        const before = performance.now();
        scene.draw([i, 20], about);
        own.push(performance.now() - before);
        drawn(); // a frame counts once it is drawn, not once it is asked for
      }
      const ms = performance.now() - start;
      const { calls, triangles } = scene.renderer.info.render;
      own.sort((a, b) => a - b);
      return { ms, read, frames: own.length, own: own[own.length >> 1], calls, triangles,
               size: `${scene.canvas.width} x ${scene.canvas.height}` };
    }"""
    with sync_playwright() as playwright:
        browser = launched(playwright)
        page = browser.new_page(viewport={"width": 1280, "height": 900})
        page.goto(address, wait_until="domcontentloaded")
        page.wait_for_selector("#picture svg")
        found = page.evaluate(script, [FRAMES, PATIENCE])
        browser.close()
    rate = found["frames"] / found["ms"] * 1000.0
    print(f"  turned by script                 {rate:6.1f} frames/s of {found['size']} pixels")
    print(f"    script's own share of a frame  {found['own']:6.2f} ms, median")
    print(f"    scene read and made ready      {found['read']:6.0f} ms")
    print(f"    draw calls, triangles          {found['calls']:6d}, {found['triangles']}")


def main() -> None:
    """Print all figures."""
    found, trouble = find_browser()
    scripts = {file.name: len(gzip.compress(file.read_bytes(), 5)) for file in STATIC.glob("*.js")}
    print(f"scripts, packed: {sum(scripts.values()) / 1000:.0f} kB in all")
    for name, size in sorted(scripts.items(), key=lambda item: -item[1]):
        print(f"  {name:32s} {size / 1000:6.1f} kB")
    with tempfile.TemporaryDirectory() as scratch:
        demo, many = Path(scratch, "demo"), Path(scratch, "many")
        demo.mkdir()
        many.mkdir()
        for file in ("plan.toml", "history.jsonl"):
            shutil.copy(DEMO / file, demo)
        many_parts(many)
        for name, folder in (("the demo, 26 parts", demo), ("200 parts", many)):
            print(name)
            command("import", folder, folder / "history.jsonl")
            with served(folder) as bench:
                figures(bench.url)
                if found:
                    frames_of(bench.url)
                else:
                    print(f"  {trouble}")


if __name__ == "__main__":
    main()
