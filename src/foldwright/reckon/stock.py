"""Reckoners for stock: how many bars to buy, and how long a strip.

Room: reckon. `weight` lists them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from foldwright.errors import OutOfDomain
from foldwright.reckon.definition import Answer, Input, Line, Reckoner
from foldwright.reckon.renaming import asked_as
from foldwright.sheet.lengths import bars_for, strip_length
from foldwright.shop.physical import require_whole

_MM2 = 1e6  # in a m2
_CUT = (
    "Support both ends of a long bar, keep the offcut free to fall, and wear eye protection; "
    "follow the saw's manual."
)


def _lengths(
    *, bar: float, lengths: Sequence[float], counts: Sequence[float], kerf: float, trim: float
) -> Answer:
    whole = [require_whole(n, 1, "a count", name="counts") for n in counts]
    with asked_as(bar_length="bar"):
        need = bars_for(bar, lengths, whole, kerf=kerf, trim=trim)
    by_id = {cut.id: cut.length for cut in need.cuts}
    cuttings = Counter(
        (tuple(f"{by_id[id]:g}" for id in one.ids), round(one.offcut, 1)) for one in need.plan.bars
    )
    used = need.length / (need.bars * bar)
    lines = (
        Line("bars", "bars to buy", need.bars),
        Line("length", "all lengths end to end", need.length, "mm"),
        Line("used", "per cent of that used", 100.0 * used, "-", 1),
        Line("offcut", "longest offcut", max(need.offcuts), "mm"),
        Line("least", "least, by length alone", need.material_bound),
    )
    steps = tuple(
        f"{_times(count)}saw {', '.join(sizes)}; {offcut:g} mm are left."
        for (sizes, offcut), count in cuttings.items()
    )
    remarks = () if need.is_least else ("A plan with fewer bars is not ruled out.",)
    return Answer(lines, steps, remarks)


def _times(count: int) -> str:
    return "From one bar " if count == 1 else f"From {count} bars each "


def _roll_length(*, area: float, width: float, share: float) -> Answer:
    if not area > 0.0:
        raise OutOfDomain(
            f"The area is {area:g} m2; it has to be above 0. Add up the pieces.", name="area"
        )
    return Answer(
        (
            Line("likely", "length to buy", strip_length(area * _MM2, width, share=share), "mm", 0),
            Line("least", "less can never do", strip_length(area * _MM2, width), "mm", 0),
        ),
        remarks=("An estimate before the pieces are laid out; the layout decides.",),
    )


STOCK_SUMS: tuple[Reckoner, ...] = (
    Reckoner(
        name="lengths",
        group="Stock",
        title="Fewest bars for a list of lengths, and what to saw from each",
        inputs=(
            Input("bar", "length of a bar as sold", "mm"),
            Input("lengths", "wanted", "mm", several=True),
            Input("counts", "how many of each; one number for all", "-", "1", several=True),
            Input("kerf", "width of the saw cut", "mm", "2"),
            Input("trim", "lost at each end of a bar", "mm", "5"),
        ),
        answer=_lengths,
        formula="whole-number programme over all ways to fill a bar; each cut costs its kerf",
        source=(
            "P. C. Gilmore and R. E. Gomory, A linear programming approach to the cutting-stock "
            "problem, Operations Research 9 (1961)"
        ),
        domain="Square cuts from bars of one length.",
        example={"bar": "3000", "lengths": "950,1200,400", "counts": "4,2,3"},
        cautions=(_CUT,),
    ),
    Reckoner(
        name="roll-length",
        group="Stock",
        title="Length of a roll or strip to buy for pieces of an area",
        inputs=(
            Input("area", "of all pieces", "m2"),
            Input("width", "of the roll", "mm"),
            Input("share", "of it that ends up as pieces", "-", "0.75"),
        ),
        answer=_roll_length,
        formula="L = A / (w u)",
        source="area; the usual share is common practice, no source",
        domain="Pieces that are small beside the roll; 0.75 for mixed shapes, 0.9 for rectangles.",
        example={"area": "0.6", "width": "1000"},
    ),
)
