"""Random builds: networks such as sheet shells give, for benches and tests.

Room: fit. Folded shells with a width, a depth and a height; liners and lids that
slide into and over them, plates that drop in, drums closed by discs, faces that come
level, rows of parts that fill an opening. A dim of such a part meets one other dim
inside and one outside, seldom more. Windows are so many scatters wide, the scatter taken as drawn.

What can be cured follows from the sheet: the edge of a plate and the open rim of a
shell or drum can be trimmed, a folded width or a girth cannot; a loose fit can be
shimmed or lined where that does not show.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from foldwright.fit.cannot_fit import Cure
from foldwright.fit.network import Network
from foldwright.fit.works import Works

if TYPE_CHECKING:
    from foldwright.fit.network import Flags, Floats, Sparse, Whole

_PROCESSES = ("cut", "fold", "curl")
_CUT, _FOLD, _CURL = range(3)


@dataclass(frozen=True)
class _Kind:
    """A kind of part: how each dim is made, which can be trimmed, minutes to make it."""

    made_by: tuple[int, ...]
    is_trimmed: tuple[bool, ...]
    minutes: tuple[float, float]


# Dims: width, depth, height; of a drum: diameter, length; of a plate: width, depth.
_SHELL = _Kind((_FOLD, _FOLD, _FOLD), (False, False, True), (50.0, 120.0))
_DRUM = _Kind((_CURL, _CUT), (False, True), (40.0, 90.0))
_PLATE = _Kind((_CUT, _CUT), (True, True), (20.0, 45.0))
_KINDS = (_SHELL, _DRUM, _PLATE)
_SHARES = (0.45, 0.15, 0.4)

# One standard deviation [mm] of a dim that each process makes; common practice, no source.
_SCATTER = (0.35, 0.6, 0.7)
# What the dims of one part share (one marking out, one warp), and what all folded parts
# share (one setting of the fence), as parts of the scatter; common practice, no source.
_OF_PART, _OF_SETTING = 0.4, 0.25
_TRIM_MINUTES, _SHIM_MINUTES = 8.0, 4.0  # common practice, no source
_MOST_TRIMMED, _MOST_SHIMMED = 6.0, 3.0
# A dim meets one thing inside and one outside, a part is near so many drawn before it.
_MEETS_OF_DIM, _NEAR = 2, 4


def random_works(
    seed: int,
    *,
    parts: int = 20,
    width: tuple[float, float] = (2.5, 5.0),
    trimmed: float = 0.9,
    shimmed: float = 0.6,
) -> Works:
    """Return a random build.

    Parameters
    ----------
    seed : int
    parts : int
        From 3 up.
    width : (float, float)
        Range of the windows, in scatters of the clearance as drawn.
    trimmed, shimmed : float
        Share of edges and rims that can be trimmed, of loose fits that can be shimmed.
    """
    from scipy import sparse

    rng = np.random.default_rng([seed, 0])
    kinds = [_SHELL, *(_KINDS[i] for i in rng.choice(len(_KINDS), parts - 1, p=_SHARES))]
    part = np.repeat(np.arange(parts), [len(kind.made_by) for kind in kinds])
    process = np.concatenate([kind.made_by for kind in kinds])
    root, causes, is_shared = _root(rng, part, process)
    rows = _Meets(rng, kinds).rows
    slopes = sparse.csr_array(
        (
            np.concatenate([row.slopes for row in rows]),
            np.concatenate([row.dims for row in rows]),
            np.concatenate([[0], np.cumsum([len(row.dims) for row in rows])]),
        ),
        shape=(len(rows), len(part)),
    )
    carried = slopes @ root
    sigma = np.sqrt(np.asarray(carried.multiply(carried).sum(axis=1)).ravel())
    half = rng.uniform(*width, len(rows)) * sigma / 2.0
    drawn = rng.uniform(60.0, 420.0, len(part))
    network = Network(
        keys=tuple(f"part-{p + 1}/dim-{i + 1}" for i, p in enumerate(part)),
        parts=tuple(f"part-{i + 1}" for i in range(parts)),
        part=part,
        at=drawn,
        drawn=drawn,
        give=rng.uniform(2.0, 4.0, len(part)),
        is_free=np.ones(len(part), dtype=bool),
        meets=tuple(f"meet-{i + 1}" for i in range(len(rows))),
        meet=np.arange(len(rows)),
        level=half * 0.0,
        low=-half,
        high=half,
        slopes=slopes,
    )
    minutes = np.array([rng.uniform(*kind.minutes) for kind in kinds])
    is_trimmed = np.concatenate([kind.is_trimmed for kind in kinds])
    cures = _trims(rng, network, is_trimmed, trimmed) + _shims(rng, network, rows, shimmed)
    return Works(network, root, causes, _PROCESSES, is_shared, minutes, cures)


def _root(rng: np.random.Generator, part: Whole, process: Whole) -> tuple[Sparse, Whole, Flags]:
    """Causes: of each dim by itself, of each part and process, and of one fence setting."""
    from scipy import sparse

    count = len(part)
    scatter = np.asarray(_SCATTER)[process] * rng.uniform(0.8, 1.25, count)
    setting = np.where(process == _FOLD, _OF_SETTING, 0.0)
    own = np.sqrt(1.0 - _OF_PART**2 - setting**2)
    groups, group = np.unique(np.column_stack([part, process]), axis=0, return_inverse=True)
    alike = sparse.csr_array(
        (_OF_PART * scatter, (np.arange(count), group.ravel())), shape=(count, len(groups))
    )
    root = sparse.hstack(
        [
            sparse.diags_array(own * scatter),
            alike,
            sparse.csr_array((setting * scatter)[:, None]),
        ]
    ).tocsr()
    causes = np.concatenate([process, groups[:, 1], [_FOLD]])
    is_shared = np.zeros(len(causes), dtype=bool)
    is_shared[-1] = True
    return root, causes, is_shared


@dataclass(frozen=True, eq=False)
class _Row:
    """Dims and slopes of one clearance, and whether a shim in it would not show."""

    dims: Whole
    slopes: Floats
    is_hidden: bool


class _Meets:
    """Draws which dims meet: hosts and what goes in and on them, levels, and rows."""

    def __init__(self, rng: np.random.Generator, kinds: list[_Kind]) -> None:
        self._rng, self._kinds = rng, kinds
        self._first = np.concatenate([[0], np.cumsum([len(k.made_by) for k in kinds])])
        self._met = np.zeros(self._first[-1], dtype=int)
        self.rows: list[_Row] = []
        for part in range(1, len(kinds)):
            self._seat(part)
        for _ in range(len(kinds) // 4):
            self._row_of_parts()

    def _seat(self, part: int) -> None:
        """Slide or drop a part into or over one that is drawn before it."""
        rng, kind = self._rng, self._kinds[part]
        hosts = [p for p in range(part) if self._kinds[p] is not _PLATE]
        hosts = [p for p in hosts if self._has_room(p)] or hosts
        hosts = hosts[-_NEAR:]
        host = int(rng.choice(hosts))
        other = self._kinds[host]
        way = 1.0 if rng.random() < 0.6 else -1.0  # inside, or over it
        # the widths, or the bore and the disc; a flat thing on a drum meets its bore alone
        widths = 1 if _DRUM in (kind, other) else 2
        for i in range(widths):
            self._add([part, host], [i, i], [-0.5 * way, 0.5 * way], is_hidden=True)
        is_high = kind is not _PLATE and other is not _PLATE
        if is_high and rng.random() < 0.4:
            last = len(kind.made_by) - 1, len(other.made_by) - 1
            self._add([part, host], list(last), [1.0, -1.0], is_hidden=False)

    def _row_of_parts(self) -> None:
        """Three or four parts that fill an opening, or stack up to a height."""
        rng = self._rng
        size = min(len(self._kinds), int(rng.integers(3, 5)))
        chosen = rng.choice(len(self._kinds), size=size, replace=False)
        # the dims that meet least as yet
        dims = [int(np.argmin(self._met[self._first[p] : self._first[p + 1]])) for p in chosen]
        slopes = np.full(size, -1.0)
        slopes[0] = 1.0
        self._add(list(chosen), dims, list(slopes), is_hidden=True)

    def _has_room(self, part: int) -> bool:
        return bool(self._met[self._first[part]] < _MEETS_OF_DIM)

    def _add(
        self, parts: list[int], dims: list[int], slopes: list[float], *, is_hidden: bool
    ) -> None:
        index = np.array([self._first[p] + d for p, d in zip(parts, dims, strict=True)])
        self._met[index] += 1
        order = np.argsort(index)
        self.rows.append(_Row(index[order], np.array(slopes)[order], is_hidden))


def _trims(
    rng: np.random.Generator, network: Network, is_trimmed: Floats, share: float
) -> tuple[Cure, ...]:
    return tuple(
        Cure(
            "trim",
            int(network.part[dim]),
            _TRIM_MINUTES * float(rng.uniform(0.7, 1.5)),
            _MOST_TRIMMED,
            dim=int(dim),
        )
        for dim in np.flatnonzero(is_trimmed)
        if rng.random() < share
    )


def _shims(
    rng: np.random.Generator, network: Network, rows: list[_Row], share: float
) -> tuple[Cure, ...]:
    return tuple(
        Cure(
            "shim",
            int(network.part[row.dims[0]]),
            _SHIM_MINUTES * float(rng.uniform(0.7, 1.5)),
            _MOST_SHIMMED,
            clearance=i,
        )
        for i, row in enumerate(rows)
        if row.is_hidden and rng.random() < share
    )
