"""Builds on paper: the figures, and the words beside them."""

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


def test_the_table_names_the_ways_in_words(lamp):
    said = foldwright("simulate", lamp, "-n", "2", "--processes", "1", "--scatter", "1.5")

    assert said.code == 0
    for words in ("as drawn, tried on and trimmed", "refit, in the order chosen", "remade"):
        assert words in said.out


def test_a_cluster_without_its_package_is_said(lamp):
    try:
        import distributed  # noqa: F401
    except ImportError:
        said = foldwright("simulate", lamp, "-n", "2", "--cluster", "tcp://nowhere:1")
        assert said.code == 2
        assert "foldwright[cluster]" in said.err
