"""A whole build as one network: what it holds, what a refit makes of it, what cannot fit."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from foldwright.fit import is_in_danger, telling
from foldwright.ledger import Reading
from foldwright.make import Made
from foldwright.plan import read_plan
from foldwright.shop import thicknesses
from foldwright.what_next import what_next

LAMP = Path(__file__).parents[2] / "examples" / "harbour-signal-lamp" / "plan.toml"


@cache
def plan():
    return read_plan(LAMP, thicknesses())


def read(part, dim, value, drawn, line=1, tool="tape", sigma=0.5):
    return Reading(line, part, dim, value, tool, True, "2026-01-01T10:00:00Z", "", 0, drawn, sigma)


def made(*readings, marked=None):
    return Made(plan(), readings, marked=marked or {}, ever_read=readings)


@cache
def unmade():
    return made()


LARGE = read("lamp", "girth", 694.5, 690.27)


def test_every_parameter_and_stray_has_its_place():
    assembly = unmade().assembly
    parameters = sum(len(part.parameters) for part in plan().parts.values())

    assert len(set(assembly.names)) == len(assembly.names) > parameters
    assert assembly.network.is_free.sum() == parameters
    assert assembly.values(assembly.belief.mean)["lamp"]["outside_d"] == 220.0


def test_the_network_is_the_clearances_where_they_are_taken():
    """Level and slopes against the clearances worked out afresh a step away."""
    assembly = unmade().assembly
    network = assembly.network
    step = np.zeros(len(network.keys))
    step[assembly.place["lamp/outside_d"]] = 0.5
    step[assembly.place["pedestal/depth"]] = -0.3
    there = [c.value for row in assembly.clearances(network.at + step) for c in row]

    assert network.clearances(network.at + step) == pytest.approx(there, abs=1e-6)


def test_what_is_made_is_as_sure_as_its_readings():
    """A tape knows the girth to 0.5, so the diameter to 0.5/pi = 0.16; a hand leaves 0.32."""
    at = unmade().assembly.place["lamp/outside_d"]
    before, after = (
        np.sqrt(root[[at]].multiply(root[[at]]).sum())
        for root in (unmade().assembly.belief.root, made(LARGE).assembly.belief.root)
    )

    assert before == pytest.approx(1.0 / np.pi, rel=0.02)
    assert after == pytest.approx(0.5 / np.pi, rel=0.05)


WIDE_LEGS = (
    read("leg-1", "bore", 26.25, 26.0, 1, "caliper", 0.05),
    read("leg-2", "bore", 26.21, 26.0, 2, "caliper", 0.05),
)


def test_a_bore_that_was_read_sizes_the_plugs_of_all_pieces_of_that_tube():
    """Legs 3 and 4 are not there yet; their bore is that of the other two."""
    build = made(*WIDE_LEGS)
    shifts = {s.part: s for s in build.outcome.shifts if s.parameter.name == "diameter"}
    why = dict(zip((s.part for s in build.outcome.shifts), build.outcome.why, strict=True))
    alike = (
        "All pieces of tube30 are taken to be alike: their bore is 26.23 mm by what was read on "
        "leg 1 and leg 2."
    )

    assert sorted(shifts) == [f"leg_plug-{n}" for n in (1, 2, 3, 4)]
    sizes = [shifts[f"leg_plug-{n}"].after for n in (1, 2, 3, 4)]
    assert sizes == pytest.approx([sizes[0]] * 4, abs=0.03)
    assert all(alike in why[part] for part in shifts)


@pytest.mark.parametrize("plug", ["leg_plug-1", "leg_plug-3"])
def test_the_sheet_of_a_plug_files_it_to_the_bore_that_all_readings_say(plug):
    """Of a leg that is read and of one that is not: 26.23, and 0.02 that jaws read low."""
    steps = dict(made(*WIDE_LEGS).forming(plug).steps)

    assert "26.25 mm" in " ".join(steps.values())
    assert steps == dict(made(*WIDE_LEGS).forming("leg_plug-2").steps)


def test_a_rule_in_the_bore_does_not_count_beside_a_caliper():
    """26.23 by caliper; a rule that reads 26.6 is a tenth as sure."""
    with_rule = (*WIDE_LEGS, read("leg-3", "bore", 26.6, 26.0, 3, "rule", 0.5))
    looks = made(*with_rule).looks_into("leg-4")

    assert [reading.value for reading in looks] == [26.25, 26.21]


def test_a_length_tells_nothing_of_other_pieces():
    build = made(read("leg-1", "length", 121.2, 120.0, 1, "caliper", 0.05))

    assert not any(one.told_by for one in build.beliefs.values())
    assert not any("alike" in words for why in build.outcome.why for words in why)


def test_a_piece_that_does_not_agree_has_a_sheet_of_its_own_and_is_named():
    odd = (*WIDE_LEGS, read("leg-3", "bore", 26.8, 26.0, 3, "caliper", 0.05))
    build = made(*odd)
    (words,) = build.at_odds()

    assert build.copies("leg-3") == ("leg-3",)
    assert build.copies("leg-1") == ("leg-1", "leg-2", "leg-4")
    assert words in build.notes("leg-3")
    assert "read as 26.80 mm by caliper" in words and "makes it 26.23 mm" in words


def test_a_bore_that_is_known_is_not_asked_for_again():
    """Three bores, three ways each, leave the fourth little to tell."""
    known = [
        read(f"leg-{n}", f"bore_{turn}", 26.2, 26.0, 10 * n + turn, "caliper", 0.05)
        for n in (1, 2, 3)
        for turn in (0, 60, 120)
    ]

    def asked(build):
        found = telling(
            build.parts["leg-4"], build.causes["leg-4"], build.beliefs["leg-4"],
            [c for f in build.forecasts if "leg-4" in f.meet.parts for c in f.clearances],
        )  # fmt: skip
        return [one.dim.name for one in found]

    assert any(name.startswith("bore") for name in asked(unmade()))
    assert not any(name.startswith("bore") for name in asked(made(*known)))


def test_pieces_of_one_tube_have_one_bore_however_unsure_it_is():
    """Each is unsure by a caliper read twice; what tells two of them apart is nothing."""
    assembly = made(*WIDE_LEGS).assembly
    root = assembly.belief.root.toarray()
    bores = root[[assembly.place[f"leg-{n}/~bore_off"] for n in (1, 2, 3, 4)]]

    assert np.linalg.norm(bores, axis=1) == pytest.approx([0.05 / np.sqrt(2.0)] * 4)
    assert np.abs(bores - bores[0]).max() < 1e-6


def test_a_reading_redraws_what_has_to_meet_it_and_nothing_else():
    outcome = made(LARGE).outcome

    assert {shift.part for shift in outcome.shifts} == {"lamp_cap"}
    before, after = (
        next(f for f in row if f.meet.name == "lamp_cap into lamp")
        for row in (outcome.before, outcome.after)
    )
    assert is_in_danger(before) and not is_in_danger(after)
    assert after.chance > before.chance + 0.4


def test_a_meet_says_which_part_its_scatter_comes_of():
    """The lamp is read, the cap is not made: nearly all that is open is the cap's."""
    assembly = made(LARGE).assembly
    found = next(f for f in assembly.forecasts() if f.meet.name == "lamp_cap into lamp")
    shares = assembly.drivers_of(found)

    assert list(shares) == ["lamp_cap", "lamp"]
    assert sum(shares.values()) == pytest.approx(1.0)
    assert shares["lamp_cap"] > 0.5


def test_a_part_that_is_cut_is_redrawn_no_more():
    """Marked cut, the cap's girth is what it is until it is scrapped."""
    found = made(LARGE, marked={"lamp_cap": "cut"}).outcome

    assert [s for s in found.shifts if s.part == "lamp_cap"] == []


def test_what_is_made_and_cannot_meet_is_named_with_its_cures():
    """A large lamp, a small cap: no other part can mend that."""
    small = read("lamp_cap", "girth", 667.0, 672.99, line=2)
    found = made(LARGE, small)

    assert found.assembly.contradiction.meets == ("lamp_cap into lamp",)
    assert set(found.assembly.contradiction.made) == {"lamp", "lamp_cap"}
    assert found.assembly.why_no_trim == (
        "The lamp is closed and the lamp cap is closed: "
        "neither leaves anything to trim that would help here.",
    )
    words = [remedy.words for remedy in found.remedies]
    assert ("make the lamp cap again",) in words
    assert any("shim" in row[0] for row in words)
    assert [r.minutes for r in found.remedies] == sorted(r.minutes for r in found.remedies)


def test_nothing_contradicts_in_a_build_as_drawn():
    assert unmade().assembly.contradiction is None
    assert unmade().remedies == ()


def test_each_part_waits_for_one_wave():
    waves = unmade().assembly.waves
    every = [part for wave in waves for part in wave]

    assert sorted(every) == sorted(set(plan().parts) - {"gauge"})
    assert next(i for i, w in enumerate(waves) if "lamp" in w) < next(
        i for i, w in enumerate(waves) if "lamp_cap" in w
    )


def test_a_plug_does_not_wait_for_a_leg_whose_bore_is_known_from_the_others():
    before, after = (what_next(found).waits for found in (unmade(), made(WIDE_LEGS[0])))

    assert {f"leg_plug-{n}" for n in (1, 2, 3, 4)} <= before.keys()
    assert not any(name.startswith("leg_plug") for name in after)


def test_next_says_what_waits_for_what():
    found = what_next(unmade())

    assert "lamp" in found.now
    assert found.waits["lamp_cap"] == ("lamp",)
    assert "lamp_cap" in found.why["lamp"]
    assert 1 <= len(found.to_measure["lamp"]) <= 3


def test_a_habit_is_taken_off_what_is_made_next():
    """Every edge 0.6 long: the maker cuts long, and what is drawn next is expected so."""
    long = [
        read("base", dim, drawn + 0.6, drawn, line=i, tool="rule", sigma=0.25)
        for i, (dim, drawn) in enumerate({"width": 439.72, "height": 459.72}.items(), 1)
    ]
    found = made(*long)

    assert found.habits["cut"].mean > 0.2
    assert found.beliefs["cap_top"].mean["diameter"] > plan().parts["cap_top"].values()["diameter"]
    assert any("cut" in words for words in found.taken_off["cap_top"].words)


def test_the_simulated_maker_finds_the_whole_build():
    works = unmade().assembly.works

    assert works.root.shape[0] == len(works.network.keys)
    assert works.root.shape[1] == len(works.process) == len(works.is_shared)
    assert works.process.max() < len(works.processes)
    assert {cure.kind for cure in works.cures} >= {"trim", "shim"}


def test_what_no_reading_sees_of_a_made_part_comes_out_by_habit_too():
    """A maker who cuts every edge long cut those long that nobody measured."""
    long = [
        read("base", "width", 439.72 + 0.8, 439.72, line=1, tool="rule", sigma=0.25),
        read("base", "height", 459.72 + 0.8, 459.72, line=2, tool="rule", sigma=0.25),
    ]
    seen = made(*long, read("tray", "depth", 179.72, 179.72, line=3, tool="rule", sigma=0.25))
    unseen = {n: x for n, x in seen.taken_off["tray"].shifts.items() if n != "depth"}

    assert seen.beliefs["tray"].is_made and unseen
    for dim, shift in unseen.items():
        drawn = plan().parts["tray"].values()[dim]

        assert abs(seen.beliefs["tray"].mean[dim] - drawn) > 0.3 * abs(shift), dim
