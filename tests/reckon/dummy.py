"""A reckoner of its own for the tests: how heavy a square of sheet is."""

from foldwright.errors import OutOfDomain
from foldwright.reckon import Answer, Input, Line, Reckoner
from foldwright.shop import Matter


def _answer(
    side: float, thickness: tuple[float, ...], matter: Matter, tilt: float, finish: str
) -> Answer:
    if side <= 0.0:
        raise OutOfDomain(f"side is {side:g} mm; make it more than 0.", name="side")
    mean = sum(thickness) / len(thickness)
    mass = side**2 * mean * matter.density.value * 1e-9
    lines = (
        Line("mass", "it weighs", mass, "kg", 2),
        Line("count", "pieces", 1),
        Line("finish", "finished", finish),
        Line("tilt", "stands at", tilt, "rad", 3),
    )
    return Answer(lines, steps=("Cut it.",), remarks=("Light.",), cautions=("Gloves.",))


WEIGHT = Reckoner(
    name="square-weight",
    group="Weight",
    title="how heavy a square of sheet is",
    inputs=(
        Input("side", "side of the square", "mm"),
        Input("thickness", "thickness, your readings", "mm", several=True, spread=0.1),
        Input("matter", "what it is", "matter", usual="al-5005-H24"),
        Input("tilt", "how it stands", "deg", usual="30", spread=1.0),
        Input("finish", "what goes on", "word", usual="none", words=("none", "paint")),
    ),
    answer=_answer,
    formula="mass = side^2 t rho",
    source="common practice, no source",
    domain="any sheet",
    example={"side": "1 m", "thickness": "2, 2.2"},
    cautions=("Edges are sharp.",),
)
