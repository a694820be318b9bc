"""The straightened picture: the drawing seen square on, at a known mm per pixel.

Room: scans. Each pixel of the new picture is looked up in the photo through the
inverse of the frame, between its pixels by cubic interpolation.
"""

from __future__ import annotations

import io
import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from PIL import Image

from foldwright.scans.frame import Frame, Point, Vector
from foldwright.scans.pictures import kept_picture

_MOST_PIXELS, _MOST_SIDE = 12_000_000, 6_000
# The sheet is shown as far round the known places as they reach themselves.
_ROUND = 0.6
# Drawn so many rows at a time, to tell how far it is.
_BAND = 256


@dataclass(frozen=True)
class Board:
    """Extent of a straightened picture.

    Attributes
    ----------
    left, top : float
        Its upper left corner in the drawing [mm].
    mm_per_pixel : float
    width, height : int
        [pixels]
    """

    left: float
    top: float
    mm_per_pixel: float
    width: int
    height: int

    @property
    def to_mm(self) -> Vector:
        """Homography from its pixels to mm, shape (3, 3)."""
        m = self.mm_per_pixel
        return np.array([[m, 0.0, self.left], [0.0, -m, self.top], [0.0, 0.0, 1.0]])


def board_of(frame: Frame, width: int, height: int, pixels: list[Point]) -> Board:
    """Extent and scale of the picture straightened in a frame.

    Parameters
    ----------
    frame : Frame
    width, height : int
        Of the photo [pixels].
    pixels : list of (x, y)
        What has to be on it: the known places.
    """
    known = frame.at(pixels)
    low, high = known.min(axis=0), known.max(axis=0)
    reach = _ROUND * (high - low)
    low, high = low - reach, high + reach
    corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]
    whole = np.column_stack([np.array(corners), np.ones(4)]) @ frame.whole.T
    if (whole[:, 2] * whole[0, 2] > 0.0).all():  # no corner lies beyond the horizon
        seen = whole[:, :2] / whole[:, 2:]
        low, high = np.maximum(low, seen.min(axis=0)), np.minimum(high, seen.max(axis=0))
    slopes = np.abs(np.linalg.det(frame.slopes(pixels)))
    finest = math.sqrt(float(slopes.min()))
    across, up = (float(each) for each in high - low)
    coarse = max(finest, math.sqrt(across * up / _MOST_PIXELS), max(across, up) / _MOST_SIDE)
    return Board(
        float(low[0]),
        float(high[1]),
        coarse,
        max(1, math.ceil(across / coarse)),
        max(1, math.ceil(up / coarse)),
    )


def straight_picture(
    image: bytes,
    frame: Frame,
    board: Board,
    told: Callable[[int, int], None] = lambda rows, of: None,
) -> bytes:
    """Draw the straightened picture, as a JPEG file.

    Parameters
    ----------
    image : bytes
    frame : Frame
    board : Board
    told : callable
        Called with how many rows are drawn, and how many there are.

    Raises
    ------
    NoPicture
        The kept picture cannot be read any more.
    """
    with kept_picture(image) as photo:
        photo.load()
        whole = Image.new(photo.mode, (board.width, board.height))
        for first in range(0, board.height, _BAND):
            told(first, board.height)
            whole.paste(resampled(photo, frame, _band(board, first)), (0, first))
        told(board.height, board.height)
        return _encoded(whole)


def _band(board: Board, first: int) -> Board:
    """Rows of a board from one on."""
    top = board.top - first * board.mm_per_pixel
    return replace(board, top=top, height=min(_BAND, board.height - first))


def resampled(photo: Image.Image, frame: Frame, board: Board) -> Image.Image:
    """Look up every pixel of the board in the photo; what the photo does not show is white."""
    back = np.linalg.inv(frame.whole) @ board.to_mm
    back = back / back[2, 2]
    return photo.transform(
        (board.width, board.height),
        Image.Transform.PERSPECTIVE,
        tuple(float(each) for each in back.ravel()[:8]),
        Image.Resampling.BICUBIC,
        fillcolor=255 if photo.mode == "L" else (255, 255, 255),
    )


def _encoded(image: Image.Image) -> bytes:
    out = io.BytesIO()
    image.save(out, "JPEG", quality=88)
    return out.getvalue()
