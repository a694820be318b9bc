"""Slips at the bench: what no maker means is refused, and in words that say what to do."""

import pytest

from foldwright.errors import FoldwrightError
from foldwright.reckon import RECKONERS, asked, in_words, page, reckon, reckoner_named
from foldwright.reckon.definition import Line
from foldwright.reckon.reading import ReckonerFaults
from foldwright.reckon.sums import shown
from foldwright.shop import boards


@pytest.mark.parametrize(
    ("name", "typed", "words"),
    [
        ("press-plug", {"bore": "46,12"}, "decimal point"),
        ("push-plug", {"bore": "30,05"}, "decimal point"),
        ("bolt-into-plug", {"plate_thickness": "-0.1"}, "plate_thickness: .*above 0"),
        ("bolt-in-board", {"thickness": "-3"}, "thickness: .*above 0"),
        ("groove", {"thickness": "30"}, "another board"),
        ("groove", {"floor": "500"}, "floor: .*0 to 50"),
        ("filler", {"cutter": "-5"}, "cutter: .*0 to 170"),
        ("filler", {"cutter": "400"}, "cutter: .*0 to 170"),
        ("filler", {"thickness": "60"}, "another board"),
        ("paint", {"area": "0"}, "area: .*above 0"),
        ("paint", {"lands": "-1"}, "lands: .*at least 0"),
        ("drum-cap", {"gap": "-5"}, "gap: .*0 to 20"),
        ("former", {"lot": "1e6"}, "lot: .*0.3 to 3"),
        ("elbow", {"segments": "100000"}, "segments: .*0 to 90"),
        ("dome-cap", {"petals": "100000"}, "petals: .*3 to 360"),
        ("panel", {"load": "1e300"}, "larger than any measure"),
        ("filler", {"count": "1e300"}, "larger than any measure"),
    ],
)
def test_what_no_maker_means_is_refused(name, typed, words):
    """The refusal names the input and says what it may be."""
    r = reckoner_named(name)

    with pytest.raises(ReckonerFaults, match=words):
        reckon(r, {**r.example, **typed})


@pytest.mark.parametrize(
    ("name", "asks"), [(r.name, i.name) for r in RECKONERS for i in r.inputs if i.unit != "word"]
)
@pytest.mark.parametrize("typed", ["1e15", "0", "-0.1", "nan"])
def test_any_number_is_answered_or_refused(name, asks, typed):
    """Whatever stands for an input, there is a finite answer or a refusal in words."""
    r = reckoner_named(name)
    try:
        said = in_words(reckon(r, {**r.example, asks: typed}))
    except FoldwrightError as refusal:
        said = str(refusal)

    assert said
    assert " nan" not in said.replace('"nan"', "")
    assert " inf " not in said


def test_names_of_boards_and_materials_can_be_found():
    """The question, the page and the refusal of an unknown name lead to all names."""
    groove = reckoner_named("groove")
    with pytest.raises(ReckonerFaults, match="foldwright reckon groove lists all"):
        reckon(groove, {**groove.example, "board": "composite"})

    for name in boards():
        assert name in asked(groove)
        assert name in page(())


def test_a_plug_is_tapped_where_it_sits():
    """Hammering bruises a thread, so the plug goes in first."""
    r = reckoner_named("bolt-into-plug")
    said = in_words(reckon(r, r.example))

    assert "goes in first" in said


def test_a_hole_that_comes_out_behind_is_tapped_through():
    """A bolt that cannot touch a bottom is not told to stay off it."""
    r = reckoner_named("bolt-into-plug")
    said = in_words(reckon(r, {**r.example, "hole": "through"}))

    assert "tap right through" in said
    assert "touch the bottom" not in said


def test_values_without_commas_are_told_to_have_them():
    """Three pipes with spaces between are no length."""
    r = reckoner_named("former")

    with pytest.raises(ReckonerFaults, match="Part several with commas"):
        reckon(r, {**r.example, "formers": "114 168 219"})


def test_an_unsure_number_still_shows_its_first_figure():
    """412 mm known to 24 000 is no 0."""
    assert shown(Line("d", "d", 412.0, "mm", 0, 24_000.0)) == "400 mm, give or take 24000"


def test_a_curl_that_is_nearly_flat_says_so():
    """Hard sheet over a pipe at which it just yields has no diameter worth a number."""
    r = reckoner_named("former")
    found = reckon(r, {**r.example, "board": "al-7075-T6", "thickness": "2", "formers": "250"})
    lines = {line.name: line.value for line in found.answer.lines}

    assert lines["free_d_1"] == "nearly flat"


def test_a_shallow_arc_is_measured_by_its_rise():
    """Opened to 8 m across, 3 mm of light under 300 mm: 300^2 / (4 x 8000) = 2.8."""
    r = reckoner_named("former")
    found = reckon(r, {**r.example, "outside_d": "1000", "formers": "250"})

    assert "300 mm long across its inside shows 3 mm of light" in " ".join(found.answer.steps)
