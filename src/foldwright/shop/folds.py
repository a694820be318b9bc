"""Folds: where the flat ends, how wide the bend is, when a groove shuts.

Room: shop. Knows boards, knows nothing of plans or shapes. `flat` asks it for
the `FoldSection` of each edge it wants to fold.

A fold turns through `turn` [rad], positive towards the inside of the part
(convex), negative towards the outside (re-entrant). What bends is the *web*:
the board left under a cut, or the whole sheet if nothing is cut. The *zone*
is the strip that bends; the *setback* is the distance from the outside mould
line, where the two outside faces would meet, back to the zone.

With interior dihedral phi, theta = ``|turn|`` = ``|pi - phi|``, c = tan(theta/2),
board t, web w, cut depth h = t - w, floor g, cutter angle alpha, and k the
neutral line of the web from its concave face as a share of w::

    zone            g = theta (r + k w)
    setback         s = (distance from the bend centre to the outside skin) c
    cut still open  r > h (1 - tan(alpha/2) / c)
    skin strain     z theta / g

The web cannot stretch on the whole, so the floor of a groove *is* its zone.

Start at `choose_section`; the other functions are its steps.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from foldwright.errors import OutOfDomain
from foldwright.shop.materials import Board

# Gap that has to stay between the flanks of a groove when the fold is where
# it is held: common practice, no source.
SHUTTING_MARGIN = math.radians(1.0)
# Floors are widened in steps that a fence can be set to.
_FLOOR_STEP = 0.5
# Core left on the skin by default; web depth of a hand-held router is good to
# 0.1 to 0.15 mm (common practice, no source).
_CORE_LEFT = 0.5
# Beyond this the two faces run into one another; a seam is the way.
SHARPEST_TURN = math.radians(175.0)
SLIGHTEST_TURN = math.radians(0.5)


@dataclass(frozen=True)
class SetUp:
    """One cutter of the maker: included angle [rad], narrowest and widest floor [mm]."""

    name: str
    angle: float
    floor: float
    widest: float


@dataclass(frozen=True)
class FoldRequest:
    """What is asked of a fold; None leaves the choice to `choose_section`.

    `method` is ``"groove"``, ``"open"`` or ``"bend"``; `web`, `floor`,
    `radius` [mm]; `cutter` [rad]; `k` [-], from a folded test strip.
    """

    method: str | None = None
    web: float | None = None
    floor: float | None = None
    cutter: float | None = None
    radius: float | None = None
    k: float | None = None


@dataclass(frozen=True)
class FoldSection:
    """A fold worked out in cross-section.

    Attributes
    ----------
    turn : float
        [rad], negative re-entrant.
    method, cut_side : str
        As in `FoldRequest`; ``"inside"``, ``"outside"`` or ``"none"``.
    web, k, inner_radius, zone_width, setback : float
        [mm], [-], [mm], [mm], [mm]; the setback may be negative.
    floor, cutter, cutter_name : float, float, str
        What to set: flat of the cut [mm], included angle [rad], which cutter.
    shuts_at : float
        Turn at which the cut shuts [rad]; infinite if never.
    over_fold : float
        Springback to allow for [rad].
    strain : float
        Of the skin, or of the outer fibre of a bend [-].
    corner_loss : float
        How far the round of the fold stays inside the mould line [mm].
    note : str
        Why the set-up is not the one asked for; empty if it is.
    """

    turn: float
    method: str
    cut_side: str
    web: float
    k: float
    inner_radius: float
    zone_width: float
    setback: float
    floor: float
    cutter: float
    cutter_name: str
    shuts_at: float
    over_fold: float
    strain: float
    corner_loss: float
    note: str = ""

    @property
    def deduction(self) -> float:
        """What the blank is shorter than the two outside lengths [mm]: 2 s - zone."""
        return 2.0 * self.setback - self.zone_width


def neutral_depth(board: Board, web: float) -> float:
    """Depth of the neutral line under the free face of the skin of a web.

    Rigid-plastic balance of a web that is skin over core: tension and
    compression are equal, so::

        z = t_s/2 + sigma_core (w - t_s) / (2 sigma_skin)

    A solid web bends about its middle.

    Parameters
    ----------
    board : Board
    web : float
        w [mm], at least the skin.

    Returns
    -------
    float
        z [mm].

    References
    ----------
    Force balance of a rigid-plastic layered strip in pure bending; any text
    on plastic bending. The folded test strip of the maker overrides it.
    """
    if board.core is None:
        return web / 2.0
    skin = board.skin_thickness
    ratio = board.core.strength.value / board.face.strength.value
    return skin / 2.0 + ratio * (web - skin) / 2.0


def k_din_6935(radius: float, thickness: float) -> float:
    """Neutral line of a bend of solid sheet, as a share of its thickness.

    DIN 6935 gives k for half the thickness, ``k = 0.65 + 0.5 lg(r/s)``, at
    most 1; the share of the whole thickness is half of that.

    Parameters
    ----------
    radius, thickness : float
        Inside radius r and thickness s [mm], above 0.

    Raises
    ------
    OutOfDomain
        r/s so small that the formula leaves no material inside (under 0.06).

    References
    ----------
    DIN 6935, Cold bending of flat rolled steel; formula as given in
    textbook reprints.
    """
    if not (radius > 0.0 and thickness > 0.0):
        raise OutOfDomain(
            f"a bend needs a radius and a thickness above 0, got {radius:g} and {thickness:g} mm.",
            name="radius",
        )
    k = min(1.0, 0.65 + 0.5 * math.log10(radius / thickness))
    if k <= 0.05:
        raise OutOfDomain(
            f"an inside radius of {radius:g} mm is too sharp for {thickness:g} mm sheet. "
            f"Use at least {0.1 * thickness:.2g} mm.",
            name="radius",
        )
    return k / 2.0


def shutting_turn(floor: float, web: float, thickness: float, cutter: float, k: float) -> float:
    """Turn at which the flanks of a groove or kerf touch.

    Solves ``g/theta - k w = h (1 - tan(alpha/2) / tan(theta/2))``; both sides
    are monotonic in theta, so bisection is safe. A saw kerf (alpha = 0) has
    the closed form ``g / (h + k w)``.

    Parameters
    ----------
    floor, web, thickness : float
        g, w, t [mm].
    cutter : float
        alpha [rad], 0 for a saw kerf.
    k : float
        Neutral line [-].

    Returns
    -------
    float
        [rad]; infinite if it never shuts below pi.
    """
    depth = thickness - web
    flank = math.tan(cutter / 2.0)

    def opening(theta: float) -> float:
        return floor / theta - k * web - depth * (1.0 - flank / math.tan(theta / 2.0))

    low, high = 1e-6, math.pi - 1e-9
    if opening(high) > 0.0:
        return math.inf
    while high - low > 1e-13:
        middle = (low + high) / 2.0
        low, high = (middle, high) if opening(middle) > 0.0 else (low, middle)
    return low


def spring_back(board: Board, web: float, zone_width: float) -> float:
    """Angle by which a fold opens again when let go.

    The web is fully plastic while it is folded and unloads elastically, so it
    opens by ``M_p / EI`` per mm of zone, whatever the turn. Plane strain.
    Uncertain by about half of its value; a folded test strip tells better.

    Parameters
    ----------
    board : Board
    web, zone_width : float
        [mm].

    Returns
    -------
    float
        [rad].

    References
    ----------
    Elastic unloading of a plastic hinge, as in texts on sheet bending; the
    linear term of the cubic springback formula for solid sheet is the same.
    """
    stiff, flow = board.face.plane_strain_modulus, board.face.strength.value
    if board.core is None:
        return zone_width * (flow * web**2 / 4.0) / (stiff * web**3 / 12.0)
    skin, core = board.skin_thickness, web - board.skin_thickness
    z = neutral_depth(board, web)
    core_flow, core_stiff = board.core.strength.value, board.core.plane_strain_modulus
    moment = (
        flow * (z**2 + (skin - z) ** 2) / 2.0 + core_flow * ((web - z) ** 2 - (skin - z) ** 2) / 2.0
    )
    lever = (skin + core) / 2.0
    coupled = stiff * skin * core_stiff * core / (stiff * skin + core_stiff * core)
    rigidity = stiff * skin**3 / 12.0 + core_stiff * core**3 / 12.0 + coupled * lever**2
    return zone_width * moment / rigidity


def choose_section(
    board: Board, turn: float, request: FoldRequest, set_ups: tuple[SetUp, ...]
) -> FoldSection:
    """Work out a fold, choosing the set-up that makes it.

    The set-up asked for is used if it shuts far enough beyond the turn and
    strains the skin no more than it can take. Else the floor is widened, then
    the next cutter is tried, in the order of the maker's list.

    Parameters
    ----------
    board : Board
    turn : float
        [rad], negative re-entrant.
    request : FoldRequest
    set_ups : tuple of SetUp
        The maker's cutters.

    Raises
    ------
    OutOfDomain
        No set-up does it, a turn under 0.5 or near 180 degrees, or a web that
        the board does not have; ``name`` is the key of the fold table to change.
    """
    if not SLIGHTEST_TURN <= abs(turn) <= SHARPEST_TURN:
        raise OutOfDomain(
            f"a fold of {math.degrees(abs(turn)):.1f} degrees cannot be made; "
            "between 0.5 and 175 can. Change the outline, or cut a seam there.",
            name="outline",
        )
    method = request.method or _usual_method(board, turn)
    if method == "bend":
        return _bend(board, turn, request)
    web = _web(board, request)
    return _cut_fold(board, turn, method, web, request, set_ups)


def _usual_method(board: Board, turn: float) -> str:
    # A groove from outside would show, so re-entrant folds are cut open from inside.
    if not board.is_skinned:
        return "bend"
    return "groove" if turn > 0.0 else "open"


def _web(board: Board, request: FoldRequest) -> float:
    least = board.skin_thickness
    web = request.web if request.web is not None else least + _CORE_LEFT
    if not least < web < board.thickness:
        raise OutOfDomain(
            f"a web of {web:g} mm is not to be had in {board.thickness:g} mm board"
            + (f" with {least:g} mm skins" if least else "")
            + f". Leave between {least:g} and {board.thickness:g} mm.",
            name="fold.web",
        )
    return web


def _bend(board: Board, turn: float, request: FoldRequest) -> FoldSection:
    if board.is_skinned:
        raise OutOfDomain(
            "skinned board cracks when it is bent without a cut. "
            'Use method = "groove", or "open" for a re-entrant fold.',
            name="fold.method",
        )
    t, theta = board.thickness, abs(turn)
    least = board.face.bend_radius.value * t
    radius = request.radius if request.radius is not None else least
    if radius < least:
        raise OutOfDomain(
            f"an inside radius of {radius:g} mm would crack {t:g} mm {board.what}. "
            f"Use at least {least:.1f} mm.",
            name="fold.radius",
        )
    k = request.k if request.k is not None else k_din_6935(radius, t)
    to_outside = radius + t if turn > 0.0 else radius
    return FoldSection(
        turn=turn,
        method="bend",
        cut_side="none",
        web=t,
        k=k,
        inner_radius=radius,
        zone_width=theta * (radius + k * t),
        setback=to_outside * math.tan(theta / 2.0),
        floor=0.0,
        cutter=0.0,
        cutter_name="",
        shuts_at=math.inf,
        over_fold=spring_back(board, t, theta * (radius + k * t)),
        strain=1.0 / (2.0 * radius / t + 1.0),
        corner_loss=to_outside * (1.0 / math.cos(theta / 2.0) - 1.0),
    )


def _cut_fold(
    board: Board,
    turn: float,
    method: str,
    web: float,
    request: FoldRequest,
    set_ups: tuple[SetUp, ...],
) -> FoldSection:
    was_asked = request.floor is not None or request.cutter is not None
    first_reason = ""
    for cutter in _in_wished_order(request, set_ups):
        floor = cutter.floor if request.floor is None else max(request.floor, cutter.floor)
        while floor <= cutter.widest + 1e-9:
            section = _section_of(board, turn, method, web, floor, cutter, request.k)
            reason = _why_not(board, section)
            if not reason:
                return _with_note(section, first_reason) if was_asked and first_reason else section
            first_reason = first_reason or reason
            floor += _FLOOR_STEP
    what = first_reason or "there is none"
    raise OutOfDomain(
        f"a fold of {math.degrees(abs(turn)):.1f} degrees cannot be made with any cutter on the "
        f"list: {what}. Add a cutter with a wider angle or a wider floor, or cut a seam there.",
        name="fold",
    )


def _in_wished_order(request: FoldRequest, set_ups: tuple[SetUp, ...]) -> list[SetUp]:
    wished = request.cutter
    if wished is None:
        return list(set_ups)
    return sorted(set_ups, key=lambda cutter: abs(cutter.angle - wished) > 1e-9)


def _section_of(
    board: Board,
    turn: float,
    method: str,
    web: float,
    floor: float,
    cutter: SetUp,
    measured_k: float | None,
) -> FoldSection:
    theta, t = abs(turn), board.thickness
    closes = method == "groove"
    z = neutral_depth(board, web)
    k = measured_k if measured_k is not None else (1.0 - z / web if closes else z / web)
    radius = floor / theta - k * web
    # The web lies on the outside skin when the cut comes from inside. Its
    # concave face looks to the side that the fold turns to.
    cut_inside = closes == (turn > 0.0)
    low, high = (-web, 0.0) if cut_inside else (-t, -t + web)
    to_outside = radius - low if turn > 0.0 else radius + high
    return FoldSection(
        turn=turn,
        method=method,
        cut_side="inside" if cut_inside else "outside",
        web=web,
        k=k,
        inner_radius=radius,
        zone_width=floor,
        setback=to_outside * math.tan(theta / 2.0),
        floor=floor,
        cutter=cutter.angle,
        cutter_name=cutter.name,
        shuts_at=shutting_turn(floor, web, t, cutter.angle, k) if closes else math.inf,
        over_fold=spring_back(board, web, floor),
        strain=z * theta / floor,
        corner_loss=abs(to_outside) * (1.0 / math.cos(theta / 2.0) - 1.0),
    )


def _why_not(board: Board, section: FoldSection) -> str:
    """Return why a section cannot be folded, in words; empty if it can."""
    held = abs(section.turn) + section.over_fold
    if section.inner_radius < 0.0:
        least = section.k * section.web * abs(section.turn)
        return f"a floor of {section.floor:g} mm is too narrow, the web needs {least:.1f}"
    if section.shuts_at < held + SHUTTING_MARGIN:
        return (
            f"a {math.degrees(section.cutter):.0f} degree groove with a {section.floor:g} mm floor "
            f"shuts at {math.degrees(section.shuts_at):.1f} degrees"
        )
    limit = board.face.bend_strain
    if section.strain > limit:
        return (
            f"a {section.floor:g} mm floor strains the skin by {100 * section.strain:.0f} in 100, "
            f"{100 * limit:.0f} is the most"
        )
    return ""


def _with_note(section: FoldSection, reason: str) -> FoldSection:
    note = (
        f"{reason[0].upper()}{reason[1:]}, so set {section.floor:g} mm with the "
        f"{math.degrees(section.cutter):.0f} degree cutter."
    )
    return replace(section, note=note)
