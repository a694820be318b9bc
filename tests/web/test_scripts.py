"""The scripts in the package are those that the sources of the page make."""

import gzip
import hashlib
import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "page"
STATIC = ROOT / "src" / "foldwright" / "web" / "static"
# What all scripts of the page may weigh as they are sent.
MOST = 300_000


def digest_of_sources():
    """As page/build.mjs works it out."""
    names = sorted(path.name for path in (PAGE / "src").iterdir())
    digest = hashlib.sha256()
    for name in ["package-lock.json", "build.mjs", *(f"src/{name}" for name in names)]:
        digest.update(name.encode() + b"\0" + (PAGE / name).read_bytes() + b"\0")
    return digest.hexdigest()


def test_every_script_is_built_from_the_sources_as_they_are():
    now = digest_of_sources()
    old = [
        path.name
        for path in STATIC.glob("*.js")
        if path.read_text().splitlines()[0] != f"// built from {now}"
    ]

    assert old == [], "run `make page` and commit what it makes"


def test_every_entry_has_its_script_and_every_script_its_entry():
    entries = {path.name for path in (PAGE / "src").glob("*.js") if path.name[0] != "_"}

    assert {path.name for path in STATIC.glob("*.js")} == entries


def test_scripts_are_light():
    packed = sum(len(gzip.compress(path.read_bytes(), 5)) for path in STATIC.glob("*.js"))

    assert packed < MOST


def test_nothing_is_fetched_from_elsewhere():
    """Styles and scripts of the page name no other site."""
    for path in [*STATIC.glob("*.css"), *(PAGE / "src").iterdir()]:
        named = re.findall(r"[a-z]+://[\w./-]+", path.read_text())
        assert set(named) <= {"http://www.w3.org/2000/svg"}, path.name  # the name of SVG
    for path in STATIC.glob("*.css"):
        for part in path.read_text().split("url(")[1:]:
            name = part.split(")")[0].strip("\"'")
            assert (STATIC / name).is_file(), f"{path.name}: {name}"
