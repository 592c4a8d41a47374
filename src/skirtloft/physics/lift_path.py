"""From fan to gap: what pressure and flow a load asks of the fan, and how the fan's flow divides on the way."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.air_types import AirState, Escape, Leak, LiftSystem, Loss
from skirtloft.physics.escape import leak_area, opening_area
from skirtloft.physics.losses import resistance


def lift_system(
    area: npt.ArrayLike,
    density: npt.ArrayLike,
    escape: Escape,
    *,
    leaks: tuple[Leak, ...] = (),
    losses: tuple[Loss, ...] = (),
    lift_share: npt.ArrayLike = 1.0,
    drive_efficiency: npt.ArrayLike = 0.9,
) -> LiftSystem:
    """Return everything the fan has to feed.

    Parameters
    ----------
    area : (...) [m2]
        Inside the mean tip line.
    density : (...) [kg/m3]
    escape, leaks, losses
    lift_share : (...)
        Lift air over all air of the fan: below 1 where a splitter sends the rest to thrust. The lift air enters the
        splitter at the fan's full total pressure. About 1/3 in single-fan craft: common practice, no source.
    drive_efficiency : (...)
        Belt or gearbox; 0.9: common practice, no source.
    """
    return LiftSystem(
        frozen_array(area),
        frozen_array(density),
        escape,
        leaks,
        losses,
        frozen_array(lift_share),
        frozen_array(drive_efficiency),
    )


@dataclass(frozen=True, eq=False)
class Path:
    """The system in five numbers a case, (...).

    Parameters
    ----------
    intake, supply, feed : [Pa s2/m6]
        Pressure lost over the square of the flow at that place.
    loop_leak, cushion_leak : [m3/s/sqrt(Pa)]
        Flow that leaks over the root of the pressure there.
    """

    intake: Floats
    supply: Floats
    feed: Floats
    loop_leak: Floats
    cushion_leak: Floats


def path_of(system: LiftSystem) -> Path:
    """Return the resistances and leaks of a system."""
    jet = np.sqrt(2.0 / system.density)
    return Path(
        resistance(system.losses, "intake", system.density),
        resistance(system.losses, "supply", system.density),
        resistance(system.losses, "feed", system.density),
        leak_area(system.leaks, "loop") * jet,
        leak_area(system.leaks, "cushion") * jet,
    )


def load_pressure(system: LiftSystem, mass: npt.ArrayLike) -> Floats:
    """Return the cushion pressure [Pa] that carries `mass` [kg]: m g/S."""
    return np.asarray(np.asarray(mass, dtype=np.float64) * GRAVITY / system.area)


def required_air(system: LiftSystem, mass: npt.ArrayLike, gap: npt.ArrayLike) -> AirState:
    """Return the pressures and flows that a load asks for at a common gap, whatever the fan.

    Parameters
    ----------
    mass : (...) [kg]
    gap : (...) [m]
    """
    return air_at_pressure(system, load_pressure(system, mass), gap)


def air_at_pressure(system: LiftSystem, pressure: npt.ArrayLike, gap: npt.ArrayLike) -> AirState:
    """Return the pressures and flows at a cushion pressure (...) [Pa] and a common gap (...) [m].

    Notes
    -----
    Outwards from the gap: Q_gap = sum of Cd L h sqrt(2 p/rho); Q_cushion = Q_gap + leaks; p_loop = p + R_feed
    Q_cushion^2; Q_lift = Q_cushion + leaks of the loop; Q_fan = Q_lift/lift share; p_fan = p_loop + R_supply Q_lift^2 +
    R_intake Q_fan^2. Every pressure is proportional to p at a given gap.
    """
    path, p = path_of(system), np.asarray(pressure, dtype=np.float64)
    gap_flow = opening_area(system.escape, gap).sum(axis=-1) * np.sqrt(2.0 * p / system.density)
    cushion_flow = gap_flow + path.cushion_leak * np.sqrt(p)
    loop = p + path.feed * cushion_flow**2
    lift_flow = cushion_flow + path.loop_leak * np.sqrt(loop)
    fan_flow = lift_flow / system.lift_share
    fan = loop + path.supply * lift_flow**2 + path.intake * fan_flow**2
    return AirState(*map(frozen_array, np.broadcast_arrays(p, loop, fan, gap_flow, cushion_flow, lift_flow, fan_flow)))


def cushion_flow_of(path: Path, pressure: Floats, lift_flow: Floats) -> Floats:
    """Return what reaches the cushion of a lift flow [m3/s] at cushion pressure [Pa]; 0 where the loop leaks it all.

    Notes
    -----
    The root of Q_lift - Q = leak sqrt(p + R_feed Q^2), written so that nothing cancels.
    """
    leak_squared = path.loop_leak**2
    k = leak_squared * path.feed
    lost = leak_squared * pressure
    below = k * lift_flow**2 + (1.0 - k) * lost
    over = lift_flow + np.sqrt(np.maximum(below, 0.0))
    return np.maximum(0.0, lift_flow**2 - lost) / np.where(over > 0.0, over, 1.0)


def system_pressure(system: LiftSystem, mass: npt.ArrayLike, fan_flow: npt.ArrayLike) -> Floats:
    """Return the fan pressure [Pa] at which a load takes `fan_flow` [m3/s], whatever gap that gives: a system curve.

    Parameters
    ----------
    mass, fan_flow : broadcast against (...)
    """
    flow = np.asarray(fan_flow, dtype=np.float64)
    return pressure_for_flow(system, path_of(system), load_pressure(system, mass), flow)


def pressure_for_flow(system: LiftSystem, path: Path, pressure: Floats, fan_flow: Floats) -> Floats:
    """As `system_pressure`, from the cushion pressure."""
    lift_flow = system.lift_share * fan_flow
    loop = pressure + path.feed * cushion_flow_of(path, pressure, lift_flow) ** 2
    return loop + path.supply * lift_flow**2 + path.intake * fan_flow**2


def system_slope(system: LiftSystem, path: Path, air: AirState) -> Floats:
    """Return the slope [Pa s/m3] of the system curve over fan flow at a load, (...), the gap being free to follow.

    Notes
    -----
    dQ_lift/dQ_cushion = 1 + leak R_feed Q_cushion/sqrt(p_loop).
    """
    ease = 1.0 + path.loop_leak * path.feed * air.cushion_flow / np.sqrt(air.loop_pressure)
    loop = 2.0 * path.feed * air.cushion_flow * system.lift_share / ease
    supply = 2.0 * path.supply * air.lift_flow * system.lift_share
    return np.asarray(loop + supply + 2.0 * path.intake * air.fan_flow)


def air_from_fan(system: LiftSystem, path: Path, pressure: Floats, fan_flow: Floats, fan_pressure: Floats) -> AirState:
    """Return pressures and flows from the fan's flow and pressure, inwards; the gap flow may come out negative."""
    lift_flow = system.lift_share * fan_flow
    cushion_flow = cushion_flow_of(path, pressure, lift_flow)
    loop = pressure + path.feed * cushion_flow**2
    gap_flow = cushion_flow - path.cushion_leak * np.sqrt(pressure)
    return AirState(
        *map(
            frozen_array,
            np.broadcast_arrays(pressure, loop, fan_pressure, gap_flow, cushion_flow, lift_flow, fan_flow),
        )
    )
