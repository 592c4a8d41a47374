"""The fan of the file: refused with the reason where no fan can be so, else a curve at its size on this craft."""

from __future__ import annotations

from dataclasses import replace

from skirtloft.design import air_model
from skirtloft.design.model import Design
from skirtloft.errors import DesignError, Problem
from skirtloft.physics.fan import (
    PLASTIC_TIP_SPEED,
    Fan,
    fan_from_points,
    fan_from_two,
    resized,
    sound_speed,
    total_from_static,
)
from skirtloft.physics.fan_check import FanData, fan_problems


def fan_of(design: Design) -> Fan | None:
    """Return the fan of a design at its diameter, or None where the file has none.

    Raises
    ------
    DesignError
        With everything about its data that cannot be: tips above the speed of sound, a free flow quoted as a
        working flow, more air power than shaft power ...
    """
    told = design.air.fan
    if told is None:
        return None
    problems = fan_data_problems(told, sound_speed(design.air.temperature))
    if problems:
        raise DesignError(problems)
    data = _tested(told)
    if data.flow:
        fan = fan_from_points(
            data.flow,
            data.pressure,
            power=data.power or None,
            speed=data.speed,
            diameter=data.diameter,
            density=data.density,
            efficiency=design.air.fan_efficiency,
        )
    else:
        assert data.free_flow is not None
        assert data.shut_off is not None
        fan = fan_from_two(
            data.free_flow,
            data.shut_off,
            speed=data.speed,
            diameter=data.diameter,
            density=data.density,
            efficiency=design.air.fan_efficiency,
        )
    return fan if data.diameter == told.diameter else resized(fan, told.diameter)


def tip_limit(design: Design) -> float:
    """Return the tip speed [m/s] above which no speed is advised: of moulded blades, else the speed of sound."""
    assert design.air.fan is not None
    sound = sound_speed(design.air.temperature)
    return min(PLASTIC_TIP_SPEED, sound) if design.air.fan.blades == "plastic" else sound


def blades_stand(design: Design, speed: float) -> bool:
    """Tell whether the blades stand a shaft speed [rad/s]; False where it is no number."""
    assert design.air.fan is not None
    return bool(speed * design.air.fan.diameter / 2.0 <= tip_limit(design))


def fan_data_problems(told: air_model.Fan, sound: float) -> tuple[Problem, ...]:
    """Return what is wrong with a fan, at the speed of its test and at its own; `sound` [m/s]."""
    data = _tested(told)
    problems = list(fan_problems(data, sound=sound))
    if (data.speed, data.diameter) != (told.speed, told.diameter):
        problems = [_of_the_test(problem, told) for problem in problems]
        here = fan_problems(replace(data, speed=told.speed, diameter=told.diameter), sound=sound)
        problems += [problem for problem in here if problem.path == "air.fan.speed"]
    return tuple(problems)


def _of_the_test(problem: Problem, told: air_model.Fan) -> Problem:
    key = "tested_speed" if told.tested_speed is not None else "tested_diameter"
    return replace(problem, path=f"air.fan.{key}") if problem.path == "air.fan.speed" else problem


def _tested(told: air_model.Fan) -> FanData:
    """Return the data as tested, static pressures made total."""
    flow = tuple(point.flow for point in told.points)
    pressure = tuple(point.pressure for point in told.points)
    if told.pressure_kind == "static" and told.outlet_area is not None:
        pressure = tuple(total_from_static(flow, pressure, told.outlet_area, told.tested_density).tolist())
    return FanData(
        flow=flow,
        pressure=pressure,
        power=tuple(point.power for point in told.points if point.power is not None),
        free_flow=told.free_flow,
        shut_off=told.shut_off,
        speed=told.speed if told.tested_speed is None else told.tested_speed,
        diameter=told.diameter if told.tested_diameter is None else told.tested_diameter,
        density=told.tested_density,
    )
