"""Keeping: what several programs do to one drawing at a time is all there afterwards."""

import io
import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image

from foldwright.errors import OutputRefused
from foldwright.scans import Drawings

HAND = Path(__file__).with_name("hand.py")


def plate():
    """A picture file of 120 by 90 pixels."""
    out = io.BytesIO()
    Image.new("L", (120, 90), 200).save(out, "png")
    return out.getvalue()


def test_where_nothing_can_be_locked_nothing_is_changed_and_all_can_be_looked_at(tmp_path):
    """A folder in the place of the lock stands for a disk that refuses it."""
    drawings = Drawings(tmp_path)
    drawing = drawings.put(plate(), "plate.png")
    small = drawings.small(drawing)
    (lock,) = (tmp_path / "drawings").glob(".one-*")
    lock.unlink()
    lock.mkdir()
    (tmp_path / "drawings" / f"{drawing.id}.small.jpg").unlink()

    with pytest.raises(OutputRefused, match="cannot be written"):
        drawings.put_away(drawing.id)
    assert drawings.get(drawing.id) == drawing
    assert drawings.small(drawing) == small


def test_one_scan_put_in_and_picked_on_by_several_programs_keeps_every_pick(tmp_path):
    """Whoever comes last finds the drawing there, with the picks of the others."""
    picture = tmp_path / "plate.png"
    picture.write_bytes(plate())
    build = tmp_path / "build"
    build.mkdir()
    hands, count = 4, 25
    programs = [
        subprocess.Popen(
            [sys.executable, HAND, build, picture, str(count)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for _ in range(hands)
    ]
    for program in programs:
        assert program.stdout.readline() == "ready\n"
    for program in programs:
        program.stdin.write("go\n")
        program.stdin.flush()
    errors = [program.communicate(timeout=300)[1] for program in programs]

    assert errors == [""] * hands
    (drawing,) = Drawings(build).all()
    assert len(drawing.picks) == hands * count
    assert len({pick.id for pick in drawing.picks}) == hands * count
