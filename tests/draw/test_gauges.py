"""Gauges have the angle to fold to and touch nothing but the flats."""

import math

import pytest

from draw.hand import INFO, drum, fold, handed, outwards, read_pages, runs
from foldwright.draw import gauges_pdf
from foldwright.draw.drawing import Line
from foldwright.draw.gauges import LEG, NOTCH_HOLE, gauges_of, notch_outline, point_outline
from foldwright.flat.pattern import Piece, Step


def leg_angle(path, vertex=(0.0, 0.0)):
    """Angle between the two sides whose lines run through the vertex [degrees], and their ends."""
    legs = []
    for side in path:
        if not isinstance(side, Line):
            continue
        dx, dy = side.b[0] - side.a[0], side.b[1] - side.a[1]
        off = abs(dx * (side.a[1] - vertex[1]) - dy * (side.a[0] - vertex[0])) / math.hypot(dx, dy)
        if off < 1e-9 and math.hypot(dx, dy) > 10.0:
            legs.append(side)
    (first, second) = legs
    directions = []
    for leg in (first, second):
        far = max((leg.a, leg.b), key=lambda p: math.hypot(*p))
        directions.append(math.atan2(far[1], far[0]))
    angle = abs(directions[0] - directions[1]) % math.tau
    return math.degrees(min(angle, math.tau - angle)), legs


@pytest.mark.parametrize("outline", [point_outline, notch_outline])
def test_the_legs_stand_at_the_angle_to_fold_to(outline):
    """88.5 for 90 with 1.5 over; a fold that turns outwards has what is left of 360."""
    gauges = gauges_of([outwards()])

    assert [g.fold_to for g in gauges] == [88.5, 148.5, 221.5]
    for gauge, wanted in zip(gauges, (88.5, 148.5, 138.5), strict=True):
        angle, legs = leg_angle(outline(gauge))

        assert angle == pytest.approx(wanted, abs=1e-9)
        assert all(
            max(math.hypot(*leg.a), math.hypot(*leg.b)) == pytest.approx(LEG) for leg in legs
        )


def test_equal_angles_share_a_gauge_and_every_fold_is_within_half_a_tenth():
    """Angles from 89.96 to 90.04 are one gauge; 90.06 is the next."""

    def bent(name, *angles):
        return Piece(
            id=f"{name}-1",
            part=name,
            stock="board3",
            thickness=3.0,
            revision=0,
            outline=tuple(Step(p) for p in ((0, 0), (400.0, 0), (400.0, 50.0), (0, 50.0))),
            folds=tuple(
                fold(
                    (90.0 * i + 90.0, 50.0),
                    (90.0 * i + 90.0, 0.0),
                    ("a", "b"),
                    angle,
                    over_fold=0.0,
                )
                for i, angle in enumerate(angles)
            ),
        )

    gauges = gauges_of([bent("one", 90.04, 89.96), bent("two", 89.94, 90.0)])

    assert [g.fold_to for g in gauges] == [90.0, 90.1]
    assert gauges[0].serves == (("90.0°", "one A, B; two B"),)
    assert gauges[1].serves == (("90.1°", "two A"),)


def test_noise_in_the_last_digits_makes_no_second_gauge():
    """Two folds of 88.45 degrees, worked out on two ways."""
    piece = handed()
    noisy = [
        fold((50.0 * i, 150.0), (50.0 * i, 0.0), ("a", "b"), 91.55 + e, over_fold=0.0)
        for i, e in ((1, 1e-11), (2, -1e-11))
    ]
    from dataclasses import replace

    assert len(gauges_of([replace(piece, folds=tuple(noisy))])) == 1


def test_the_tip_is_cut_off_clear_of_the_groove_s_mouth():
    """By construction: mouth of a 2 mm floor, 90 degree cutter, 2.2 deep, half folded shut.

    The flat begins (r + w) c + h tan(45) from the outer mould line, the
    hollow's corner lies 3 c from it; c = tan(45.75 degrees).
    """
    gauge = gauges_of([handed()])[0]
    c = math.tan(math.radians(91.5 / 2.0))
    begins = (0.64 + 0.8) * c + 2.2 - 3.0 * c

    assert gauge.fold_to == 88.5
    assert gauge.tip >= begins + 1.0
    nearest = min(math.hypot(*s.a) for s in point_outline(gauge))
    assert nearest == pytest.approx(gauge.tip)
    assert min(math.hypot(*s.a) for s in notch_outline(gauge)) == pytest.approx(NOTCH_HOLE)


def test_gauges_are_printed_at_1_to_1_and_say_what_they_serve():
    """A leg read back from the page: from the cut-off tip to 40 mm."""
    (page,) = read_pages(gauges_pdf([handed()], INFO))
    gauge = gauges_of([handed()])[0]
    lengths = [math.dist(a, b) for line in page.of_width(0.5) for a, b in runs(line)]

    assert sum(abs(x - (LEG - gauge.tip)) < 0.001 for x in lengths) >= 2
    assert sum(abs(x - (LEG - NOTCH_HOLE)) < 0.001 for x in lengths) >= 2
    for words in ("Fold to 88.5°", "cheek A, finished 90.0°", "Fold to 98.5°", "inside", "outside"):
        assert words in page.text


def test_outside_and_inside_change_places_where_a_fold_turns_outwards():
    """The point goes into the hollow, which then lies outside."""
    text = read_pages(gauges_pdf([outwards()], INFO))
    joined = "\n".join(page.text for page in text)
    after = joined.split("Fold to 221.5°")[1]

    assert after.index("outside") < after.index("inside")
    assert "138.5°" in after


def test_a_build_without_folds_gets_a_page_that_says_so():
    """No empty file."""
    (page,) = read_pages(gauges_pdf([drum()], INFO))

    assert "no folds" in page.text
