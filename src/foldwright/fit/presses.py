"""Presses: a plug in a tube, judged by the two diameters to hundredths.

Room: fit. What the plan leaves open the shop says: the plug is aimed at where
the tube first yields and a little past it (`plan_press_plug`), and may come
out two deviations of a file to either side, as long as it sits at all and does
not split the tube.
"""

from __future__ import annotations

from foldwright.errors import OutOfDomain
from foldwright.fit.clearance import Clearance, Scene, cannot_meet, clearance
from foldwright.plan import AnyPart, Meet, Plug, Tube
from foldwright.plan.dual import number
from foldwright.shop import plan_press_plug
from foldwright.shop.press_plugs import FILING

_EITHER_WAY = 2.0  # deviations of filing about the aim
_FINEST = 0.01  # mm; what a caliper shows


def presses_into(meet: Meet, scene: Scene) -> tuple[Clearance, ...]:
    """Plug less bore, on the diameter."""
    plug = scene.section(meet.ends[0], mouth=False)
    bore = scene.section(meet.ends[-1], mouth=True)
    if not plug.is_round:
        raise cannot_meet(
            meet,
            f"{meet.inner} is not round, so it has no interference on a diameter.",
            "Press a plug or a disc in, or let it slide in with a gap.",
        )
    one, other = plug.spans[0], bore.spans[0]
    return (
        clearance(
            meet,
            "",
            one.value - other.value,
            meet.range_of("interference") or usual_interference(meet, scene),
            (f"{meet.inner}.{one.dim}", f"{meet.outer}.{other.dim}"),
            "interference",
        ),
    )


def usual_interference(meet: Meet, scene: Scene) -> tuple[float, float]:
    """Range that the shop would work for, plug less bore [mm].

    Raises
    ------
    CannotMake
        No round metal tube and plug of known board, or no interference at
        which the plug holds; says why, and asks for one in the plan.
    """
    plug, tube = scene.parts[meet.inner], scene.parts[meet.outer]
    remedy = "Write interference = [lowest, highest] with this meet."
    if not isinstance(plug, Plug) or not isinstance(tube, Tube) or tube.square:
        raise cannot_meet(
            meet, "what it takes is reckoned for a plug in a round tube alone.", remedy
        )
    boards = [scene.boards.get(part.stock) for part in (tube, plug)]
    if boards[0] is None or boards[1] is None:
        raise cannot_meet(meet, "what tube and plug are made of is not known here.", remedy)
    bore = tube.across - 2.0 * tube.thickness
    try:
        plan = plan_press_plug(
            bore,
            tube.thickness,
            _length(plug),
            tube=boards[0].face,
            plug=boards[1].face,
            jaws_low=0.0,  # as drawn, not as read
        )
    except OutOfDomain as error:
        raise cannot_meet(meet, str(error), remedy) from error
    aim = plan.over_bore
    low = max(aim - _EITHER_WAY * FILING, plan.loss + _FINEST)
    # as much to the other side, so that the middle of the range is the aim
    return low, max(2.0 * aim - low, low + _FINEST)


def _length(plug: AnyPart) -> float:
    assert isinstance(plug, Plug)
    return number(plug.length.value(plug.values()))
