"""A sheet with a known drawing on it, and photos of that sheet, for tests that pick off them."""

import numpy as np
from PIL import Image, ImageDraw

WIDE, HIGH = 420.0, 297.0  # mm; A3
DOTS = 4  # pixels to the mm, as rendered
CORNERS = [(0.0, 0.0), (WIDE, 0.0), (WIDE, HIGH), (0.0, HIGH)]
# What stands on it, in mm right and up from the lower left corner of the sheet.
PLATE = [(60.0, 50.0), (340.0, 50.0), (340.0, 170.0), (260.0, 240.0), (60.0, 240.0)]
HOLE, HOLE_D = (130.0, 150.0), 80.0
CROSSES = [
    (70.0, 60.0),
    (330.0, 60.0),
    (250.0, 230.0),
    (70.0, 230.0),
    (200.0, 110.0),
    (300.0, 150.0),
]


def sheet(marks=True) -> Image.Image:
    """The sheet as it was drawn, with a dot on every cross and at the corners."""
    big = 2  # drawn larger and shrunk, so that edges fall between pixels as well
    image = Image.new("L", (round(WIDE * DOTS * big), round(HIGH * DOTS * big)), 244)
    draw = ImageDraw.Draw(image)

    def at(place):
        return (place[0] * DOTS * big, (HIGH - place[1]) * DOTS * big)

    draw.polygon([at(p) for p in PLATE], outline=30, width=3 * big)
    (x, y), r = at(HOLE), HOLE_D / 2 * DOTS * big
    draw.ellipse((x - r, y - r, x + r, y + r), outline=30, width=3 * big)
    if marks:
        for place in CROSSES:
            x, y = at(place)
            r = 1.5 * DOTS * big
            draw.ellipse((x - r, y - r, x + r, y + r), fill=20)
    return image.resize((image.width // big, image.height // big), Image.Resampling.BOX)


def to_sheet(corners) -> np.ndarray:
    """Homography from pixels of a photo to mm, by its four corners (closed form, Heckbert 1989)."""
    square = _square_to(np.asarray(corners, dtype=float))
    return np.diag([WIDE, HIGH, 1.0]) @ np.linalg.inv(square)


def seen(photo_to_mm, places) -> np.ndarray:
    """Pixels of a photo at which places of the sheet are seen."""
    rows = np.column_stack([np.asarray(places, dtype=float), np.ones(len(places))])
    found = rows @ np.linalg.inv(photo_to_mm).T
    return found[:, :2] / found[:, 2:]


def photo(image, corners, size) -> tuple[Image.Image, np.ndarray]:
    """A sheet seen in perspective, its corners at these pixels; and pixels to mm."""
    to_mm = to_sheet(corners)
    to_drawn = np.diag([DOTS, -DOTS, 1.0])
    to_drawn[1, 2] = HIGH * DOTS
    back = to_drawn @ to_mm
    back = back / back[2, 2]
    warped = image.transform(
        size,
        Image.Transform.PERSPECTIVE,
        tuple(back.ravel()[:8]),
        Image.Resampling.BICUBIC,
        fillcolor=120,
    )
    return warped, to_mm


def random_corners(rng, size) -> np.ndarray:
    """Corners of the sheet in a photo taken freely by hand."""
    w, h = size
    plain = np.array([(0.1, 0.9), (0.9, 0.9), (0.9, 0.1), (0.1, 0.1)]) * (w, h)
    return plain + rng.uniform(-0.085, 0.085, (4, 2)) * (w, h)


def _square_to(p) -> np.ndarray:
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = p
    dx1, dx2, sx = x1 - x2, x3 - x2, x0 - x1 + x2 - x3
    dy1, dy2, sy = y1 - y2, y3 - y2, y0 - y1 + y2 - y3
    size = dx1 * dy2 - dx2 * dy1
    g, h = (sx * dy2 - dx2 * sy) / size, (dx1 * sy - sx * dy1) / size
    return np.array(
        [
            [x1 - x0 + g * x1, x3 - x0 + h * x3, x0],
            [y1 - y0 + g * y1, y3 - y0 + h * y3, y0],
            [g, h, 1],
        ]
    )
