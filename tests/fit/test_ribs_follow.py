"""A rib is drawn to its shell as measured, not to the plan.

What the inside of a measured shell is, these tests work out by themselves: the
outline that the readings say, moved in by board and gap, by shapely or by hand.
"""

import math
from dataclasses import replace

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely import Polygon

from foldwright.fit import Scene, clearances_in, is_in_danger, rib_meets
from foldwright.ledger import Reading, Revision
from foldwright.make import Made
from foldwright.plan import parse_plan
from foldwright.plan.dual import number
from foldwright.shape import dims_of, path_bounds, rib_disc, rib_outline

ROUNDING = 1e-9
BOARD, GAP, STATION = 3.0, 0.5, 120.0
BOX = 'kind = "box"\nwidth = 300\ndepth = 400\nheight = 200\nleave_open = ["front"]'
BEVELLED = (
    'kind = "profile"\ndepth = 400\nleave_open = ["front"]\n'
    'outline = [[0, 0], ["w", 0], ["w", "h - 60"], ["w - 100", "h"], [0, "h"]]'
)
TAPER = (
    'kind = "taper"\nheight = 400\nleave_open = ["bottom"]\n'
    'lower = [[0, 0], ["w", 0], ["w", "h"], [0, "h"]]\n'
    'upper = [[30, 30], ["w - 30", 30], ["w - 30", "h - 30"], [30, "h - 30"]]'
)
HOOD = 'kind = "hood"\nbottom_d = 300\ntop_d = 240\nheight = 400'
DRUM = 'kind = "drum"\noutside_d = 300\nlength = 400\nformer = "pipe114"'


# The other hand of shell and rib, beside them.
OTHERS = """
[part.other]
mirror_of = "shell"
place = { at = [1000, 0] }
[part.other_frame]
mirror_of = "frame"
"""


def plan_of(tmp_path, shell, station=STATION, more=""):
    text = f"""
[build]
name = "Ribbed"
[size]
w = 300
h = 200
[rack.board3]
material = "acp-3-0.3"
sheets = [{{ size = [1220, 2440] }}]
[rack.pipe114]
former_d = 114
[part.shell]
from = "board3"
{shell}
[part.frame]
kind = "rib"
from = "board3"
of = "shell"
station = {station:g}
gap = {GAP:g}
{more}"""
    return parse_plan(text, str(tmp_path / "plan.toml"), {"acp-3-0.3": 3.0})


def made_with(plan, of="shell", **values):
    """The build with these dims of its shell read."""
    drawn = dims_of(plan.parts[of], finished=False)
    readings = tuple(
        Reading(
            line, of, dim, value, "rule", True, "2031-01-01T10:00:00Z", "", 0,
            number(drawn[dim].value), 0.25,
        )
        for line, (dim, value) in enumerate(values.items(), 1)
    )  # fmt: skip
    return Made(plan, readings, ever_read=readings)


def kept(made):
    """The same build with its refit kept."""
    return replace(made, revisions=(Revision(1, "2031-01-02", made.outcome.changes()),))


def edge(rib):
    """Outline of a rib, its corners sharp, about its middle."""
    outline = rib_outline(rib, rib.values(), finished=True, clipped=False)
    return about_its_middle(Polygon(outline.plain()))


def about_its_middle(shape):
    left, low, right, high = shape.bounds
    return Polygon(
        [(x - (left + right) / 2, y - (low + high) / 2) for x, y in shape.exterior.coords]
    )


def apart(one, other):
    """How far two outlines are apart at most; a rib is shoved to where it fits."""
    return about_its_middle(one).exterior.hausdorff_distance(about_its_middle(other).exterior)


def inside(corners, board=BOARD):
    return Polygon(corners).buffer(-(board + GAP), join_style="mitre", mitre_limit=20.0)


# Up to a few millimetres off, as a maker's box is.
off = st.floats(-3.0, 3.0).map(lambda x: round(x, 2))


@pytest.fixture(scope="module")
def plans(tmp_path_factory):
    folder = tmp_path_factory.mktemp("ribs")
    shells = {"box": BOX, "bevelled": BEVELLED, "taper": TAPER, "drum": DRUM, "hood": HOOD}
    found = {name: plan_of(folder, shell) for name, shell in shells.items()}
    both = {"boxes": BOX, "both hands": BEVELLED}
    return found | {name: plan_of(folder, shell, more=OTHERS) for name, shell in both.items()}


@settings(deadline=None, max_examples=25)
@given(wide=off, high=off, back=off, up=off, right=off)
@example(wide=0.0, high=-0.09, back=0.0, up=0.0, right=0.09)  # once 0.111 apart at a corner
@pytest.mark.parametrize(("shell", "frame"), [("shell", "frame"), ("other", "other_frame")])
def test_a_rib_has_its_gap_in_a_box_that_came_out_askew(
    plans, shell, frame, wide, high, back, up, right
):
    """Wider at the back, wider at the top, higher on the right, each as it was read."""
    width, height = 300.0 + wide, 200.0 + high
    made = made_with(
        plans["boxes"],
        shell,
        width_front=width - back / 2.0,
        width_back=width + back / 2.0,
        width_bottom=width - up / 2.0,
        width_top=width + up / 2.0,
        height_front_left=height - right / 2.0,
        height_front_right=height + right / 2.0,
        height_back=height,
    )
    here = width + back * (STATION / 400.0 - 0.5)
    low, top = (here - up / 2.0) / 2.0, (here + up / 2.0) / 2.0
    corners = [(-low, 0), (low, 0), (top, height + right / 2.0), (-top, height - right / 2.0)]

    assert apart(edge(kept(made).parts[frame]), inside(corners)) <= 0.1 + ROUNDING


@settings(deadline=None, max_examples=25)
@given(wide=off, high=off, back=off, rise=off)
def test_a_rib_has_its_gap_in_a_profile_that_tapers(plans, wide, high, back, rise):
    width, height = 300.0 + wide, 200.0 + high
    made = made_with(
        plans["bevelled"],
        width_front=width - back / 2.0,
        width_back=width + back / 2.0,
        height_front=height - rise / 2.0,
        height_back=height + rise / 2.0,
    )
    x = (width + back * (STATION / 400.0 - 0.5)) / width
    z = (height + rise * (STATION / 400.0 - 0.5)) / height
    drawn = [(0, 0), (width, 0), (width, height - 60), (width - 100, height), (0, height)]

    assert (
        apart(edge(kept(made).parts["frame"]), inside([(a * x, b * z) for a, b in drawn]))
        <= 0.1 + ROUNDING
    )


@settings(deadline=None, max_examples=25)
@given(wide=off, high=off)
@example(wide=-0.2, high=0.0)  # a tenth off on each side, and a rounding past it
def test_a_rib_has_its_gap_in_a_taper(plans, wide, high):
    """Four walls that lean alike: 30 in over 400 up; the rib is as small as its narrow face."""
    width, deep = 300.0 + wide, 200.0 + high
    drawn = dims_of(plans["taper"].parts["shell"], finished=False)
    made = made_with(
        plans["taper"],
        **{
            name: number(drawn[name].value) + (wide if "width" in name else high)
            for name in ("lower_width", "upper_width", "lower_depth", "upper_depth")
        },
    )
    lean = math.atan2(30.0, 400.0)
    narrow = STATION + BOARD / 2.0
    corners = [
        (x * (width / 2 - 30.0 * narrow / 400.0), y * (deep / 2 - 30.0 * narrow / 400.0))
        for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]
    board = (BOARD + GAP) / math.cos(lean) - GAP

    assert apart(edge(kept(made).parts["frame"]), inside(corners, board)) <= 0.1 + ROUNDING


@settings(deadline=None, max_examples=10)
@given(large=off)
def test_a_rib_has_its_gap_in_a_drum(plans, large):
    made = made_with(plans["drum"], girth=math.pi * (300.0 + large))
    rib = kept(made).parts["frame"]
    across = number(rib_disc(rib, rib.values(), finished=True))

    assert across == pytest.approx(300.0 + large - 2.0 * (BOARD + GAP), abs=0.2)


@settings(deadline=None, max_examples=10)
@given(wide=off, narrow=off, tall=off)
def test_a_rib_has_its_gap_in_a_hood(plans, wide, narrow, tall):
    """A cone by hand: board and gap square to the wall, at the narrower face of the rib."""
    bottom, top, height = 300.0 + wide, 240.0 + narrow, 400.0 + tall
    drawn = dims_of(plans["hood"].parts["shell"], finished=False)
    made = made_with(
        plans["hood"],
        bottom_girth=number(drawn["bottom_girth"].value) + math.pi * wide,
        top_girth=number(drawn["top_girth"].value) + math.pi * narrow,
        height=number(drawn["height"].value) + tall,
    )
    rib = kept(made).parts["frame"]
    across = number(rib_disc(rib, rib.values(), finished=True))
    lean = 0.0
    for _ in range(20):  # the edges of the wall are square to it, so its outside begins higher
        begins = BOARD * math.sin(lean)
        lean = math.atan2((bottom - top) / 2.0, height - begins)
    outside = bottom - 2.0 * (STATION + BOARD / 2.0 - begins) * math.tan(lean)

    # a radius that is off by less than a tenth is let be
    assert across == pytest.approx(outside - 2.0 * (BOARD + GAP) / math.cos(lean), abs=0.21)


def test_the_change_is_told_like_any_other(plans):
    """From, to, why, and the chance before and after; the rest of the shell is kept beside it."""
    made = made_with(plans["box"], width_front=303.0, width_back=305.0, height=200.0)
    (told,) = [s for s in made.outcome.shifts if s.part == "frame"]

    assert told.parameter.name == "cut width"
    assert told.before == pytest.approx(293.0)
    assert told.after == pytest.approx(303.0 + 2.0 * 0.3 - 7.0, abs=0.01)
    (why,) = made.outcome.why
    assert "on the width front: 303.0 mm by rule" in why[0]
    assert any("would stand" in said and "does not hold the shell true" in said for said in why)
    (before,), (after,) = made.outcome.before, made.outcome.after
    assert before.meet.name == after.meet.name == "frame in shell"
    assert is_in_danger(before) and before.chance < 0.05
    assert not is_in_danger(after) and after.chance > 0.5


def test_a_kept_refit_is_a_revision_of_the_rib_alone(plans):
    made = kept(made_with(plans["box"], width=303.0))
    (piece,) = made.pattern("frame").pieces
    (left, _), (right, _) = path_bounds(piece.outline)

    assert made.revision_of("frame") == 1 and made.revision_of("shell") == 0
    assert set(made.kept["frame"]) == {"cut width"}
    assert made.outcome.shifts == () and made.off_its_shell("frame") == ()
    assert right - left == pytest.approx(296.0) and piece.revision == 1
    assert plans["box"].parts["frame"].of == plans["box"].parts["shell"]


def test_a_rib_that_suits_within_a_tenth_is_let_be(plans):
    made = made_with(plans["box"], width=300.1, height=199.9)

    assert made.outcome.shifts == ()


def test_a_rib_that_is_cut_is_not_drawn_anew_but_said(plans):
    made = replace(made_with(plans["box"], width=297.0), marked={"frame": "cut"})

    assert made.outcome.shifts == ()
    assert made.off_its_shell("frame") == (
        "The frame is drawn for another shell than was measured. To suit it, make its cut width "
        "290.0 mm instead of 293.0 mm.",
    )


def test_only_readings_that_bear_on_a_rib_are_told(plans):
    """The depth of a box says nothing of a rib across it."""
    made = made_with(plans["box"], width=303.0, depth=396.0)
    (why,) = made.outcome.why

    assert "on the width: 303.0 mm by rule" in why[0]
    assert not any("depth" in said for said in why)


def test_a_rib_that_cannot_be_drawn_holds_nothing_else_up(tmp_path):
    """Its box came out so shallow that it would stand in the back board; its fellow follows."""
    plan = plan_of(tmp_path, BOX, station=393.0)
    fellow = """
[part.fellow]
kind = "rib"
from = "board3"
of = "shell"
station = 120
"""
    text = "\n".join(plan.source) + fellow
    plan = parse_plan(text, str(plan.path), {"acp-3-0.3": 3.0})
    made = made_with(plan, width=303.0, depth=385.0)
    (said,) = made.outcome.shut_out

    assert {shift.part for shift in made.outcome.shifts} == {"fellow"}
    assert said.startswith("The frame cannot be drawn for the shell as measured.")
    assert "Move the station" in said
    assert made.off_its_shell("frame") == (said,) and made.off_its_shell("fellow") != ()
    assert [f.meet.name for f in made.forecasts] == ["fellow in shell"]


def test_the_scatter_of_a_rib_in_a_measured_shell_is_told(plans):
    made = made_with(plans["box"], width_front=303.0, width_back=305.0, height=200.0)
    (found,) = made.forecasts
    shares = made.drivers_of(found)

    assert set(shares) == {"frame", "shell"} and min(shares.values()) > 0.01
    assert sum(shares.values()) == pytest.approx(1.0)


def test_the_other_hand_of_a_rib_stands_in_the_other_hand_of_its_shell(plans):
    """And follows that alone, its bevel on the other side."""
    made = made_with(plans["both hands"], "other", width=303.0, height=200.0)
    low, high = ends(made, "other_frame")
    (told,) = made.outcome.shifts
    shape = [(0, 0), (-303, 0), (-303, 140), (-203, 200), (0, 200)]

    assert (told.part, told.after - told.before) == ("other_frame", pytest.approx(3.0))
    assert low[0] > 700.0 and high[0] < 1000.0 and 0.0 < low[1] < high[1] < 400.0
    assert [f.meet.name for f in made.outcome.after] == ["other_frame in other"]
    assert all(c.value == pytest.approx(GAP, abs=0.1) for c in made.outcome.after[0].clearances)
    assert apart(edge(kept(made).parts["other_frame"]), inside(shape)) <= 0.1 + ROUNDING


def ends(made, part):
    """Lowest and highest corner of a part in the build."""
    frame = made.frames[part]
    points = made.bodies[part].points() @ frame[:3, :3].T + frame[:3, 3]
    return points.min(axis=0), points.max(axis=0)


def test_a_rib_takes_a_lean_out_of_its_shell(plans):
    """It is there to hold the shell true, so it does not lean with it."""
    made = made_with(
        plans["box"],
        width=300.0,
        height_front_left=200.0,
        height_front_right=200.0,
        front_diagonal_a=math.hypot(305.0, 200.0),
        front_diagonal_b=math.hypot(295.0, 200.0),
    )

    assert made.beliefs["shell"].mean["~lean_right"] == pytest.approx(5.0, abs=0.1)
    assert made.outcome.shifts == ()


def test_a_shell_made_again_has_its_rib_as_drawn_until_it_is_measured(plans):
    """What was kept for the scrapped one is told as a change back."""
    earlier = kept(made_with(plans["box"], width=303.0))
    made = Made(plans["box"], (), earlier.revisions)
    (told,) = made.outcome.shifts

    assert (told.before, told.after) == pytest.approx((296.0, 293.0))
    assert edge(kept_after(earlier, made).parts["frame"]).bounds == pytest.approx(
        edge(made.plan.parts["frame"]).bounds
    )


def kept_after(earlier, made):
    later = Revision(2, "2031-01-03", made.outcome.changes())
    return replace(made, revisions=(*earlier.revisions, later))


def test_a_rib_is_made_after_its_shell_is_measured(plans):
    assert Made(plans["box"]).assembly.waves == (("shell",), ("frame",))


def test_the_gap_has_exact_slopes(plans):
    """Against central differences, over all that the shell and the rib can stray."""
    made = made_with(plans["bevelled"], width_front=301.0, width_back=303.0, height=198.5)
    values = {name: dict(made.beliefs[name].mean) for name in made.parts}
    (meet,) = rib_meets(made.parts)
    scene = Scene(made.parts, {}, made.frames, made.boards)
    gaps = clearances_in(scene.at(values), meet)
    # what the rib's own drawing hangs on moves rib and wall alike
    keys = [(part, name) for part in values for name in values[part] if name != "station"]
    assert len(gaps) == 10 and any(abs(d) > 0.4 for gap in gaps for d in gap.slopes.values())
    for part, name in keys:
        low, high = (
            clearances_in(
                scene.at(values | {part: values[part] | {name: values[part][name] + step}}), meet
            )
            for step in (-1e-4, 1e-4)
        )
        for gap, less, more in zip(gaps, low, high, strict=True):
            slope = (more.value - less.value) / 2e-4
            assert gap.slopes.get(f"{part}/{name}", 0.0) == pytest.approx(slope, abs=1e-6)
