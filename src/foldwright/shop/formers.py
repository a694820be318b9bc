"""Formers: which pipe of the rack to curl a drum over, and what to do then.

Room: shop. A curl springs open when it is let go, so its pipe is smaller than
the drum. With the pipes that lie there it ends in one of three ways:

* right: it springs to the drum, near enough;
* open again: the pipe is too small, and the curl is bent open again, past the
  drum, from where it closes to the drum;
* tie shut: the pipe is too large, the curl stays wider than the drum, and is
  pulled together and held so by its seam.

Where none of them will do, a drum so wide that flat sheet is pulled round it
without yielding needs no pipe.

Diameters are outside ones: of the pipe, of the bare curl or drum. `choose_formers`
answers for many drums, and many yields, at once; `former_choice` for one and in words.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from foldwright.shop.layers import (
    Array,
    Layers,
    Numbers,
    free_curvature,
    loaded_curvature,
    refuse_unless,
)

RIGHT, OPEN_AGAIN, TIE_SHUT = "right", "open again", "tie shut"
NONE, NO_PIPE = "none", "no pipe needed"
CASES = (RIGHT, OPEN_AGAIN, TIE_SHUT, NONE, NO_PIPE)
# A free curl this near to its drum, as a share, closes by hand. Common practice, no source.
NEAR_ENOUGH = 0.02
# Sprung open by no more than this share, a curl is rather tied shut, which comes out
# exact, than opened again from a smaller pipe, which takes trying. Common practice, no source.
_EASILY_TIED = 0.15
# Wider than its drum by more than this share, a curl is none, and `ties` soon ends.
_WIDEST = 0.95
# Metals yield earlier when bent back, so that the opening is so uncertain, one standard
# deviation as a share: value from memory, unchecked.
OPENING_SPREAD = 0.3


@dataclass(frozen=True)
class Choices:
    """Former, case and what to do for many drums; all arrays have the shape of the drums.

    Attributes
    ----------
    pick : ndarray of int
        Which pipe; tells nothing in the cases "none" and "no pipe needed".
    case : ndarray of int
        Index into `CASES`.
    bent, free : Array
        Curvature over the pipe and after letting go [1/mm].
    open_to : Array
        Curvature to open the curl to before it is let go again [1/mm]; `free` in the
        other cases. Below 0 it is bent the other way.
    """

    pick: NDArray[np.intp]
    case: NDArray[np.intp]
    bent: Array
    free: Array
    open_to: Array


def former_for(section: Layers, thickness: Numbers, outside_d: Numbers) -> Array:
    """Pipe over which sheet has to be curled to spring to a drum [mm].

    Parameters
    ----------
    section : Layers
        See `section_of`.
    thickness, outside_d : float or Array
        Of the sheet and of the bare drum [mm].
    """
    radius = (np.asarray(outside_d, dtype=float) - thickness) / 2.0
    return np.asarray(2.0 / loaded_curvature(section, 1.0 / radius) - thickness)


def sprung_d(section: Layers, thickness: Numbers, former_d: Numbers) -> Array:
    """Outside diameter to which sheet springs that was curled over a pipe [mm].

    Infinite where the sheet does not yield over such a pipe.
    """
    bent = 2.0 / (np.asarray(former_d, dtype=float) + thickness)
    left = free_curvature(section, bent)
    flat = left <= 0.0
    return np.where(flat, np.inf, 2.0 / np.where(flat, 1.0, left) + thickness)


def opening_curvature(section: Layers, bent: Numbers, wanted: Numbers) -> Array:
    """Curvature to open a curl to, so that it closes to the one that is wanted [1/mm].

    Bent to K_1 and then back to K_2, the section yields again by twice the
    strains (Masing), so that with h = (K_1 - K_2)/2::

        M_2 = M(K_1) - 2 M(h)
        K_free = K_2 - M_2/EI = (K_1 - M(K_1)/EI) - 2 (h - M(h)/EI)

    The last bracket is the free curvature of a section bent to h: it has to be
    half of what the free curl lacks.

    Parameters
    ----------
    section : Layers
    bent : float or Array
        K_1, over the pipe [1/mm].
    wanted : float or Array
        K_free [1/mm], below the free curvature of K_1.

    Returns
    -------
    Array
        K_2; K_wanted - K_2 is near 0.9 M_p/EI whatever the drum.

    Notes
    -----
    Exact for layers without hardening, or whose yield moves along with the
    stress. Metals yield earlier when bent back, by `OPENING_SPREAD`: open, let
    go, measure, open a little further.

    References
    ----------
    G. Masing, Proceedings of the second international congress of applied
    mechanics, Zurich 1926, from memory, unchecked.
    """
    curled = np.asarray(bent, dtype=float)
    return _opened(section, curled, free_curvature(section, curled) - wanted)


def choose_formers(
    section: Layers,
    thickness: float,
    outside_d: Numbers,
    formers: Sequence[float] | Array,
    *,
    tightest: float = 0.0,
    near_enough: float = NEAR_ENOUGH,
) -> Choices:
    """Former, case and what to do for many drums or many yields at once.

    Preferred are, in this order: the pipe that comes nearest, within
    `near_enough`; the smallest that leaves a curl no more than 15 per cent too
    wide; the largest of those that are too small; the smallest of the rest, if
    the curl bears to be pulled shut without yielding.

    Parameters
    ----------
    section : Layers
        One, or one for each drum (`section_of` with many factors).
    thickness : float
        t [mm].
    outside_d : float or Array
        Of the bare drums [mm]; broadcasts with the sections.
    formers : sequence of float
        Pipes of the rack, outside [mm]; at least one.
    tightest : float
        Least radius of the middle that the board takes [mm].
    near_enough : float
        Share of the radius.

    Raises
    ------
    OutOfDomain
        A pipe that is none, or a drum with nothing inside.
    """
    pipes = np.asarray(formers, dtype=float)
    drums = np.asarray(outside_d, dtype=float)
    refuse_unless(
        (pipes > 0.0) & np.isfinite(pipes), "formers", "a pipe has to be above 0 mm. Measure it."
    )
    refuse_unless(
        (drums > 2.0 * thickness) & np.isfinite(drums),
        "outside_d",
        "a drum has to be wider than two thicknesses of its board. Check its diameter.",
    )
    wanted = 2.0 / (drums - thickness)
    beside = _with_room_for_pipes(section)
    bent = 2.0 / (pipes + thickness)
    free = free_curvature(beside, bent)
    want = wanted[..., np.newaxis]
    off = want / np.maximum(free, 1e-12 * want) - 1.0  # share by which the curl is too wide
    bearable = (bent >= want) & (off <= _WIDEST)
    rank = np.select(
        [np.abs(off) <= near_enough, off < 0.0, bearable & (off <= _EASILY_TIED), bearable],
        [np.abs(off), 2.0 - off, 1.0 + off, 4.0 + off],
        default=np.inf,
    )
    rank = np.where(bent * tightest > 1.0, np.inf, rank)
    pick = np.argmin(rank, axis=-1)
    best = np.take_along_axis(rank, pick[..., np.newaxis], axis=-1)[..., 0]
    case = np.searchsorted([1.0, 2.0, 4.0, math.inf], best, side="right")
    # ranks in order: right, easily tied, opened again, tied hard, none
    case = np.array([0, 2, 1, 2, 3])[case]
    elastic = (case == CASES.index(NONE)) & (wanted <= section.yield_curvature)
    case = np.where(elastic, CASES.index(NO_PIPE), case)
    per_pipe = np.broadcast_to(free, rank.shape)
    left = np.take_along_axis(per_pipe, pick[..., np.newaxis], axis=-1)[..., 0]
    over = bent[pick]
    again = case == CASES.index(OPEN_AGAIN)
    # curls that are not opened again stand in with some amount, and are left as they are
    opened = _opened(section, over, np.where(again, left - wanted, section.yield_curvature))
    return Choices(pick, case, over, left, np.where(again, opened, left))


def _opened(section: Layers, bent: Array, amount: Array) -> Array:
    """Curvature to open to, so that the free curvature falls by an amount above 0."""
    return np.asarray(bent - 2.0 * loaded_curvature(section, amount / 2.0))


def _with_room_for_pipes(section: Layers) -> Layers:
    """Sections with one more axis, over the pipes."""
    return Layers(
        *(
            x[..., np.newaxis, :]
            for x in (
                section.inner,
                section.outer,
                section.modulus,
                section.yields,
                section.hardening,
            )
        )
    )
