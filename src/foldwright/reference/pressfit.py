"""Press fits: which of our functions each model of the reference cases is.

Room: reference. Cases have radii and radial interference, ours are diameters.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from foldwright.reference.case import Given, Model
from foldwright.shop.rings import (
    Elastic,
    din_7190_limits,
    plug_hoop,
    press_fit_interference,
    press_fit_pressure,
    pressure_at_hoop,
    push_force,
    ring_stress,
)
from foldwright.shop.shrink_heat import temperature_rise


def _twice(given: Given, name: str) -> float:
    """Diameter of a radius."""
    return 2.0 * float(given[name])


def _plug(given: Given) -> Elastic:
    return Elastic(float(given["E_inner_MPa"]), float(given["nu_inner"]))


def _tube(given: Given) -> Elastic:
    return Elastic(float(given["E_outer_MPa"]), float(given["nu_outer"]))


def _grip(given: Given, pressure: float) -> Mapping[str, float]:
    """Force and torque, where the case says length and friction."""
    if "length_mm" not in given or "friction" not in given:
        return {}
    joint_d = _twice(given, "interface_radius_mm")
    force = push_force(pressure, joint_d, float(given["length_mm"]), float(given["friction"]))
    return {"axial_force": force, "torque": force * joint_d / 2.0}


def _hoops(given: Given, pressure: float) -> Mapping[str, float]:
    joint_d = _twice(given, "interface_radius_mm")
    outside_d = _twice(given, "outer_radius_mm")
    return {
        "hoop_outer_at_interface": ring_stress(pressure, joint_d, outside_d, joint_d)[0],
        "hoop_inner_at_interface": plug_hoop(pressure, joint_d, _bore(given)),
    }


def _bore(given: Given) -> float:
    return 2.0 * float(given.get("inner_radius_mm", 0.0))


def _pressfit(given: Given) -> Mapping[str, float]:
    pressure = press_fit_pressure(
        _twice(given, "radial_interference_mm"),
        _twice(given, "interface_radius_mm"),
        _twice(given, "outer_radius_mm"),
        plug=_plug(given),
        tube=_tube(given),
        plug_bore_d=_bore(given),
    )
    return {"pressure": pressure, **_hoops(given, pressure), **_grip(given, pressure)}


def _pressure_at_limit(given: Given) -> float:
    return pressure_at_hoop(
        float(given["hoop_limit_outer_MPa"]),
        _twice(given, "interface_radius_mm"),
        _twice(given, "outer_radius_mm"),
    )


def _pressfit_inverse(given: Given) -> Mapping[str, float]:
    pressure = _pressure_at_limit(given)
    interference = press_fit_interference(
        pressure,
        _twice(given, "interface_radius_mm"),
        _twice(given, "outer_radius_mm"),
        plug=_plug(given),
        tube=_tube(given),
        plug_bore_d=_bore(given),
    )
    return {
        "pressure": pressure,
        "radial_interference": interference / 2.0,
        **_hoops(given, pressure),
        **_grip(given, pressure),
    }


def _pressfit_limit(given: Given) -> Mapping[str, float]:
    pressure = _pressure_at_limit(given)
    return {"pressure": pressure, **_grip(given, pressure)}


def _din7190(given: Given) -> Mapping[str, float]:
    first, through = din_7190_limits(float(given["yield_outer_MPa"]), float(given["Q_outer"]))
    return {"p_elastic_limit": first, "p_full_plastic": through}


def _lame(given: Given) -> Mapping[str, float]:
    inside_d, outside_d = _twice(given, "inner_radius_mm"), _twice(given, "outer_radius_mm")
    pressure = float(given["internal_pressure_MPa"])
    hoop, radial = ring_stress(pressure, inside_d, outside_d, _twice(given, "radius_mm"))
    at_bore = ring_stress(pressure, inside_d, outside_d, inside_d)[0]
    return {"hoop": hoop, "radial": radial, "hoop_bore": at_bore}


def _shrink_temp(given: Given) -> Mapping[str, float]:
    rise = temperature_rise(
        float(given["diametral_interference_mm"]),
        float(given["clearance_mm"]),
        float(given["alpha_per_K"]),
        float(given["diameter_mm"]),
    )
    return {"temperature_rise": rise}


MODELS: Mapping[str, Model] = MappingProxyType(
    {
        "din7190": _din7190,
        "lame": _lame,
        "pressfit": _pressfit,
        "pressfit_inverse": _pressfit_inverse,
        "pressfit_limit": _pressfit_limit,
        "shrink_temp": _shrink_temp,
    }
)
