"""The flat panel that a woven cloth would be cut to: least strain, threads stiff and shear soft, lengths kept.

The flat panel is the cloth as cut, so strain is that of bringing it from the flat on to the surface. Every panel
stands in a frame of its own while it is fitted: the warp runs along x or y, given by a line of the panel itself.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from skirtloft.errors import SolveError
from skirtloft.maths.block_rows import (
    Indices,
    assemble,
    assemble_vectors,
    carried_products,
    carry_back,
    carry_forward,
    factor,
    hold,
    solve,
)
from skirtloft.maths.frozen import Floats
from skirtloft.shape.flatten.patch import Mesh
from skirtloft.shape.flatten.triangles import Triangles, flat_sides, inverse, take_triangles, turned_over

WarpWay = Literal["along", "around"]
WarpLine = Literal["joint", "middle"]
MOVES_END = 1e-10  # m: largest move of the last step
LENGTHS_END = 1e-12  # m: largest error of a length
MOST_STEPS = 40
MOST_HALVINGS = 12


@dataclass(frozen=True)
class Weave:
    """How stiff the cloth is, as ratios, and how its threads lie on the panel.

    Parameters
    ----------
    weft : float
        Stiffness across the warp over that along it.
    shear : float
        Shear stiffness over that along the warp: assumed, not measured.
    contraction : float
        Poisson's ratio of a pull along the warp.
    way : "along" or "around"
        Warp along the skirt, or from joint to hull.
    line : "joint" or "middle"
        The line it is laid by: the straight line between the ends of the joint edge, or between those of the middle
        column (from joint to hull).
    """

    weft: float = 0.8
    shear: float = 0.05
    contraction: float = 0.2
    way: WarpWay = "along"
    line: WarpLine = "joint"


@dataclass(frozen=True, eq=False)
class Lengths:
    """Lengths that the flat panels must have.

    Parameters
    ----------
    seams : (p, 2, rows) [m]
        Of the steps of both seams, straight from node to node.
    hull, joint : (p,) [m]
        Of the two other edges.
    smooth : bool
        These are measured along a smooth line through the nodes; False: straight from node to node.
    """

    seams: Floats
    hull: Floats
    joint: Floats
    smooth: bool = False


def take_lengths(lengths: Lengths, which: Indices) -> Lengths:
    """Return the lengths of some of the panels."""
    return replace(lengths, seams=lengths.seams[which], hull=lengths.hull[which], joint=lengths.joint[which])


class UnsettledError(SolveError):
    """A panel did not come to rest: which of those given, and its last move [m]."""

    def __init__(self, panel: int, move: float) -> None:
        self.panel = panel
        super().__init__(f"flat pattern of panel {panel + 1}", move, "Put a station in the middle of the panel.")


@dataclass(frozen=True, eq=False)
class _Fit:
    """Slopes of the strain energy of some panels, and of their lengths."""

    steepness: Floats  # (p, size)
    blocks: Floats
    errors: Floats  # (p, lengths)
    rates: Floats  # (p, lengths, size)


def fit_cloth(
    mesh: Mesh,
    triangles: Triangles,
    flat: Floats,
    weave: Weave,
    lengths: Lengths | None = None,
) -> tuple[Floats, Indices]:
    """Return the flat panels of least strain (p, nodes, 2) [m], and how many steps each took, (p,).

    Parameters
    ----------
    flat : (p, nodes, 2) [m]
        Where to begin, no triangle turned over. The result stands in the weave's frame.
    lengths : Lengths, optional
        To be kept exactly; without it the panels find their own.

    Raises
    ------
    UnsettledError
        A panel did not come to rest: it is too wide for its curvature.

    Notes
    -----
    Green strain of flat to surface, ``E = ((D3 A)'(D3 A) - 1)/2`` with the edges D3 on the surface, D2 on the flat and
    A = 1/D2, in warp and weft; energy ``sum area e' C e``, e = (E11, E22, 2 E12), C of an orthotropic sheet. Gauss-
    Newton steps with ``dE_ij = -(Cg_ia A_kj + Cg_ja A_ki)/2 dD2_ak``, Cg = (D3 A)'(D3 A); lengths by multipliers in
    every step. A step that would turn a triangle over is halved. [derived]
    """
    flat = in_warp_frame(mesh, flat, weave.line)
    steps = np.zeros(len(flat), dtype=np.intp)
    open_panels = np.arange(len(flat))
    rest = np.zeros(len(flat))
    for _ in range(MOST_STEPS):
        some = take_lengths(lengths, open_panels) if lengths else None
        fit = _fit(mesh, take_triangles(triangles, open_panels), flat[open_panels], weave, some)
        move = _step(fit).reshape(len(open_panels), mesh.nodes, 2)
        flat[open_panels] += _shortened(mesh, flat[open_panels], move)
        steps[open_panels] += 1
        rest = np.maximum(np.abs(move).max(axis=(1, 2)) / MOVES_END, np.abs(fit.errors).max(axis=1) / LENGTHS_END)
        open_panels, rest = open_panels[rest > 1.0], rest[rest > 1.0]
        if not len(open_panels):
            return flat, steps
    raise UnsettledError(int(open_panels[np.argmax(rest)]), float(rest.max() * MOVES_END))


def in_warp_frame(mesh: Mesh, flat: Floats, line: WarpLine) -> Floats:
    """Return `flat` (p, nodes, 2) turned so that its warp line runs along x (joint edge) or y (middle column)."""
    if line == "joint":
        foot, head = flat[:, mesh.joint[-1]], flat[:, mesh.joint[0]]
    else:
        foot, head = flat[:, mesh.joint[mesh.columns // 2]], flat[:, mesh.hull[mesh.columns // 2]]
    along = head - foot
    along = along / np.linalg.norm(along, axis=1)[:, None]
    if line == "middle":
        along = np.stack([along[:, 1], -along[:, 0]], axis=1)
    turn = np.stack([along, np.stack([-along[:, 1], along[:, 0]], axis=1)], axis=2)
    turned: Floats = (flat - foot[:, None]) @ turn
    return turned


def thread_strain(mesh: Mesh, triangles: Triangles, flat: Floats) -> Floats:
    """Return Green strain (E_xx, E_yy, 2 E_xy) of flat to surface per triangle, (p, t, 3), in the frame of `flat`."""
    stretch = _stretch(triangles, inverse(flat_sides(flat, mesh.triangles)))
    return _strain(stretch)


def _stretch(triangles: Triangles, back: Floats) -> Floats:
    """Return Cg = A' M A, (p, t, 2, 2), A = `back`."""
    stretch: Floats = back.swapaxes(-1, -2) @ triangles.metric @ back
    return stretch


def _strain(stretch: Floats) -> Floats:
    return np.stack([(stretch[..., 0, 0] - 1.0) / 2.0, (stretch[..., 1, 1] - 1.0) / 2.0, stretch[..., 0, 1]], axis=-1)


def _stiffness(weave: Weave) -> Floats:
    """Return C (3, 3) in the panel's frame, stiffness along the warp 1."""
    other = weave.contraction * weave.weft
    warp, weft, cross = np.array([1.0, weave.weft, other]) / (1.0 - weave.contraction * other)
    x, y = (warp, weft) if weave.way == "along" else (weft, warp)
    return np.array([[x, cross, 0.0], [cross, y, 0.0], [0.0, 0.0, weave.shear]])


def _fit(mesh: Mesh, triangles: Triangles, flat: Floats, weave: Weave, lengths: Lengths | None) -> _Fit:
    back = inverse(flat_sides(flat, mesh.triangles))
    stretch = _stretch(triangles, back)
    rates = _strain_rates(stretch, back)
    weighed = triangles.area[..., None, None] * (rates.swapaxes(-1, -2) @ _stiffness(weave))
    blocks = assemble(mesh.layout, weighed @ rates)
    steepness = assemble_vectors(mesh.layout, (weighed @ _strain(stretch)[..., None])[..., 0])
    held = _held(mesh, weave.line)
    hold(blocks, held)
    steepness[:, held] = 0.0
    errors, length_rates = _length_errors(mesh, flat, lengths)
    length_rates[:, :, held] = 0.0
    return _Fit(steepness, blocks, errors, length_rates)


def _strain_rates(stretch: Floats, back: Floats) -> Floats:
    """Return d(E_xx, E_yy, 2 E_xy) by the corners' x and y, (p, t, 3, 6)."""
    by_side = np.empty((*stretch.shape[:2], 3, 2, 2))  # [strain, edge k, coordinate a]
    for k in (0, 1):
        by_side[:, :, 0, k] = -stretch[:, :, 0] * back[:, :, k, 0, None]
        by_side[:, :, 1, k] = -stretch[:, :, 1] * back[:, :, k, 1, None]
        by_side[:, :, 2, k] = -stretch[:, :, 0] * back[:, :, k, 1, None] - stretch[:, :, 1] * back[:, :, k, 0, None]
    first = -by_side.sum(axis=3, keepdims=True)
    return np.concatenate([first, by_side], axis=3).reshape(*stretch.shape[:2], 3, 6)


def _held(mesh: Mesh, line: WarpLine) -> Indices:
    """Return the unknowns that keep a panel in its frame: one node, and the warp line's direction."""
    if line == "joint":
        foot, other = 2 * mesh.joint[-1], 2 * mesh.joint[0] + 1
    else:
        foot, other = 2 * mesh.joint[mesh.columns // 2], 2 * mesh.hull[mesh.columns // 2]
    return np.array([foot, foot + 1, other])


def _length_errors(mesh: Mesh, flat: Floats, lengths: Lengths | None) -> tuple[Floats, Floats]:
    """Return lengths less what they must be (p, n), and their rates (p, n, unknowns): two seams, hull, joint."""
    if lengths is None:
        return np.zeros((len(flat), 1)), np.zeros((len(flat), 0, 2 * mesh.nodes))
    errors, rates = [], []
    for side in (0, 1):
        long, rate = _edge_rates(flat, mesh.seams[side])
        errors.append(long - lengths.seams[:, side])
        rates.append(rate)
    for nodes, whole in ((mesh.hull, lengths.hull), (mesh.joint, lengths.joint)):
        long, rate = _edge_rates(flat, nodes)
        round_it = long.sum(axis=1) + (_bow_gain(flat[:, nodes]) if lengths.smooth else 0.0)
        errors.append((round_it - whole)[:, None])
        rates.append(rate.sum(axis=1, keepdims=True))
    return np.concatenate(errors, axis=1), np.concatenate(rates, axis=1)


def _bow_gain(line: Floats) -> Floats:
    """Return how much longer a smooth line is than the straight steps between its nodes (p, n, 2), (p,) [m].

    Notes
    -----
    A step of length l on a line of curvature k is l^3 k^2/24 short; k from the turn at the nodes. So small a length
    needs no rates of its own: the steps of the fit still close in on it.
    """
    apart = np.diff(line, axis=1)
    long = np.linalg.norm(apart, axis=-1)
    one, two = apart[:, :-1], apart[:, 1:]
    cross, dot = one[..., 0] * two[..., 1] - one[..., 1] * two[..., 0], np.sum(one * two, axis=-1)
    bend = np.arctan2(cross, dot) / (0.5 * (long[:, :-1] + long[:, 1:]))
    bend = np.concatenate([bend[:, :1], 0.5 * (bend[:, :-1] + bend[:, 1:]), bend[:, -1:]], axis=1)
    gain: Floats = np.sum(long**3 * bend**2, axis=1) / 24.0
    return gain


def _edge_rates(flat: Floats, nodes: Indices) -> tuple[Floats, Floats]:
    """Return the steps along a row of nodes (p, n) [m] and their rates by every unknown, (p, n, unknowns)."""
    apart = np.diff(flat[:, nodes], axis=1)
    long = np.linalg.norm(apart, axis=-1)
    unit = apart / long[..., None]
    rates = np.zeros((*long.shape, 2 * flat.shape[1]))
    edge = np.arange(long.shape[1])
    for k in (0, 1):
        rates[:, edge, 2 * nodes[1:] + k] = unit[..., k]
        rates[:, edge, 2 * nodes[:-1] + k] = -unit[..., k]
    return long, rates


def _step(fit: _Fit) -> Floats:
    """Return the move (p, size) to the least energy of the linear problem that keeps the lengths.

    Notes
    -----
    ``H m + R' f = -g``, ``R m = -c``: with H eliminated, ``(R H^-1 R') f = c - R H^-1 g``.
    """
    factors = factor(fit.blocks)
    if not fit.rates.shape[1]:
        return solve(factors, -fit.steepness)
    forward = carry_forward(factors, np.concatenate([fit.rates, -fit.steepness[:, None]], axis=1).swapaxes(1, 2))
    products = carried_products(factors, forward)[:, :-1]
    forces = np.linalg.solve(products[..., :-1], fit.errors[..., None] + products[..., -1:])
    return carry_back(factors, forward[..., -1:] - forward[..., :-1] @ forces)[..., 0]


def _shortened(mesh: Mesh, flat: Floats, move: Floats) -> Floats:
    """Return the moves, those halved that would turn a triangle over."""
    share = np.ones(len(flat))
    for _ in range(MOST_HALVINGS):
        over = turned_over(flat + share[:, None, None] * move, mesh.triangles) <= 0.0
        if not over.any():
            break
        share[over] /= 2.0
    shortened: Floats = share[:, None, None] * move
    return shortened
