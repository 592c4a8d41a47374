"""The nouns of the physics: sections, cushions and air."""

from __future__ import annotations

from dataclasses import dataclass

from skirtloft.maths.frozen import Floats


@dataclass(frozen=True, eq=False)
class Sections:
    """Sections in equilibrium in the design case, one per station; arrays are (n,).

    In a section x is outboard from E and z is up from the tip plane: E = (0, depth + rise), J = (offset, depth),
    G = (offset - tip_inboard, 0), I = (offset - inboard, depth - drop), C = (offset - centre_inset, centre_z).

    Parameters
    ----------
    offset : [m]  X, J outboard of E
    rise : [m]  Z, E above J
    depth : [m]  height of the joint
    face_angle : [rad]  slope of the web's edge J-G
    pitch : [m]  of the segments here, along the joint
    tip_inboard : [m]  web corner G inboard of J
    inboard, drop : [m]  inner fixing I inboard of J and below it
    pressure : float [Pa]  cushion pressure of the design case
    centre_inset : [m]  a, loop centre inboard of J
    centre_z : [m]  height of the loop centre above the tip plane
    radius : [m]  loop radius R
    angle : [rad]  angle b that the loop subtends
    start_angle, end_angle : [rad]  direction from C to E and from C to J, counted so that start - end = angle
    length : [m]  loop length, bulge and weight in
    quarter_rule_length : [m]  loop length for a flat face without weight (45/90 level: a = depth / 2), for comparison
    tip_mean_square : [m2]  mean of |G - I|^2 over one pitch of the tip edge
    weight_moment : [kg m / m]  first moment of the cloth about I per metre of joint
    tension : [N/m]  loop tension
    stiffness : [N m / rad / m]  K, against turning about I
    """

    offset: Floats
    rise: Floats
    depth: Floats
    face_angle: Floats
    pitch: Floats
    tip_inboard: Floats
    inboard: Floats
    drop: Floats
    pressure: float
    centre_inset: Floats
    centre_z: Floats
    radius: Floats
    angle: Floats
    start_angle: Floats
    end_angle: Floats
    length: Floats
    quarter_rule_length: Floats
    tip_mean_square: Floats
    weight_moment: Floats
    tension: Floats
    stiffness: Floats


@dataclass(frozen=True, eq=False)
class LoopArc:
    """The circular arc of loop cloth from E outboard round to J; all arrays have one shape.

    Seen with x outboard from E and z up from the joint: E = (0, rise), J = (offset, 0). From E to J the direction
    from the centre decreases from `start_angle` to `end_angle`. Every field is nan where there is no arc.

    Parameters
    ----------
    chord : [m]  c, distance from E to J
    centre_z : [m]  height of the centre C above the joint
    bulge : [m]  s, from the chord's middle to C, outboard positive (positive: more than half a circle)
    radius : [m]  R
    angle : [rad]  b, between 0 and 2 pi
    start_angle, end_angle : [rad]  direction from C to E and from C to J, start - end = angle
    length : [m]  R b
    """

    chord: Floats
    centre_z: Floats
    bulge: Floats
    radius: Floats
    angle: Floats
    start_angle: Floats
    end_angle: Floats
    length: Floats


@dataclass(frozen=True)
class SegmentWeight:
    """Cloth of the segments per metre of joint, without the loop.

    Parameters
    ----------
    mass : float [kg/m]
    moment : float [kg m / m]  first moment about I, outboard positive
    height_moment : float [kg m / m]  first moment of height about I; negative: the cloth hangs below I
    """

    mass: float
    moment: float
    height_moment: float


@dataclass(frozen=True)
class Cushion:
    """What one load asks of the cushion and of the air.

    Parameters
    ----------
    name : str
    mass : float [kg]
    pressure : float [Pa]
    flow : float [m3/s]  escape flow at the wanted gap
    air_power : float [W]  pressure times flow: through the gap only
    engine_power : float [W]  screening figure with fan, drive, losses and reserve
    """

    name: str
    mass: float
    pressure: float
    flow: float
    air_power: float
    engine_power: float
