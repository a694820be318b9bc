"""Builds on paper: the figures, and the words beside them."""

import os

import pytest

from story.command import foldwright


def test_four_ways_are_compared_on_the_same_hands(lamp):
    said = foldwright("simulate", lamp, "-n", "6", "--processes", "1", "--json").json()

    assert said["builds"] == 6
    assert set(said["ways"]) == {"sensible", "to_suit", "refit_drawn", "refit_chosen"}
    assert set(said["remake_ratio"]) == {"to_suit", "refit_drawn", "refit_chosen"}
    sensible = said["ways"]["sensible"]["remakes_in_all"]
    for way, ratio in said["remake_ratio"].items():
        assert ratio == pytest.approx(said["ways"][way]["remakes_in_all"] / sensible)


@pytest.fixture
def distributed(tmp_path, monkeypatch):
    """Write a stand-in for the cluster's package, which only some machines have."""

    def written(text):
        (tmp_path / "distributed.py").write_text(text)
        paths = [str(tmp_path), os.environ.get("PYTHONPATH", "")]
        monkeypatch.setenv("PYTHONPATH", os.pathsep.join(filter(None, paths)))

    return written


def test_a_cluster_without_its_package_is_said(lamp, distributed):
    distributed("raise ImportError")

    said = foldwright("simulate", lamp, "-n", "2", "--cluster", "tcp://nowhere:1")

    assert said.code == 2
    assert "foldwright[cluster]" in said.err


# as the package itself faults: nobody listens there; no port in the address
@pytest.mark.parametrize("fault", ["OSError('Timed out')", "ValueError('missing port number')"])
def test_a_cluster_that_does_not_answer_is_said(lamp, distributed, fault):
    distributed(f"def Client(address):\n    raise {fault}\n")

    said = foldwright("simulate", lamp, "-n", "2", "--cluster", "nonsense")

    assert said.code == 2
    assert 'No scheduler answers at "nonsense"' in said.err


def test_a_cluster_builds_the_same(lamp, distributed):
    distributed(
        """
from concurrent.futures import ThreadPoolExecutor

class Client:
    def __init__(self, address):
        assert address == "tcp://192.0.2.7:8786"
        self.pool = ThreadPoolExecutor(1)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.pool.shutdown()

    def get_executor(self):
        return self.pool
"""
    )
    asked = ("simulate", lamp, "-n", "2", "--json")

    there = foldwright(*asked, "--cluster", "tcp://192.0.2.7:8786").json()

    assert there == foldwright(*asked, "--processes", "1").json()


def test_the_outcome_is_named_in_words_and_drawn_beside_them(lamp):
    how = ("-n", "2", "--processes", "1", "--scatter", "1.5")
    said = foldwright("simulate", lamp, *how, "--plot", lamp / "ways.svg")
    drawn = (lamp / "ways.svg").read_text()

    assert said.code == 0 and "with 90 % interval" in said.out and "ways.svg" in said.out
    for words in ("as drawn, tried on and trimmed", "refit, in the order chosen", "remade"):
        assert words in said.out
    assert drawn.startswith("<?xml") and "refit, in the order chosen" in drawn
    assert not (lamp / "ways.svg.part").exists()


@pytest.mark.parametrize(
    ("where", "words"),
    [
        ("nowhere/ways.svg", "There is no folder"),
        ("ways.png", ".svg or .pdf"),
        ("plan.toml/ways.svg", "There is no folder"),
    ],
)
def test_a_plot_that_cannot_be_written_is_refused_before_the_builds_are_made(lamp, where, words):
    said = foldwright("simulate", lamp, "-n", "1000000", "--plot", lamp / where)

    assert said.code == 2
    assert words in said.err
