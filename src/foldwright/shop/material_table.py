"""The table of materials, and those that a maker adds to it.

Room: shop. The built-in table is ``materials.toml`` beside this file. A plan
may bring tables of its own, each like a built-in board but for the figures
that it gives.

Start at `boards` and `matters`; `board_from_table` reads a maker's table.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cache
from importlib.resources import files
from typing import Any

from foldwright.errors import OutOfDomain, offer_names
from foldwright.shop.materials import FIGURES, Board, Figure, Matter

# Of a core only what a fold, a weight or a movement asks.
_CORE_FIGURES = (
    "density",
    "modulus",
    "poisson",
    "strength",
    "proof",
    "tensile",
    "elongation",
    "expansion",
)
_CORE_KEYS = tuple(f"core_{figure}" for figure in _CORE_FIGURES)
_OWN_KEYS = ("what", "like", "thickness", "skin_thickness", *FIGURES, *_CORE_KEYS)
# What a material may well have none of.
_MAY_BE_ZERO = ("bend_radius", "hardening", "swelling")
# What it is sold as; a matter that is sold as none is only part of skinned board.
_FORMS = ("thicknesses", "tubes", "bars")
_SIZES = "common trade sizes, no source"
_OWN_SPREAD = 0.05  # of a figure that the maker gives; common practice, no source


@cache
def matters() -> Mapping[str, Matter]:
    """Return the built-in matters by name.

    Examples
    --------
    >>> matters()["al-5005-H24"].density.value
    2700.0
    """
    table = _table()
    return {
        name: _matter({**table["group"].get(entry.get("group", ""), {}), **entry})
        for name, entry in table["matter"].items()
    }


@cache
def boards() -> Mapping[str, Board]:
    """Return the built-in boards by name: skinned ones, then sheet, tube and bar."""
    table = _table()
    skinned = {name: _skinned(name, entry) for name, entry in table["board"].items()}
    solid = {
        name: _solid(name, entry)
        for name, entry in table["matter"].items()
        if any(form in entry for form in _FORMS)
    }
    return skinned | solid


def thicknesses() -> dict[str, float | None]:
    """Return the thickness [mm] of each built-in board; None where any is sold."""
    return {name: board.thickness or None for name, board in boards().items()}


def _matter(entry: Mapping[str, Any]) -> Matter:
    return Matter(
        what=entry["what"],
        folds=tuple(entry["folds"]),
        **{key: _figure(**entry[key]) for key in FIGURES},
    )


def _figure(value: float, spread: float, source: str, table: Sequence[str] = ()) -> Figure:
    return Figure(float(value), float(spread), source, tuple(table))


def _skinned(name: str, entry: Mapping[str, Any]) -> Board:
    thickness = float(entry["thickness"])
    return Board(
        name=name,
        what=entry["what"],
        thickness=thickness,
        skin_thickness=float(entry["skin_thickness"]),
        face=matters()[entry["face"]],
        core=matters()[entry["core"]],
        source=entry["source"],
        thicknesses=(thickness,),
    )


def _solid(name: str, entry: Mapping[str, Any]) -> Board:
    return Board(
        name=name,
        what=entry["what"],
        thickness=0.0,
        skin_thickness=0.0,
        face=matters()[name],
        core=None,
        source=_SIZES,
        thicknesses=tuple(float(t) for t in entry.get("thicknesses", ())),
        tubes=tuple((float(d), float(wall)) for d, wall in entry.get("tubes", ())),
        bars=tuple(float(d) for d in entry.get("bars", ())),
    )


@cache
def _table() -> dict[str, Any]:
    text = files(__package__).joinpath("materials.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def board_from_table(name: str, table: Mapping[str, object]) -> Board:
    """Read a material table that a maker wrote into a plan.

    Parameters
    ----------
    name : str
        Name of the table, ``[material.NAME]``.
    table : Mapping
        ``like`` names the built-in board that it starts from; every other key
        replaces one figure: thickness, skin_thickness [mm]; any figure of
        `Matter` in its unit, for the skins of a skinned board; and with
        ``core_`` before it one of the core.

    Raises
    ------
    OutOfDomain
        Unknown key or board, or a figure that no material has.
    """
    unknown = [key for key in table if key not in _OWN_KEYS]
    if unknown:
        raise OutOfDomain(
            f'Material "{name}" has no figure "{unknown[0]}". {offer_names(unknown[0], _OWN_KEYS)}',
            name=unknown[0],
        )
    like = str(table.get("like", ""))
    if like not in boards():
        raise OutOfDomain(
            f'Material "{name}" needs like = "..." with the built-in board it resembles. '
            f"{offer_names(like, boards())}",
            name="like",
        )
    start = boards()[like]
    given = {
        key: _number(name, key, value)
        for key, value in table.items()
        if key not in ("what", "like")
    }
    core = start.core
    if core is None:
        for key in given:
            if key.startswith("core_") or key == "skin_thickness":
                raise OutOfDomain(
                    f'Material "{name}": {key} is of skinned board, and "{like}" is solid. '
                    f"Leave {key} out, or start from a skinned board.",
                    name=key,
                )
    else:
        core = _changed(name, core, given, "core_")
    board = Board(
        name=name,
        what=str(table.get("what", start.what)),
        thickness=given.get("thickness", start.thickness),
        skin_thickness=given.get("skin_thickness", start.skin_thickness),
        face=_changed(name, start.face, given, ""),
        core=core,
        source="the plan's own table",
    )
    if board.is_skinned and 2.0 * board.skin_thickness >= board.thickness:
        raise OutOfDomain(
            f'Material "{name}": two skins of {board.skin_thickness:g} mm leave no core in '
            f"{board.thickness:g} mm. Make skin_thickness smaller.",
            name="skin_thickness",
        )
    return board


def _changed(name: str, matter: Matter, given: Mapping[str, float], prefix: str) -> Matter:
    """Return a matter with the figures that a table gives under `prefix`."""
    own = {
        figure: Figure(given[prefix + figure], _OWN_SPREAD, "the plan's own figure")
        for figure in FIGURES
        if prefix + figure in given
    }
    changed = replace(matter, **own)  # type: ignore[arg-type]
    if changed.poisson.value >= 0.5:
        raise OutOfDomain(
            f'Material "{name}": {prefix}poisson is {changed.poisson.value:g}; '
            "solids have 0 to 0.5. Write the share, like 0.33.",
            name=f"{prefix}poisson",
        )
    if changed.tensile.value < changed.proof.value:
        key = f"{prefix}tensile" if "tensile" in own else f"{prefix}proof"
        raise OutOfDomain(
            f'Material "{name}": a tensile strength of {changed.tensile.value:g} MPa lies under '
            f"the proof stress of {changed.proof.value:g} MPa. Give both, {prefix}tensile the "
            "larger.",
            name=key,
        )
    return changed


def _number(name: str, key: str, value: object) -> float:
    least = 0.0 if key in _MAY_BE_ZERO else math.nextafter(0.0, 1.0)
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    if not is_number or not least <= float(value) < math.inf:  # type: ignore[arg-type]
        raise OutOfDomain(
            f'Material "{name}": {key} = {value!r} is not a number '
            + ("of 0 or more." if key in _MAY_BE_ZERO else "above 0."),
            name=key,
        )
    return float(value)  # type: ignore[arg-type]
