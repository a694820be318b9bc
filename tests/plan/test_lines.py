"""The line of every key."""

import json
import tomllib

from hypothesis import given
from hypothesis import strategies as st

from foldwright.plan.lines import LinesOfKeys, line_of
from plan.plans import EXAMPLE

AWKWARD = '''\
# a comment = with [brackets] and "quotes"
top = 1
a.b.c = "x # not a comment"
"quoted key" = 'single = 1'
"tab\\tkey" = 2
text = """
[not.a.table]
key = 1
""" # after
raw = \'\'\'
x = 2\'\'\'\'
dates = [1979-05-27 07:32:00, 1979-05-27]
[ spaced . table ]
list = [
  1, # one
  [2,
   3],
  { in = 1, deep = { er = 2 } },
]
[[row]]
x = 1
[row.sub]
y = 2
[[row]]
x = 3
[row.sub]
y = 4
[[row.inner]]
z = 5
[[row.inner]]
z = 6
'''


def test_awkward_keys_are_found():
    lines = LinesOfKeys(AWKWARD)

    assert lines == {
        "top": 2, "a": 3, "a.b": 3, "a.b.c": 3, "quoted key": 4, "tab\tkey": 5, "text": 6,
        "raw": 10, "dates": 12, "dates.0": 12, "dates.1": 12, "spaced": 13, "spaced.table": 13,
        "spaced.table.list": 14, "spaced.table.list.0": 15, "spaced.table.list.1": 16,
        "spaced.table.list.1.0": 16, "spaced.table.list.1.1": 17, "spaced.table.list.2": 18,
        "spaced.table.list.2.in": 18, "spaced.table.list.2.deep": 18,
        "spaced.table.list.2.deep.er": 18, "row": 20, "row.0": 20, "row.0.x": 21,
        "row.0.sub": 22, "row.0.sub.y": 23, "row.1": 24, "row.1.x": 25, "row.1.sub": 26,
        "row.1.sub.y": 27, "row.1.inner": 28, "row.1.inner.0": 28, "row.1.inner.0.z": 29,
        "row.1.inner.1": 30, "row.1.inner.1.z": 31,
    }  # fmt: skip


def paths(value, path=""):
    """Every dotted path of a TOML value, itself left out."""
    if isinstance(value, dict):
        inside = value.items()
    elif isinstance(value, list):
        inside = [(str(i), v) for i, v in enumerate(value)]
    else:
        return
    for key, v in inside:
        joined = f"{path}.{key}" if path else key
        yield joined
        yield from paths(v, joined)


def test_every_value_of_the_example_has_its_line():
    """Held against the values that the standard library reads."""
    text = EXAMPLE.read_text()
    lines = LinesOfKeys(text)

    assert set(lines) == set(paths(tomllib.loads(text)))
    for key, line in lines.items():
        name = key.rpartition(".")[2]
        assert name.isdigit() or name in text.split("\n")[line - 1]


SCALARS = st.integers() | st.booleans() | st.text(st.characters(codec="ascii"), max_size=12)
KEYS = st.from_regex(r"[a-z][a-z_-]{0,5}", fullmatch=True)
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=3),
    max_leaves=8,
)


def written(value):
    """TOML of a value, on one line or more."""
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{k} = {written_flat(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list):
        return "[\n" + "".join(f"  {written(v)}, # [\n" for v in value) + "]"
    return json.dumps(value).replace("\x7f", "\\u007f")


def written_flat(value):
    if isinstance(value, list):
        return "[" + ", ".join(map(written_flat, value)) + "]"
    return written(value)


@given(st.dictionaries(KEYS, VALUES, max_size=5))
def test_every_value_of_any_file_has_a_line(data):
    text = "".join(f"# {i}\n{key} = {written(v)}\n" for i, (key, v) in enumerate(data.items()))
    lines = LinesOfKeys(text)

    assert tomllib.loads(text) == data
    assert set(lines) == set(paths(data))
    for key in data:
        assert text.split("\n")[lines[key] - 1].startswith(f"{key} =")


def test_a_missing_key_stands_at_its_table():
    lines = {"part": 1, "part.lamp": 3}

    assert line_of(lines, "part.lamp.fold.floor") == 3
    assert line_of(lines, "part.lid") == 1
    assert line_of(lines, "build.name") == 0
