"""The page on the plan file: its examples make one sound plan, and it names all there is."""

import re
from pathlib import Path

import ezdxf
import pytest
from ezdxf.enums import InsertUnits

from foldwright.plan import MEETS, read_plan
from foldwright.plan.features import KEYS
from foldwright.plan.parts import KINDS, KINDS_TO_COME
from foldwright.shop import thicknesses

PAGE = (Path(__file__).parents[2] / "docs" / "plan-file.md").read_text()
SECTIONS = dict(re.findall(r"^#### `(\w+)`\n(.*?)(?=^###)", PAGE, re.M | re.S))


@pytest.fixture(scope="module")
def plan(tmp_path_factory):
    """All examples of the page, one after another, beside the drawing that one of them names."""
    folder = tmp_path_factory.mktemp("page")
    drawing = ezdxf.new("R2010", units=InsertUnits.Millimeters)
    drawing.modelspace().add_circle((40, 40), 40, dxfattribs={"layer": "CUT"})
    drawing.saveas(folder / "bracket.dxf")
    (folder / "plan.toml").write_text("\n".join(re.findall(r"```toml\n(.*?)```", PAGE, re.S)))
    return read_plan(folder / "plan.toml", thicknesses())


def test_the_examples_make_a_sound_plan_with_every_kind(plan):
    assert {part.kind for part in plan.parts.values()} == set(KINDS)


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_has_a_section_with_its_fields_faces_datum_and_an_example(kind):
    section = SECTIONS[kind]

    assert f'kind = "{kind}"' in section
    for key in KINDS[kind].keys:
        assert f"`{key}`" in section or key in ("diameter", "length", "fold"), key
    assert re.search(r"Faces\b", section) and re.search(r"\b[Dd]atum\b", section)


def test_no_kind_is_promised_that_is_not_there():
    assert set(SECTIONS) == set(KINDS)
    assert not set(KINDS) & set(KINDS_TO_COME)


@pytest.mark.parametrize("name", KEYS)
def test_every_list_of_features_is_described_with_its_keys(name):
    (row,) = re.findall(rf"^\| `{name}` \| (.*) \|$", PAGE, re.M)
    said = set(re.findall(r"`(\w+)`", row))
    if name == "hatches":  # described as a window
        said |= {"on", "at", "corner", "rotate_deg", "name"}

    assert said == set(KEYS[name])


@pytest.mark.parametrize("kind", MEETS)
def test_every_kind_of_meet_has_a_row_and_an_example(plan, kind):
    """The row names each key that stands in the example."""
    (row,) = re.findall(rf"^\| `{kind}` \| (.*) \|$", PAGE, re.M)
    keys = rf'^kind = "{kind}"\n((?:\w+ = .*\n)+)'
    (example,) = re.findall(keys, PAGE[PAGE.index("## [[meet]]") :], re.M)

    assert any(meet.kind == kind for meet in plan.meets)
    for key in re.findall(r"^(\w+) =", example, re.M):
        assert f"`{key}`" in row, key


def test_placements_are_described():
    for key in ("on", "at", "lift", "rotate_deg", "step"):
        assert re.search(rf"place = {{.*\b{key} = ", PAGE), key
