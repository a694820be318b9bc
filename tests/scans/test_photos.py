"""From photo to number: a known drawing, seen in perspective, straightened and picked."""

import math

import numpy as np
from PIL import Image
from pytest import approx

from drawn_sheets import (
    CORNERS,
    CROSSES,
    HOLE,
    HOLE_D,
    PLATE,
    photo,
    random_corners,
    seen,
    sheet,
)
from foldwright.scans import (
    angle_of,
    board_of,
    hole_of,
    length_of,
    outline_of,
    resampled,
    straightened,
)

SIZE = (760, 580)
PICKING = 1.0


def middle_of_dot(grey, near, reach):
    """Middle of what is dark about a place, in pixels from the upper left corner."""
    x, y = (round(float(v)) for v in near)
    part = 255.0 - grey[y - reach : y + reach, x - reach : x + reach]
    part = np.clip(part - 60.0, 0.0, None)
    down, right = np.mgrid[0 : 2 * reach, 0 : 2 * reach] + 0.5
    return (
        x - reach + float((part * right).sum() / part.sum()),
        y - reach + float((part * down).sum() / part.sum()),
    )


def test_nine_in_ten_lengths_of_200_photos_lie_within_twice_their_trust():
    """Dots are found in the straightened picture itself, taken back to the photo, and shaken.

    A length within two deviations of the truth is expected 95 times in 100.
    """
    drawn, rng = sheet(), np.random.default_rng(11)
    held = total = 0
    for _ in range(200):
        image, to_mm = photo(drawn, random_corners(rng, SIZE), SIZE)
        corners = seen(to_mm, CORNERS) + rng.normal(0.0, PICKING, (4, 2))
        frame = straightened(corners, CORNERS, picking=PICKING).frame
        board = board_of(frame, *SIZE, [tuple(c) for c in corners])
        straight = np.asarray(resampled(image, frame, board), dtype=float)
        to_board = np.linalg.inv(board.to_mm)
        ends = []
        for cross in (CROSSES[0], CROSSES[1], CROSSES[2], CROSSES[5]):
            # where the dot is in the straightened picture; its frame is a little out
            there = seen(to_mm, [cross])
            x, y = frame.at(there)[0]
            near = (to_board @ (x, y, 1.0))[:2]
            found = middle_of_dot(straight, near, math.ceil(4.0 / board.mm_per_pixel))
            place = (board.to_mm @ (*found, 1.0))[:2]
            back = frame.back([tuple(place)])[0]
            assert back == approx(there[0], abs=0.35)  # the picture shows the dot where it is
            ends.append(back + rng.normal(0.0, PICKING, 2))
        for i, j, a, b in ((0, 1, 0, 1), (0, 2, 0, 2), (1, 3, 1, 5), (2, 3, 2, 5)):
            taken = length_of(frame.mapped([ends[i], ends[j]], PICKING))
            true = math.dist(CROSSES[a], CROSSES[b])
            held += abs(taken.value - true) <= 2.0 * taken.trust
            total += 1

    assert total == 800
    assert held / total >= 0.90


def test_holes_outlines_and_angles_of_200_photos_lie_within_twice_their_trust():
    rng = np.random.default_rng(12)
    size = np.array((4000, 3000))
    rim = [
        (HOLE[0] + HOLE_D / 2 * math.cos(a), HOLE[1] + HOLE_D / 2 * math.sin(a))
        for a in (0.2, 1.4, 2.9, 4.1, 5.3)
    ]
    held = {"d": 0, "x": 0, "angle": 0, "outline": 0}
    for _ in range(200):
        corners = random_corners(rng, size)
        _, to_mm = photo(Image.new("L", (8, 8)), corners, (8, 8))
        pick = lambda places, m=to_mm: seen(m, places) + rng.normal(0, 2.0, (len(places), 2))  # noqa: E731
        frame = straightened(pick(CORNERS), CORNERS, picking=2.0).frame
        hole = hole_of(frame.mapped(pick(rim), 2.0))
        held["d"] += abs(hole.d.value - HOLE_D) <= 2.0 * hole.d.trust
        held["x"] += abs(hole.x.value - HOLE[0]) <= 2.0 * hole.x.trust
        angle = angle_of(frame.mapped(pick([PLATE[1], PLATE[2], PLATE[3]]), 2.0))
        held["angle"] += abs(angle.value - 131.1859) <= 2.0 * angle.trust
        outline = outline_of(frame.mapped(pick(PLATE), 2.0))
        missed = np.array(outline.corners) - (np.array(PLATE) - PLATE[0])
        held["outline"] += float(np.sqrt(np.mean(missed**2))) <= 2.0 * outline.trust

    assert min(held.values()) >= 180, held


def test_the_straightened_picture_is_the_drawing():
    """Resampled at a known mm per pixel, it shows the sheet as it was drawn: most of it the same.

    Pixels may differ along edges only.
    """
    drawn, size = sheet(), (2400, 1800)
    image, to_mm = photo(drawn, [(200, 1600), (2200, 1650), (2000, 200), (420, 150)], size)
    corners = [tuple(c) for c in seen(to_mm, CORNERS)]
    frame = straightened(corners, CORNERS, picking=1.0).frame
    board = board_of(frame, *size, corners)
    straight = resampled(image, frame, board)

    left, top = (np.linalg.inv(board.to_mm) @ (0.0, 297.0, 1.0))[:2]
    right, low = (np.linalg.inv(board.to_mm) @ (420.0, 0.0, 1.0))[:2]
    cut = straight.crop(tuple(round(float(v)) for v in (left, top, right, low)))
    small = np.asarray(drawn.resize((840, 594), Image.Resampling.BOX), dtype=float)
    same = np.asarray(cut.resize((840, 594), Image.Resampling.BOX), dtype=float)
    assert np.median(np.abs(small - same)) <= 1.0
    assert np.mean(np.abs(small - same) > 40.0) < 0.01
