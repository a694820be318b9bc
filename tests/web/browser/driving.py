"""A real browser on a real server: what the tests of the page share.

`Bench` is one build being served by the command; `Eye` is one browser window that
looks at it and writes down whatever goes wrong in it: a script that fails, a request
that fails or leaves this machine, a breach of the page's own content security policy.
"""

import hashlib
import io
import os
import signal
import subprocess
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from urllib.parse import urlsplit

from PIL import Image, ImageDraw

from foldwright.scans import Drawings
from forked import run
from web.server import Server

ROOT = Path(__file__).parents[3]
SCREENSHOTS = ROOT / "build" / "screenshots"

DESKTOP = {"viewport": {"width": 1280, "height": 900}}
PHONE = {
    "viewport": {"width": 390, "height": 844},
    "device_scale_factor": 2,
    "has_touch": True,
    "is_mobile": True,
}
SIZES = {"desktop": DESKTOP, "phone": PHONE}
SCHEMES = ("light", "dark")

ARGUMENTS = [
    "--no-sandbox",  # a container's root has none; only our own pages are opened
    "--use-gl=angle",
    "--use-angle=swiftshader",  # draws the scene without a graphics card
    "--enable-unsafe-swiftshader",
    "--disable-gpu-compositing",  # the scene aside, which keeps its GL: pages are painted faster
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
# What the browser says of the scene, which it has to read back to paint it without GL.
_READ_BACK = "GPU stall due to ReadPixels"


def drawing_of_a_plate():
    """A plate of 200 by 100 mm drawn at 4 pixels to the mm, with 40 mm of paper round it."""
    sheet = Image.new("L", (1120, 720), 255)
    ImageDraw.Draw(sheet).rectangle((160, 160, 960, 560), outline=0, width=3)
    png = io.BytesIO()
    sheet.save(png, "png")
    return png.getvalue()


def put_plate_drawing(folder):
    """Put the drawing of a plate beside a build, with a pick of every kind."""
    drawings = Drawings(folder)
    id = drawings.put(drawing_of_a_plate(), "plate.png").id
    for kind, points, given in (
        ("known", [(160, 160), (960, 160)], [200.0]),
        ("known", [(160, 160), (160, 560)], [100.0]),
        ("length", [(160, 160), (160, 560)], []),
        ("angle", [(160, 560), (160, 160), (960, 160)], []),
        ("outline", [(160, 160), (960, 160), (960, 560), (160, 560)], []),
        ("hole", [(300, 300), (340, 340), (260, 340)], []),
    ):
        drawings.change(id, lambda d, k=kind, p=points, g=given: d.picked(k, p, g))
    return id


@cache
def plate_id():
    """What the drawing of the plate is called in any build."""
    return hashlib.sha256(drawing_of_a_plate()).hexdigest()[:20]


@cache
def find_browser():
    """Path of a Chromium, or None, and what the search said."""
    found = subprocess.run(
        ["sh", str(ROOT / "scripts" / "browser.sh")], capture_output=True, text=True, timeout=60
    )
    return (found.stdout.strip() or None) if found.returncode == 0 else None, found.stderr.strip()


def must_have_browser():
    """Whether a missing browser is a failure and no reason to skip."""
    return bool(os.environ.get("CI")) or bool(os.environ.get("FOLDWRIGHT_BROWSER"))


def launched(playwright):
    """Start the browser, without a window on this screen."""
    browser, trouble = find_browser()
    assert browser, trouble
    return playwright.chromium.launch(executable_path=browser, args=ARGUMENTS)


def command(*words):
    """Run the command line; return what it printed."""
    code, out, err = run(*words, strict=False)
    assert code == 0, err
    return out


@dataclass
class Bench:
    """A build that is being served."""

    folder: Path
    url: str
    said: list[str] = field(default_factory=list)

    def at(self, address):
        """Whole address of a page."""
        return self.url + address

    def seen_from(self, url):
        """Tell how the same build is reached by another address."""
        return Bench(self.folder, url.rstrip("/"), self.said)

    def edit(self, old, new):
        """Change the plan in an editor, this once."""
        plan = self.folder / "plan.toml"
        text = plan.read_text()
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in the plan"
        plan.write_text(text.replace(old, new))


@contextmanager
def served(folder, *options):
    """Serve a build with the real command, on a free port, until left."""
    server = Server(folder, *options)
    try:
        yield Bench(folder, server.url, server.said)
    finally:
        server.end(signal.SIGTERM)
    assert "Traceback" not in server.words, server.words


class Eye:
    """A browser of its own, with its cookies, that looks at one bench.

    Parameters
    ----------
    browser : playwright.sync_api.Browser
    bench : Bench
    size : str
        "desktop" or "phone".
    scheme : str
        "light" or "dark".
    """

    def __init__(self, browser, bench, size="desktop", scheme="light"):
        self.bench = bench
        self.troubles = []
        self._expected = []
        self.context = browser.new_context(
            **SIZES[size], color_scheme=scheme, reduced_motion="reduce", accept_downloads=True
        )
        self.context.set_default_timeout(15_000)
        self.context.set_default_navigation_timeout(60_000)
        self.context.on("console", self._heard)
        self.context.on("weberror", lambda error: self.troubles.append(f"script: {error.error}"))
        self.context.on("request", self._asked)
        self.context.on("requestfailed", self._failed)
        self.page = self.context.new_page()

    def open(self, address):
        """Open a page and wait until it is drawn; return the page."""
        answer = self.page.goto(self.bench.at(address))
        assert answer is not None and answer.status < 400, f"{address}: {answer and answer.status}"
        self.page.evaluate("document.fonts.ready.then(() => true)")
        return self.page

    def expect(self, trouble):
        """Let troubles with these words in them be: the test brings them about itself."""
        self._expected.append(trouble)

    def close(self):
        """Close the browser; whatever went wrong in it fails the test."""
        self.context.close()
        left = [t for t in self.troubles if not any(words in t for words in self._expected)]
        assert not left, "the browser had troubles:\n" + "\n".join(left)

    def _heard(self, message):
        # a breach of the content security policy is told as an error too
        if message.type in ("error", "warning") and _READ_BACK not in message.text:
            self.troubles.append(
                f"{message.type}: {message.text} {message.location.get('url', '')}"
            )

    def _asked(self, request):
        url = urlsplit(request.url)
        if url.scheme in ("data", "blob"):
            return
        if f"{url.scheme}://{url.netloc}" != self.bench.url:
            self.troubles.append(f"request to elsewhere: {request.url}")

    def _failed(self, request):
        # what is under way when a page is left, or becomes a download, is given up by the browser
        if request.failure != "net::ERR_ABORTED":
            self.troubles.append(f"request failed: {request.url} {request.failure}")
