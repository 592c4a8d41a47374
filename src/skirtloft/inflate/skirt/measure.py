"""What an inflated skirt is measured by: joint and tips all round, openings, slack cloth, pulls."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skirtloft.inflate.flat_mesh import divide
from skirtloft.inflate.forces import reactions
from skirtloft.inflate.skirt.chain import SegmentSpan
from skirtloft.inflate.skirt.model import SewnSkirt
from skirtloft.inflate.skirt.place import face_places, loop_lengths
from skirtloft.inflate.tension import tensions
from skirtloft.inflate.types import Ints
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.loft import arcs_by_inset, arcs_by_length

TOUCHING = 0.002  # m: two tip edges nearer than this to the plane between them touch
LOOKS = 200  # along half a tip edge
SLACK = 0.02  # of pressure times half a pitch: cloth that carries less is slack
WRINKLED = 0.01  # cloth shortened by more than this has to wrinkle


@dataclass(frozen=True, eq=False)
class SegmentMeasures:
    """Of every segment of the port half, bow to stern; heights and shifts over the drawn line, arrays (k,).

    Parameters
    ----------
    runs : tuple of str
    at : [m]
        Its middle along the joint line.
    joint, joint_out : [m]
        Rise of the joint in the mean over the pitch, and how far it moved outboard.
    scallop : [m]
        Of the joint between the webs: highest less lowest.
    tip, tip_low, tip_out : [m]
        Mean and least height of the tip edge, and how far it moved outboard of a half round cut level as drawn.
    width : [m]
        Along the sewn joint.
    slack, wrinkled : [-]
        Share of the face's area.
    """

    runs: tuple[str, ...]
    at: Floats
    joint: Floats
    joint_out: Floats
    scallop: Floats
    tip: Floats
    tip_low: Floats
    tip_out: Floats
    width: Floats
    slack: Floats
    wrinkled: Floats


@dataclass(frozen=True, eq=False)
class LineMeasures:
    """At every web line, bow to stern; arrays (k,).

    Parameters
    ----------
    node : (k,)  of the chain
    at : [m]
    joint, joint_out : [m]
    opening : [m]
        Least distance between the tip edges of the two neighbours, level; nan where only one stands there.
    touching : [m]
        How much of both tip edges lies together, square to the skirt.
    pull : (k, 3) [N]
        On the fixing, both webs: outboard, along to the stern, up. On the centre line both halves of the craft.
    """

    node: Ints
    at: Floats
    joint: Floats
    joint_out: Floats
    opening: Floats
    touching: Floats
    pull: Floats


@dataclass(frozen=True, eq=False)
class PanelMeasures:
    """Of every loop panel of the port half; arrays (k,).

    Parameters
    ----------
    panels : tuple of str
    slack, wrinkled : [-]
        Share of its area.
    hull : [m]
        Hull edge that is there.
    pull : [N/m]
        Of the loop on the hull edge, square to the skirt, per metre of it: its tension, from the reactions. Cloth
        gathers it towards the seams: only the mean over several panels says much.
    off : [m]
        Largest distance from the arcs of the loop's length between hull edge and joint as they stand: what flat
        panels make of a surface that is curved both ways, whatever the joint does.
    """

    panels: tuple[str, ...]
    slack: Floats
    wrinkled: Floats
    hull: Floats
    pull: Floats
    off: Floats


@dataclass(frozen=True, eq=False)
class Measures:
    """Everything that is measured of one inflated shape.

    Parameters
    ----------
    segments, lines, panels
    loop_off : (stations,) [m]
        The loop's largest distance from its drawn arc at each station; nan where no seam or joint node stands there.
    """

    segments: SegmentMeasures
    lines: LineMeasures
    panels: PanelMeasures
    loop_off: Floats


def measure(skirt: SewnSkirt, points: Floats) -> Measures:
    """Return the measures of a shape `points` (n, 3) [m] of `skirt`."""
    most, least = tensions(skirt.problem.mesh, skirt.problem.cloth, points)
    pulls = reactions(skirt.problem, points)
    loose = _loose(skirt, most, least)
    return Measures(
        segments=_segments(skirt, points, loose),
        lines=_lines(skirt, points, pulls),
        panels=_panels(skirt, points, pulls, loose),
        loop_off=_loop_off(skirt, points),
    )


def _loose(skirt: SewnSkirt, most: Floats, least: Floats) -> tuple[Floats, Floats]:
    """Return slack and wrinkled share of every piece's area."""
    mesh, cut = skirt.problem.mesh, skirt.cut
    scale = float(np.max(skirt.problem.loads.pressure)) * cut.plan.pitch / 2.0
    is_slack = most < SLACK * scale
    is_wrinkled = ~is_slack & (least < -WRINKLED * skirt.problem.cloth.compression)
    area = np.bincount(mesh.piece, mesh.area)
    return (
        np.bincount(mesh.piece, mesh.area * is_slack) / area,
        np.bincount(mesh.piece, mesh.area * is_wrinkled) / area,
    )


def _segments(skirt: SewnSkirt, points: Floats, loose: tuple[Floats, Floats]) -> SegmentMeasures:
    chain, plan = skirt.chain, skirt.cut.plan
    away = points[skirt.marks.joint] - skirt.drawn.points
    rise, out = away[:, 2], (away * skirt.drawn.outward).sum(axis=1)
    rows = []
    for span, tip in zip(chain.segments, skirt.marks.tips, strict=True):
        own, sewn = slice(span.first, span.last + 1), chain.sewn[span.first : span.last + 1]
        wide = sewn[-1] - sewn[0]
        edge = points[tip]
        weight = _line_weights(edge)
        drawn = face_places(plan, skirt.drawn, chain, span, skirt.runs[span.run], 1)[wide_nodes(span) :]
        shift = ((edge - drawn) * skirt.drawn.outward[own]).sum(axis=1)
        rows.append(
            (
                float(chain.at[own].mean()),
                float(np.trapezoid(rise[own], sewn)) / wide,
                float(np.trapezoid(out[own], sewn)) / wide,
                float(np.ptp(rise[own])),
                float(weight @ edge[:, 2]),
                float(edge[:, 2].min()),
                float(weight @ shift),
                float(wide),
            )
        )
    at, joint, joint_out, scallop, tip_mean, tip_low, tip_out, width = (frozen_array(c) for c in np.array(rows).T)
    names = tuple(skirt.runs[span.run].name for span in chain.segments)
    slack, wrinkled = (frozen_array(share[skirt.face_pieces]) for share in loose)
    tips = (tip_mean, tip_low, tip_out)
    return SegmentMeasures(names, at, joint, joint_out, scallop, *tips, width, slack, wrinkled)


def wide_nodes(span: SegmentSpan) -> int:
    """Return the number of nodes across a face."""
    return span.last - span.first + 1


def _line_weights(edge: Floats) -> Floats:
    """Return what share of a line's length each of its points stands for."""
    length = np.linalg.norm(np.diff(edge, axis=0), axis=1)
    return np.asarray((np.append(length, 0.0) + np.append(0.0, length)) / 2.0 / length.sum())


def _lines(skirt: SewnSkirt, points: Floats, pulls: Floats) -> LineMeasures:
    chain, drawn = skirt.chain, skirt.drawn
    nodes = np.unique(skirt.web_lines)
    away = points[skirt.marks.joint[nodes]] - drawn.points[nodes]
    openings, pull = [], []
    for node in nodes:
        openings.append(_opening(skirt, points, int(node)))
        here = pulls[np.unique(skirt.marks.inner_fixings[skirt.web_lines == node])].sum(axis=0)
        axes = np.array([drawn.outward[node], drawn.along[node], [0.0, 0.0, 1.0]])
        on_centre = int(node) in (0, len(chain.at) - 1)
        pull.append((axes @ here) * (np.array([2.0, 0.0, 2.0]) if on_centre else 1.0))
    openings_at = np.array(openings)
    return LineMeasures(
        node=nodes,
        at=frozen_array(chain.at[nodes]),
        joint=frozen_array(away[:, 2]),
        joint_out=frozen_array((away * drawn.outward[nodes]).sum(axis=1)),
        opening=frozen_array(openings_at[:, 0]),
        touching=frozen_array(openings_at[:, 1]),
        pull=frozen_array(pull),
    )


def _opening(skirt: SewnSkirt, points: Floats, node: int) -> tuple[float, float]:
    """Return the least distance between the two tip edges at a web line, and how far out they lie together."""
    normal, at = skirt.drawn.along[node], skirt.drawn.points[node]
    gaps, reach = [], []
    for span, tip in zip(skirt.chain.segments, skirt.marks.tips, strict=True):
        side = 1.0 if span.last == node else -1.0 if span.first == node else 0.0
        if side == 0.0 or (span.high < 1.0 and side > 0.0) or (span.low > 0.0 and side < 0.0):
            continue
        half = tip[len(tip) // 2 :] if side > 0.0 else tip[: len(tip) // 2 + 1]
        edge = divide(points[half] - at, LOOKS)
        gap = np.maximum(-side * (edge @ normal), 0.0)
        gaps.append(float(gap.min()))
        out = edge @ skirt.drawn.outward[node]
        near = gap < TOUCHING
        reach.append(float(np.ptp(out[near])) if near.any() else 0.0)
    if len(gaps) < 2:
        return (2.0 * gaps[0], reach[0]) if gaps else (np.nan, np.nan)  # on the centre line: its mirror image
    return sum(gaps), min(reach)


def _panels(skirt: SewnSkirt, points: Floats, pulls: Floats, loose: tuple[Floats, Floats]) -> PanelMeasures:
    names, edge, drawn = tuple(span.panel for span in skirt.chain.panels), skirt.marks.hull_edge, skirt.drawn
    out, up = (pulls[edge] * drawn.outward).sum(axis=1), pulls[edge, 2]
    step = np.linalg.norm(np.diff(points[edge], axis=0), axis=1)
    width = (np.append(step, 0.0) + np.append(0.0, step)) / 2.0
    pull, wide = [], []
    for span in skirt.chain.panels:
        share = np.ones(span.last - span.first + 1)
        share[[0, -1]] = [0.5 if span.first else 1.0, 0.5 if span.last < len(edge) - 1 else 1.0]
        own = slice(span.first, span.last + 1)
        wide.append(float(share @ width[own]))
        pull.append(float(np.hypot(share @ out[own], share @ up[own]) / wide[-1]))
    slack, wrinkled = (frozen_array(part[skirt.panel_pieces]) for part in loose)
    return PanelMeasures(names, slack, wrinkled, frozen_array(wide), frozen_array(pull), _panels_off(skirt, points))


def _panels_off(skirt: SewnSkirt, points: Floats) -> Floats:
    """Return how far each panel stands off the arcs of its own length through hull edge and joint as they stand."""
    found = []
    for span, piece in zip(skirt.chain.panels, skirt.panel_pieces, strict=True):
        own = slice(span.first, span.last + 1)
        out = skirt.drawn.outward[own]
        grid = points[skirt.problem.mesh.nodes[piece]].reshape(-1, span.last - span.first + 1, 3)
        hull, joint = grid[0], grid[-1]
        arcs = arcs_by_length(
            joint[:, :2],
            out[:, :2],
            ((joint - hull) * out).sum(axis=1),
            hull[:, 2],
            joint[:, 2],
            loop_lengths(skirt.cut.plan, skirt.cut.sections, skirt.chain, span),
        )
        away = ((grid - joint) * out).sum(axis=2) - arcs.centre_outboard
        found.append(float(np.abs(np.hypot(away, grid[..., 2] - arcs.centre_z) - arcs.radius).max()))
    return frozen_array(found)


def _loop_off(skirt: SewnSkirt, points: Floats) -> Floats:
    """Return the largest distance of the loop from its arc at every station that has a column of nodes."""
    plan, sections, mesh = skirt.cut.plan, skirt.cut.sections, skirt.problem.mesh
    stations = plan.stations
    arcs = arcs_by_inset(
        stations.joint, stations.outward, sections.offset, stations.hull_z, sections.depth, sections.centre_inset
    )
    found = np.full(len(stations.ids), np.nan)
    for i, at in enumerate(stations.at):
        node = int(np.argmin(np.abs(skirt.chain.at - at)))
        if abs(skirt.chain.at[node] - at) > 0.01:
            continue
        for span, piece in zip(skirt.chain.panels, skirt.panel_pieces, strict=True):
            if span.first <= node <= span.last:
                wide = span.last - span.first + 1
                column = mesh.nodes[piece].reshape(-1, wide)[:, node - span.first]
                place = points[column]
                out = ((place[:, :2] - arcs.joint[i]) * arcs.outward[i]).sum(axis=1) - arcs.centre_outboard[i]
                away = np.abs(np.hypot(out, place[:, 2] - arcs.centre_z[i]) - arcs.radius[i])
                found[i] = np.nanmax([found[i], float(away.max())])
    return frozen_array(found)
