"""Measurement cases: means, level nets, circles, ovals, stacks, habits and a gauge.

Room: reference. Names and units only; see `case`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

import numpy as np

from foldwright.errors import OutOfDomain
from foldwright.fit.chances import root_sum_square, worst_case
from foldwright.fit.habits import Habit
from foldwright.fit.least_squares import adjusted, levelled
from foldwright.fit.network import Belief, Network
from foldwright.fit.rounds import (
    Circle,
    algebraic_circle,
    circle_through,
    flat_sided_girth,
    linear_circle,
    oval_girth,
)
from foldwright.fit.uncertainty import Deviation, combined, compared
from foldwright.ledger import Tool, corrected
from foldwright.plan import Dual
from foldwright.reference.case import Given, Model

_MM_PER_M, _CM_PER_M, _M_PER_KM, _NM_PER_MM = 1e3, 1e2, 1e3, 1e6
_GIRTHS = {
    "ellipse": oval_girth,
    "stadium": flat_sided_girth,
    "racetrack": flat_sided_girth,
    "obround": flat_sided_girth,
}


def _wmean(given: Given) -> Mapping[str, Any]:
    values = np.array(given["values_mm"], dtype=float)
    found = adjusted(np.ones((len(values), 1)), values, np.array(given["std_mm"], dtype=float))
    return {"mean": float(found.x[0]), "std": math.sqrt(float(found.covariance[0, 0]))}


def _level_net_var(given: Given) -> Mapping[str, Any]:
    sigmas = [math.sqrt(v) / _CM_PER_M for v in given["variance_cm2"]]
    heights, _ = levelled(_known(given), _lines(given), sigmas)
    return {f"H_{point}": height for point, height in heights.items()}


def _level_net_weighted(given: Given) -> Mapping[str, Any]:
    each = given["sigma_m_per_sqrt_km"]
    sigmas = [each * math.sqrt(length / _M_PER_KM) for length in given["length_m"]]
    heights, found = levelled(_known(given), _lines(given), sigmas)
    answers = {f"H_{point}": height for point, height in heights.items()}
    return answers | {"sum_sq_std_residuals": found.chi_square, "error_factor": found.factor}


def _level_net_named(given: Given) -> Mapping[str, Any]:
    known = {str(given["fixed_point"]): float(given["fixed_height_m"])}
    each = given["sigma_obs_mm"]
    lines = _lines(given)
    heights, found = levelled(known, lines, [each / _MM_PER_M] * len(lines))
    answers = {f"H_{point}": height for point, height in heights.items()}
    deviations = _MM_PER_M * np.sqrt(np.diag(found.covariance))
    answers |= {f"std_{p}": float(s) for p, s in zip(heights, deviations, strict=True)}
    # unweighted: the squares of the residuals themselves, in mm
    squares = float(np.sum((_MM_PER_M * found.residuals) ** 2))
    return answers | {"pvv": squares, "m0_posteriori": each * found.factor}


def _known(given: Given) -> dict[str, float]:
    pairs = zip(given["known_points"], given["known_heights_m"], strict=True)
    return {str(point): float(height) for point, height in pairs}


def _lines(given: Given) -> list[tuple[str, str, float]]:
    rows = zip(given["from_points"], given["to_points"], given["dh_m"], strict=True)
    return [(str(start), str(end), float(rise)) for start, end, rise in rows]


def _circle_fit(given: Given) -> Mapping[str, Any]:
    found: dict[str, float] = {}
    for name, circle in (
        ("algebraic", algebraic_circle(given["x"], given["y"])),
        ("geometric", circle_through(given["x"], given["y"])),
    ):
        found |= {f"{name}_{key}": value for key, value in _circle(circle).items()}
    return found


def _circle_kasa(given: Given) -> Mapping[str, Any]:
    return _circle(linear_circle(given["x_mm"], given["y_mm"]))


def _circle(circle: Circle) -> dict[str, float]:
    return {"cx": circle.x, "cy": circle.y, "r": circle.radius}


def _oval(given: Given) -> Mapping[str, Any]:
    widest, narrowest = given["max_diameter_mm"], given["min_diameter_mm"]
    shape = given.get("shape", "ellipse")
    if shape not in _GIRTHS:
        known = ", ".join(sorted(_GIRTHS))
        raise OutOfDomain(f"{shape} is no oval known here; there are: {known}.", name="shape")
    girth = _GIRTHS[shape](widest, narrowest)
    return {
        "perimeter": girth,
        "equivalent_diameter": girth / math.pi,
        "mean_of_max_min": (widest + narrowest) / 2.0,
    }


def _tape_thick(given: Given) -> Mapping[str, Any]:
    tape = Tool("tape", 0.5, ("girth",), thickness=given["tape_thickness_mm"])
    girth = corrected(given["tape_reading_mm"], "girth", tape)
    return {"outside_diameter": girth / math.pi}


def _stack(given: Given) -> Mapping[str, Any]:
    """A row of dims that add up to one clearance; a tolerance is three deviations."""
    from scipy import sparse

    tolerances = np.array(given["tolerances_mm"], dtype=float)
    n = len(tolerances)
    one, nought = np.ones(n), np.zeros(1)
    network = Network(
        keys=tuple(f"part {i}/dim" for i in range(n)),
        parts=tuple(f"part {i}" for i in range(n)),
        part=np.arange(n),
        at=0.0 * one,
        drawn=0.0 * one,
        give=one,
        is_free=np.zeros(n, dtype=bool),
        meets=("stack",),
        meet=np.zeros(1, dtype=np.int64),
        level=nought,
        low=nought - 1.0,
        high=nought + 1.0,
        slopes=sparse.csr_array(one[None, :]),
    )
    root = sparse.csr_array(sparse.diags_array(tolerances / 3.0))
    belief = Belief(0.0 * one, root, np.zeros(n, dtype=bool))
    return {
        "worst_case": float(worst_case(network, belief)[0]),
        "rss": float(root_sum_square(network, belief)[0]),
    }


def _nig(given: Given) -> Mapping[str, Any]:
    prior = Habit(given["mu0"], given["kappa0"], given["alpha0"], given["beta0"])
    habit = prior.learned(given["data"])
    return {
        "mu_n": habit.mean,
        "kappa_n": habit.kappa,
        "alpha_n": habit.alpha,
        "beta_n": habit.beta,
        "predictive_df": habit.freedom,
        "predictive_scale": habit.scale,
        "mean_sigma2": habit.scatter**2,
    }


def _gum_h1(given: Given) -> Mapping[str, Any]:
    def known(name: str, unit: float = 1.0, of: str = "") -> Deviation:
        return Deviation(given[f"u_{name}"] * unit, given.get(f"nu_{of}", math.inf))

    length = compared(
        standard=Dual.seed("ls", given["ls_mm"]),
        difference=Dual.seed("d", given["d_nm"] / _NM_PER_MM),
        expansion=Dual.seed("alpha_s", given["alpha_s_per_K"]),
        warmth=Dual.seed("theta", given["theta_K"]),
        expansion_more=Dual.seed("delta_alpha", given["delta_alpha_per_K"]),
        warmer=Dual.seed("delta_theta", given["delta_theta_K"]),
    )
    found = combined(
        length,
        {
            "ls": known("ls_nm", 1.0 / _NM_PER_MM, "ls"),
            "d": known("d_nm", 1.0 / _NM_PER_MM, "d"),
            "alpha_s": known("alpha_s_per_K", of="alpha_s"),
            "theta": known("theta_K", of="theta"),
            "delta_alpha": known("delta_alpha_per_K", of="delta_alpha"),
            "delta_theta": known("delta_theta_K", of="delta_theta"),
        },
    )
    confidence = given.get("confidence", 0.99)
    answers = {
        "length": found.value,
        "combined_u": found.sigma * _NM_PER_MM,
        "nu_eff": found.freedom,
    }
    shown = f"{100.0 * confidence:g}"
    answers |= {
        f"k{shown}": found.factor(confidence),
        f"U{shown}": found.half_width(confidence) * _NM_PER_MM,
    }
    return answers | {
        f"contribution_{name}": share * _NM_PER_MM for name, share in found.shares.items()
    }


MODELS: Mapping[str, Model] = MappingProxyType(
    {
        "circle_fit": _circle_fit,
        "circle_kasa": _circle_kasa,
        "gum_h1": _gum_h1,
        "level_net_named": _level_net_named,
        "level_net_var": _level_net_var,
        "level_net_weighted": _level_net_weighted,
        "nig": _nig,
        "oval": _oval,
        "stack": _stack,
        "tape_thick": _tape_thick,
        "wmean": _wmean,
    }
)
