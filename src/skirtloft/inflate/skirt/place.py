"""Where the nodes start: near the drawn shape, for the sewn skirt to find its own from there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skirtloft.inflate.skirt.chain import JointChain, PanelSpan, SegmentSpan
from skirtloft.inflate.types import FlatMesh
from skirtloft.maths.curves import outward_at, points_at, tangents_at
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.types import Sections
from skirtloft.pieces.joint import station_number
from skirtloft.pieces.types import SewnRun
from skirtloft.shape.loft import arc_angles, arc_points, arcs_by_length
from skirtloft.shape.segment_field import values_at
from skirtloft.shape.types import FlatPanel, Plan

UP = np.array([0.0, 0.0, 1.0])


@dataclass(frozen=True, eq=False)
class DrawnJoint:
    """The drawn joint line at the nodes of a chain.

    Parameters
    ----------
    points : (c, 3) [m]
    outward, along : (c, 3)
        Level unit vectors: out, and towards the stern.
    """

    points: Floats
    outward: Floats
    along: Floats


def drawn_joint(plan: Plan, chain: JointChain) -> DrawnJoint:
    """Return where the nodes of the joint are drawn."""
    depth = values_at(plan.segments, chain.at)[0]
    flat = np.zeros((len(chain.at), 1))
    return DrawnJoint(
        points=frozen_array(np.column_stack([points_at(plan.joint_line, chain.at), depth])),
        outward=frozen_array(np.hstack([outward_at(plan.joint_line, chain.at, "before"), flat])),
        along=frozen_array(np.hstack([tangents_at(plan.joint_line, chain.at, "before"), flat])),
    )


def hull_nodes(plan: Plan, panel: FlatPanel, span: PanelSpan, shares: Floats) -> Floats:
    """Return where the hull holds a panel's upper edge, (k, 3) [m]: at the same shares of its length, bow to stern."""
    first, last = station_number(panel.start), station_number(panel.end)
    start, stop = plan.stations.hull_at[first], plan.stations.hull_at[last]
    if panel.across:
        near_bow = first + last < len(plan.stations.ids) - 1
        centre = 0.0 if near_bow else float(plan.hull_edge.breaks[-1])
        port = plan.stations.hull_at[max(first, last) if near_bow else min(first, last)]
        start, stop = (2.0 * centre - port, port) if near_bow else (port, 2.0 * centre - port)
    breaks = plan.hull_edge.breaks
    true = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(breaks), np.diff(plan.hull_heights)))])
    both = np.concatenate([-true[:0:-1], true, 2.0 * true[-1] - true[-2::-1]])
    all_breaks = np.concatenate([-breaks[:0:-1], breaks, 2.0 * breaks[-1] - breaks[-2::-1]])
    lengths = np.interp([start, stop], all_breaks, both)
    part = span.low + shares * (span.high - span.low)
    at = np.interp(lengths[0] + part * (lengths[1] - lengths[0]), both, all_breaks)
    at = np.clip(at, 0.0, breaks[-1])  # to rounding: the port half
    return np.column_stack([points_at(plan.hull_edge, at), np.interp(at, breaks, plan.hull_heights)])


def panel_places(hull: Floats, joint: DrawnJoint, span: PanelSpan, lengths: Floats, rows: int) -> Floats:
    """Return where the nodes of a panel start, (nodes, 3): round an arc of its own length in every column.

    Parameters
    ----------
    hull : (k, 3) [m]
    joint : DrawnJoint
    span : PanelSpan
    lengths : (k,) [m]
        Of the loop at every column.
    """
    own = slice(span.first, span.last + 1)
    end, out, along = joint.points[own], joint.outward[own], joint.along[own]
    offset = ((end - hull) * out).sum(axis=1)
    arcs = arcs_by_length(end[:, :2], out[:, :2], offset, hull[:, 2], end[:, 2], lengths)
    points = arc_points(arcs, arc_angles(arcs, rows))
    share = np.linspace(1.0, 0.0, rows + 1)
    slip = ((hull - end) * along).sum(axis=1)
    points = points + (share[None, :] * slip[:, None])[..., None] * along[:, None, :]
    points[:, 0], points[:, -1] = hull, end
    return np.asarray(points.transpose(1, 0, 2).reshape(-1, 3))


def loop_lengths(plan: Plan, sections: Sections, chain: JointChain, span: PanelSpan) -> Floats:
    """Return about how long the loop is at the columns of a panel, (k,) [m]: even between the stations."""
    at = chain.at[span.first : span.last + 1]
    return np.asarray(np.interp(at, plan.stations.at, sections.length))


def face_places(
    plan: Plan, joint: DrawnJoint, chain: JointChain, span: SegmentSpan, run: SewnRun, rows: int, longer: float = 0.0
) -> Floats:
    """Return where the nodes of a face start, (nodes, 3): flat at the joint, half round and cut level at the tip.

    With a tip cut `longer` [m] it goes on straight: a seam near a web makes columns so narrow that a start that is off
    by some millimetres there tears the model apart.
    """
    own = slice(span.first, span.last + 1)
    depth, face, _, _ = values_at(plan.segments, chain.at[own])
    out, points = joint.outward[own], joint.points[own]
    sewn = chain.sewn[own]
    across = span.low + (span.high - span.low) * (sewn - sewn[0]) / (sewn[-1] - sewn[0])
    narrower = 1.0 - depth / np.tan(face) / run.radius  # of the chord between the webs at the tip
    bulge = run.pitch / 2.0 * narrower * np.sin(np.pi * across)
    down = -(depth / np.tan(face))[:, None] * out - depth[:, None] * UP
    normal = np.sin(face)[:, None] * out - np.cos(face)[:, None] * UP
    slope = np.cos(face)[:, None] * out + np.sin(face)[:, None] * UP
    moved = bulge[:, None] * (normal + slope / np.tan(face)[:, None])
    whole = 1.0 + longer * np.sin(face) / depth
    share = np.linspace(0.0, 1.0, rows + 1)[:, None, None] * whole[None, :, None]
    return np.asarray((points[None] + share * (down + moved)[None]).reshape(-1, 3))


def web_places(web: FlatMesh, joint: DrawnJoint, node: int) -> Floats:
    """Return where the nodes of a web start, (nodes, 3): in the section at a joint node."""
    return np.asarray(joint.points[node] + web.flat[:, :1] * joint.outward[node] + web.flat[:, 1:] * UP)
