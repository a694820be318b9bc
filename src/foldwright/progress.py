"""Progress: how far a part is, said by its maker, and what is spoiled.

Which stages a part goes through depends on what it is: a tube is not folded, what is
curled is not grooved. A stage that it does not go through may still be marked.
"""

from __future__ import annotations

from foldwright.errors import OutOfDomain
from foldwright.ledger import STAGES, Ledger, Scrap, StageReached, has_reached
from foldwright.make import Made, part_named
from foldwright.plan import Bought


def mark(made: Made, ledger: Ledger, name: str, stage: str, note: str = "") -> StageReached:
    """Say that a part has reached a stage.

    Parameters
    ----------
    made : Made
    ledger : Ledger
    name : str
        Of the part.
    stage : str
        One of `STAGES` after the one it is at.
    note : str

    Raises
    ------
    UnknownName
        No such part or stage.
    OutOfDomain
        The part is there already, or further; also under its earlier name, which the
        ledger alone cannot tell.
    """
    part = part_named(made, name)
    reached = made.marked.get(part.was, "planned")
    if part.was and has_reached(reached, stage):
        raise OutOfDomain(
            f"{part.name} is {reached} already: it was marked so while it was called {part.was}. "
            "Mark what comes after that, or let it be.",
            name="stage",
        )
    return ledger.mark(part.name, stage, note, revision=made.revision_of(part.name))


def scrap(made: Made, ledger: Ledger, name: str, note: str = "") -> Scrap:
    """Say that a part is spoiled and will be made again; its readings are remembered.

    Raises
    ------
    UnknownName
        No such part.
    """
    part = part_named(made, name)
    return ledger.scrap(part.name, note, was=part.was)


def stages_left(made: Made, name: str) -> tuple[str, ...]:
    """Stages that a part goes through and has before it, the next one first.

    Raises
    ------
    UnknownName
        No such part.
    """
    part = part_named(made, name)
    if isinstance(part, Bought):
        return ()
    pattern = made.pattern(name)
    folds = [fold for piece in pattern.pieces for fold in piece.folds]
    goes_through = {
        "planned": False,
        "grooved": any(fold.cut_side != "none" for fold in folds),
        "folded": bool(folds),
        "closed": any(piece.curved or piece.seams for piece in pattern.pieces),
        "joined": bool(pattern.pieces),
    }
    # as it was marked: a reading alone says nothing of what was done to the part since
    stage = made.stage(name)
    return tuple(s for s in STAGES if not has_reached(stage, s) and goes_through.get(s, True))
