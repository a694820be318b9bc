"""Cautions: what can hurt, and what to do about it, hazard first.

Room: draw. Common practice, no source; each defers to local rules and to
qualified people where the hazard is theirs.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Caution:
    """One caution: its hazard as a heading, a few sentences, and what fits beside a step."""

    hazard: str
    text: str
    short: str = ""

    @property
    def said(self) -> tuple[str, str]:
        """Hazard and sentences, as a sheet sets them."""
        return self.hazard, self.text


SKINS = Caution(
    "Sharp skins.",
    "Gloves to carry, eyes covered to cut. File every edge before you fold or hand it on.",
    "Gloves to carry, eyes covered to cut; file every edge.",
)
ROUTER = Caution(
    "Router, saw and dust.",
    "Clamp the board and keep hands behind the cutter. Eyes, ears, mask; take the dust off where "
    "it is made.",
    "Clamp the board, hands behind the cutter; eyes, ears, mask.",
)
ONCE = Caution(
    "One fold, once.",
    "The skin cracks if a fold is opened and shut. A groove too shallow shuts early: stop, deepen "
    "it, never force it.",
    "Opened and shut, the skin cracks. Shuts early? Deepen it, never force it.",
)
SPRING = Caution(
    "Sheet that springs.",
    "A curl under load can slip off its former and strike. Keep face and fingers out of its way "
    "and tie it before you let go.",
    "A curl can slip and strike. Face and fingers away; tie it before you let go.",
)
GLUE = Caution(
    "Glue and paint fumes.",
    "Open air or a mask for what you use, gloves, no flame. Read the maker's sheet and keep to it.",
    "Air or a mask, gloves, no flame; read the maker's sheet.",
)
HOT = Caution(
    "Hot work.",
    "A hot line burns skin and gives off fumes. Gloves, air, nothing beside it that burns, and "
    "never leave it on.",
    "It burns skin and fumes. Gloves, air; never leave it on.",
)
HAMMER = Caution(
    "Hammer and eyes.",
    "Chips fly from hardened faces and plugs. Eyes covered, a soft block between, nobody across "
    "from you.",
    "Chips fly. Eyes covered, a soft block between.",
)
TUBE = Caution(
    "Saw and burrs.",
    "Clamp tube and bar so that they cannot turn. Eyes covered; file every burr before your hand "
    "goes near the end.",
    "Clamp it so that it cannot turn; eyes covered; file every burr.",
)
DRILL = Caution(
    "Drills that snatch.",
    "Hold the work down, back it with scrap, no gloves or sleeves near the drill, eyes covered.",
    "Hold the work down; no gloves or sleeves near the drill; eyes covered.",
)
HANGING = Caution(
    "Lifting and hanging.",
    "What hangs over people, stands where it may fall, or is carried overhead is for a qualified "
    "person to work out and to inspect, by the rules of the place. Nothing in this book does that.",
    "For a qualified person, by the rules of the place.",
)
MAINS = Caution(
    "Mains and batteries.",
    "Wiring is for a qualified person. Metal skins conduct: they may have to be earthed, and no "
    "wire may lie on a raw edge.",
    "For a qualified person.",
)

# What stands on one kind of sheet alone, beside its drawing.
EDGES = Caution(
    "Sharp edges.",
    "Cut skins are sharp and offcuts spring. Gloves to carry, eyes covered to cut, the sheet "
    "held down. File every edge before folding.",
)
ROUTED_EDGES = Caution(
    "Router and sharp skins.",
    "Clamp the board and keep hands behind the cutter. Eyes, ears, mask. File every edge before "
    "folding.",
)
GAUGED = Caution(
    "Sharp skins.",
    "File the edges before you fold; keep fingers out of the closing fold.",
)
LARGE_SHEETS = Caution(
    "Large sheets and sharp skins.",
    "Two people carry a whole sheet. Support it on both sides of the cut, clamp it, and wear "
    "gloves to carry and glasses to cut. Follow the rules of your shop and the saw's maker.",
)

EVERY = (SKINS, ROUTER, ONCE, SPRING, TUBE, DRILL, HAMMER, HOT, GLUE, HANGING, MAINS)
