"""Random builds: networks such as sheet shells give, for benches and tests.

Room: fit. Shells with a width and a depth, lids and liners that slide into
them, plates that rest on them, rows of parts that fill an opening, faces that
come level. Windows are so many scatters wide, the scatter taken as drawn.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from foldwright.fit.cannot_fit import Cure
from foldwright.fit.network import Network
from foldwright.fit.works import Works

if TYPE_CHECKING:
    from foldwright.fit.network import Floats

_PROCESSES = ("cut", "fold", "curl")
# One standard deviation [mm] of a dim that each process makes; common practice, no source.
_SCATTER = (0.35, 0.6, 0.7)
_TRIM_MINUTES, _SHIM_MINUTES = 8.0, 4.0  # common practice, no source
_MOST_TRIMMED, _MOST_SHIMMED = 6.0, 3.0


def random_works(
    seed: int,
    *,
    parts: int = 20,
    width: tuple[float, float] = (2.5, 5.0),
    trimmed: float = 0.35,
    shimmed: float = 0.35,
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
        Share of dims that can be trimmed, of clearances that can be shimmed.
    """
    from scipy import sparse

    rng = np.random.default_rng([seed, 0])
    dims = rng.integers(2, 5, parts)
    part = np.repeat(np.arange(parts), dims)
    count = int(dims.sum())
    of_part = rng.choice(len(_PROCESSES), parts, p=[0.35, 0.45, 0.2])
    process = of_part[part]
    own = np.asarray(_SCATTER)[process] * rng.uniform(0.8, 1.25, count)
    # a setting of the fence that all folded parts share
    shared = np.where(process == 1, 0.15, 0.0) * rng.choice([-1.0, 1.0], count)
    root = sparse.hstack([sparse.diags_array(own), sparse.csr_array(shared[:, None])]).tocsr()
    rows = _rows(rng, part, parts)
    slopes = sparse.csr_array(
        (
            np.concatenate([s for _, s in rows]),
            np.concatenate([d for d, _ in rows]),
            np.concatenate([[0], np.cumsum([len(d) for d, _ in rows])]),
        ),
        shape=(len(rows), count),
    )
    carried = slopes @ root
    sigma = np.sqrt(np.asarray(carried.multiply(carried).sum(axis=1)).ravel())
    half = rng.uniform(*width, len(rows)) * sigma / 2.0
    drawn = rng.uniform(60.0, 420.0, count)
    network = Network(
        keys=tuple(f"part-{p + 1}/dim-{i + 1}" for i, p in enumerate(part)),
        parts=tuple(f"part-{i + 1}" for i in range(parts)),
        part=part,
        at=drawn,
        drawn=drawn,
        give=rng.uniform(2.0, 4.0, count),
        is_free=np.ones(count, dtype=bool),
        meets=tuple(f"meet-{i + 1}" for i in range(len(rows))),
        meet=np.arange(len(rows)),
        level=half * 0.0,
        low=-half,
        high=half,
        slopes=slopes,
    )
    return Works(
        network,
        root,
        np.append(process, 1),
        _PROCESSES,
        np.append(np.zeros(count, dtype=bool), True),
        rng.uniform(25.0, 120.0, parts),
        _cures(rng, network, trimmed, shimmed),
    )


def _rows(rng: np.random.Generator, part: Floats, parts: int) -> list[tuple[Floats, Floats]]:
    """Dims and slopes of each clearance: neighbours meet, some rows fill an opening."""
    first = np.searchsorted(part, np.arange(parts))
    sizes = np.bincount(part, minlength=parts)
    rows: list[tuple[Floats, Floats]] = []

    def dim(p: int) -> int:
        return int(first[p] + rng.integers(sizes[p]))

    for p in range(1, parts):  # each part meets one that is drawn before it
        other = int(rng.integers(max(0, p - 4), p))
        for i in range(int(rng.integers(1, 3))):
            a, b = int(first[p] + i), int(first[other] + i)
            rows.append((np.array([a, b]), np.array([-0.5, 0.5])))
    for _ in range(parts // 4):  # rows of three or four between two walls
        chosen = rng.choice(parts, size=min(parts, int(rng.integers(3, 5))), replace=False)
        dims = np.array(sorted(dim(int(p)) for p in chosen))
        slopes = np.full(len(dims), -1.0)
        slopes[int(rng.integers(len(dims)))] = 1.0
        rows.append((dims, slopes))
    return rows


def _cures(
    rng: np.random.Generator, network: Network, trimmed: float, shimmed: float
) -> tuple[Cure, ...]:
    found = [
        Cure(
            "trim",
            int(network.part[dim]),
            _TRIM_MINUTES * float(rng.uniform(0.7, 1.5)),
            _MOST_TRIMMED,
            dim=dim,
        )
        for dim in range(len(network.keys))
        if rng.random() < trimmed
    ]
    found += [
        Cure(
            "shim",
            int(network.part[network.slopes.indices[network.slopes.indptr[row]]]),
            _SHIM_MINUTES * float(rng.uniform(0.7, 1.5)),
            _MOST_SHIMMED,
            clearance=row,
        )
        for row in range(len(network.low))
        if rng.random() < shimmed
    ]
    return tuple(found)
