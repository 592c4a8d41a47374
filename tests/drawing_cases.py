"""Pieces made by hand for the drawing tests: sizes like those of a four-seat craft, none copied from anywhere."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from skirtloft.design.model import Project
from skirtloft.drawing.page import Stamp
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.allowance import closed_line, cut_line, enclosed_area, is_rectangle
from skirtloft.pieces.marks import seam_notches
from skirtloft.pieces.segment import face_shape, web_corners
from skirtloft.pieces.types import CutPiece, Edge, Hand, MarkLine, Notch, PieceKind

STAMP = Stamp(Project(name="Four seats", revision="A", date="2026-01-01", show="metric"))


def stamp(show: str = "metric", failed: tuple[str, ...] = (), accepted: tuple[str, ...] = ()) -> Stamp:
    return Stamp(STAMP.project.model_copy(update={"show": show}), failed, accepted)


def piece(
    base: str,
    name: str,
    kind: PieceKind,
    edges: tuple[Edge, ...],
    *,
    hand: Hand = "P",
    quantity: int = 1,
    holes: Floats | None = None,
    notches: tuple[Notch, ...] = (),
    marks: tuple[MarkLine, ...] = (),
    warp: tuple[float, float] = (1.0, 0.0),
    stations: str = "",
) -> CutPiece:
    cut = cut_line(edges)
    area = enclosed_area(cut)
    return CutPiece(
        id=f"{base}-{hand}" if hand else base,
        base=base,
        name=name,
        kind=kind,
        hand=hand,
        quantity=quantity,
        cloth="loop" if kind in ("loop_panel", "joint_strip") else "segment",
        edges=edges,
        sew_line=closed_line(edges),
        cut_line=cut,
        holes=frozen_array(np.zeros((0, 2)) if holes is None else holes),
        hole_diameter=0.006,
        notches=notches,
        marks=marks,
        warp=frozen_array(warp),
        run="side",
        stations=stations,
        joint_length=0.2,
        area=area,
        mass=0.3 * area,
        is_rectangle=is_rectangle(cut),
    )


def edge(name: str, kind: str, points: object, allowance: float, letter: str = "", joins: str = "") -> Edge:
    return Edge(name, kind, frozen_array(points), allowance, letter, joins)  # type: ignore[arg-type]


def loop_panel(width: float = 0.2, tall: float = 0.43, bulge: float = 0.025, hand: Hand = "P") -> CutPiece:
    """A corner panel: narrow at the hull, wide at the joint, curved seams; segment numbers at the joint."""
    share = np.linspace(0.0, 1.0, 41)
    half = width * (0.35 + 0.15 * share) + bulge * np.sin(np.pi * share)
    y = tall * (1.0 - share)
    bow = np.column_stack([half, y])[::-1]  # from the joint up to the hull
    stern = np.column_stack([-half, y])
    edges = (
        edge("joint", "joint", [stern[-1], bow[0]], 0.025, "", "T03, S"),
        edge("seam C", "seam", bow, 0.025, "C", "L04"),
        edge("hull edge", "hull", [bow[-1], stern[0]], 0.040),
        edge("seam D", "seam", stern, 0.025, "D", "L06"),
    )
    w = float(half[-1])
    holes = np.array([[x, -0.010] for x in np.arange(-w + 0.03, w, 0.06)])
    marks = tuple(
        MarkLine(frozen_array([[x, 0.0], [x, 0.012]]), "pitch", text)
        for x, text in ((-w + 0.02, "9/10"), (-w + 0.17, "8/9"))
        if x < w
    )
    notches = (*seam_notches(edges[1], True), *seam_notches(edges[3], False))
    return piece(
        "L05", "loop panel, bow corner", "loop_panel", edges,
        hand=hand, holes=holes, notches=notches, marks=marks, stations="P05 to P06",
    )  # fmt: skip


def web(depth: float = 0.28) -> CutPiece:
    """A web with right angle at the tip, hems on the free edges."""
    j, g, i = web_corners(depth, np.pi / 4.0)
    edges = (
        edge("seam F", "seam", [g, j], 0.025, "F", "S03"),
        edge("upper edge", "hem", [j, i], 0.015),
        edge("lower edge", "hem", [i, g], 0.015),
    )
    return piece("W1", "segment web, bow side", "web", edges, quantity=14,
                 notches=seam_notches(edges[0], True), warp=(-0.70710678, -0.70710678))  # fmt: skip


def face(pitch: float = 0.15, depth: float = 0.28) -> CutPiece:
    """A face with a flat top and a level-cut tip."""
    shape = face_shape(pitch, depth, np.pi / 4.0)
    other = shape.side[::-1] * [-1.0, 1.0]
    edges = (
        edge("joint", "joint", shape.top, 0.025, "", "T03, L05"),
        edge("seam G", "seam", other, 0.025, "G", "W2"),
        edge("tip", "tip", shape.tip, 0.015),
        edge("seam F", "seam", shape.side, 0.025, "F", "W1"),
    )
    holes = np.array([[x * pitch, 0.010] for x in (-0.25, 0.25)])
    centre = MarkLine(frozen_array([[0.0, 0.0], [0.0, -0.03]]), "centre")
    notches = (*seam_notches(edges[1], False), *seam_notches(edges[3], True))
    return piece("S03", "segment face, side", "face", edges, hand="", quantity=28,
                 holes=holes, notches=notches, marks=(centre,), warp=(0.0, 1.0))  # fmt: skip


def joint_strip(length: float = 1.8, pitch: float = 0.15, hand: Hand = "") -> CutPiece:
    """A strip 50 mm wide, folded along its middle, holes on both halves, 25 mm longer than the run at both ends."""
    half = length / 2.0
    edges = (
        edge("edge on the segments", "joint", [[-half, -0.025], [half, -0.025]], 0.0, "", "F3"),
        edge("end, bow", "end", [[half, -0.025], [half, 0.025]], 0.025),
        edge("edge on the loop", "joint", [[half, 0.025], [-half, 0.025]], 0.0, "", "L05 to L07"),
        edge("end, stern", "end", [[-half, 0.025], [-half, -0.025]], 0.025),
    )
    x = np.arange(half - pitch / 4.0, -half, -pitch / 2.0)
    holes = np.concatenate([np.column_stack([x, np.full_like(x, s * 0.010)]) for s in (1.0, -1.0)])
    fold = MarkLine(frozen_array([[-half - 0.025, 0.0], [half + 0.025, 0.0]]), "fold", "fold: joint line")
    lines = np.arange(half - pitch, -half + 1e-6, -pitch)
    marks = tuple(
        MarkLine(frozen_array([[v, -0.025], [v, 0.025]]), "pitch", f"{k + 3}/{k + 4}") for k, v in enumerate(lines)
    )
    return piece(
        "T03", "joint strip, side", "joint_strip", edges, hand=hand, quantity=2, holes=holes, marks=(fold, *marks)
    )


def straight_panel(length: float = 1.8, tall: float = 0.45) -> CutPiece:
    """A straight loop panel: its cut line is a rectangle."""
    half = length / 2.0
    edges = (
        edge("joint", "joint", [[-half, 0.0], [half, 0.0]], 0.025, "", "T03, S"),
        edge("seam D", "seam", [[half, 0.0], [half, tall]], 0.025, "D", "L05"),
        edge("hull edge", "hull", [[half, tall], [-half, tall]], 0.040),
        edge("seam E", "seam", [[-half, tall], [-half, 0.0]], 0.025, "E", "L07"),
    )
    x = np.arange(-half + 0.0375, half, 0.075)
    lines = np.arange(-half + 0.15, half - 1e-6, 0.15)
    marks = tuple(
        MarkLine(frozen_array([[v, 0.0], [v, 0.012]]), "pitch", f"{k + 3}/{k + 4}") for k, v in enumerate(lines)
    )
    notches = (*seam_notches(edges[1], False), *seam_notches(edges[3], True))
    return piece("L06", "loop panel, side", "loop_panel", edges, quantity=1, notches=notches, marks=marks,
                 holes=np.column_stack([x, np.full_like(x, -0.010)]), stations="P08 to P12")  # fmt: skip


def both_hands(one: CutPiece) -> list[CutPiece]:
    return [one, replace(one, id=f"{one.base}-S", hand="S")]


def samples() -> list[CutPiece]:
    return [loop_panel(), web(), face(), joint_strip(), joint_strip(0.15), straight_panel()]
