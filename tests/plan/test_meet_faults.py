"""Faults of meets: each stands on its line and says what to change."""

import re

import pytest

from every_meet import every_meet
from foldwright.errors import PlanFaults

# What is changed; code, text on the line of the fault, words of the fault.
# fmt: off
CASES = {
    "kind": (('kind = "plumb"', 'kind = "plum"'), "unknown-name", "plum", "Did you mean plumb"),
    "no kind": (('kind = "plumb"\n', ""), "missing", "[[meet]]", 'does not say "kind"'),
    "key": (("range = [80, 86]", "rang = [80, 86]"), "unknown-key", "rang", "Did you mean range"),
    # slides-into
    "tight gap": (("gap = [0.3, 1.5]", "gap = [-0.3, 1.5]"), "out-of-range", "gap", "would bind"),
    # presses-into
    "gap for a press fit": (("interference = [0.08, 0.22]", "interference = [-0.1, 0.2]"),
                            "out-of-range", "interference", "is a gap"),
    "huge interference": (("interference = [0.08, 0.22]", "interference = [0.1, 5]"),
                          "out-of-range", "interference", "No tube takes"),
    "press a box": (('inner = "leg_plug"', 'inner = "desk"'), "geometry", "desk", "is a box"),
    "press into a box": (('outer = "leg"', 'outer = "desk"'), "geometry", "desk", "no bore"),
    # drops-between
    "no walls": (('walls = ["left", "right"]\n', ""), "missing", "[[meet]]", "Add walls"),
    "one wall": (('walls = ["left", "right"]', 'walls = ["left"]'), "wrong-kind", "walls",
                 "1 are named"),
    "same wall": (('walls = ["left", "right"]', 'walls = ["left", "left"]'), "wrong-kind", "walls",
                  "1 are named"),
    "wall name": (('walls = ["left", "right"]', 'walls = ["left", "rihgt"]'), "unknown-name",
                  "walls", "right"),
    "open wall": (('walls = ["left", "right"]', 'walls = ["bottom", "top"]'), "geometry", "walls",
                  "is open"),
    "round wall": (('outer = "desk"\nwalls', 'outer = "drum"\nwalls'), "geometry", "outer",
                   "one wall all round"),
    "row kind": (('inner = ["till-1", "till-2", "till-3"]', 'inner = ["till-1", 2]'), "wrong-kind",
                 "inner", "list of texts"),
    "row part": (('inner = ["till-1", "till-2", "till-3"]', 'inner = ["till-1", "till-4"]'),
                 "unknown-name", "inner", "till"),
    "row twice": (('inner = ["till-1", "till-2", "till-3"]', 'inner = ["till-1", "till-1"]'),
                  "name-twice", "[[meet]]", "cannot meet itself"),
    # bolts-to
    "no bolt": (("bolt_d = 6\n", ""), "missing", "[[meet]]", "Add bolt_d"),
    "bolt size": (("bolt_d = 6\n", "bolt_d = 60\n"), "out-of-range", "bolt_d", "1 to 30"),
    "hole name": (('outer_holes = ["foot holes"]', 'outer_holes = ["foot hole"]'), "unknown-name",
                  "outer_holes", "foot holes"),
    "no holes": (('inner = "foot"\n', 'inner = "left_post"\n'), "geometry", "inner",
                 "has no holes"),
    "tapped": (("bolt_d = 6\n", 'bolt_d = 6\ntapped = "base"\n'), "unknown-name", "tapped",
               "inner, outer"),
    "shifts": (("bolt_d = 6\n", 'bolt_d = 6\nshifts = "no"\n'), "wrong-kind", "shifts", "true or"),
    # wraps
    "wrap a box": (('sheet = "band"', 'sheet = "desk"'), "geometry", "sheet", "laid round"),
    "wrap round a box": (('round = "drum"', 'round = "desk"'), "geometry", "round", "no girth"),
    "gap and lap": (("gap = [0, 2]", "gap = [0, 2]\nlap = [3, 4]"), "missing", "[[meet]]",
                    "either its gap or its lap"),
    "negative lap": (("gap = [0, 2]", "lap = [-1, 2]"), "out-of-range", "lap", "is a gap"),
    # level-with and reveal
    "one face": (('faces = ["left_post.top", "lid.top"]', 'faces = ["left_post.top"]'),
                 "wrong-kind", "faces", "names 1; 2 can meet"),
    "no face": (('faces = ["left_post.top", "lid.top"]', 'faces = ["left_post", "lid.top"]'),
                "missing", "faces", "left_post.FACE"),
    "face name": (('faces = ["left_post.top", "lid.top"]', 'faces = ["left_post.tpo", "lid.top"]'),
                  "unknown-name", "faces", "top"),
    "no faces": (('faces = ["left_post.top", "lid.top"]\n', ""), "missing", "[[meet]]",
                 "Add faces"),
    "step": (('faces = ["left_post.top", "lid.top"]',
              'faces = ["left_post.top", "lid.top"]\nstep = 0'), "out-of-range", "step",
             "no room for the hand"),
    "step unit": (('faces = ["left_post.top", "lid.top"]',
                   'faces = ["left_post.top", "lid.top"]\nstep = "1 mile"'), "bad-quantity", "step",
                  "mile"),
    "reveal clash": (("gap = [0.2, 2]", "gap = [-0.2, 2]"), "out-of-range", "gap", "clash"),
    "no reveal": (("gap = [0.2, 2]\n", ""), "missing", "[[meet]]", "Add gap"),
    # plumb
    "plumb face": (('face = "desk.front"', 'face = "desk"'), "missing", "face", "desk.FACE"),
    "lean range": (('face = "desk.front"', 'face = "desk.front"\nlean = [2, 1]'), "out-of-range",
                   "lean", "no room"),
    # pair
    "unlike kinds": (('parts = ["left_post", "right_post"]', 'parts = ["left_post", "drum"]'),
                     "geometry", "parts", "box and a drum do not look alike"),
    "alone": (('parts = ["left_post", "right_post"]', 'parts = "left_post"'), "geometry", "parts",
              "one part alone"),
    "with itself": (('parts = ["left_post", "right_post"]', 'parts = ["lid", "lid"]'),
                    "name-twice", "[[meet]]", "cannot meet itself"),
    # relation
    "no formula": (('formula = "till-1.height + 2*leg-2.length - desk.inside_height"\n', ""),
                   "missing", "[[meet]]", "Add formula"),
    "no range": (("range = [80, 86]\n", ""), "missing", "[[meet]]", "Add range"),
    "empty range": (("range = [80, 86]", "range = [86, 80]"), "out-of-range", "range", "no room"),
    "formula part": (("till-1.height + 2", "tile-1.height + 2"), "unknown-name", "formula", "till"),
    "formula syntax": (("till-1.height + 2", "till-1.height + + * 2"), "bad-formula", "formula",
                       r"till-1\.height"),
    "formula function": (("till-1.height + 2", "halve(till-1.height) + 2"), "bad-formula",
                         "formula", "no function"),
    "bare part": (("till-1.height + 2", "lid + 2"), "unknown-name", "formula", r"lid\.length"),
    "bare size": (("till-1.height + 2", "lid_h + 2"), "unknown-name", "formula",
                  "no dim of a part"),
    "only numbers": (("till-1.height + 2*leg-2.length - desk.inside_height", "2 + 3"),
                     "bad-formula", "formula", "names no dim"),
    # flexible
    "both": (("height = 80\nflexible = true", "height = 80\nflexible = true\nstiff = true"),
             "geometry", "flexible", "opposite"),
    "flexible kind": (("height = 80\nflexible = true", 'height = 80\nflexible = "yes"'),
                      "wrong-kind", "flexible", "true or false"),
}
# fmt: on


@pytest.mark.parametrize("name", CASES)
def test_a_fault_stands_on_its_line_and_says_what_to_change(name):
    change, code, on_line, words = CASES[name]
    with pytest.raises(PlanFaults) as error:
        every_meet(change)
    found = error.value.faults
    fitting = [f for f in found if f.code == code and re.search(words, str(f))]

    assert fitting, [str(f) for f in found]
    assert on_line in fitting[0].text
    assert fitting[0].remedy
    assert len(found) <= 2, [str(f) for f in found]


@pytest.mark.parametrize(
    "change",
    [
        ('name = "foot holes", on = "top", at = [200, 40]', 'name = "foot holes", on = "tpo"'),
        ('name = "foot holes", on = "top", at = [200, 40]', 'name = "foot holes", on = "top"'),
    ],
)
def test_a_hole_with_a_fault_of_its_own_is_not_said_to_be_missing_too(change):
    with pytest.raises(PlanFaults) as error:
        every_meet(change)

    assert error.value.faults
    for fault in error.value.faults:
        assert "has no holes" not in str(fault) and "no hole of" not in str(fault)
        assert "outer_holes" not in fault.text
