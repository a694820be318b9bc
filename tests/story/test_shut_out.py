"""A rib that cannot be drawn for its shell as measured: it is named, and the rest is refitted."""

import pytest

from story.command import foldwright
from web.conftest import Browser, page_on
from web.test_changes import worked_out

PLAN = """
[build]
name = "Shallow"
[rack.board3]
material = "acp-3-0.3"
sheets = [{ size = [1220, 2440] }]
[part.shell]
kind = "box"
from = "board3"
width = 300
depth = 400
height = 200
leave_open = ["front"]
[part.frame]
kind = "rib"
from = "board3"
of = "shell"
station = 393
[part.fellow]
kind = "rib"
from = "board3"
of = "shell"
station = 120
"""
SAID = "The frame cannot be drawn for the shell as measured."


@pytest.fixture
def shallow(tmp_path):
    """Its back board came out where the frame would stand."""
    (tmp_path / "plan.toml").write_text(PLAN)
    for dim, value in (("width", "303"), ("depth", "385")):
        assert foldwright("measure", tmp_path, f"shell.{dim}", value, "--sure").code == 0
    return tmp_path


def test_a_refit_names_the_rib_and_changes_the_other(shallow):
    told = foldwright("refit", shallow)
    data = foldwright("refit", shallow, "--json").json()

    assert told.code == 0 and SAID in told.out
    assert "fellow: cut width 3.0 mm larger" in told.out
    assert [said.startswith(SAID) for said in data["cannot_be_drawn"]] == [True]
    assert {change["part"] for change in data["changes"]} == {"fellow"}


def test_the_page_names_it_too(shallow):
    with page_on(shallow) as app:
        text = worked_out(app, Browser(app))

    assert SAID in text and "What cannot be drawn" in text
