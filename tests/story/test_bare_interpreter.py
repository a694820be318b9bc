"""The same said and written by an interpreter that has nothing imported, as a maker's has.

The other stories fork their commands from a process that has all of it, and one order of
everything that has none.
"""

import os
import shutil
import subprocess
import sys

import pytest

from story.command import foldwright

RUN = "import sys; from foldwright.cli import main; sys.argv[0] = 'foldwright'; main()"


def bare(*words, **env):
    """Run the command line in an interpreter of its own; a warning is an error."""
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", RUN, *map(str, words)],
        capture_output=True,
        text=True,
        timeout=120,
        env=os.environ | env,
    )
    return done.returncode, done.stdout, done.stderr


def files(folder):
    return {p.relative_to(folder): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


@pytest.mark.parametrize(
    "words",
    [
        ("check", "--json"),
        ("measure", "lamp.girth", "694.5", "--with", "tape"),
        ("refit",),
        ("next", "--json"),
        ("simulate", "-n", "1", "--processes", "1"),
    ],
    ids=lambda words: words[0],
)
def test_a_command_says_the_same(lamp, tmp_path, words):
    other = shutil.copytree(lamp, tmp_path / "other" / lamp.name)
    command, *rest = words
    code, out, err = bare(command, lamp, *rest)
    answer = foldwright(command, other, *rest)

    assert code == answer.code == 0, err
    assert out.replace(str(lamp), "") == answer.out.replace(str(other), "")
    assert err == answer.err


def test_what_is_drawn_is_the_same_byte_for_byte(lamp, tmp_path):
    """Also though sets of words come in another order in each interpreter."""
    other = shutil.copytree(lamp, tmp_path / "other" / lamp.name)
    for folder, seed in ((lamp, "1"), (other, "4")):  # these two once wrote other DXF files
        code, _, err = bare("make", folder, "--quick", PYTHONHASHSEED=seed)
        assert code == 0, err

    assert files(lamp / "out").keys() == files(other / "out").keys()
    assert files(lamp / "out") == files(other / "out")
