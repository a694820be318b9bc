"""Drawings: a picture with what was picked on it, as it is kept beside the build.

Room: scans. Picks are kept in pixels of the picture as it was taken in, never in
mm: when a known place is moved, everything picked moves with it. Records are
frozen; a change gives a new drawing.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

from foldwright.errors import NoPicture, OutOfDomain, UnknownName
from foldwright.scans.frame import Point

FORMAT = "foldwright-drawing/1"

KINDS: Mapping[str, tuple[int, int]] = {
    "place": (1, 1),
    "known": (2, 2),
    "length": (2, 2),
    "angle": (3, 3),
    "outline": (3, 400),
    "hole": (3, 100),
}
"""What can be picked, and how many points it has at least and at most. A `place` is a point
whose x and y in mm are known, `known` a length that is known."""

_GIVEN = {"place": 2, "known": 1}
_MOST_PICKS = 500
_LONGEST_NAME = 80
_FURTHEST = 100_000.0  # mm; as far as any number of a plan


@dataclass(frozen=True)
class Pick:
    """Something picked off a drawing.

    Attributes
    ----------
    id : int
    kind : str
        One of `KINDS`.
    points : tuple of (x, y)
        [pixels]
    given : tuple of float
        What is known beforehand [mm]: x and y of a place, the length of a known length.
    name : str
        What the maker calls it; may be empty.
    size, part : str
        Size or part of the plan that it was written to; empty if none.
    """

    id: int
    kind: str
    points: tuple[Point, ...]
    given: tuple[float, ...] = ()
    name: str = ""
    size: str = ""
    part: str = ""


@dataclass(frozen=True)
class Drawing:
    """A drawing that sizes are taken from.

    Attributes
    ----------
    id : str
        Made from the content of its file.
    name : str
        Name of the file as it came, to be shown only.
    suffix, source_suffix : str
        Kind of the picture that is picked on, and of the file as it came.
    width, height : int
        [pixels]
    page, pages : int
    mm_per_pixel : float or None
        As the file says, if it does.
    is_exact : bool
        Whether a program drew the page.
    page_scale : float
        How many times larger things are than the page shows them; 0 as long as nobody
        says, and then the size of the page counts for nothing.
    picking : float
        One standard deviation of a pick in x and in y [pixels].
    sure : float
        One standard deviation of what is known beforehand [mm].
    picks : tuple of Pick
    """

    id: str
    name: str
    suffix: str
    source_suffix: str
    width: int
    height: int
    page: int = 1
    pages: int = 1
    mm_per_pixel: float | None = None
    is_exact: bool = False
    page_scale: float = 0.0
    picking: float = 1.0
    sure: float = 0.2
    picks: tuple[Pick, ...] = ()

    def pick(self, id: int) -> Pick:
        """One pick.

        Raises
        ------
        UnknownName
        """
        for pick in self.picks:
            if pick.id == id:
                return pick
        raise UnknownName("pick", str(id), [str(pick.id) for pick in self.picks])

    def of_kind(self, kind: str) -> tuple[Pick, ...]:
        """Picks of one kind, in the order they were picked."""
        return tuple(pick for pick in self.picks if pick.kind == kind)

    def picked(
        self,
        kind: str,
        points: Sequence[Point],
        given: Sequence[float] = (),
        name: str = "",
    ) -> Drawing:
        """With one pick more.

        Raises
        ------
        OutOfDomain
            It is not what a pick of its kind has to be.
        """
        if len(self.picks) >= _MOST_PICKS:
            raise OutOfDomain(
                f"{_MOST_PICKS} picks are on this drawing already. Take some away, or put the "
                "drawing in a second time.",
                name="picks",
            )
        id = max((pick.id for pick in self.picks), default=0) + 1
        return replace(
            self, picks=(*self.picks, self._sound(Pick(id, kind, (), ()), points, given, name))
        )

    def moved(
        self,
        id: int,
        points: Sequence[Point],
        given: Sequence[float] | None = None,
        name: str | None = None,
    ) -> Drawing:
        """With the points of a pick elsewhere; errors as `picked`."""
        pick = self.pick(id)
        now = self._sound(
            pick,
            points,
            pick.given if given is None else given,
            pick.name if name is None else name,
        )
        return replace(self, picks=tuple(now if p.id == id else p for p in self.picks))

    def with_point(self, id: int, index: int, point: Point) -> Drawing:
        """With one point of a pick elsewhere, its others as they are now; errors as `picked`."""
        points = list(self.pick(id).points)
        if not 0 <= index < len(points):
            raise OutOfDomain(
                f"There is no point {index + 1} in this pick any more. Load the sheet again.",
                name="points",
            )
        points[index] = point
        return self.moved(id, points)

    def without(self, id: int) -> Drawing:
        """Without one pick."""
        self.pick(id)
        return replace(self, picks=tuple(pick for pick in self.picks if pick.id != id))

    def undone(self) -> Drawing:
        """Without what was picked last."""
        if not self.picks:
            raise OutOfDomain("Nothing is picked on this drawing yet.", name="picks")
        return self.without(max(pick.id for pick in self.picks))

    def written(self, id: int, *, size: str = "", part: str = "") -> Drawing:
        """With a note of where in the plan a pick was written."""
        now = replace(self.pick(id), size=size, part=part)
        return replace(self, picks=tuple(now if p.id == id else p for p in self.picks))

    def with_sureness(
        self, *, picking: float, sure: float, page_scale: float | None = None
    ) -> Drawing:
        """With other deviations, and another scale of the page.

        Raises
        ------
        OutOfDomain
        """
        if not 0.05 <= picking <= 200.0:
            raise OutOfDomain(
                f"a point cannot be picked to {picking:g} pixels: say 0.05 to 200. A line as "
                "wide as 4 pixels is picked to about 1.",
                name="picking",
            )
        if not 0.0 <= sure <= 100.0:
            raise OutOfDomain(
                f"what is known to {sure:g} mm is no help: say 0 to 100.", name="sure"
            )
        scale = self.page_scale if page_scale is None else page_scale
        if scale != 0.0 and not 0.001 <= scale <= 1000.0:
            raise OutOfDomain(
                f"a page at 1 to {scale:g} is none: say 0.001 to 1000, or 0 if nobody knows.",
                name="page_scale",
            )
        return replace(self, picking=picking, sure=sure, page_scale=scale)

    def _sound(
        self, pick: Pick, points: Sequence[Point], given: Sequence[float], name: str
    ) -> Pick:
        if pick.kind not in KINDS:
            raise UnknownName("kind of pick", pick.kind, KINDS)
        least, most = KINDS[pick.kind]
        if not least <= len(points) <= most:
            wanted = f"{least}" if least == most else f"{least} to {most}"
            raise OutOfDomain(
                f"{len(points)} points are picked, {wanted} are wanted. "
                + ("Pick the others." if len(points) < least else "Take some away."),
                name="points",
            )
        for x, y in points:
            if not (0.0 <= x <= self.width and 0.0 <= y <= self.height):
                raise OutOfDomain(
                    f"the point {x:.1f}, {y:.1f} is not on the picture, which is {self.width} by "
                    f"{self.height} pixels. Pick on the picture.",
                    name="points",
                )
        if len(given) != _GIVEN.get(pick.kind, 0):
            raise OutOfDomain(
                "a known place needs its x and y in mm, a known length its length; nothing else "
                "takes a number.",
                name="given",
            )
        for number in given:
            if not abs(number) <= _FURTHEST or (pick.kind == "known" and not number > 0.0):
                raise OutOfDomain(
                    f"{number:g} mm is not a length that can be known here. Say it in mm.",
                    name="given",
                )
        kept = " ".join(name.split())[:_LONGEST_NAME]
        exact = tuple((float(x), float(y)) for x, y in points)
        return replace(pick, points=exact, given=tuple(map(float, given)), name=kept)


def written_drawing(drawing: Drawing) -> str:
    """Text of a drawing as it is kept."""
    return json.dumps({"format": FORMAT, **asdict(drawing)}, indent=1, ensure_ascii=False) + "\n"


def read_drawing(text: str, id: str) -> Drawing:
    """Drawing from its text; its id is what its file is called, not what is written in it.

    Raises
    ------
    NoPicture
        The text is damaged, or from another program.
    """
    try:
        data = json.loads(text)
        if not isinstance(data, dict) or data.get("format") != FORMAT:
            raise ValueError("another format")
        return _from_data(data, id)
    except (ValueError, KeyError, TypeError, AttributeError, OutOfDomain, UnknownName) as fault:
        raise NoPicture(
            f"What was picked on the drawing {id} cannot be read: its file {id}.json is damaged, "
            "or written by a later version. Mend it, or put it away and drop the drawing in again."
        ) from fault


def _from_data(data: Mapping[str, Any], id: str) -> Drawing:
    scale = data["mm_per_pixel"]
    drawing = Drawing(
        id,
        str(data["name"])[:_LONGEST_NAME],
        _one_of(data["suffix"], ("jpg", "png")),
        _one_of(data["source_suffix"], ("jpg", "png", "tif", "webp", "pdf")),
        int(data["width"]),
        int(data["height"]),
        int(data["page"]),
        int(data["pages"]),
        None if scale is None else _finite(scale),
        bool(data["is_exact"]),
    ).with_sureness(
        picking=_finite(data["picking"]),
        sure=_finite(data["sure"]),
        page_scale=_finite(data["page_scale"]),
    )
    picks = []
    for each in data["picks"]:
        points = [(_finite(x), _finite(y)) for x, y in each["points"]]
        given = [_finite(number) for number in each["given"]]
        pick = Pick(int(each["id"]), str(each["kind"]), ())
        sound = drawing._sound(pick, points, given, str(each["name"]))
        picks.append(replace(sound, size=str(each["size"]), part=str(each["part"])))
    if len({pick.id for pick in picks}) != len(picks):
        raise ValueError("two picks of one number")
    return replace(drawing, picks=tuple(picks))


def _finite(value: Any) -> float:
    number = float(value)
    if not math.isfinite(number):
        raise ValueError("not a number")
    return number


def _one_of(value: Any, known: Sequence[str]) -> str:
    if value not in known:
        raise ValueError(f"{value} is none of {known}")
    return str(value)
