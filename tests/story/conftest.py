"""Builds for the stories."""

import shutil
from pathlib import Path

import pytest

EXAMPLE = Path(__file__).parents[2] / "examples" / "harbour-signal-lamp"


@pytest.fixture
def lamp(tmp_path):
    """A fresh copy of the demo build."""
    folder = tmp_path / "lamp"
    folder.mkdir()
    shutil.copy(EXAMPLE / "plan.toml", folder)
    return folder
