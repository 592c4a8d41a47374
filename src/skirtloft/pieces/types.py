"""The nouns of the cutting table: flat pieces with their edges, marks and holes.

Frame of every piece: metres, outside of the cloth facing you, x towards the bow, y towards the hull. Port pieces are
drawn with x to the left (that is how the port side looks from outside); the numbers of both hands are the same.

Webs lie across the skirt, so their x cannot point to the bow: on a web x is **outboard**, y up towards the joint. The
bow-side web of a port segment, W1-P, looked at from ahead, has outboard to the right: a web P is drawn with x to the
right and S to the left, the other way round than most pieces. So is a back, which shows its outside from inside the
cushion. `CutPiece.drawn_x_left` says it for all of them.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from skirtloft.design.segment_form import SegmentForm
from skirtloft.maths.curves import RunName
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.maths.polylines import polyline_length

EdgeKind = Literal["seam", "hull", "joint", "tip", "hem", "fold", "end", "lap", "free"]
PieceKind = Literal[
    "loop_panel",
    "face",
    "web",
    "joint_strip",
    "wear_panel",
    "patch",
    "back",
    "diaphragm",
    "hull_band",
    "spray_flap",
    "drain_flap",
    "loop_tie",
    "cover_tape",
    "binding",
]
PieceCloth = Literal["loop", "segment", "wear", "diaphragm"]
Hand = Literal["P", "S", ""]


def no_points() -> Floats:
    """Return an empty list of points, (0, 2)."""
    return frozen_array(np.zeros((0, 2)))


@dataclass(frozen=True, eq=False)
class SewnRun:
    """One run of the joint measured along the sewn joint edges of its loop panels; loop, strip and segments share it.

    Lengths along a run count from its bow end on the port side; a run across the centre line counts from starboard to
    port at the bow and from port to starboard at the stern, so that its middle is the centre line.

    Parameters
    ----------
    name : RunName
    length : float [m]
        Sum of the joint edges of the panels; the whole width where the run crosses the centre line.
    segments : int
        In `length`.
    pitch : float [m]
        Cut pitch, ``length / segments``.
    holes : int
        Holes per pitch.
    first_segment : int
        Number of the first segment of the run on a side, counted from the bow centre.
    crosses : "bow", "stern" or ""
        Which centre line the run crosses.
    radius : float [m]
        Plan radius of the joint line, ``inf`` where straight.
    wedge : float [rad]
        Plan angle of one segment, 0 where straight.
    panels : tuple of str
        Ids of the loop panels, bow to stern.
    spans : (k, 2) [m]
        Where each panel's joint edge lies in the run (port panel, or the one across the centre line).
    spread : float
        Of the holes in a pitch about its middle: 1 where they are evenly spaced along the run.
    first, last : SegmentForm
        Of the segments at the start and at the end of the run; where they differ, it changes evenly between.
    lines : tuple of SegmentForm
        Webs at every web line, bow end first, where those beside a tight corner are shortened; () else.
    """

    name: RunName
    length: float
    segments: int
    pitch: float
    holes: int
    first_segment: int
    crosses: Literal["bow", "stern", ""]
    radius: float
    wedge: float
    panels: tuple[str, ...]
    spans: Floats
    first: SegmentForm
    last: SegmentForm
    spread: float = 1.0
    lines: tuple[SegmentForm, ...] = ()

    @property
    def is_blended(self) -> bool:
        """True where segments of the run differ."""
        return bool(self.lines) or self.first != self.last

    @property
    def sides(self) -> int:
        """How often the run occurs on the craft: once across the centre line, else once per side."""
        return 1 if self.crosses else 2


@dataclass(frozen=True, eq=False)
class Edge:
    """One edge of the sew line, from corner to corner, both ends included.

    Parameters
    ----------
    name : str
        What a builder calls it: "hull edge", "joint", "seam B", "tip".
    kind : EdgeKind
    points : (k, 2) [m]
    allowance : float [m]
        Cloth left outside this edge.
    letter : str
        Seam letter, the same on both pieces that meet here; "" where nothing is sewn on.
    joins : str
        Codes of the pieces that meet here, for the label; "" where nothing does.
    """

    name: str
    kind: EdgeKind
    points: Floats
    allowance: float
    letter: str = ""
    joins: str = ""

    @property
    def length(self) -> float:
        """Length along the edge [m]."""
        return polyline_length(self.points)


@dataclass(frozen=True, eq=False)
class Notch:
    """A mark on the sew line with its outward direction; `count` 1 or 2 strokes."""

    at: Floats
    outward: Floats
    count: int
    letter: str


@dataclass(frozen=True, eq=False)
class MarkLine:
    """A line on the cloth, `points` (k, 2) [m].

    Drawn and not cut: fold, pitch, centre, trim, place (where another piece lies), stitch and glue (edge of a zone).
    To be cut: slit (from the edge inwards), slot (inside the piece).
    """

    points: Floats
    kind: Literal["fold", "pitch", "centre", "trim", "slit", "slot", "place", "stitch", "glue"]
    text: str = ""


@dataclass(frozen=True, eq=False)
class CutPiece:
    """One distinct piece to cut.

    Parameters
    ----------
    id : str
        Code printed on the cloth, e.g. "L03-P".
    base : str
        Code without the hand, the same for both hands: one template serves both.
    name, kind, hand, quantity : as in results
        `quantity` is for the whole craft.
    cloth : "loop", "segment", "wear" or "diaphragm"
    edges : tuple of Edge
        Once round the sew line, anticlockwise in the piece frame (x right, y up).
    cut_line : (m, 2) [m]
        Closed outline to cut, first point not repeated.
    sew_line : (k, 2) [m]
        Closed outline of the edges, first point not repeated.
    holes : (h, 2) [m]
        Hole centres; `hole_diameter` [m].
    notches, marks : tuples
    warp : (2,)
        Unit direction of the warp in the piece frame.
    run : str
    stations : str
        "P03 to P04", "" for pieces that are not tied to stations.
    joint_length : float [m]
        Length of the joint edge.
    area : float [m2]
        Inside the cut line, one piece.
    mass : float [kg]
        One piece, its vents cut out.
    is_rectangle : bool
        Cut line is a rectangle: it gets a measure-and-mark card.
    notes : tuple of str
        What the maker must know of this piece, as sentences.
    lap_holes : (l, 2) [m]
        Holes of the neighbours that fall on the laps of this piece: the same holes, through both layers.
    vents : (v, 2) [m]
        Centres of round openings of `vent_diameter` [m].
    spares : int
        To cut besides `quantity`.
    face_side : bool
        One side of the cloth must face out.
    """

    id: str
    base: str
    name: str
    kind: PieceKind
    hand: Hand
    quantity: int
    cloth: PieceCloth
    edges: tuple[Edge, ...]
    sew_line: Floats
    cut_line: Floats
    holes: Floats
    hole_diameter: float
    notches: tuple[Notch, ...]
    marks: tuple[MarkLine, ...]
    warp: Floats
    run: str
    stations: str
    joint_length: float
    area: float
    mass: float
    is_rectangle: bool
    notes: tuple[str, ...] = ()
    lap_holes: Floats = field(default_factory=no_points)
    vents: Floats = field(default_factory=no_points)
    vent_diameter: float = 0.0
    spares: int = 0
    face_side: bool = True

    @property
    def drawn_x_left(self) -> bool:
        """True if the outside of the cloth faces you when the piece is drawn with x to the left."""
        return (self.hand == "S") if self.kind in ("web", "back") else (self.hand != "S")
