"""Why no trimming helps: one plain sentence for each part that stands in the way."""

import numpy as np
from scipy import sparse

from foldwright.fit.cannot_fit import Cure, contradiction
from foldwright.fit.network import Belief, Network
from foldwright.fit.no_trim import why_no_trim

STAGES = {"tray": "closed", "lid": "closed"}


def build(*rows, tray, lid=100.0):
    """A tray in a lid, and a lid on a base: gap = lid - tray, 0.5 to 1.5; rest as given."""
    slopes = np.array([[-1.0, 1.0], *(row for row, _, _ in rows)])
    low = np.array([0.5, *(low for _, low, _ in rows)])
    high = np.array([1.5, *(high for _, _, high in rows)])
    at = np.array([tray, lid])
    net = Network(
        ("tray/width", "lid/width"), ("tray", "lid"), np.array([0, 1]), at, at, np.ones(2),
        np.ones(2, dtype=bool), ("tray into lid", "tray on base")[: len(low)],
        np.arange(len(low)), slopes @ at, low, high, sparse.csr_array(slopes),
    )  # fmt: skip
    return net, Belief(at, sparse.csr_array((2, 1)), np.ones(2, dtype=bool))


def said(net, known, *trims):
    found = contradiction(net, known)
    dims = ["width", "width"]
    return why_no_trim(net, known, found, trims, STAGES, lambda dim: dims[dim])


def test_what_is_closed_leaves_nothing_to_trim():
    net, known = build(tray=101.0)

    assert said(net, known) == (
        "The tray is closed and the lid is closed: "
        "neither leaves anything to trim that would help here.",
    )


def test_trimming_the_wrong_part_goes_the_wrong_way():
    """The tray is 1 too large for the lid: a smaller lid makes it worse."""
    net, known = build(tray=101.0)
    words = said(net, known, Cure("trim", 1, 10.0, 5.0, dim=1))

    assert words == (
        "The tray is closed: it leaves nothing to trim that would help here.",
        "Trimming the width of the lid goes the wrong way, or not far enough.",
    )


def test_too_little_can_be_trimmed():
    """3 too large with the gap, and 1 at most comes off."""
    net, known = build(tray=102.5)
    words = said(net, known, Cure("trim", 0, 10.0, 1.0, dim=0))

    assert "Trimming the width of the tray goes the wrong way, or not far enough." in words


def test_a_trim_that_opens_another_meet_says_which():
    """The base wants a tray of 100.8 at least, the lid one of 99.5 at most."""
    net, known = build(([1.0, 0.0], 100.8, 105.0), tray=101.0)
    words = said(net, known, Cure("trim", 0, 10.0, 5.0, dim=0))

    assert "Trimming the width of the tray would upset tray on base." in words


def test_nothing_is_said_where_a_trim_helps():
    net, known = build(tray=101.0)

    assert said(net, known, Cure("trim", 0, 10.0, 5.0, dim=0)) == ()
