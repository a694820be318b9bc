"""Why no trimming helps where made parts contradict one another, in plain sentences.

Room: fit. Each made part of a contradiction is asked in turn: is anything left on it that
can be trimmed, does trimming it go the right way, far enough, and what else would it open?
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

import numpy as np

from foldwright.fit.cannot_fit import Contradiction, Cure, Remedy, contradiction, done, remedies
from foldwright.fit.names import dim_in_words, part_in_words
from foldwright.fit.network import Belief, Network

_NONE = 1e-9  # a slope below this moves nothing


def why_no_trim(
    network: Network,
    belief: Belief,
    found: Contradiction,
    trims: Sequence[Cure],
    stages: Mapping[str, str],
    dims: Callable[[int], str],
) -> tuple[str, ...]:
    """Say for each made part of a contradiction why trimming it does not help.

    Parameters
    ----------
    network, belief
        As `contradiction` was asked about.
    found : Contradiction
    trims : sequence of Cure
        All that can be trimmed.
    stages : Mapping of str to str
        How far each part is.
    dims : callable
        Name of a dim, by its place in the network.

    Returns
    -------
    tuple of str
        Empty where trimming one dim does help.
    """
    rows = list(found.clearances)
    bare: list[str] = []
    said: list[str] = []
    for part in found.made:
        at = network.parts.index(part)
        own = [cure for cure in trims if cure.part == at and _bears(network, rows, cure)]
        if not own:
            bare.append(part)
        for cure in own:
            sentence = _why_not(network, belief, found, cure, dims(cure.dim))
            if not sentence:
                return ()
            said.append(sentence)
    return (*_nothing_left(bare, stages), *said)


def _bears(network: Network, rows: Sequence[int], cure: Cure) -> bool:
    """Whether a trim moves any of these clearances."""
    column = network.slopes[:, [cure.dim]].toarray()[rows]
    return bool(np.abs(column).max(initial=0.0) > _NONE)


def _nothing_left(parts: Sequence[str], stages: Mapping[str, str]) -> tuple[str, ...]:
    """One sentence for the parts on which nothing that bears on it can be trimmed."""
    if not parts:
        return ()
    told = [f"the {part_in_words(part)} is {stages.get(part, 'made')}" for part in parts]
    listed = f"{', '.join(told[:-1])} and {told[-1]}" if len(told) > 1 else told[0]
    what = "neither leaves" if len(told) == 2 else "none leaves" if len(told) > 2 else "it leaves"
    some = "anything" if len(told) > 1 else "nothing"
    return (f"{listed[:1].upper()}{listed[1:]}: {what} {some} to trim that would help here.",)


def _why_not(network: Network, belief: Belief, found: Contradiction, cure: Cure, dim: str) -> str:
    """Why trimming one dim does not help; empty if it does."""
    part = part_in_words(network.parts[cure.part])
    what = f"the {dim_in_words(dim)} of the {part}"
    doing = f"Opening {what}" if cure.way > 0.0 else f"Trimming {what}"
    enough = remedies(_only(network, found.clearances), belief, [cure], count=1)
    if not enough:
        return f"{doing} goes the wrong way, or not far enough."
    rest = contradiction(*done(network, belief, Remedy(enough[0].cures, enough[0].minutes)))
    if rest is None:
        return ""
    opened = [meet for meet in rest.meets if meet not in found.meets] or list(rest.meets)
    return f"{doing} would upset {part_in_words(' and '.join(opened))}."


def _only(network: Network, rows: Sequence[int]) -> Network:
    """Return the network with these clearances alone."""
    at = list(rows)
    return replace(
        network,
        meet=network.meet[at],
        level=network.level[at],
        low=network.low[at],
        high=network.high[at],
        slopes=network.slopes[at].tocsr(),
    )
