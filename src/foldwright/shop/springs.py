"""Springs: how far a fold opens when it is let go, and how far to fold it past its angle.

Room: shop. A web of skin over core, or of solid sheet, is bent to the curvature
of its zone, ``K = turn / zone``. Each layer is elastic up to its flow stress and
perfectly plastic past it, as wide as it is (plane strain); its neutral line lies
where pull and push are equal. Let go, it unloads elastically::

    springs back by  zone M(K) / EI

`layers` does the same for whole boards, which are alike about their middle; a
web is not. Its moment hardly grows once it has yielded, so a sharp fold springs
by the same angle whatever its turn, and a gentle one by most of it.

Start at `over_fold`; `over_fold_spread` says how sure it is.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from foldwright.errors import OutOfDomain
from foldwright.shop.layers import plane_strain
from foldwright.shop.materials import Board, Figure, Matter
from foldwright.shop.physical import require_above_zero, require_between
from foldwright.shop.webs import neutral_depth

# Depth of a web cut by hand [mm], and what the model itself leaves out: sheet unloads
# softer than its modulus says, and does not flow at one stress. Common practice, no source.
_WEB_SIGMA, _MODEL_SIGMA = 0.12, 0.2
# Figures of a matter that the springback hangs on.
_FIGURES = ("modulus", "poisson", "strength")
_MOST_STEPS = 80
_SETTLED = 1e-13  # share of the value that a last step moves it


@dataclass(frozen=True)
class _Layer:
    """From `top` to `bottom` under the free face of the skin [mm], E and flow stress [MPa]."""

    top: float
    bottom: float
    modulus: float
    flow: float

    def force(self, line: float, curvature: float) -> float:
        """Pull of the layer with the neutral line at a depth [N per mm]."""
        return self._force_to(self.bottom - line, curvature) - self._force_to(
            self.top - line, curvature
        )

    def moment(self, line: float, curvature: float) -> float:
        """Its moment about the neutral line [N mm per mm]."""
        return self._moment_to(self.bottom - line, curvature) - self._moment_to(
            self.top - line, curvature
        )

    def elastic(self, line: float, curvature: float) -> tuple[float, float, float]:
        """E times length, first and second moment of what is still elastic, from the line."""
        reach = self.flow / (self.modulus * curvature)
        a = min(max(self.top - line, -reach), reach)
        b = min(max(self.bottom - line, -reach), reach)
        e = self.modulus
        return e * (b - a), e * (b**2 - a**2) / 2.0, e * (b**3 - a**3) / 3.0

    def _force_to(self, y: float, curvature: float) -> float:
        reach = self.flow / (self.modulus * curvature)
        if abs(y) <= reach:
            return self.modulus * curvature * y**2 / 2.0
        return self.flow * (abs(y) - reach / 2.0)

    def _moment_to(self, y: float, curvature: float) -> float:
        reach = self.flow / (self.modulus * curvature)
        if abs(y) <= reach:
            return self.modulus * curvature * y**3 / 3.0
        return math.copysign(self.flow * (y**2 / 2.0 - reach**2 / 6.0), y)


def web_rigidity(board: Board, web: float) -> float:
    """EI of a web about its elastic neutral line, in plane strain [N mm2 per mm].

    Parameters
    ----------
    board : Board
    web : float
        Left under the cut, or the whole of a solid sheet [mm]; at least the skin.

    References
    ----------
    Transformed section, any text on composite beams.
    """
    layers = _layers(board, web)
    area = math.fsum(x.modulus * (x.bottom - x.top) for x in layers)
    first = math.fsum(x.modulus * (x.bottom**2 - x.top**2) / 2.0 for x in layers)
    second = math.fsum(x.modulus * (x.bottom**3 - x.top**3) / 3.0 for x in layers)
    return second - first**2 / area


def web_moment(board: Board, web: float, curvature: float) -> float:
    """Moment that holds a web at a curvature [N mm per mm].

    Parameters
    ----------
    board : Board
    web : float
        [mm].
    curvature : float
        K [1/mm], above 0.

    Raises
    ------
    OutOfDomain
        A web that is not there, or a curvature that is not above 0.

    References
    ----------
    Bending of elastic, perfectly plastic layers with plane sections; for one
    layer the closed form of texts on plasticity.

    Examples
    --------
    >>> from foldwright.shop import boards
    >>> sheet = boards()["al-5005-H24"].of_thickness(1.0)
    >>> round(web_moment(sheet, 1.0, 1.0), 1)  # all plastic: 2/sqrt(3) 130 t^2/4
    37.5
    """
    layers = _layers(board, web)
    require_above_zero(curvature, "the curvature", name="curvature", unit="1/mm")
    line = _neutral_line(layers, curvature, neutral_depth(board, web))
    return math.fsum(x.moment(line, curvature) for x in layers)


def spring_back(board: Board, web: float, zone_width: float, turn: float) -> float:
    """Angle by which a fold that is held at a turn opens when it is let go [rad].

    Parameters
    ----------
    board : Board
    web, zone_width : float
        What bends: how thick, and how wide in the flat [mm].
    turn : float
        Held at [rad], above 0.

    Returns
    -------
    float
        All of the turn while nothing has yielded.

    References
    ----------
    Elastic unloading of a plastic hinge, texts on sheet bending; for solid
    sheet the cubic of `springback` is the same.
    """
    require_above_zero(zone_width, "the zone that bends", name="zone_width")
    held = web_moment(board, web, turn / zone_width)
    return min(turn, zone_width * held / web_rigidity(board, web))


# Folds of one part ask the same over and over.
@lru_cache(maxsize=4096)
def over_fold(board: Board, web: float, zone_width: float, turn: float) -> float:
    """Angle to fold past a turn, so that the fold springs back to it [rad].

    Parameters
    ----------
    board : Board
    web, zone_width : float
        As in `spring_back` [mm].
    turn : float
        Wanted [rad], above 0.

    Notes
    -----
    ``turn = held - zone M(held/zone) / EI`` is solved by Newton's steps, from
    above: the moment is concave, so they do not pass the root. The slope of the
    moment is the rigidity of what is still elastic.
    """
    require_above_zero(zone_width, "the zone that bends", name="zone_width")
    require_above_zero(turn, "the turn", name="turn", unit="rad")
    layers, rigidity = _layers(board, web), web_rigidity(board, web)
    wanted, line = turn / zone_width, neutral_depth(board, web)
    most = math.fsum(x.flow * abs(x.bottom - line) ** 2 / 2.0 for x in layers)
    most += math.fsum(x.flow * abs(x.top - line) ** 2 / 2.0 for x in layers)
    bent = wanted + most / rigidity  # no moment is larger than this bound
    for _ in range(_MOST_STEPS):
        line = _neutral_line(layers, bent, line)
        held = math.fsum(x.moment(line, bent) for x in layers)
        area, first, second = (
            math.fsum(sums) for sums in zip(*(x.elastic(line, bent) for x in layers), strict=True)
        )
        left = 1.0 - (second - first**2 / area) / rigidity
        step = (bent - held / rigidity - wanted) / max(left, 1e-9)
        bent = max(bent - step, wanted)
        if abs(step) <= _SETTLED * bent:
            break
    return (bent - wanted) * zone_width


def over_fold_spread(board: Board, web: float, zone_width: float, turn: float) -> float:
    """How sure `over_fold` is, one standard deviation [rad].

    From the spread of each figure of the material, the depth of a web cut by
    hand (0.12 mm), and a fifth for what the model leaves out; the last two are
    common practice, no source. A folded strip, measured, beats it.
    """
    here = over_fold(board, web, zone_width, turn)
    parts = [_MODEL_SIGMA * here]
    for low, high in _moved(board):
        ends = [over_fold(end, web, zone_width, turn) for end in (low, high)]
        parts.append((ends[1] - ends[0]) / 2.0)
    if board.is_skinned:
        room = min(_WEB_SIGMA, 0.9 * (web - board.skin_thickness))
        ends = [over_fold(board, w, zone_width, turn) for w in (web - room, web + _WEB_SIGMA)]
        parts.append((ends[1] - ends[0]) / 2.0)
    return math.hypot(*parts)


def _layers(board: Board, web: float) -> tuple[_Layer, ...]:
    require_between(
        web,
        max(board.skin_thickness, math.nextafter(0.0, 1.0)),
        math.inf,
        "the web",
        name="web",
    )
    if board.core is None:
        return (_Layer(0.0, web, *_wide(board.face)),)
    skin = _Layer(0.0, board.skin_thickness, *_wide(board.face))
    if web <= board.skin_thickness:
        return (skin,)
    return skin, _Layer(board.skin_thickness, web, *_wide(board.core))


def _wide(matter: Matter) -> tuple[float, float]:
    return plane_strain(matter.modulus.value, matter.strength.value, matter.poisson.value)


def _neutral_line(layers: tuple[_Layer, ...], curvature: float, start: float) -> float:
    """Depth at which pull and push are equal: Newton's steps, halved where they leave the web."""
    low, high = layers[0].top, layers[-1].bottom
    line = start
    for _ in range(_MOST_STEPS):
        pull = math.fsum(x.force(line, curvature) for x in layers)
        low, high = (line, high) if pull > 0.0 else (low, line)
        # the pull falls, as the line sinks, by the stiffness of what is still elastic
        elastic = math.fsum(x.elastic(line, curvature)[0] for x in layers)
        following = line + pull / (curvature * elastic) if elastic > 0.0 else math.inf
        if not low <= following <= high:
            following = (low + high) / 2.0
        if abs(following - line) <= _SETTLED * layers[-1].bottom:
            return following
        line = following
    raise OutOfDomain(
        f"no neutral line is found in {layers[-1].bottom:g} mm at a radius of "
        f"{1.0 / curvature:g} mm. Check the figures of the material.",
        name="web",
    )


def _moved(board: Board) -> Iterator[tuple[Board, Board]]:
    """Yield the board with each figure down and up by its spread."""
    for name in _FIGURES:
        low, high = _with(board.face, name, -1.0), _with(board.face, name, 1.0)
        yield replace(board, face=low), replace(board, face=high)
        if board.core is not None:
            low, high = _with(board.core, name, -1.0), _with(board.core, name, 1.0)
            yield replace(board, core=low), replace(board, core=high)


def _with(matter: Matter, name: str, sigmas: float) -> Matter:
    figure: Figure = getattr(matter, name)
    value = figure.value * (1.0 + sigmas * figure.spread)
    if name == "poisson":
        value = min(value, 0.49)
    return replace(matter, **{name: replace(figure, value=value)})  # type: ignore[arg-type]
