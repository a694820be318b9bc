"""Hoods, tubes, plugs, strips, ribs and bought things that tests draw on."""

import math

from hypothesis import strategies as st

import zoo
from foldwright.plan import (
    Bought,
    Finish,
    Hood,
    Layer,
    Parameter,
    Plug,
    Rib,
    Strip,
    Tube,
)

PAINT = Finish("grey", (Layer("primer", 0.08), Layer("paint", 0.06)))
COAT = 0.14


def common(name, thickness, **values):
    """Fields of any part, its lengths as parameters of their own."""
    return {
        "name": name,
        "stock": "board3",
        "thickness": thickness,
        "parameters": tuple(Parameter(key, value, 2.0, 1.0) for key, value in values.items()),
    } | {key: zoo.length(key) for key in values}


def hood(bottom_d=220.0, top_d=120.0, height=150.0, *, thickness=3.0, name="hood", **more):
    """A hood that narrows upwards."""
    sizes = {"bottom_d": bottom_d, "top_d": top_d, "height": height}
    return Hood(**common(name, thickness, **sizes) | more)


def tube(length=300.0, *, square=False, **more):
    """A tube of 50 mm with a wall of 2."""
    return Tube(**common("tube", 2.0, length=length) | {"across": 50.0, "square": square} | more)


def plug(*, across=50.0, **more):
    """A plug for that tube, with a hole for a bolt, of bar or of 18 mm board."""
    sizes = {"diameter": 46.1, "length": 18.0, "bolt_d": 8.5}
    return Plug(**common("plug", 0.0 if across else 18.0, **sizes) | {"across": across} | more)


def strip(**more):
    """A flat strip."""
    return Strip(**common("strip", 3.0, length=240.0, width=30.0) | more)


def angle(turn_deg=90.0, **more):
    """A strip with a flange."""
    sizes = {"length": 240.0, "width": 30.0, "flange": 25.0}
    return Strip(**common("angle", 3.0, **sizes) | {"turn": math.radians(turn_deg)} | more)


def rib(of, station=100.0, gap=0.5, clip=8.0, *, thickness=6.0, **more):
    """A rib of 6 mm board."""
    sizes = {"station": station, "gap": gap, "clip": clip}
    return Rib(**common("rib", thickness, **sizes) | {"of": of} | more)


def gauge(**more):
    """A bought round gauge."""
    return Bought(**common("gauge", 0.0, diameter=62.0, length=40.0) | {"mass": 0.2} | more)


def battery(**more):
    """A bought box."""
    sizes = {"width": 90.0, "depth": 40.0, "height": 70.0}
    return Bought(**common("battery", 0.0, **sizes) | {"mass": 0.8} | more)


@st.composite
def random_hoods(draw):
    """Hoods of either way up, from nearly flat to nearly a cylinder, as tight as board takes."""
    thickness = draw(st.sampled_from([0.5, 1.0, 2.0, 3.0, 4.0]))
    narrow = thickness * draw(st.floats(5.0, 300.0))
    wider = draw(st.sampled_from([0.03, 1.0, 10.0, 100.0, 400.0])) * draw(st.floats(1.0, 3.0))
    height = 2.0 + thickness * draw(st.sampled_from([1.1, 3.0, 40.0])) * draw(st.floats(1.0, 5.0))
    ends = {"bottom_d": narrow + wider, "top_d": narrow}
    if draw(st.booleans()):
        ends = {"bottom_d": narrow, "top_d": narrow + wider}
    more = {
        "finish": draw(st.sampled_from([None, PAINT])),
        "bare": draw(st.booleans()),
        "mirrored": draw(st.booleans()),
    }
    return hood(**ends, height=height, thickness=thickness, **more)
