"""The whole skirt as cut, sewn together: loop panels, joint strip, faces and webs of the port half.

Nothing here follows the drawn shape but the start positions and what the hull holds: the hull edge, and the inner
fixings. The half ends in planes of symmetry at bow and stern centre.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from skirtloft.inflate.contact import planes_at, together
from skirtloft.inflate.sew import sew
from skirtloft.inflate.skirt.chain import JointChain, SegmentSpan, joint_chain, window
from skirtloft.inflate.skirt.flat import COARSE, Detail, areal_masses, by_base, face_mesh, panel_mesh, web_mesh
from skirtloft.inflate.skirt.place import (
    DrawnJoint,
    drawn_joint,
    face_places,
    hull_nodes,
    loop_lengths,
    panel_places,
    web_places,
)
from skirtloft.inflate.skirt.strips import STRIP, Rail, rail_of, strip_mesh, strip_of, strip_places
from skirtloft.inflate.supports import supports
from skirtloft.inflate.types import (
    Cloth,
    Contact,
    Cords,
    EdgeOf,
    FlatMesh,
    Ints,
    Landmarks,
    Loads,
    Problem,
    SewnMesh,
    frozen_indices,
)
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.types import Sections
from skirtloft.pieces.diaphragm import DiaphragmCut
from skirtloft.pieces.joint import sewn_runs
from skirtloft.pieces.segment_set import SegmentSet, segment_set
from skirtloft.pieces.types import CutPiece, SewnRun
from skirtloft.shape.types import FlatPanel, Plan

if TYPE_CHECKING:
    from skirtloft.design.model import Design

CONTACT = 2e3  # N/m of each node between neighbours; see `skirtloft.inflate.contact.wedge`
STRIP_LAYERS = 4  # of cloth along the joint: the folded strip, the loop's allowance and the face's


@dataclass(frozen=True, eq=False)
class Cut:
    """What a skirt is sewn from.

    Parameters
    ----------
    design : Design
    plan : Plan
    sections : Sections
        One per station: where nodes start, and what the drawn shape is.
    panels : tuple of FlatPanel
    pieces : tuple of CutPiece
    diaphragm : DiaphragmCut, optional
        Its strips, sewn in at the joint and held at the hull.
    """

    design: Design
    plan: Plan
    sections: Sections
    panels: tuple[FlatPanel, ...]
    pieces: tuple[CutPiece, ...]
    diaphragm: DiaphragmCut | None = None


@dataclass(frozen=True, eq=False)
class SewnSkirt:
    """The port half of a skirt, sewn and ready to be inflated.

    Parameters
    ----------
    cut : Cut
    runs : tuple of SewnRun
    chain : JointChain
    drawn : DrawnJoint
    detail : Detail
    problem : Problem
    marks : Landmarks
        `joint` has one node per node of the chain; `webs` one per web line; inner fixings one per web.
    panel_pieces, face_pieces : (k,)
        Index of the piece of each panel and of each segment's face in the mesh.
    web_lines : (k,)
        Joint node that each inner fixing belongs to.
    feet : (c,)
        Nodes that may touch the ground.
    rails : tuple of Rail
        Where the hull holds the strips of a diaphragm.
    """

    cut: Cut
    runs: tuple[SewnRun, ...]
    chain: JointChain
    drawn: DrawnJoint
    detail: Detail
    problem: Problem
    marks: Landmarks
    panel_pieces: Ints
    face_pieces: Ints
    web_lines: Ints
    feet: Ints
    rails: tuple[Rail, ...] = ()


@dataclass(frozen=True)
class Making:
    """How it is taken.

    Parameters
    ----------
    detail : Detail
    pressure : float, optional [Pa]
        By itself that of the design case.
    cloth : Cloth
    fittings : bool
        Whether bolts and strip at the joint weigh in; only with `skirt.weight`.
    trims : (segments,) [m], optional
        Taken off each segment's tip, along the face; negative: left on.
    only : (first, last), optional
        Segments of the chain: a part of the skirt, as if it went on at either end as its mirror image.
    """

    detail: Detail = COARSE
    pressure: float | None = None
    cloth: Cloth = Cloth()  # noqa: RUF009  frozen
    fittings: bool = True
    trims: Floats | None = None
    only: tuple[int, int] | None = None


@dataclass
class _Table:
    """Pieces on the table while the skirt is put together."""

    meshes: list[FlatMesh]
    places: list[Floats]
    seams: list[tuple[EdgeOf, EdgeOf]]
    bases: list[str]

    def lay(self, mesh: FlatMesh, places: Floats, base: str) -> int:
        self.meshes.append(mesh)
        self.places.append(places)
        self.bases.append(base)
        return len(self.meshes) - 1


def sew_skirt(cut: Cut, making: Making = Making()) -> SewnSkirt:
    """Return the port half of a skirt sewn from its cut pieces.

    Raises
    ------
    ShapeError
        A piece cannot be divided into triangles.
    """
    runs = sewn_runs(cut.plan, cut.panels, cut.design.making.hole_pitch)
    segments = segment_set(runs)
    chain = joint_chain(cut.plan, runs, segments, making.detail.across)
    if making.only is not None:
        chain = window(chain, *making.only)
    drawn = drawn_joint(cut.plan, chain)
    pieces, table = by_base(cut.pieces), _Table([], [], [], [])
    _lay_panels(cut, chain, drawn, (pieces, making.detail, table))
    panels = len(table.meshes)
    faces, webs, strips = _lay_segments((cut, runs, chain, drawn), pieces, making, table)
    mesh = sew(table.meshes, table.seams, table.places)
    marks, lines = _landmarks(chain, mesh, table, (panels, faces, webs))
    rails = tuple(rail_of(segment, table.meshes[at], mesh.nodes[at]) for segment, at in strips)
    pinned = np.concatenate([marks.hull_edge, marks.inner_fixings, *(rail.nodes for rail in rails)])
    feet = np.unique(np.concatenate([mesh.nodes[i] for i in range(panels, len(table.meshes))]))
    problem = Problem(
        mesh=mesh,
        cloth=making.cloth,
        supports=supports(pinned, _ends(mesh, table, chain, (drawn, faces, strips))),
        contact=_neighbours(chain, drawn, mesh, faces),
        loads=_loads(cut, (runs, chain, segments), (mesh, table, marks), making),
        cords=_strip(cut, chain, marks, making.cloth),
    )
    return SewnSkirt(
        cut=cut,
        runs=runs,
        chain=chain,
        drawn=drawn,
        detail=making.detail,
        problem=problem,
        marks=marks,
        panel_pieces=frozen_indices(range(panels)),
        face_pieces=frozen_indices(faces),
        web_lines=frozen_indices(lines),
        feet=frozen_indices(feet),
        rails=rails,
    )


def _lay_panels(
    cut: Cut, chain: JointChain, drawn: DrawnJoint, what: tuple[Mapping[str, CutPiece], Detail, _Table]
) -> None:
    pieces, detail, table = what
    flat = {panel.id: panel for panel in cut.panels}
    for span in chain.panels:
        shares = _shares(chain, span.first, span.last)
        mesh = panel_mesh(pieces[span.panel], span, shares, detail.loop)
        hull = hull_nodes(cut.plan, flat[span.panel], span, _edge_shares(mesh))
        lengths = loop_lengths(cut.plan, cut.sections, chain, span)
        at = table.lay(mesh, panel_places(hull, drawn, span, lengths, detail.loop), span.panel)
        if at:
            table.seams.append((EdgeOf(at - 1, "right"), EdgeOf(at, "left")))


def _lay_segments(
    what: tuple[Cut, tuple[SewnRun, ...], JointChain, DrawnJoint],
    pieces: Mapping[str, CutPiece],
    making: Making,
    table: _Table,
) -> tuple[list[int], list[tuple[int, int]], list[tuple[int, int]]]:
    """Lay faces, webs and strips; return the faces' places on the table, of every web with its joint node, and of
    every strip with its segment."""
    (cut, runs, chain, drawn), rows = what, making.detail.face
    faces, webs, strips = [], [], list[tuple[int, int]]()
    longer = cut.design.making.tip_change
    trims = np.zeros(len(chain.segments)) if making.trims is None else making.trims
    for span, trim in zip(chain.segments, trims, strict=True):
        base = f"F{span.face + 1}"
        mesh = face_mesh(pieces[base], span, _shares(chain, span.first, span.last), rows, float(trim))
        at = table.lay(
            mesh, face_places(cut.plan, drawn, chain, span, runs[span.run], rows, longer - float(trim)), base
        )
        faces.append(at)
        _sew_to_loop(chain, span, at, table)
        for side, number, node in _webs_of(span):
            name = f"W{number + 1}"
            web = web_mesh(pieces[name], rows, float(trim))
            own = table.lay(web, web_places(web, drawn, node), name)
            table.seams.append((EdgeOf(at, side), EdgeOf(own, "third", True)))
            webs.append((own, node))
        strip = None if cut.diaphragm is None else strip_of(cut.diaphragm, runs[span.run], span, (chain, drawn))
        if strip is not None:
            mesh = strip_mesh(strip, span, _shares(chain, span.first, span.last), making.detail.loop)
            own = table.lay(mesh, strip_places(strip, drawn, span, making.detail.loop), STRIP)
            _sew_to_loop(chain, span, own, table, "bottom")
            strips.append((len(faces) - 1, own))
    return faces, webs, strips


def _webs_of(span: SegmentSpan) -> list[tuple[str, int, int]]:
    """Return edge of the face, web and joint node for each web of a segment; a half has one."""
    found = []
    if span.low == 0.0:
        found.append(("left", span.bow_web, span.first))
    if span.high == 1.0:
        found.append(("right", span.stern_web, span.last))
    return found


def _sew_to_loop(chain: JointChain, span: SegmentSpan, face: int, table: _Table, own: str = "top") -> None:
    for panel, loop in enumerate(chain.panels):
        low, high = max(loop.first, span.first), min(loop.last, span.last)
        if low < high:
            edge = EdgeOf(panel, "bottom", first=low - loop.first, last=high - loop.first)
            table.seams.append((edge, EdgeOf(face, own, first=low - span.first, last=high - span.first)))


def _shares(chain: JointChain, first: int, last: int) -> Floats:
    own = chain.sewn[first : last + 1]
    return np.asarray((own - own[0]) / (own[-1] - own[0]))


def _edge_shares(mesh: FlatMesh) -> Floats:
    """Return how far along a panel's flat hull edge its nodes lie, 0 to 1."""
    line = mesh.flat[mesh.edges["top"]]
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    return np.asarray(along / along[-1])


def _landmarks(
    chain: JointChain, mesh: SewnMesh, table: _Table, made: tuple[int, list[int], list[tuple[int, int]]]
) -> tuple[Landmarks, list[int]]:
    panels, faces, webs = made

    def edge(piece: int, name: str) -> Ints:
        return mesh.nodes[piece][table.meshes[piece].edges[name]]

    joint = np.concatenate([edge(i, "bottom")[i > 0 :] for i in range(panels)])
    lines = sorted({node for _, node in webs})
    marks = Landmarks(
        hull_edge=frozen_indices(np.concatenate([edge(i, "top")[i > 0 :] for i in range(panels)])),
        inner_fixings=frozen_indices([edge(own, "first")[-1] for own, _ in webs]),
        joint=frozen_indices(joint),
        webs=frozen_indices(joint[lines]),
        tips=tuple(frozen_indices(edge(at, "bottom")) for at in faces),
    )
    return marks, [node for _, node in webs]


def _ends(
    mesh: SewnMesh, table: _Table, chain: JointChain, what: tuple[DrawnJoint, list[int], list[tuple[int, int]]]
) -> list[tuple[Ints, Floats]]:
    """Return the nodes at either end of the loop, and of faces cut in two there, with the normal of their plane."""
    drawn, faces, strips = what

    def edge(piece: int, name: str) -> Ints:
        return mesh.nodes[piece][table.meshes[piece].edges[name]]

    first, last = [edge(0, "left")], [edge(len(chain.panels) - 1, "right")]
    own = dict(strips)
    for segment, is_cut, side, end in (
        (0, chain.segments[0].low > 0.0, "left", first),
        (len(faces) - 1, chain.segments[-1].high < 1.0, "right", last),
    ):
        if is_cut:
            end.append(edge(faces[segment], side))
            if segment in own:
                end.append(edge(own[segment], side))
    return [(np.concatenate(first), drawn.along[0]), (np.concatenate(last), drawn.along[-1])]


def _neighbours(chain: JointChain, drawn: DrawnJoint, mesh: SewnMesh, faces: list[int]) -> Contact:
    """Return what keeps every face between the section planes of its webs: see `contact.wedge`."""
    planes = []
    for at, span in zip(faces, chain.segments, strict=True):
        for side, _, node in _webs_of(span):
            normal = drawn.along[node] * (-1.0 if side == "left" else 1.0)
            planes.append(planes_at(mesh.nodes[at], normal, float(drawn.points[node] @ normal), CONTACT))
    return together(*planes)


def _loads(
    cut: Cut,
    joint: tuple[tuple[SewnRun, ...], JointChain, SegmentSet],
    made: tuple[SewnMesh, _Table, Landmarks],
    making: Making,
) -> Loads:
    mesh, table, marks = made
    design = cut.design
    pressure = cut.sections.pressure if making.pressure is None else making.pressure
    # the same pressure stands on both sides of a web and, behind its vents, of a diaphragm
    is_even = np.array([base.startswith("W") or base == STRIP for base in table.bases])
    inside = np.where(is_even[mesh.piece], 0.0, pressure)
    if not design.skirt.weight:
        return Loads(frozen_array(inside), frozen_array(np.zeros(len(inside))))
    strip = 0.0 if design.skirt.diaphragm is None else design.skirt.diaphragm.cloth
    cloths = {"loop": design.cloth.loop.mass, "segment": design.cloth.segment.mass, "diaphragm": strip}
    own = {**areal_masses(by_base(cut.pieces), cloths), STRIP: strip}
    areal = np.array([own[base] for base in table.bases])[mesh.piece]
    lumped = np.zeros(len(mesh.points))
    runs, chain, _ = joint
    steps = np.diff(chain.sewn)
    per_metre = np.array([_joint_mass(design, run, making.fittings) for run in runs])[chain.runs]
    np.add.at(lumped, marks.joint[:-1], steps * per_metre / 2.0)
    np.add.at(lumped, marks.joint[1:], steps * per_metre / 2.0)
    return Loads(frozen_array(inside), frozen_array(areal), frozen_array(lumped))


def _joint_mass(design: Design, run: SewnRun, fittings: bool) -> float:
    """Return what hangs along the joint [kg/m]: both allowances, the cloth strip folded, a metal strip and bolts."""
    making, cloth = design.making, design.cloth
    soft = making.joint * (cloth.loop.mass + cloth.segment.mass + 2.0 * cloth.segment.mass)
    hard = making.fittings.strip + making.fittings.bolt * run.holes / run.pitch
    return float(soft + (hard if fittings else 0.0))


def _strip(cut: Cut, chain: JointChain, marks: Landmarks, cloth: Cloth) -> Cords:
    """Return the strip along the joint: four layers of cloth, as long as the sewn joint edge."""
    ends = np.column_stack([marks.joint[:-1], marks.joint[1:]])
    stiffness = STRIP_LAYERS * cut.design.making.joint * cloth.stiffness
    steps = np.diff(chain.sewn)
    return Cords(frozen_indices(ends), frozen_array(steps), frozen_array(np.full(len(steps), stiffness)))
