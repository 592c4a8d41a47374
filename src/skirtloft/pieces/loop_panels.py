"""Loop panels as cut pieces: seam letters, hands, holes and pitch marks on the joint edge."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from skirtloft.errors import ShapeError
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.allowance import closed_line, enclosed_area
from skirtloft.pieces.finish import RUN_WORDS, Sewn, finish, with_hand
from skirtloft.pieces.joint import hole_places, order, pitch_lines, pitch_text, station_number
from skirtloft.pieces.marks import along, along_curve, seam_letter, seam_notches, single_notch
from skirtloft.pieces.seams import loop_allowance
from skirtloft.pieces.strip import hole_line
from skirtloft.pieces.types import CutPiece, Edge, Hand, MarkLine, Notch, SewnRun

if TYPE_CHECKING:
    from skirtloft.design.model import Design
    from skirtloft.shape.types import FlatPanel, Plan

AT_SEAM = 1e-6  # m: a web line this near to a panel's corner is the corner
AT_HOLE = 1e-9  # m: a hole this near to a panel's end lies on it, and belongs to the panel nearer the stern


@dataclass(frozen=True)
class Seam:
    """One seam of the loop.

    Parameters
    ----------
    letter : str
    panels : tuple of FlatPanel
        One panel where it is sewn to its own mirror image on the centre line, else two.
    """

    letter: str
    panels: tuple[FlatPanel, ...]


def loop_seams(plan: Plan, panels: Sequence[FlatPanel]) -> dict[int, Seam]:
    """Return the seams of the port half by station number, lettered from the bow."""
    centres = {0, len(plan.stations.ids) - 1}
    at: dict[int, list[FlatPanel]] = {}
    for panel in sorted(panels, key=lambda panel: order(plan, panel)):
        ends = dict.fromkeys((station_number(panel.start), station_number(panel.end)))
        for number in ends:
            if not (panel.across and number in centres and len(ends) > 1):
                at.setdefault(number, []).append(panel)
    return {number: Seam(seam_letter(i), tuple(at[number])) for i, number in enumerate(sorted(at))}


def loop_pieces(
    design: Design, panel: FlatPanel, run: SewnRun, seams: dict[int, Seam], joint: str
) -> tuple[CutPiece, ...]:
    """Return the cut pieces of a panel: P and S, or one across the centre line.

    Parameters
    ----------
    design : Design
    panel : FlatPanel
    run : SewnRun
        The run that its joint edge belongs to.
    seams : dict
        As `loop_seams`.
    joint : str
        Codes of what is bolted to the joint edge.

    Raises
    ------
    ShapeError
        The panel was unrolled inside out, or its outline crosses itself.
    """
    making, hands = design.making, _hands(panel)
    edges = _edges(design, panel, seams, joint, hands[0])
    if enclosed_area(closed_line(edges)) <= 0.0:
        raise ShapeError(f"panel {panel.id}", "It was unrolled inside out.", "Unroll x to the bow, y to the hull.")
    span = run.spans[run.panels.index(panel.id)]
    holes, near = _holes(design, edges, run, span)
    lines, pitch_notches = _pitch_marks(edges[0], run, span)
    sewn = Sewn(
        base=panel.id,
        name=f"loop panel, {RUN_WORDS[panel.run]}",
        kind="loop_panel",
        run=panel.run,
        edges=edges,
        holes=holes,
        warp=_warp(edges[0].points, design.cloth.loop.warp),
        joint_length=edges[0].length,
        notches=(
            *pitch_notches,
            *seam_notches(edges[1], from_end=True),
            single_notch(edges[2].points, 0.5),
            *seam_notches(edges[3], from_end=False),
        ),
        marks=lines + (_centre_line(edges) if panel.across else ()),
        stations=_stations(panel, hands[0]),
        notes=near,
    )
    first = finish(sewn, hands[0], 1, making.hole, design.cloth.loop.mass)
    others = [
        replace(
            first,
            id=with_hand(panel.id, hand),
            hand=hand,
            edges=_edges(design, panel, seams, joint, hand),
            stations=_stations(panel, hand),
        )
        for hand in hands[1:]
    ]
    return (first, *others)


def _hands(panel: FlatPanel) -> tuple[Hand, ...]:
    return ("",) if panel.across else ("P", "S")


def _stations(panel: FlatPanel, hand: Hand) -> str:
    side = hand or ""
    return " to ".join(side + station[1:] if side else station for station in (panel.start, panel.end))


def _edges(
    design: Design, panel: FlatPanel, seams: dict[int, Seam], joint: str, hand: Hand
) -> tuple[Edge, Edge, Edge, Edge]:
    """Joint, seam nearer the bow, hull edge, seam nearer the stern: anticlockwise, x to the bow and y to the hull."""
    making = design.making
    near, far = panel.seam_start, panel.seam_end

    def seam(station: str, points: Floats) -> Edge:
        found = seams.get(station_number(station)) or _across_seam(panel, seams)
        joins = _joins(found, panel, hand, station)
        return Edge(f"seam {found.letter}", "seam", frozen_array(points), loop_allowance(making), found.letter, joins)

    return (
        Edge("joint", "joint", frozen_array(panel.joint_line[::-1]), making.joint, joins=joint),
        seam(panel.start, near[::-1]),
        Edge("hull edge", "hull", panel.hull_line, making.hull_edge, joins="hull"),
        seam(panel.end, far),
    )


def _across_seam(panel: FlatPanel, seams: dict[int, Seam]) -> Seam:
    """The seam of a panel across the centre line: the same at both its ends."""
    return next(seam for seam in seams.values() if panel in seam.panels)


def _joins(seam: Seam, panel: FlatPanel, hand: Hand, station: str) -> str:
    """Code of the piece on the other side of a seam."""
    others = [other for other in seam.panels if other is not panel]
    if not others:
        return with_hand(panel.id, "S" if hand == "P" else "P")
    other = others[0]
    if other.across:
        return other.id
    side: Hand = hand or ("S" if station.startswith("S") else "P")
    return with_hand(other.id, side)


def _place(joint: Edge, span: Floats, at: Floats) -> tuple[Floats, Floats]:
    """Points of the joint edge at places of the run (k,) [m] and its outward normals there, (k, 2) each.

    The run counts from bow to stern, the edge from stern to bow; lengths are those along the edge.
    """
    return along_curve(joint.points, (span[1] - at) / (span[1] - span[0]))


def _holes(design: Design, edges: tuple[Edge, ...], run: SewnRun, span: Floats) -> tuple[Floats, tuple[str, ...]]:
    """Hole centres of a panel's own stretch of the run, and a note on those that lie over a seam."""
    places = hole_places(run)
    at_centre = run.crosses == "stern" and abs(2.0 * span[1] - run.length) < AT_SEAM  # shared with the mirror image
    own = places[(places >= span[0] - AT_HOLE) & (places < span[1] + (AT_HOLE if at_centre else -AT_HOLE))]
    points, outward = _place(edges[0], span, own)
    holes = points + hole_line(design.making) * outward
    seam = loop_allowance(design.making)
    notes = [
        f"{len(near)} hole{'s' if len(near) > 1 else ''} within the allowance of {edge.name} "
        f"({', '.join(f'{distance * 1e3:.0f} mm' for distance in near)} from it): punch both layers."
        for edge, near in (
            (edges[1], [place - span[0] for place in own if place - span[0] < seam]),
            (edges[3], [span[1] - place for place in own if span[1] - place < seam]),
        )
        if near
    ]
    return holes, tuple(notes)


def _pitch_marks(joint: Edge, run: SewnRun, span: Floats) -> tuple[tuple[MarkLine, ...], tuple[Notch, ...]]:
    """A line across the allowance and a notch at every web line inside the panel; a panel's corner marks itself."""
    places = pitch_lines(run)
    inside = np.flatnonzero((places > span[0] + AT_SEAM) & (places < span[1] - AT_SEAM))
    points, outward = _place(joint, span, places[inside])
    lines = tuple(
        MarkLine(frozen_array([point, point + joint.allowance * out]), "pitch", pitch_text(run, int(line)))
        for point, out, line in zip(points, outward, inside, strict=True)
    )
    marks = zip(points, outward, strict=True)
    return lines, tuple(Notch(frozen_array(point), frozen_array(out), 1, "") for point, out in marks)


def _centre_line(edges: tuple[Edge, ...]) -> tuple[MarkLine, ...]:
    line = frozen_array([along(edge.points, 0.5)[0] for edge in (edges[0], edges[2])])
    return (MarkLine(line, "centre", "centre line"),)


def _warp(joint: Floats, way: str) -> Floats:
    """Unit direction of the warp: along the joint edge's chord towards the bow, or square to it towards the hull."""
    step = joint[-1] - joint[0]
    chord: Floats = step / np.hypot(step[0], step[1])
    return chord if way == "along" else np.array([-chord[1], chord[0]])
