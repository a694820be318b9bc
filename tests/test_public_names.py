"""Each room imports its public names one by one and lists them, sorted."""

import ast
import importlib
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "src" / "foldwright"
ROOMS = sorted(path.parent.name for path in PACKAGE.glob("*/__init__.py"))


def imported(room: str) -> list[str]:
    """Names that the room's ``__init__`` imports, in order."""
    tree = ast.parse((PACKAGE / room / "__init__.py").read_text())
    return [
        alias.asname or alias.name
        for node in tree.body
        if isinstance(node, ast.ImportFrom) and node.module != "__future__"
        for alias in node.names
    ]


def in_order(name: str) -> tuple[int, str]:
    """Constants, then classes, then functions, each by name: the order that ruff keeps."""
    if name.isupper():
        return 0, name
    return (1 if name[0].isupper() else 2), name


def test_there_are_rooms():
    assert {"plan", "ledger"} <= set(ROOMS)


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_lists_what_it_imports(room):
    public = importlib.import_module(f"foldwright.{room}").__all__

    assert "*" not in imported(room)
    assert set(public) == set(imported(room))
    assert public == sorted(set(public), key=in_order)
    assert not [name for name in public if name.startswith("_")]


@pytest.mark.parametrize("room", ROOMS)
def test_public_names_are_described(room):
    """What is callable has a docstring; constants say themselves what they are."""
    module = importlib.import_module(f"foldwright.{room}")
    bare = [
        name
        for name in module.__all__
        if callable(getattr(module, name)) and not getattr(module, name).__doc__
    ]
    assert bare == []


@pytest.mark.parametrize("path", sorted(PACKAGE.rglob("*.py")), ids=lambda p: p.stem)
def test_no_room_takes_another_ones_private_names(path):
    taken = [
        f"{node.module}.{alias.name}"
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("foldwright")
        for alias in node.names
        if alias.name.startswith("_")
    ]
    assert taken == []
