"""The order of the rooms: who may use whom, read from the imports themselves."""

import ast
from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

SRC = Path(__file__).parent.parent / "src"

# A room uses only rooms of lines above its own. `errors` is for all.
ORDER = (
    ("errors",),
    ("files", "box"),
    ("plan",),
    ("scans",),
    ("shop",),
    ("shape",),
    ("flat",),
    ("ledger",),
    ("fit",),
    ("sheet", "joining"),
    ("reckon",),
    ("reference",),
    ("draw",),
    ("calibration", "forming_folds", "forming_movement"),
    ("forming",),
    ("intended",),
    ("known",),
    ("make",),
    ("driven",),
    ("build_book",),
    (
        "start",
        "readings",
        "progress",
        "outputs",
        "sizing",
        "what_next",
    ),  # what page and command line both do with a `Made`
    ("web",),
    ("cli",),
)
LINE = {room: line for line, rooms in enumerate(ORDER) for room in rooms}

MODULES = {
    ".".join(path.relative_to(SRC).with_suffix("").parts).removesuffix(".__init__"): path
    for path in sorted((SRC / "foldwright").rglob("*.py"))
}


def imports(tree: ast.AST, known: dict[str, Path] = MODULES) -> Iterator[str]:
    """Names of our own modules that a module imports, wherever in it."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (a.name for a in node.names if a.name.split(".")[0] == "foldwright")
        elif isinstance(node, ast.ImportFrom):
            if node.level:
                yield "." * node.level + (node.module or "")
            elif (node.module or "").split(".")[0] == "foldwright":
                for alias in node.names:
                    inner = f"{node.module}.{alias.name}"
                    yield inner if inner in known else str(node.module)


def room(module: str) -> str:
    return module.split(".")[1] if "." in module else ""


def breaks(module: str, source: str) -> list[str]:
    """Sentences on what in the imports of a module breaks the order."""
    found = []
    for target in imports(ast.parse(source)):
        if target.startswith("."):
            found.append(f"{module} imports {target} relatively")
        elif room(target) not in ("", room(module)) and (LINE[room(target)] >= LINE[room(module)]):
            found.append(f"{module} imports {target}, which comes after it")
    return found


def test_every_room_has_its_place_in_the_order():
    assert {room(module) for module in MODULES} - {""} <= set(LINE)


@pytest.mark.parametrize("module", MODULES)
def test_a_room_uses_only_rooms_before_it(module):
    if module == "foldwright":
        assert list(imports(ast.parse(MODULES[module].read_text()))) == []
        return
    assert breaks(module, MODULES[module].read_text()) == []


def test_modules_do_not_import_each_other_in_a_circle():
    graph = {
        module: {t for t in imports(ast.parse(path.read_text())) if t in MODULES}
        for module, path in MODULES.items()
    }
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        pytest.fail(f"circle: {' -> '.join(error.args[1])}")


def test_mechanics_know_no_plan():
    """`shop` may use numbers with slopes, and nothing else of `plan`."""
    for module, path in MODULES.items():
        if room(module) == "shop":
            used = {t for t in imports(ast.parse(path.read_text())) if room(t) == "plan"}
            assert used <= {"foldwright.plan.dual"}, module


def test_only_one_module_knows_the_database():
    users = [m for m, path in MODULES.items() if "sqlite3" in path.read_text().split()]
    assert users == ["foldwright.ledger.database"]


@pytest.mark.parametrize(
    ("source", "words"),
    [
        ("from foldwright.fit import refit", "comes after it"),
        ("def f():\n    import foldwright.cli", "comes after it"),
        ("from foldwright import fit", "comes after it"),
        ("from .nets import net", "relatively"),
    ],
)
def test_a_breach_would_be_seen(source, words):
    assert [words in sentence for sentence in breaks("foldwright.flat.nets", source)] == [True]


def test_what_is_allowed_is_not_taken_for_a_breach():
    source = (
        "import math\nfrom foldwright.errors import OutOfDomain\n"
        "from foldwright.shape import frames\nfrom foldwright.flat.pattern import Piece\n"
    )
    assert breaks("foldwright.flat.nets", source) == []
