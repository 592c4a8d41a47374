"""The nouns of section statics: a segment of any shape, its cloth, the loop that carries it, and what it does.

Section axes here: x outboard from the joint J as cut, z up from the tip plane, so J = (0, depth). A turn is counted
about the inner fixing I, positive where the tip goes up and outboard. All arrays of a record have one shape, points one
axis of two more. nan marks what cannot be.
"""

from __future__ import annotations

from dataclasses import dataclass

from skirtloft.maths.frozen import Floats


@dataclass(frozen=True, eq=False)
class FaceEdge:
    """Where one edge of a bulging face lies, seen from its web corner, in the mean over one pitch.

    Parameters
    ----------
    out, up : [m]  mean place, outboard and up of the web corner
    spread : [m2]  mean square of the distance from the mean place
    """

    out: Floats
    up: Floats
    spread: Floats


@dataclass(frozen=True, eq=False)
class SegmentShape:
    """One segment of a run or corner as cut.

    Parameters
    ----------
    depth : [m]  d, height of the joint
    face_angle : [rad]  t, slope of the web's edge J-G to the ground
    pitch : [m]  w along the joint line, the run's own
    radius : [m]  plan radius of the joint line, inf on a straight run
    wedge : [rad]  plan angle of the segment, 0 on a straight run
    half_arc : [rad]  of the tip edge, from its crown to a web: pi/2 for a half round on a straight run
    top, cut : str  top edge "flat" or "arc"; edges cut "level" or "square" to the web's edge
    drop : [m]  inner fixing below the joint
    inboard : [m]  inner fixing inboard of the joint
    tip_angle, lower_slope : [rad]  angle of the web at G; slope of its lower edge G-I to the ground, alpha
    joint, tip, inner : (..., 2) [m]  J, G and I
    face_length, upper_edge, lower_edge : [m]  |J - G|, |J - I| and |G - I|
    joint_edge, tip_edge : FaceEdge
    joint_mean_square, tip_mean_square : [m2]  <|J - I|^2> and <|G - I|^2> over the real top and tip edge
    """

    depth: Floats
    face_angle: Floats
    pitch: Floats
    radius: Floats
    wedge: Floats
    half_arc: Floats
    top: str
    cut: str
    drop: Floats
    inboard: Floats
    tip_angle: Floats
    lower_slope: Floats
    joint: Floats
    tip: Floats
    inner: Floats
    face_length: Floats
    upper_edge: Floats
    lower_edge: Floats
    joint_edge: FaceEdge
    tip_edge: FaceEdge
    joint_mean_square: Floats
    tip_mean_square: Floats


@dataclass(frozen=True, eq=False)
class SegmentCloth:
    """Cloth of the segments per metre of joint, without the loop.

    Parameters
    ----------
    mass : [kg/m]
    moment : [kg m / m]  first moment about I, outboard positive
    height_moment : [kg m / m]  first moment of height about I, up positive
    """

    mass: Floats
    moment: Floats
    height_moment: Floats


@dataclass(frozen=True, eq=False)
class LoopCloth:
    """Cloth of the loop.

    Parameters
    ----------
    areal_mass : [kg/m2]
    allowance : [m]  cloth outside the sewn line at the joint: it hangs at J
    """

    areal_mass: Floats
    allowance: Floats


@dataclass(frozen=True, eq=False)
class SectionStatics:
    """Sections in the design case: the loop's length is found for the segment to stand as cut.

    Parameters
    ----------
    shape : SegmentShape
    segment, loop : SegmentCloth, LoopCloth  zero where weight is off
    pressure : [Pa]
    diaphragm_moment : [N m / m]  of a diaphragm about I; negative: it holds the tip down
    hull_edge : (..., 2) [m]  E
    centre : (..., 2) [m]  C, centre of the loop's arc
    bulge : [m]  s, from the chord's middle to C, along the left normal of E to J
    chord, radius : [m]  c = |E - J| and R
    angle : [rad]  b that the loop subtends
    start_angle, end_angle : [rad]  direction from C to E and from C to J, start - end = angle
    length : [m]  loop length L
    tension : [N/m]  p R
    weight_moment : [kg m / m]  m_x of segment and loop about I
    stiffness : [N m / rad / m]  K, against turning about I; not positive: unstable
    lean : [-]  cosine between J - I and the chord's normal; 0 is singular, and nothing can be said near it
    """

    shape: SegmentShape
    segment: SegmentCloth
    loop: LoopCloth
    pressure: Floats
    diaphragm_moment: Floats
    hull_edge: Floats
    centre: Floats
    bulge: Floats
    chord: Floats
    radius: Floats
    angle: Floats
    start_angle: Floats
    end_angle: Floats
    length: Floats
    tension: Floats
    weight_moment: Floats
    stiffness: Floats
    lean: Floats


@dataclass(frozen=True, eq=False)
class TurnedSections:
    """The same cloth at rest under another load, or with another loop.

    Parameters
    ----------
    pressure : [Pa]
    length : [m]  loop length kept
    turn : [rad]  about I from the shape as cut; nan: it comes to rest nowhere within the range
    joint, tip, centre : (..., 2) [m]  J, G and C
    radius, angle, start_angle, end_angle : [m], [rad]  of the loop's arc
    tension : [N/m]
    stiffness : [N m / rad / m]
    joint_rise, tip_rise : [m]  how far J and the web corner G come up
    tip_line_rise, tip_line_shift : [m]  how far the mean of the tip edge comes up and moves outboard
    """

    pressure: Floats
    length: Floats
    turn: Floats
    joint: Floats
    tip: Floats
    centre: Floats
    radius: Floats
    angle: Floats
    start_angle: Floats
    end_angle: Floats
    tension: Floats
    stiffness: Floats
    joint_rise: Floats
    tip_rise: Floats
    tip_line_rise: Floats
    tip_line_shift: Floats


@dataclass(frozen=True, eq=False)
class TautLimits:
    """Where the loop goes straight and stops the segment; fields (..., 2): tip down, tip up.

    Parameters
    ----------
    turn : [rad]  about I, negative and positive; nan where the loop is too long ever to go straight
    load_moment : [N m / m]  of the pressure on the face and the segment's weight there, tip up positive
    held_moment : [N m / m]  restoring moment at `share` of the way
    share : float
    """

    turn: Floats
    load_moment: Floats
    held_moment: Floats
    share: float


@dataclass(frozen=True, eq=False)
class Reactions:
    """What the fixings carry per metre of joint; forces (..., 2) [N/m], x outboard, z up.

    Parameters
    ----------
    hull_edge : force of the loop on the hull at E
    joint : force of the loop on the segment at J
    diaphragm : force of the diaphragm on the segment at J; zero where there is none or it is slack
    inner : force of the segment on the hull at I
    face_pressure : resultant of the pressure on the face
    upper_edge, lower_edge : [N/m]  pull in the web along J-I and along G-I; not positive: slack
    face_pull : [N/m]  pull along the face at the tip; negative: it puckers
    """

    hull_edge: Floats
    joint: Floats
    diaphragm: Floats
    inner: Floats
    face_pressure: Floats
    upper_edge: Floats
    lower_edge: Floats
    face_pull: Floats


@dataclass(frozen=True, eq=False)
class ForceLine:
    """Line of the resultant pressure on the face, and its margins against the fixings.

    Parameters
    ----------
    foot : (..., 2) [m]  where it crosses the straight line between the mean top and the mean tip edge
    crossing : (..., 2) [m]  where it crosses the level of the inner fixing
    least_inboard : [m]  of I from J by the flat web: there the line would pass through I
    margin : [-]  inboard over least_inboard, less 1; not positive: the loop would have to push the joint down
    least_inboard_bulged, margin_bulged : [m], [-]  the same for the real face
    slack_margin : [-]  |C - G| / |C - J| less 1; negative: the upper edge of a flat web is slack
    slack_margin_bulged : [-]  pull in the upper edge with the real face, over the pressure times the face's length
    """

    foot: Floats
    crossing: Floats
    least_inboard: Floats
    margin: Floats
    least_inboard_bulged: Floats
    margin_bulged: Floats
    slack_margin: Floats
    slack_margin_bulged: Floats


@dataclass(frozen=True, eq=False)
class QuarterRule:
    """What the trade's quarter rule would have cut, and where that stands with the real face and the cloth's weight.

    Parameters
    ----------
    length : [m]  loop length by the rule
    length_difference : [m]  the rule's length less the length found
    turn : [rad]  about I at which a loop of the rule's length comes to rest
    joint_rise, tip_rise : [m]  how far joint and web corner then stand above the design
    """

    length: Floats
    length_difference: Floats
    turn: Floats
    joint_rise: Floats
    tip_rise: Floats
