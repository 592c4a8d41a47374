"""The nouns of the plan and of the lofted surface: what `lay_out`, `loft` and `develop` hand on."""

from __future__ import annotations

from dataclasses import dataclass

from skirtloft.design.segment_form import SegmentForm
from skirtloft.maths.curves import Path, RunName
from skirtloft.maths.frozen import Floats


@dataclass(frozen=True, eq=False)
class SegmentField:
    """What the segments are like along the joint line: even between the nodes; arrays (k,), port half.

    Parameters
    ----------
    at : (k,) [m]
        Length along the joint line from the bow centre: the stations that end the runs.
    depth : (k,) [m]
        Height of the joint above the tip plane.
    face_angle, tip_angle : (k,) [rad]
    drop : (k,) [m]
        Inner fixing below the joint.
    """

    at: Floats
    depth: Floats
    face_angle: Floats
    tip_angle: Floats
    drop: Floats


@dataclass(frozen=True, eq=False)
class TightCorner:
    """An arc of the joint line whose webs are shortened.

    Parameters
    ----------
    piece : int
        Of the joint line, and of the runs of the plan.
    inboard : float [m]
        Inner fixings inboard of the joint, as shortened.
    whole : float [m]
        Inboard distance of whole webs.
    least_radius : float [m]
        Of the joint line, at which the webs could be whole.
    before, after : (k,) [m]
        Inboard limits of the web lines of the straight run that ends (begins) here, from the corner's end line on, as
        far as they bind and the first that does not; empty where no straight run is beside it.
    """

    piece: int
    inboard: float
    whole: float
    least_radius: float
    before: Floats
    after: Floats


@dataclass(frozen=True, eq=False)
class JointRun:
    """One straight run or one arc of the joint line, port half, in order from bow centre.

    Parameters
    ----------
    name : RunName
    start, end : float [m]
        Length along the joint line from the bow centre.
    radius : float [m]
        Plan radius of the joint line; ``inf`` on a straight run.
    centre : (2,) [m]
        Centre of the arc; ``nan`` on a straight run.
    segments : int
        Segments in the run: on the full width where the run crosses the centre line, else on the port half.
    crosses_centre : bool
        True for the bow and stern runs that go on across the centre line (their length counts double).
    first, last : SegmentForm
        Of the segments at its end nearer the bow and at its other end; equal but in corners between unlike runs.
    lines : tuple of SegmentForm
        Webs at every web line of a straight run, bow end first, where tight corners beside it shorten some; () else.
    """

    name: RunName
    start: float
    end: float
    radius: float
    centre: Floats
    segments: int
    crosses_centre: bool
    first: SegmentForm
    last: SegmentForm
    lines: tuple[SegmentForm, ...] = ()

    @property
    def fitted_length(self) -> float:
        """Length the segments share [m]: the whole width where the run crosses the centre line."""
        return (self.end - self.start) * (2.0 if self.crosses_centre else 1.0)

    @property
    def fitted_pitch(self) -> float:
        """Fitted pitch along the joint line [m]."""
        return self.fitted_length / self.segments


@dataclass(frozen=True, eq=False)
class Stations:
    """The port stations from bow centre to stern centre; arrays are (n,) unless said.

    Parameters
    ----------
    ids : ("P00", "P01", ...)
    runs : the run each station is counted with; the end of an arc is counted with the straight run beside it
    at : (n,) [m]
        Length along the joint line from the bow centre.
    joint : (n, 2) [m]
        J in plan.
    outward : (n, 2)
        Unit outward normal of the joint line.
    hull : (n, 2) [m]
        E in plan, where the section plane crosses the hull edge.
    hull_at : (n,) [m]
        Length along the hull edge (plan) of E.
    hull_z : (n,) [m]
        Height of E above the tip plane.
    offset : (n,) [m]
        X = (J - E) . outward, positive where the joint lies outboard of the hull edge.
    radius : (n,) [m]
        Plan radius of the joint line, ``inf`` where straight; at the end of an arc, the arc's radius.
    depth : (n,) [m]
        Height of J above the tip plane.
    face_angle, tip_angle : (n,) [rad]
    drop, inboard : (n,) [m]
        Inner fixing below J and inboard of it.
    """

    ids: tuple[str, ...]
    runs: tuple[RunName, ...]
    at: Floats
    joint: Floats
    outward: Floats
    hull: Floats
    hull_at: Floats
    hull_z: Floats
    offset: Floats
    radius: Floats
    depth: Floats
    face_angle: Floats
    tip_angle: Floats
    drop: Floats
    inboard: Floats


@dataclass(frozen=True, eq=False)
class Plan:
    """Hull edge, joint line, tip line and stations of the port half.

    Parameters
    ----------
    hull_edge, joint_line : Path
        From bow centre to stern centre, port half.
    hull_heights : (k+1,) [m]
        Height of the hull edge above the tip plane at ``hull_edge.breaks``; linear between.
    segments : SegmentField
    pitch : float [m]
        Wanted, as it stands in delta of the plan.
    tip_inset : float [m]
        How far the mean tip line lies inboard of the joint line (delta of the plan), where that is the same all round;
        else nan: see `segment_field.tip_insets`.
    runs : tuple of JointRun
        One for every piece of the joint line; run i is piece i.
    joint_area, tip_area : float [m2]
        Whole craft, inside the joint line and inside the mean tip line (= cushion area).
    joint_perimeter, tip_perimeter : float [m]
        Whole craft, in plan.
    even_at : (m,) [m], optional
        Places of the stations before any was added or left out by the builder; None: those of `stations`.
    held_at : (h,) [m], optional
        Places of the stations that the builder cannot leave out; None: all.
    tight : tuple of TightCorner
        Corners whose webs are shortened, so that they do not cross.
    """

    hull_edge: Path
    hull_heights: Floats
    joint_line: Path
    segments: SegmentField
    pitch: float
    tip_inset: float
    runs: tuple[JointRun, ...]
    stations: Stations
    joint_area: float
    joint_perimeter: float
    tip_area: float
    tip_perimeter: float
    even_at: Floats | None = None
    held_at: Floats | None = None
    tight: tuple[TightCorner, ...] = ()


@dataclass(frozen=True, eq=False)
class FlatPanel:
    """A loop panel unrolled flat, between two stations of the port half (or across the centre line).

    The frame is the one of every piece: metres, the outside of the cloth facing you, x towards the bow, y towards
    the hull. (Seen from outside, the port side has its bow to the left: a port piece is drawn with x to the left.)

    Parameters
    ----------
    id : "L03"
    start, end : str
        Station ids; `start` is the one nearer the bow.
    run : RunName
    seam_start, seam_end : (m, 2) [m]
        The two seam curves from the hull edge down to the joint, same m on both sides of a seam.
    hull_line, joint_line : (k, 2) [m]
        The two other edges from start to end: two points where straight, else a smooth line.
    hull_edge, joint_edge : float [m]
        Lengths of these.
    is_rectangle : bool
        True where both sections are equal and the run straight.
    across : bool
        True where the panel goes on across the centre line (one piece, its own mirror image).
    area : float [m2]
    """

    id: str
    start: str
    end: str
    run: RunName
    seam_start: Floats
    seam_end: Floats
    hull_line: Floats
    joint_line: Floats
    hull_edge: float
    joint_edge: float
    is_rectangle: bool
    across: bool
    area: float
