"""Every kind of fault: its code, its own line, and words that help."""

import re

import pytest

from foldwright.errors import PlanFaults
from foldwright.plan import parse_plan, read_plan
from foldwright.plan.door import LARGEST_FILE
from foldwright.plan.table import FAULT_CODES
from plan.full_cases import KIND_CASES
from plan.plans import SMALL, changed, faults, read

LID, LAMP, RING, GABLE = "[part.lid]", "[part.lamp]", "[part.ring]", "[part.gable]"

# fmt: off
# name of the case: (change, code, text on the line of the fault, words that help)
CASES = {
    # formulas and quantities
    "formula": (("lamp_d + 10", "lamp_d +"), "bad-formula", "diameter", "nothing follows"),
    "no value": (("lamp_d + 10", "10/(lid_w-300)"), "bad-formula", "diameter", "which is 0"),
    "comma": (('"lid_w"\ndepth', '"0,5 mm"\ndepth'), "bad-quantity", "width", "0.5 mm"),
    "unit": (("depth = 200", 'depth = "20 furlong"'), "bad-quantity", "depth", "mm, cm, m"),
    "mixed": (("depth = 200", 'depth = "9-1/2"'), "bad-quantity", "depth", "9 1/2 in"),
    "size formula": (("lid_w = 300", 'lid_w = "2^3"'), "bad-formula", "lid_w", r"\*\*"),
    # sizes
    "unknown size": (('"lid_w"\ndepth', '"lid_v"\ndepth'), "unknown-name", "width", "lid_w"),
    "unknown in size": (
        ("lid_w = 300", 'lid_w = "lamp_b"'), "unknown-name", "lid_w", "Did you mean lamp_d"
    ),
    "board in size": (
        ("lid_w = 300", 'lid_w = "thickness"'), "unknown-name", "lid_w", "formulas of parts"
    ),
    "loop": (
        ("lid_w = 300", 'lid_w = "a - 1"\na = { plan = "b + 1" }\nb = "lid_w"'),
        "loop", "lid_w =", "lid_w -> a -> b -> lid_w",
    ),
    "own loop": (("lid_w = 300", 'lid_w = "lid_w"'), "loop", "lid_w", "lid_w -> lid_w"),
    "negative size": (("plan = 220", "plan = -220"), "out-of-range", "lamp_d", "-220"),
    "zero size": (("lid_w = 300", "lid_w = 0"), "out-of-range", "lid_w", "more than 0"),
    "size in m": (("lid_w = 300", 'lid_w = "300 m"'), "out-of-range", "lid_w", "300000"),
    "give 0": (("give = 3", "give = 0"), "out-of-range", "lamp_d", "more than 0"),
    "trust": (("trust = 1", "trust = -1"), "out-of-range", "lamp_d", "0 to"),
    "no plan": (("plan = 220, ", ""), "missing", "lamp_d", "Add plan"),
    "size name": (("lid_w = 300", '"lid w" = 300'), "bad-name", "lid w", "letters"),
    "reserved": (("lid_w = 300", "lid_w = 300\nsin = 3"), "bad-name", "sin", "formulas already"),
    "keyword": (("lid_w = 300", "lid_w = 300\nin = 3"), "bad-name", "in = 3", "formulas already"),
    "size key": (("give = 3", "gives = 3"), "unknown-key", "lamp_d", "Did you mean give"),
    "size list": (("lid_w = 300", "lid_w = [300]"), "wrong-kind", "lid_w", "a list of 1"),
    "infinite": (("lid_w = 300", "lid_w = inf"), "wrong-kind", "lid_w", "beyond all bounds"),
    # the build
    "table": (("[build]", "[bild]"), "unknown-key", "[bild]", "Did you mean build"),
    "units": (('name = "Lamp"', 'units = "ft"'), "unknown-name", "units", "mm, in"),
    "scale": (('name = "Lamp"', "scale = 0"), "out-of-range", "scale", "0.001 to 1000"),
    "scale text": (('name = "Lamp"', 'scale = "2"'), "wrong-kind", "scale", "without quotes"),
    "seen": (('name = "Lamp"', 'seen_from = ["top"]'), "unknown-name", "seen", "above"),
    "name": (('name = "Lamp"', "name = 3"), "wrong-kind", "name = 3", "a text is wanted"),
    # rack, finish, cutter, material
    "material": (('"acp-3-0.3"', '"acp-9"'), "unknown-name", "material", r"\[material.acp-9\]"),
    "no thickness": (
        ('"acp-3-0.3"', '"aluminium-soft"'), "missing", "material", "thickness = 1.5"
    ),
    "thickness": (
        ('"acp-3-0.3"', '"acp-3-0.3"\nthickness = 6'), "out-of-range", "thickness", "3 mm"
    ),
    "no material": (('material = "acp-3-0.3"', ""), "missing", "[rack.board3]", "former_d"),
    "former": (("former_d = 114", "former_d = -1"), "out-of-range", "former_d", "more than 0"),
    "sheet": (("size = [1220, 2440]", "size = [0, 2440]"), "out-of-range", "sheets", "both sides"),
    "sheet kind": (("size = [1220, 2440]", "size = 1220"), "wrong-kind", "sheets", "1220, 2440"),
    "sheet both": (("size = [1220, 2440], ", ""), "missing", "sheets", "either its size"),
    "offcut": (
        ("size = [1220, 2440]", "outline = [[0, 0], [9, 9], [9, 0], [0, 9]]"),
        "geometry", "sheets", "crosses",
    ),
    "count": (("count = 1 }", "count = 1.5 }"), "out-of-range", "sheets", "whole number"),
    "rack name": (("[rack.pipe114]", "[rack.'pipe 114']"), "bad-name", "pipe 114", "digits"),
    "rack row": (("[rack.pipe114]", "[rack]\nold = 3\n[rack.pipe114]"), "wrong-kind", "old",
                 r"\[rack.old\]"),
    "layer": (("thickness = 0.06", "thick = 0.06"), "unknown-key", "layers", "thickness"),
    "layers": (('layers = [{ what = "paint", thickness = 0.06 }]', ""), "missing", "finish.grey",
               "Add layers"),
    "cutter": (("[part.lid]", "[cutter.v]\nangle_deg = 200\nfloor = 2\n[part.lid]"),
               "out-of-range", "angle_deg", "0 to 150 degrees"),
    "blade": (("[part.lid]", "[cutter.v]\nangle_deg = 0\nfloor = 0\n[part.lid]"),
              "out-of-range", "floor", "kerf"),
    "cutter floor": (("[part.lid]", "[cutter.v]\nangle_deg = 90\n[part.lid]"), "missing",
                     "cutter.v", "Add floor"),
    "widest": (("[part.lid]", "[cutter.v]\nangle_deg = 90\nfloor = 3\nwidest = 2\n[part.lid]"),
               "out-of-range", "widest", "3 to"),
    "own material": (("[part.lid]", "[material.acp-3-0_3]\nthickness = 0\n[part.lid]"),
                     "out-of-range", "thickness = 0", "0.05"),
    # parts
    "kind": (('kind = "drum"', 'kind = "drumm"'), "unknown-name", "drumm", "Did you mean drum"),
    "later kind": (('kind = "drum"', 'kind = "elbow"'), "not-built", "elbow", "There are box"),
    "no kind": (('kind = "drum"', ""), "missing", LAMP, "kind"),
    "part name": ((LAMP, "[part.'the lamp']"), "bad-name", "the lamp", "letters"),
    "part reserved": ((LAMP, "[part.thickness]"), "bad-name", "thickness", "formulas already"),
    "stock": (('"drum"\nfrom = "board3"', '"drum"\nfrom = "bord3"'), "unknown-name", "bord3",
              "Did you mean board3"),
    "from former": (('"drum"\nfrom = "board3"', '"drum"\nfrom = "pipe114"'), "unknown-name",
                    "from", "a former"),
    "no stock": (('"drum"\nfrom = "board3"', '"drum"'), "missing", LAMP, 'Add from = "board3"'),
    "finish": (('finish = "grey"', 'finish = "gray"'), "unknown-name", "gray", "grey"),
    "former name": (('"pipe114"\n', '"pipe110"\n'), "unknown-name", "former", "pipe114"),
    "part key": (("length = 310", "lenght = 310"), "unknown-key", "lenght", "length"),
    "no field": (("length = 310", ""), "missing", LAMP, "Add length"),
    "small": (("length = 310", "length = 0.01"), "out-of-range", "length", "0.1 or more"),
    "negative": (("depth = 200", 'depth = "lid_w - 400"'), "out-of-range", "depth", "-100"),
    "far": (("depth = 200", "depth = 1e6"), "out-of-range", "depth", "100000"),
    "field kind": (("depth = 200", "depth = true"), "wrong-kind", "depth", "yes or no"),
    "no bore left": (("bore = 60", "bore = 230"), "geometry", "bore", "less than 230"),
    "thin drum": (('"lamp_d"\nlength', '"6 mm"\nlength'), "geometry", "outside_d", "more than 6"),
    "no plate": (('diameter = "lamp_d + 10"\nbore = 60', ""), "missing", RING, "either"),
    "bore alone": (('diameter = "lamp_d + 10"', "outline = [[0, 0], [9, 0], [9, 9]]"), "missing",
                   "bore", "A ring"),
    "stiff": (("length = 310", 'length = 310\nstiff = "no"'), "wrong-kind", "stiff",
              "without quotes"),
    "was": (("length = 310", 'length = 310\nwas = "lid"'), "name-twice", "was", "still a part"),
    "was itself": (("length = 310", 'length = 310\nwas = "lamp"'), "name-twice", "was", "now"),
    "capitals": ((RING, "[part.Lamp]"), "name-twice", "[part.Lamp]", "capitals"),
    "part row": ((LAMP, "[part]\nold = 3\n[part.lamp]"), "wrong-kind", "old", r"\[part.old\]"),
    # outlines
    "two corners": (('  ["lid_w", 80],\n  [100, 160],\n  [0, 80],\n', ""), "geometry", "[0, 0]",
                    "3 or more"),
    "crossing": (("  [100, 160],", "  [100, -160],"), "geometry", '"lid_w", 80',
                 '"side-1".*"side-3"'),
    "closed": (("  [0, 80],\n", "  [0, 80],\n  [0, 0],\n"), "geometry", "[0, 0]",
               "closes by itself"),
    "twice": (("  [0, 80],\n", "  [0, 80],\n  [0, 80],\n"), "geometry", "[0, 80]",
              "Leave one of them out"),
    "touching": (("  [0, 80],\n", '  [0, 80],\n  ["lid_w", 80],\n'), "geometry", "lid_w",
                 "Corners 3 and 6"),
    "straight": (("  [0, 80],\n", "  [0, 80],\n  [0, 40],\n"), "geometry", "[0, 40]",
                 "nothing to fold"),
    "spike": (("  [0, 80],\n", "  [0, 80],\n  [0, 180],\n"), "geometry", "[0,", "fold back|cross"),
    "corner": (("  [100, 160],", "  [100, 160, 0],"), "wrong-kind", "[100, 160, 0]",
               "Corner 4 is a list of 3; a corner is a pair"),
    "coordinate": (("  [100, 160],", "  [100, [1]],"), "wrong-kind", "[1]", "a number is wanted"),
    "sides": (("depth = 120", 'depth = 120\nsides = ["a", "b"]'), "geometry", "sides",
              "2 side names for 5 sides"),
    "side twice": (("depth = 120", 'depth = 120\nsides = ["a", "b", "a", "c", "d"]'),
                   "name-twice", "sides", '"a" is there twice'),
    "side front": (("depth = 120", 'depth = 120\nsides = ["a", "b", "front", "c", "d"]'),
                   "name-twice", "sides", "two ends"),
    "side name": (("depth = 120", 'depth = 120\nsides = ["a", "b", "x.y", "c", "d"]'),
                  "bad-name", "sides", "x.y"),
    # folds
    "open face": (('leave_open = ["bottom"]', 'leave_open = ["botom"]'), "unknown-name", "botom",
                  "Did you mean bottom"),
    "all open": (('["bottom"]', '["bottom", "top", "left", "right", "front", "back"]'),
                 "geometry", "leave_open", "nothing is left"),
    "web": (("height = 45", "height = 45\nfold = { web = 3 }"), "out-of-range", "fold",
            "Leave less than the board"),
    "method": (("height = 45", 'height = 45\nfold = { method = "grove" }'), "unknown-name",
               "grove", "groove"),
    "fold key": (("height = 45", "height = 45\nfold = { wab = 1 }"), "unknown-key", "wab", "web"),
    "fold kind": (("height = 45", "height = 45\nfold = 3"), "wrong-kind", "fold", "a table"),
    "k": (("height = 45", "height = 45\nfold = { k = 2 }"), "out-of-range", "k = 2", "0 to 1"),
    "cutter_deg": (("height = 45", "height = 45\nfold = { cutter_deg = 190 }"), "out-of-range",
                   "cutter_deg", "150 degrees"),
    "edge": (("height = 45", 'height = 45\nfold_at = [["top", "frnt"]]'), "unknown-name",
             "fold_at", "front"),
    "no edge": (("height = 45", 'height = 45\nfold_at = [["left", "right"]]'), "geometry",
                "fold_at", "no edge in common"),
    "no edge in a profile": (("depth = 120", 'depth = 120\ncut_at = [["side-2", "side-4"]]'),
                             "geometry", "cut_at", "no edge in common"),
    "edge of nothing": (("height = 45", 'height = 45\ncut_at = [["front", "bottom"]]'),
                        "geometry", "cut_at", "left open"),
    "edge kind": (("height = 45", 'height = 45\ncut_at = [["front", 3]]'), "wrong-kind",
                  "cut_at", '"front", "top"'),
    "edge twice": (("height = 45", 'height = 45\nfold_at = [["front", "top"]]\n'
                    'cut_at = [["top", "front"]]'), "geometry", "cut_at", "folded and cut"),
    # places
    "place part": (('on = "lid.top"', 'on = "lit.top"'), "unknown-name", "place", "lid"),
    "place face": (('on = "lid.top"', 'on = "lid.tip"'), "unknown-name", "place",
                   "Did you mean top"),
    "no place face": (('on = "lid.top"', 'on = "lid"'), "missing", "place", "lid.FACE"),
    "place loop": (("height = 45", 'height = 45\nplace = { on = "gable.front" }'), "loop",
                   "gable.front", "lid -> gable -> lid"),
    "place itself": (('on = "lid.top"', 'on = "gable.front"'), "loop", "place", "gable -> gable"),
    "place at": (("at = [10, 20]", "at = [10, 20, 3]"), "wrong-kind", "place", "lift"),
    "place key": (("at = [10, 20]", "ad = [10, 20]"), "unknown-key", "place", "at"),
    "place kind": (("at = [10, 20]", "at = [10, true]"), "wrong-kind", "place", "a number"),
    # meets
    "meet kind": (('"rests-on"', '"rest-on"'), "unknown-name", "rest-on", "rests-on"),
    "other meet": (('"rests-on"', '"rests on"'), "unknown-name", "rests on", "rests-on"),
    "meet part": (('upper = "ring"', 'upper = "rink"'), "unknown-name", "upper", "ring"),
    "meet face": (('upper = "ring"', 'upper = "ring.wall"'), "unknown-name", "upper", "edge"),
    "meet itself": (('upper = "ring"', 'upper = "lamp"'), "name-twice", "[[meet]]", "two parts"),
    "margin": (("overhang = [3, 12]", ""), "missing", "[[meet]]", "margin = "),
    "both": (("overhang = [3, 12]", "overhang = [3, 12]\nmargin = [1, 2]"), "missing", "[[meet]]",
             "either its margin"),
    "range": (("overhang = [3, 12]", "overhang = [12, 3]"), "out-of-range", "overhang", "lowest"),
    "range kind": (("overhang = [3, 12]", "overhang = 3"), "wrong-kind", "overhang", "3, 12"),
    "no upper": (('upper = "ring"', ""), "missing", "[[meet]]", "upper"),
    "meet rows": (("[[meet]]", "[meet]"), "wrong-kind", "[meet]", r"\[\[meet\]\]"),
    "profile rests": (('upper = "ring"', 'upper = "gable"'), "missing", "upper", "gable.FACE"),
    "meet name": (('upper = "ring"', 'upper = "ring"\nname = ""'), "bad-name", "name", "one line"),
    # the file as a whole
    "syntax": (("[part.lid]", "[part.lid"), "not-toml", "[part.lid", r"not closed with \]"),
    "two tables": ((LAMP, LID), "not-toml", LID, "twice"),
    "key twice": (("depth = 200", "depth = 200\ndepth = 3"), "not-toml", "depth = 3",
                  "already there"),
    "no quotes": (("depth = 200", "depth = 20 mm"), "not-toml", "20 mm", 'quotes.*"12 mm"'),
    "toml comma": (("depth = 200", "depth = 20,5"), "not-toml", "20,5", "decimal point"),
    "no value at all": (("depth = 200", "depth ="), "not-toml", "depth", "no value"),
    "bare word": (("depth = 200", "depth = lid_w"), "not-toml", "depth", 'in quotes'),
    "open quote": (('kind = "drum"', 'kind = "drum'), "not-toml", "drum", "ends? with"),
    "open list": (("  [0, 80],\n]", "  [0, 80],\n"), "not-toml", "depth", "begins on line 30"),
    "no comma": (("  [100, 160],", "  [100 160],"), "not-toml", "[100 160]", "comma"),
    "no equals": (("depth = 200", "depth 200"), "not-toml", "depth 200", "= is missing"),
    "inline lines": (('overhang = [3, 12]', 'at = { a = 1,\nb = 2 }'), "not-toml", "a = 1",
                     "on the same line"),
    "no name": (("depth = 200", "= 200"), "not-toml", "= 200", "begin with a name"),
    "long line": (("depth = 200", "depth = 2" + "0" * 3000), "too-large", "depth", "2,000"),
    "long key": (("depth = 200", "a" + ".b" * 30 + " = 2"), "too-large", "a.b", "two or three"),
    "many corners": (("  [100, 160],", "\n".join(
        f"  [{300 - i / 3}, {160 + i * i / 3000}]," for i in range(600))), "geometry", "[",
        "500 is the most"),
}
# fmt: on


def case_faults(name):
    (old, new), *expected = CASES[name]
    return changed((old, new)), faults(changed((old, new))), expected


def test_the_plan_that_all_cases_start_from_is_sound():
    assert list(read(SMALL).parts) == ["lid", "gable", "lamp", "ring"]


@pytest.mark.parametrize("name", CASES)
def test_a_fault_stands_on_its_line_and_says_what_to_change(name):
    text, found, (code, on_line, words) = case_faults(name)
    fitting = [f for f in found if f.code == code and re.search(words, str(f))]

    assert fitting, [str(f) for f in found]
    fault = fitting[0]
    assert on_line in text.split("\n")[fault.line - 1]
    assert fault.text and fault.problem and fault.remedy
    assert str(fault).startswith(f"plan.toml:{fault.line}: ")


@pytest.mark.parametrize("name", [n for n in CASES if n != "size name"])
def test_one_slip_is_told_once(name):
    """What only follows from a fault is not told again.

    Two at most: a misspelt key is also one that is missing. The size with a bad name is left
    out, since the three places that use its right name do miss it.
    """
    _, found, _ = case_faults(name)

    assert len(found) <= 2, [str(f) for f in found]


def test_many_faults_come_at_once_in_the_order_of_the_lines():
    text = changed(
        ("plan = 220", "plan = -220"),
        ('from = "board3"', 'from = "bord3"'),
        ("depth = 200", 'depth = "lid_v"'),
        ('on = "lid.top"', 'on = "lid.tip"'),
        ("bore = 60", "bore = -60"),
        ("overhang = [3, 12]", "overhang = [12, 3]"),
    )
    found = faults(text)

    assert len(found) == 6
    assert [f.line for f in found] == sorted(f.line for f in found)
    assert len({f.line for f in found}) == 6


def test_a_syntax_fault_comes_alone():
    found = faults(changed(("plan = 220", "plan = -220"), (LAMP, "[part.lamp")))

    assert [f.code for f in found] == ["not-toml"]


def test_two_loops_are_both_named():
    text = changed(("lid_w = 300", 'lid_w = 300\na = "b"\nb = "a"\nc = "2*d"\nd = "c"'))

    assert [f.code for f in faults(text)] == ["loop", "loop"]


def test_parts_that_have_the_same_earlier_name_are_told():
    text = changed(("length = 310", 'length = 310\nwas = "can"'), ("bore", 'was = "can"\nbore'))

    assert [f.code for f in faults(text)] == ["name-twice"]


def test_meets_of_the_same_written_name_are_told():
    meet = '\n[[meet]]\nkind = "rests-on"\nupper = "ring"\nlower = "lid"\nmargin = [0, 9]\n'
    named = meet.replace("\nupper", '\nname = "ring on lid"\nupper')
    found = faults(SMALL + named + named)

    assert [f.code for f in found] == ["name-twice"]
    assert found[0].line > SMALL.count("\n") + named.count("\n")


def test_a_size_called_like_a_field_cannot_stand_in_that_parts_outline():
    text = changed(
        ("lid_w = 300", "lid_w = 300\ndepth = 90"), ("  [0, 80],\n]", '  [0, "depth"],\n]')
    )
    found = faults(text)

    assert [f.code for f in found] == ["name-twice"]
    assert "gable_depth" in found[0].remedy


SLIDES = '\n[[meet]]\nkind = "slides-into"\ninner = "gable.side-4"\nouter = "lid"\ngap = [0.2, 1]\n'


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("[0.2, 1]", "[-0.2, 1]", "would bind"),
        ('"lid"', '"lid.top"', "is closed"),
        ("gable.side-4", "gable", "goes in first"),
        ('"lid"', '"gable.side-2"', "cannot meet itself"),
        ("gap", "gab", "Did you mean gap"),
    ],
)
def test_what_slides_needs_room_and_a_mouth(old, new, words):
    found = faults(SMALL + SLIDES.replace(old, new))

    assert faults(SMALL + SLIDES) == []
    assert any(words in str(fault) for fault in found)


def test_a_box_with_two_mouths_has_to_say_which():
    text = changed(('["bottom"]', '["bottom", "top"]')) + SLIDES
    found = faults(text)

    assert [f.code for f in found] == ["missing"]
    assert "lid.FACE" in found[0].remedy and "bottom, top" in found[0].remedy


@pytest.mark.parametrize(
    ("content", "code", "words"),
    [
        (b"", "empty", "foldwright start"),
        (b"\n \n", "empty", "foldwright start"),
        (b"[build]\n", "empty", "no parts"),
        (b"\xff\xfe[\x00b\x00", "not-utf-8", "Save it as UTF-8"),
        ("# fine\nname = 'hübsch'".encode("latin-1"), "not-utf-8", "foreign sign"),
        (b"\x00" * 100, "not-toml", "begin with a name"),
        (b"x = [" * 2_000_000, "too-large", "500,000 bytes"),
        (b"\x00\xff" * 5_000_000, "too-large", "Check that this is the plan"),
        (b"[" * 1900, "not-toml", "."),
        (b"a = " + b"[" * 1900, "not-toml", "far too deep"),
        (b"a = " + b"{a=" * 600, "not-toml", "far too deep"),
        (b"[a]\n" * 100_000, "not-toml", "twice"),
    ],
)
def test_files_that_are_no_plan_are_refused_quickly(tmp_path, content, code, words):
    path = tmp_path / "plan.toml"
    path.write_bytes(content)
    with pytest.raises(PlanFaults, match=words) as caught:
        read_plan(path, {})

    assert [f.code for f in caught.value.faults] == [code]
    assert str(path) in str(caught.value)


def test_lists_are_too_deep_for_the_reader_or_a_fault_with_a_line_at_any_depth(tmp_path):
    """The line of a fault is found by going into the lists once more, a little deeper."""
    path = tmp_path / "plan.toml"
    codes = set()
    for depth in range(1, 600):
        path.write_text(f"a = {'[' * depth}{']' * depth}\n[part.lid]\nkind = 'plate'\n")
        with pytest.raises(PlanFaults) as caught:
            read_plan(path, {})
        first = caught.value.faults[0]
        codes.add(first.code)
        assert first.line == (1 if first.code == "unknown-key" else 0)

    assert codes == {"unknown-key", "not-toml"}


def test_the_line_of_the_first_foreign_byte_is_named(tmp_path):
    path = tmp_path / "plan.toml"
    path.write_bytes(b"[build]\nname = '\xfcber'\n")
    with pytest.raises(PlanFaults) as caught:
        read_plan(path, {})

    assert caught.value.faults[0].line == 2


def test_a_folder_a_gap_and_a_device_are_no_plans(tmp_path):
    for path, words in (
        (tmp_path, "plan.toml"),
        (tmp_path / "none.toml", "no such file"),
        (tmp_path / "a\0b", "no such file|cannot be opened"),
        (tmp_path / ("x" * 5000), "no such file|cannot be opened"),
        (type(tmp_path)("/dev/null"), "not a file"),
    ):
        with pytest.raises(PlanFaults, match=words) as caught:
            read_plan(path, {})
        assert [f.code for f in caught.value.faults] == ["no-file"]


def test_a_plan_given_as_text_is_held_to_the_same_size():
    with pytest.raises(PlanFaults, match="far more than any plan"):
        parse_plan("#\n" * LARGEST_FILE, "page", {})


def test_every_code_is_used_by_a_test_and_listed():
    seen = {code for _, code, _, _ in (*CASES.values(), *KIND_CASES.values())}
    seen |= {"no-file", "not-utf-8", "empty", "bad-drawing"}  # tests of their own

    assert seen == set(FAULT_CODES)
