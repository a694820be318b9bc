"""What a sound plan with every kind of part becomes."""

import math
from dataclasses import fields, is_dataclass, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.plan import (
    Backing,
    Bar,
    Bought,
    FoldAt,
    FoldWish,
    Length,
    Placement,
    SeamAt,
    SeamWish,
    fault_at,
)
from foldwright.plan.outline import signed_area
from plan.full_plan import FULL, full_with, read_full


@pytest.fixture(scope="module")
def plan():
    """The full plan."""
    return read_full()


def lengths(thing, values, path=""):
    """Every Length in a record, worked out, by its path."""
    if isinstance(thing, Length):
        return {path: thing.value(values)}
    if isinstance(thing, tuple):
        inner = {f"{path}.{i}": member for i, member in enumerate(thing)}
    elif is_dataclass(thing):
        skipped = ("of", "parameters", "finish", "place")
        inner = {
            f"{path}.{f.name}": getattr(thing, f.name)
            for f in fields(thing)
            if f.name not in skipped
        }
    else:
        return {}
    found = {}
    for name, member in inner.items():
        found |= lengths(member, values, name)
    return found


def test_every_kind_is_there_with_its_faces(plan):
    kinds = {part.kind for part in plan.parts.values()}

    assert kinds == {
        "box", "profile", "taper", "faceted", "drum", "hood", "tube", "plate", "plug", "strip",
        "rib", "bought",
    }  # fmt: skip


def test_the_rack_holds_boards_tubes_and_bars(plan):
    board, tube, channel, bar = (plan.stocks[n] for n in ("board3", "tube51", "channel40", "bar50"))

    assert (board.grain, board.trim, board.kerf, board.gap) == (True, 8.0, 1.5, 4.0)
    assert (plan.stocks["board2"].trim, plan.stocks["board2"].grain) == (5.0, False)
    assert (tube.form, tube.across, tube.thickness) == ("tube", approx(50.8), 2.0)
    assert tube.bars == (Bar(2000.0, 2, 14.0), Bar(730.0, 1, 0.0))
    assert (channel.form, channel.across, channel.bars[0].count) == ("square tube", 40.0, 0)
    assert (bar.form, bar.across, bar.thickness) == ("bar", 50.0, 0.0)


@pytest.mark.parametrize("paper", ["a4", "letter", "a3", "roll 610"])
def test_the_paper_is_kept(paper):
    assert read_full(full_with(('"roll 610"', f'"{paper}"'))).paper == paper
    assert read_full(full_with(('paper = "roll 610"\n', ""))).paper == "a4"
    assert read_full(full_with(('"roll 610"', '"roll 24 in"'))).paper == "roll 609.6"


def test_rounds_and_rises_stand_at_their_corners_and_sides(plan):
    body = plan.parts["body"]
    values = body.values()

    assert [r.value(values) if r else None for r in body.rounds] == [None, None, 25, 30, None]
    assert [r.value(values) if r else None for r in body.rises] == [-12, None, None, None, None]
    assert [p.name for p in body.parameters] == [
        "body_w", "rim", "z 180", "x 300", "z 260", "depth",
    ]  # fmt: skip


def test_a_clockwise_outline_takes_its_rounds_and_rises_along(plan):
    """The same shape, written the other way: rounds by corner, names and rises by side."""
    text = FULL
    old = text[text.index("outline = [\n") : text.index("leave_open = [")]
    new = """outline = [
  [0, 0],
  [0, 260],
  { at = [300, 260], round = 30 },
  { at = ["body_w", 180], round = "rim" },
  { at = ["body_w", 0], rise = -12 },
]
sides = ["face", "top", "slope", "rear", "floor"]
depth = 300
"""
    body, turned = plan.parts["body"], read_full(text.replace(old, new)).parts["body"]

    def by_name(part):
        values = part.values()
        corners = [(x.value(values), z.value(values)) for x, z in part.outline]
        assert signed_area(corners) > 0
        return {
            side: (
                corners[i],
                part.rounds[i].value(values) if part.rounds[i] else 0,
                part.rises[i].value(values) if part.rises[i] else 0,
            )
            for i, side in enumerate(part.sides)
        }

    assert by_name(turned) == by_name(body)


def test_wishes_of_folds_and_seams_are_kept(plan):
    """What an edge of another method leaves out is not taken from the part's folds."""
    body, crate, cheek = (plan.parts[n] for n in ("body", "crate", "cheek"))

    assert body.fold == FoldWish(method="kerf", web=0.8, kerfs=7, pitch=6.0)
    assert body.fold_at == (
        FoldAt(("rear", "front")),
        FoldAt(("face", "top"), FoldWish(method="open", web=0.9)),
    )
    assert body.seam_at == (SeamAt(("front", "top"), SeamWish("lap", "front")),)
    assert (body.seam, crate.seam, cheek.seam) == (
        SeamWish("butt"),
        SeamWish("lap"),
        SeamWish("mitre"),
    )
    assert (body.backing, crate.backing) == (Backing("board2", 25.0), Backing("board2", 30.0))
    assert body.face_from == (("back", "board2", 2.0),)
    assert body.stock_of("back") == ("board2", 2.0) and body.stock_of("top") == ("board3", 3.0)
    assert (body.grain, crate.grain) == ("across", "up")


def test_an_edge_of_the_same_method_is_folded_as_the_rest_but_for_what_it_says():
    text = full_with(('method = "open", web = 0.9', "web = 0.9"))

    assert read_full(text).parts["body"].fold_at[1].wish == FoldWish(
        method="kerf", web=0.9, kerfs=7, pitch=6.0
    )


def test_features_have_their_numbers_and_names(plan):
    body = plan.parts["body"]
    by_name = {f.name: f for f in body.features}
    values = body.values()

    assert list(by_name) == [
        "cable", "hole 2", "slot", "window 1", "port", "bolts 1", "bolts 2", "hatch", "opening",
    ]  # fmt: skip
    assert by_name["cable"].drilled_in_place and not by_name["hole 2"].drilled_in_place
    assert by_name["hole 2"].at[0].value(values) == 200.0
    assert by_name["slot"].rotate == approx(math.radians(15))
    assert by_name["window 1"].length.value(values) == 160.0
    assert by_name["port"].d.value(values) == 40.0 and by_name["port"].length is None
    ring, grid = by_name["bolts 1"], by_name["bolts 2"]
    assert (ring.count, ring.rows, ring.pitch_d.value(values)) == (6, 1, 80.0)
    assert ring.start == approx(math.radians(30))
    assert (grid.count, grid.rows) == (3, 2)
    assert (grid.pitch.value(values), grid.row_pitch.value(values)) == (40.0, 30.0)
    hatch, opening = by_name["hatch"], by_name["opening"]
    assert (hatch.gap.value(values), hatch.lip.value(values)) == (0.8, 12.0)
    assert (opening.through, opening.at, opening.gap.value(values)) == ("spout", None, 1.5)


def test_what_a_hatch_and_an_opening_leave_out_is_usual():
    text = full_with((", gap = 0.8, lip = 12", ""), (", gap = 1.5", ""))
    hatch, opening = read_full(text).parts["body"].features[-2:]

    assert (hatch.gap.value({}), hatch.lip.value({}), opening.gap.value({})) == (1, 15, 1)


def test_a_size_in_a_feature_is_a_parameter_and_a_number_is_none():
    holes = 'holes = [{ on = "top", at = [40, "rim"], d = 8 }]\n\n[part.neck]'
    crate = read_full(full_with(("\n[part.neck]", holes))).parts["crate"]

    assert [p.name for p in crate.parameters] == ["width", "depth", "height", "rim"]
    assert crate.features[0].at[1].value(crate.values() | {"rim": 31.0}) == 31.0
    assert crate.features[0].d.formula.names == ()


def test_a_taper_has_parallel_outlines(plan):
    neck = plan.parts["neck"]
    values = neck.values()

    assert neck.sides == ("n_front", "n_right", "n_back", "n_left")
    assert [p.name for p in neck.parameters][-1] == "height"
    for outline in (neck.lower, neck.upper):
        corners = [(x.value(values), y.value(values)) for x, y in outline]
        assert signed_area(corners) > 0


def test_a_taper_of_rounded_corners_counts_as_flat():
    """A hexagon typed to 0.01 mm: sides out of parallel by thousandths of a degree."""

    def ring(r):
        return [[round(r * f(math.pi * i / 3), 2) for f in (math.cos, math.sin)] for i in range(6)]

    text = FULL
    old = text[text.index("lower = ") : text.index('sides = ["n_front')]
    text = text.replace(old, f"lower = {ring(100)}\nupper = {ring(61.7)}\n")
    text = text.replace('"n_left"]', '"n_left", "n_5", "n_6"]')

    assert len(read_full(text).parts["neck"].upper) == 6


def test_blocks_after_the_first_name_their_faces_apart(plan):
    cheek = plan.parts["cheek"]
    first, second = cheek.blocks

    assert first.faces == ("left", "right", "front", "back", "bottom", "roof")
    assert second.faces == ("left-2", "right-2", "front", "back", "bottom", "top-2")
    assert [cut.face for cut in first.cuts] == ["brow", "jaw"]


def test_three_points_anticlockwise_from_outside_give_the_outward_normal(plan):
    """A slope along y through (120, z 30) and (60, z 60): outward is up and right, (1, 0, 2)."""
    jaw = plan.parts["cheek"].blocks[0].cuts[1]
    values = plan.parts["cheek"].values()

    assert jaw.out == approx((1 / math.sqrt(5), 0.0, 2 / math.sqrt(5)))
    assert [c.value(values) for c in jaw.point] == [120.0, 0.0, 30.0]


def test_tubes_and_plugs_take_their_widths_from_the_rack(plan):
    post, rail, stopper, disc = (plan.parts[n] for n in ("post", "rail", "stopper-1", "disc"))

    assert (post.square, post.across, post.thickness) == (False, approx(50.8), 2.0)
    assert (rail.square, rail.across, rail.thickness) == (True, 40.0, 2.5)
    assert (stopper.across, stopper.bolt_d.value(stopper.values())) == (50.0, 6.8)
    assert (disc.across, disc.bolt_d, disc.length.value(disc.values())) == (0.0, None, 3.0)
    assert [p.name for p in disc.parameters] == ["diameter"]


def test_a_strip_is_flat_or_an_angle(plan):
    lath, angle = plan.parts["lath"], plan.parts["angle-1"]

    assert (lath.flange, lath.turn) == (None, 0.0)
    assert angle.turn == approx(math.radians(120)) and angle.flange.value(angle.values()) == 25
    text = full_with(("fold_deg = 120\n", ""))
    assert read_full(text).parts["angle-1"].turn == approx(math.pi / 2)


def test_a_rib_knows_its_shell_and_its_station(plan):
    frame, web = plan.parts["frame"], plan.parts["web_of_cheek"]

    assert frame.of == plan.parts["body"] and frame.along == "y"
    assert (frame.gap.value({}), frame.clip.value({})) == (0.6, 8.0)
    assert web.of == plan.parts["other_cheek"] and web.along == "x"
    assert (web.gap.value({}), web.clip.value({})) == (0.5, 5.0)


def test_a_rib_may_stand_before_its_shell_in_the_file():
    text = FULL
    start = text.index("[part.frame]")
    rib = text[start : text.index("[part.web_of_cheek]")]
    text = text.replace(rib, "").replace("[part.body]", rib + "[part.body]")
    plan = read_full(text)

    assert next(iter(plan.parts)) == "frame"
    assert plan.parts["frame"].of == plan.parts["body"]


def test_bought_things_have_no_parameters(plan):
    gauge, lock = plan.parts["gauge"], plan.parts["lock"]

    assert gauge.parameters == lock.parameters == ()
    assert (gauge.mass, gauge.diameter.value({}), gauge.length.value({})) == (0.4, 80.0, 45.0)
    assert [d.value({}) for d in (lock.width, lock.depth, lock.height)] == [40, 30, 12]
    assert (gauge.stock, gauge.thickness) == ("", 0.0)


def test_copies_differ_in_name_and_place_only(plan):
    feet = [plan.parts[f"foot-{i}"] for i in (1, 2, 3)]

    assert [f.place.at for f in feet] == [(0, 0), (200, 0), (100, 150)]
    assert {f.family for f in feet} == {"foot"} and "foot" not in plan.parts
    alike = {replace(f, name="", place=None) for f in feet}
    assert len(alike) == 1
    assert [plan.parts[f"stopper-{i}"].was for i in (1, 2)] == ["stop-1", "stop-2"]


def test_copies_with_one_place_stand_in_a_row(plan):
    places = [plan.parts[f"angle-{i}"].place for i in (1, 2, 3, 4)]

    assert [p.at for p in places] == [(10, 10), (10, 50), (10, 90), (10, 130)]
    assert {(p.on, p.face) for p in places} == {("crate", "top")}


def test_copies_may_stand_on_copies():
    text = full_with(('on = "crate.top", at = [100, 90]', 'on = "foot-2.top", at = [10, 9]'))

    assert read_full(text).parts["gauge"].place == Placement("foot-2", "top", (10.0, 9.0))


def test_meets_of_copies_are_one_for_each(plan):
    assert [(m.name, m.inner, m.outer) for m in plan.meets] == [
        ("foot-1 on crate", "foot-1", "crate"),
        ("foot-2 on crate", "foot-2", "crate"),
        ("foot-3 on crate", "foot-3", "crate"),
        ("stopper", "stopper-1", "post"),
        ("stopper 2", "stopper-2", "post"),
    ]


def test_copies_of_equal_count_meet_in_pairs():
    text = full_with(("length = 640", "length = 640\ncount = 2"), ('name = "stopper"\n', ""))
    pairs = [(m.inner, m.outer) for m in read_full(text).meets if m.kind == "slides-into"]

    assert pairs == [("stopper-1", "post-1"), ("stopper-2", "post-2")]


def test_the_fault_of_a_copy_stands_at_its_part(plan):
    assert fault_at(plan, "x", "part.stopper-2.length", "a", "b").text == "length = 20"
    assert fault_at(plan, "x", "part.stopper-2", "a", "b").text == "[part.stopper]"
    assert fault_at(plan, "x", "part.stopper-1.across", "a", "b").text == 'from = "bar50"'


def test_the_fault_of_a_round_stands_at_its_outline(plan):
    for field in ("rounds", "rises"):
        assert fault_at(plan, "x", f"part.body.{field}", "a", "b").text == "outline = ["


def test_the_fault_of_a_mirror_stands_where_its_other_hand_says_it(plan):
    assert fault_at(plan, "x", "part.other_cheek.blocks.1", "a", "b").text.startswith("{ at =")
    assert fault_at(plan, "x", "part.other_cheek.finish", "a", "b").text == 'finish = "black"'
    assert fault_at(plan, "x", "part.other_cheek", "a", "b").text == "[part.other_cheek]"


def test_a_mirrored_part_is_the_other_but_for_name_place_finish_and_hand(plan):
    cheek, other = plan.parts["cheek"], plan.parts["other_cheek"]

    assert other.mirrored and not cheek.mirrored
    assert other.finish.name == "black" and other.place.at == (0.0, 400.0)
    assert (
        replace(
            other,
            name="cheek",
            mirrored=False,
            mirror_of="",
            finish=cheek.finish,
            place=cheek.place,
        )
        == cheek
    )


def test_a_mirror_of_a_mirror_is_of_the_first_hand_again():
    text = FULL + '\n[part.third]\nmirror_of = "other_cheek"\nwas = "old_cheek"\n'
    plan = read_full(text)
    third = plan.parts["third"]

    assert not third.mirrored and third.was == "old_cheek" and third.place is None
    assert third.finish.name == "black"
    assert third.blocks == plan.parts["cheek"].blocks


def test_a_mirror_of_a_copy_is_a_part_of_its_own():
    plan = read_full(FULL + '\n[part.far_foot]\nmirror_of = "foot-2"\n')
    far = plan.parts["far_foot"]

    assert (far.family, far.mirrored, far.place) == ("", True, None)
    assert far.outline == plan.parts["foot-2"].outline


@pytest.mark.parametrize("of", ["crate", "crate_two"])
def test_a_mirror_from_another_board_is_worked_out_with_its_thickness(of):
    text = full_with(
        ("width = 200", 'width = "rim + 50*thickness"'),
        (
            "[part.neck]",
            '[part.crate_two]\nmirror_of = "crate"\n\n'
            f'[part.crate_three]\nmirror_of = "{of}"\nfrom = "board2"\n\n[part.neck]',
        ),
    )
    parts = read_full(text).parts

    assert parts["crate"].values()["width"] == 175.0
    assert parts["crate_three"].values()["width"] == 125.0
    assert (parts["crate_three"].stock, parts["crate_three"].thickness) == ("board2", 2.0)
    assert parts["crate_three"].mirrored is (of == "crate")


KEPT = (
    "bolt_d",  # a bolt is bought
    ".gap",
    ".clip",
)


def is_kept(part, path):
    """Whether a length is the same at every scale."""
    if isinstance(part, Bought) or path.endswith(KEPT):
        return True
    if part.name == "disc" and path == ".length":  # the board it is sawn from
        return True
    feature = path.split(".")[1:3]
    is_bolt = feature[0] == "features" and part.features[int(feature[1])].kind == "bolts"
    return is_bolt and path.endswith(".d")


@given(st.floats(0.4, 1.0))
def test_scale_goes_to_all_but_bolts_gaps_stock_and_bought_things(scale):
    text = FULL.replace('name = "Lantern"', f"scale = {scale!r}")
    full, scaled = read_full(), read_full(text)
    for name, part in full.parts.items():
        before = lengths(part, part.values())
        after = lengths(scaled.parts[name], scaled.parts[name].values())

        assert before
        for path, value in before.items():
            factor = 1.0 if is_kept(part, path) else scale
            assert after[path] == approx(value * factor, rel=1e-12, abs=1e-12), (name, path)
        places = part.place, scaled.parts[name].place
        if part.place:
            assert places[1].at == approx(tuple(v * scale for v in places[0].at))
    assert scaled.stocks == full.stocks
    assert [m.wanted for m in scaled.meets] == [m.wanted for m in full.meets]


def test_a_part_of_every_kind_hashes_by_what_it_holds(plan):
    again = read_full()

    assert [hash(p) for p in plan.parts.values()] == [hash(p) for p in again.parts.values()]
    assert list(plan.parts.values()) == list(again.parts.values())
