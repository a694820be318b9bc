"""All models by topic.

Room: reference.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from foldwright.reference import (
    adhesive,
    bending,
    fasteners,
    fits,
    geometry,
    homography,
    mass_cg,
    measurement,
    min_radius,
    pressfit,
    sandwich,
    springback,
    stockcut,
)
from foldwright.reference.case import Model

MODELS: Mapping[str, Mapping[str, Model]] = MappingProxyType(
    {
        "adhesive": adhesive.MODELS,
        "bending": bending.MODELS,
        "fasteners": fasteners.MODELS,
        "fits": fits.MODELS,
        "geometry": geometry.MODELS,
        "homography": homography.MODELS,
        "mass_cg": mass_cg.MODELS,
        "measurement": measurement.MODELS,
        "min_radius": min_radius.MODELS,
        "pressfit": pressfit.MODELS,
        "sandwich": sandwich.MODELS,
        "springback": springback.MODELS,
        "stockcut": stockcut.MODELS,
    }
)
