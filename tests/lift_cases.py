"""Fans and lift systems that several tests share; the numbers are made up, round and plausible."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from skirtloft.physics.air_types import LiftSystem
from skirtloft.physics.escape import escape_runs, leak
from skirtloft.physics.fan import Fan, fan_from_points, fan_from_two
from skirtloft.physics.lift_path import lift_system
from skirtloft.physics.losses import (
    bend_loss,
    duct_loss,
    guard_loss,
    hole_loss,
    inlet_loss,
    passage_loss,
    splitter_loss,
)

RPM = 2.0 * math.pi / 60.0
SPEED = 2400.0 * RPM
FLOWS = (0.0, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5)
HUMPED = (1000.0, 1050.0, 1120.0, 1150.0, 1100.0, 950.0, 650.0, 200.0)  # rises to 1.5 m3/s: stalled below
FALLING = (1250.0, 1230.0, 1200.0, 1160.0, 1090.0, 940.0, 650.0, 200.0)
VALLEY = (1000.0, 600.0, 700.0, 1150.0, 1100.0, 950.0, 650.0, 200.0)  # a deep stall
POWERS = (900.0, 1300.0, 1750.0, 2300.0, 2900.0, 3300.0, 3400.0, 3300.0)


def fan_of_points(pressure: tuple[float, ...] = HUMPED, **more: Any) -> Fan:
    return fan_from_points(FLOWS, pressure, speed=SPEED, diameter=0.6, **more)


def parabola(shut_off: float = 1200.0, free_flow: float = 4.0, **more: Any) -> Fan:
    return fan_from_two(free_flow, shut_off, speed=SPEED, diameter=0.6, density=1.225, **more)


def plain(area: Any = 8.0, perimeter: Any = 12.0, discharge: float = 0.6, **more: Any) -> LiftSystem:
    """The 4 x 2 m craft of the worked examples: one gap all round."""
    return lift_system(area, 1.225, escape_runs(["all"], np.atleast_1d(perimeter), discharge=[discharge]), **more)


def full(area: Any = 8.0, density: Any = 1.225, roughness: float = 0.0, lift_share: Any = 1.0) -> LiftSystem:
    """Everything at once: uneven gaps, leaks at both places, losses at all three."""
    runs = escape_runs(["bow", "side", "stern"], [2.0, 8.0, 2.0], lift=[0.002, 0.0, -0.001], roughness=roughness)
    losses = (
        guard_loss(0.28, 0.85),
        inlet_loss(0.28, "bellmouth"),
        splitter_loss(0.25),
        duct_loss(0.25, 1.0, 1.8),
        bend_loss(0.25, "mitre with vanes"),
        passage_loss(0.12, 0.15, frames=2, share=0.5),
        hole_loss(0.19),
    )
    leaks = (leak("corner gaps", 0.002), leak("drains", 0.001, place="loop"))
    return lift_system(area, density, runs, leaks=leaks, losses=losses, lift_share=lift_share)
