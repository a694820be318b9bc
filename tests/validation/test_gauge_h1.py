"""A measured length against JCGM 100:2008 (GUM), Annex H.1: calibration of an end gauge.

The gauge of 50 mm is compared with a standard; printed in H.1.3 to H.1.6 and
table H.1: contributions 25, 9.7, 2.9 and 16.6 nm, combined 32 nm, effective
freedom 16.7 cut down to 16, k = 2.92, U99 = 93 nm, length 50.000 838 mm. Two or
three figures are printed, and the annex rounds in between.
"""

from pytest import approx

from foldwright.fit.uncertainty import Deviation, combined, compared
from foldwright.plan import Dual

NM = 1e-6


def gauge():
    """The end gauge as in H.1.2 to H.1.4."""
    length = compared(
        Dual.seed("ls", 50.000623),
        Dual.seed("d", 215.0 * NM),
        Dual.seed("alpha_s", 11.5e-6),
        Dual.seed("theta", -0.1),
        Dual.seed("delta_alpha", 0.0),
        Dual.seed("delta_theta", 0.0),
    )
    return combined(
        length,
        {
            "ls": Deviation(25.0 * NM, 18.0),
            "d": Deviation(9.7 * NM, 25.6),
            "alpha_s": Deviation(1.2e-6),
            "theta": Deviation(0.41),
            "delta_alpha": Deviation(0.58e-6, 50.0),
            "delta_theta": Deviation(0.029, 2.0),
        },
    )


def test_the_length_itself():
    assert gauge().value == approx(50.000838, abs=5e-7)


def test_contributions():
    """16.6 is printed for 50 mm x 11.5e-6 x 0.029 = 16.68 nm."""
    shares = gauge().shares

    assert shares["ls"] / NM == approx(25.0, abs=0.5)
    assert shares["d"] / NM == approx(9.7, abs=0.05)
    assert shares["delta_alpha"] / NM == approx(2.9, abs=0.05)
    assert shares["delta_theta"] / NM == approx(16.6, abs=0.11)
    assert shares["alpha_s"] == 0.0
    assert shares["theta"] == 0.0


def test_combined_deviation_and_freedom():
    found = gauge()

    assert found.sigma / NM == approx(32.0, abs=0.5)
    assert found.freedom == approx(16.7, abs=0.2)


def test_the_interval_of_99_in_100():
    found = gauge()

    assert found.factor(0.99) == approx(2.92, abs=0.005)
    assert found.half_width(0.99) / NM == approx(93.0, abs=1.0)
