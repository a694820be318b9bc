"""No traceback, whatever the text: plans changed at random end in a plan or in faults."""

import re

from hypothesis import given
from hypothesis import strategies as st

from foldwright.errors import PlanFaults
from foldwright.plan import Plan, parse_plan, read_plan
from foldwright.plan.table import FAULT_CODES
from plan.full_plan import FULL, HERE
from plan.plans import SMALL, THICKNESSES, THIN_LAMP

PLANS = (THIN_LAMP.read_text(), SMALL, FULL, FULL)  # the full one twice, since it holds most
TOKENS = [re.findall(r'\w+|"[^"\n]*"|[^\w\s]|\s+', s) for s in PLANS]
STRANGE = [
    "0", "-1", "-0.0", "1e-320", "1e999", "nan", "inf", "true", "[]", "{}", "[[]]", "{ a = 1 }",
    "2020-01-01", "12:00:00", "9" * 400, '""', '"x"', '"2*("', '"1 1/2 in"', '"0,5 mm"', '"1e999"',
    '"thickness"', '"9**99**9"', '"pedestal_d - pedestal_d"', '"1/(hood_w - 240)"', '"lamp"',
    '"base.top"', '"a.b.c"', "[[0, 0], [1, 1]]", "'''a\nb'''", '"in"', '"\\u0000"', "[1, 2]",
    '"drawings/gusset.svg"', '"../../pyproject.toml"', "{ file = 3 }", '"foot-2"', '"cheek"', "199",
    "[0, 0, 0]", '{ at = [3, 4], rise = 1 }', '{ at = [3, 4], round = "rim" }', "1e5", "[[]]",
    '["top"]', '[["top", "front"]]', '[{ what = "x" }]', '"sqrt(0 - lamp_d)"', '"lid_w"',
]  # fmt: skip


def outcome(text):
    """Plan, or faults that hold what every fault has to hold."""
    try:
        plan = parse_plan(text, str(HERE / "plan.toml"), THICKNESSES)
    except PlanFaults as error:
        assert error.faults
        for fault in error.faults:
            assert fault.code in FAULT_CODES and fault.problem and fault.remedy
            assert 0 <= fault.line <= text.count("\n") + 1
            assert "\n" not in fault.text
        return error.faults
    assert isinstance(plan, Plan) and plan.parts
    for name, part in plan.parts.items():
        assert part.name == name and (not part.family or name.startswith(f"{part.family}-"))
        assert len({p.name for p in part.parameters}) == len(part.parameters)
        assert all(p.give > 0.0 and p.trust >= 0.0 for p in part.parameters)
    return plan


@st.composite
def changed_values(draw):
    """A sound plan with some of its values replaced; mostly still TOML."""
    tokens = list(draw(st.sampled_from(TOKENS)))
    values = [i for i, t in enumerate(tokens) if t.isdigit() or t.startswith('"')]
    quoted = sorted({t for t in tokens if t.startswith('"')})
    for i in draw(st.lists(st.sampled_from(values), min_size=1, max_size=12, unique=True)):
        tokens[i] = draw(st.sampled_from(STRANGE) | st.sampled_from(quoted))
    return "".join(tokens)


@st.composite
def changed_tokens(draw):
    """A sound plan with tokens replaced, swapped, doubled and taken out; mostly no TOML."""
    tokens = list(draw(st.sampled_from(TOKENS)))
    for _ in range(draw(st.integers(1, 4))):
        i, j = (draw(st.integers(0, len(tokens) - 1)) for _ in range(2))
        way = draw(st.sampled_from(["swap", "drop", "double", "replace"]))
        if way == "swap":
            tokens[i], tokens[j] = tokens[j], tokens[i]
        elif way == "drop":
            del tokens[i]
        elif way == "double":
            tokens.insert(j, tokens[i])
        else:
            tokens[i] = draw(st.sampled_from(STRANGE))
    return "".join(tokens)


@st.composite
def changed_lines(draw):
    """A sound plan with whole lines swapped, doubled and taken out."""
    lines = draw(st.sampled_from(PLANS)).split("\n")
    for _ in range(draw(st.integers(1, 6))):
        i, j = (draw(st.integers(0, len(lines) - 1)) for _ in range(2))
        way = draw(st.sampled_from(["swap", "drop", "double"]))
        if way == "swap":
            lines[i], lines[j] = lines[j], lines[i]
        elif way == "drop" and len(lines) > 1:
            del lines[i]
        else:
            lines.insert(j, lines[i])
    return "\n".join(lines)


@given(changed_values())
def test_any_value_ends_in_a_plan_or_in_faults(text):
    outcome(text)


@given(changed_tokens())
def test_any_slip_of_the_keys_ends_in_a_plan_or_in_faults(text):
    outcome(text)


@given(changed_lines())
def test_any_lines_end_in_a_plan_or_in_faults(text):
    outcome(text)


@given(st.text())
def test_any_text_ends_in_faults(text):
    assert not isinstance(outcome(text), Plan)


@given(st.binary(max_size=400))
def test_any_bytes_end_in_faults(tmp_path_factory, raw):
    path = tmp_path_factory.mktemp("any") / "plan.toml"
    path.write_bytes(raw)
    try:
        read_plan(path, THICKNESSES)
    except PlanFaults as error:
        assert all(fault.code in FAULT_CODES for fault in error.faults)
    else:
        raise AssertionError("random bytes are no plan")
