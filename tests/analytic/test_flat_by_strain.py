"""Panels flattened by least strain: printed numbers, closed forms, general-purpose libraries as second opinion.

Corners S, P, V, T: see `tests.corner_cases`. "Prototype, 2026" marks numbers computed from the same corners by an
independent numpy prototype and printed to the digits given; they have no published source.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
import pytest
from scipy.optimize import least_squares

from skirtloft.maths.frozen import Floats
from skirtloft.shape.flatten.cloth_fit import Lengths, Weave, fit_cloth, in_warp_frame, thread_strain
from skirtloft.shape.flatten.first_flat import lay_by_angles, lay_rigidly
from skirtloft.shape.flatten.patch import (
    Mesh,
    Patches,
    edge_totals,
    flattening_estimate,
    lay_patches,
    panel_mesh,
    patches_on_grid,
)
from skirtloft.shape.flatten.row import FlatRow, Flattening, flatten_row, panel_row
from skirtloft.shape.flatten.strain import StrainReport, report_strain
from skirtloft.shape.flatten.triangles import turned_over
from tests.corner_cases import DEPTH, HULL_RADIUS, RADIUS, corner_places, corner_surface

AROUND = Weave(way="around", line="middle")  # as the prototype laid the warp
STRAIGHT_EDGES = {"weave": AROUND, "along_surface": False}  # and measured the mesh


@lru_cache(maxsize=64)
def corner(case: str, stations: int, columns: int = 12, rows: int = 16, **others) -> FlatRow:
    by = Flattening(columns, rows, **{**STRAIGHT_EDGES, **others})
    return flatten_row(corner_surface(case), panel_row(corner_places(stations)), by)


def worst(reports: tuple[StrainReport, ...], measure: str, figure: str) -> float:
    return 100.0 * max(getattr(getattr(report, measure), figure) for report in reports)


# --- printed numbers ----------------------------------------------------------------------------------------------

# Prototype, 2026, mesh 12 x 16, ends of the corner free: largest and 95 % of principal stretch, of thread stretch,
# largest shear [%]; least and most of seam less section arc [mm].
STRAINS = [
    ("S", 4, (11.78, 6.31), (5.28, 1.38), 17.4, (1.6, 11.5)),
    ("S", 7, (3.42, 2.63), (1.55, 1.01), 6.27, (0.9, 5.7)),
    ("S", 10, (1.51, 1.20), (0.94, 0.58), 3.00, (0.5, 3.1)),
    ("S", 13, (0.87, 0.69), (0.61, 0.39), 1.73, (0.3, 1.9)),
    ("P", 7, (3.42, 2.63), (1.55, 1.01), 6.27, (-0.2, 5.7)),
    ("P", 10, (2.68, 1.32), (0.94, 0.58), 4.72, (-0.2, 3.1)),
    ("V", 7, (3.12, 2.21), (1.27, 0.96), 5.39, (1.1, 4.1)),
    ("V", 10, (1.42, 1.08), (0.79, 0.58), 2.77, (0.5, 2.3)),
    ("T", 4, (9.21, 5.26), (3.16, 1.51), 14.1, (8.7, 8.8)),
    ("T", 7, (2.54, 2.01), (1.19, 0.73), 4.90, (3.61, 3.61)),
    ("T", 10, (1.25, 0.96), (0.73, 0.42), 2.48, (1.94, 1.94)),
    ("T", 13, (0.74, 0.59), (0.49, 0.28), 1.47, (1.20, 1.20)),
]


@pytest.mark.parametrize("case, stations, principal, thread, shear, excess", STRAINS)
def test_strain_of_the_corners(
    case: str, stations: int, principal: tuple, thread: tuple, shear: float, excess: tuple
) -> None:
    reports = report_strain(corner(case, stations))
    # The largest value sits at a corner of one triangle: it depends on the mesh and, least of all, on the warp.
    loose = 0.15 if stations == 4 else 0.03
    assert worst(reports, "principal", "largest") == pytest.approx(principal[0], abs=loose)
    assert worst(reports, "principal", "p95") == pytest.approx(principal[1], abs=0.05)
    assert worst(reports, "thread", "largest") == pytest.approx(thread[0], abs=loose)
    assert worst(reports, "thread", "p95") == pytest.approx(thread[1], abs=0.02)
    assert worst(reports, "shear", "largest") == pytest.approx(shear, abs=loose)
    found = 1e3 * np.array([report.seam_excess for report in reports])
    assert [found.min(), found.max()] == pytest.approx(excess, abs=0.12)  # printed to a tenth


@pytest.mark.parametrize(
    "case, principal",
    [("T", 5.0), ("S", 6.8)],  # prototype, 2026: seams at the corner's ends as long as the section
)
def test_straight_neighbours_kept_exact_cost_strain(case: str, principal: float) -> None:
    row = panel_row(corner_places(), to_straight=(True, True))
    by = Flattening(12, 16, corner_end="arc", **STRAIGHT_EDGES)
    flat = flatten_row(corner_surface(case), row, by)
    reports = report_strain(flat)
    assert worst(reports, "principal", "largest") == pytest.approx(principal, abs=0.1)
    assert [reports[0].seam_excess[0], reports[-1].seam_excess[1]] == pytest.approx([0.0, 0.0], abs=1e-12)


def test_corner_end_takes_the_mean_by_default() -> None:
    row = panel_row(corner_places(), to_straight=(True, True))
    alone, sewn = corner("T", 7), flatten_row(corner_surface("T"), row, Flattening(12, 16, **STRAIGHT_EDGES))
    full = alone.lengths.seams[0, 0] - alone.patches.seams[0, 0]
    half = sewn.lengths.seams[0, 0] - sewn.patches.seams[0, 0]
    assert half == pytest.approx(full / 2.0, abs=1e-12)
    assert half.sum() > 1e-3


# Prototype, 2026, mesh 24 x 32, worst panel of S: principal largest and 95 %, thread largest and 95 %, shear [%].
@pytest.mark.parametrize(
    "stations, by_angles, rigid, free",
    [
        (7, (4.05, 3.85, 4.04, 3.84, 0.52), (2.68, 1.79, 2.67, 1.74, 1.17), (2.62, 2.15, 1.61, 1.06, 5.0)),
        (10, (2.00, 1.91, 2.00, 1.89, 0.38), (1.36, 0.92, 1.33, 0.86, 0.57), (1.35, 1.07, 0.97, 0.66, 2.6)),
    ],
)
def test_strain_stage_by_stage(stations: int, by_angles: tuple, rigid: tuple, free: tuple) -> None:
    fitted = corner("S", stations, 24, 32)
    mesh, patches = fitted.patches.mesh, fitted.patches
    angles = lay_by_angles(mesh, patches.triangles, patches.seams[:, 0].sum(axis=1))
    turned = lay_rigidly(mesh, patches.triangles, angles, rounds=300, tolerance=1e-8)
    for flat, expected in ((angles, by_angles), (turned, rigid), (fitted.free, free)):
        stage = FlatRow(fitted.row, fitted.by, patches, fitted.free, flat, fitted.lengths)
        reports = report_strain(stage)
        found = [worst(reports, name, figure) for name in ("principal", "thread") for figure in ("largest", "p95")]
        assert found == pytest.approx(expected[:4], abs=0.02)
        assert worst(reports, "shear", "largest") == pytest.approx(expected[4], abs=0.055)  # printed to a tenth


def outline(flat: FlatRow, panel: int) -> list[float]:
    """Chords of hull and joint edge, diagonals E1-J2 and E2-J1, seams, edges, area of one panel."""
    mesh, points = flat.patches.mesh, flat.flat[panel]
    e1, e2, j1, j2 = points[[mesh.hull[0], mesh.hull[-1], mesh.joint[0], mesh.joint[-1]]]
    round_it = np.concatenate([mesh.seams[0], mesh.joint[1:], mesh.seams[1][-2::-1], mesh.hull[-2:0:-1]])
    x, y = points[round_it].T
    area = abs(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1))) / 2.0
    ends = [float(np.hypot(*(one - two))) for one, two in ((e1, e2), (j1, j2), (e1, j2), (e2, j1))]
    edges = [float(np.hypot(*np.diff(points[line], axis=0).T).sum()) for line in (*mesh.seams, mesh.hull, mesh.joint)]
    return [*ends, *edges, float(area)]


# Prototype, 2026, mesh 24 x 32, 7 sections: as `outline`.
OUTLINES = [
    ("T", 3, (0.13587, 0.19633, 0.47158, 0.47158, 0.44325, 0.44325, 0.13614, 0.19635, 0.079580)),
    ("S", 0, (0.21535, 0.19628, 0.31892, 0.31947, 0.24641, 0.24230, 0.21538, 0.19635, 0.051364)),
    ("S", 3, (0.18955, 0.19634, 0.31197, 0.37411, 0.25471, 0.32138, 0.19080, 0.19635, 0.054186)),
]


@pytest.mark.parametrize("case, panel, expected", OUTLINES)
def test_outlines(case: str, panel: int, expected: tuple) -> None:
    assert outline(corner(case, 7, 24, 32), panel) == pytest.approx(expected, abs=2e-5)  # m: 0.02 mm


@pytest.mark.parametrize("case, panel, expected", OUTLINES)
def test_lengths_along_the_surface_change_outlines_little(case: str, panel: int, expected: tuple) -> None:
    along = outline(corner(case, 7, 24, 32, along_surface=True), panel)
    assert along == pytest.approx(expected, abs=1.5e-4)
    assert along[4] - expected[4] > -1e-5  # and only ever lengthen a seam


@pytest.mark.parametrize("case", "V")
def test_lengths_along_the_surface_settle_sooner(case: str) -> None:
    finest = np.array([outline(corner(case, 7, 24, 64, along_surface=True), panel) for panel in range(6)])

    def error(**others) -> float:
        found = np.array([outline(corner(case, 7, 24, 16, **others), panel) for panel in range(6)])
        return float(np.abs(found[:, 4:6] - finest[:, 4:6]).max())

    assert error() > 1e-4  # m: a seam of sixteen straight steps is short by a tenth of a millimetre or more
    assert error(along_surface=True) < 0.5 * error()  # what is left is the triangles' own


# --- what must hold exactly ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("along_surface", [False, True])
@pytest.mark.parametrize("case", "SPVT")
@pytest.mark.parametrize("stations", [4, 7])
def test_seams_agree_edge_by_edge_and_edges_are_true(case: str, stations: int, along_surface: bool) -> None:
    flat = corner(case, stations, along_surface=along_surface)
    mesh = flat.patches.mesh
    steps = np.linalg.norm(np.diff(flat.flat[:, mesh.seams], axis=2), axis=-1)
    assert np.abs(steps[1:, 0] - steps[:-1, 1]).max() < 1e-11
    for report in report_strain(flat):
        # Of the smooth lines [m]; measured straight they are long by what the nodes cut off.
        assert np.abs(report.edge_error).max() < (1e-5 if along_surface else 7e-5)
    hull, joint = (
        np.linalg.norm(np.diff(flat.flat[:, line], axis=1), axis=-1).sum(axis=1) for line in (mesh.hull, mesh.joint)
    )
    exact = 8e-5 if along_surface else 1e-9
    assert joint == pytest.approx(RADIUS * math.pi / 2 / (stations - 1), abs=exact)
    if case == "T":
        assert hull == pytest.approx(HULL_RADIUS * math.pi / 2 / (stations - 1), abs=exact)
    assert turned_over(flat.flat, mesh.triangles).min() > 0.0
    assert np.abs(flat.flat[:, mesh.joint[-1]]).max() < 1e-15
    assert np.abs(flat.flat[:, mesh.joint[0], 1]).max() < 1e-13


def test_edge_totals_are_those_of_the_curves() -> None:
    places = corner_places(4)
    ends = np.column_stack([places[:-1], places[1:]])
    hull, joint = edge_totals(corner_surface("T"), ends)
    assert hull == pytest.approx(HULL_RADIUS * math.pi / 6, abs=1e-10)
    assert joint == pytest.approx(RADIUS * math.pi / 6, abs=1e-10)
    # V rises from .50 to .62 m over the S hull edge: its length by quadrature of dense points.
    angle = np.linspace(0.0, math.pi / 6, 20001)
    arcs = corner_surface("V")(angle * RADIUS)
    plan = arcs.joint + (arcs.centre_outboard + arcs.radius * np.cos(arcs.start_angle))[:, None] * arcs.outward
    points = np.column_stack([plan, arcs.centre_z + arcs.radius * np.sin(arcs.start_angle)])
    length = np.linalg.norm(np.diff(points, axis=0), axis=1).sum()
    assert edge_totals(corner_surface("V"), ends)[0][0] == pytest.approx(length, abs=1e-9)


# --- closed forms -------------------------------------------------------------------------------------------------

# A cone frustum, radii .5 (row 0) and .3 .25 m apart, a sector of 60 deg: flat it is a sector of slant radii l1, l2.
CONE_R1, CONE_R2, CONE_H, CONE_SECTOR = 0.5, 0.3, 0.25, math.pi / 3.0
CONE_SIDE = math.hypot(CONE_R1 - CONE_R2, CONE_H)
CONE_L1 = CONE_SIDE * CONE_R1 / (CONE_R1 - CONE_R2)
CONE_L2 = CONE_L1 - CONE_SIDE
CONE_ANGLE = CONE_SECTOR * CONE_R1 / CONE_L1


def cone(steps: int, *, along_surface: bool) -> Patches:
    share, round_it = np.linspace(0.0, 1.0, 2 * steps + 1)[:, None], CONE_SECTOR * np.linspace(0.0, 1.0, 2 * steps + 1)
    radius = CONE_R1 + (CONE_R2 - CONE_R1) * share
    grid = np.stack(np.broadcast_arrays(radius * np.cos(round_it), radius * np.sin(round_it), -CONE_H * share), axis=-1)
    totals = (np.array([CONE_R1 * CONE_SECTOR]), np.array([CONE_R2 * CONE_SECTOR]))
    return patches_on_grid(grid[None], panel_mesh(steps, steps), totals, along_surface=along_surface)


def flat_cone(patches: Patches) -> Floats:
    mesh, triangles = patches.mesh, patches.triangles
    flat = lay_by_angles(mesh, triangles, patches.seams[:, 0].sum(axis=1))
    return fit_cloth(mesh, triangles, flat, Weave())[0]


@pytest.mark.parametrize("along_surface, errors", [(False, (3.3e-5, 8.2e-6)), (True, (2e-9, 2e-10))])
def test_cone_comes_flat_without_strain(along_surface: bool, errors: tuple[float, float]) -> None:
    # Prototype, 2026: diagonal .51109, its errors with straight edges at 16 and 32 steps. Closed form: law of cosines.
    exact = math.sqrt(CONE_L1**2 + CONE_L2**2 - 2.0 * CONE_L1 * CONE_L2 * math.cos(CONE_ANGLE))
    assert exact == pytest.approx(0.51109, abs=5e-6)
    for steps, bound in zip((16, 32), errors, strict=True):
        patches = cone(steps, along_surface=along_surface)
        mesh, flat = patches.mesh, flat_cone(patches)
        strain = np.abs(thread_strain(mesh, patches.triangles, flat)).max()
        assert strain < (1e-13 if not along_surface else 1e-5)
        diagonal = np.hypot(*(flat[0, mesh.hull[0]] - flat[0, mesh.joint[-1]]))
        assert abs(diagonal - exact) < 1.05 * bound if not along_surface else abs(diagonal - exact) < 1e-6
        assert np.abs(flattening_estimate(patches)).max() < 1e-12


def test_gauss_curvature_of_the_torus() -> None:
    # K = cos phi/(R rho), R .16320, rho = .75 - .14 + R cos phi: 1/(.16320 .77320) at the outermost row.
    patches = lay_patches(corner_surface("T"), np.array([[0.0, RADIUS * math.pi / 12]]), panel_mesh(12, 32))
    arcs = corner_surface("T")(np.zeros(1))
    phi = np.linspace(arcs.start_angle[0], arcs.end_angle[0], 33)[1:-1]
    radius = float(arcs.radius[0])
    round_it = RADIUS - DEPTH / 2 + radius * np.cos(phi)
    assert patches.curvature[0] == pytest.approx(np.cos(phi) / (radius * round_it), abs=0.02)  # of 7.92
    assert patches.width[0] == pytest.approx(round_it * math.pi / 12, rel=1e-4)


@pytest.mark.parametrize("stations, percent", [(4, 10.8), (7, 2.71), (10, 1.20), (13, 0.68)])
def test_estimate_of_the_torus(stations: int, percent: float) -> None:
    # K w^2/12 with K = 1/(R rho), w = rho times the angle: closed form, printed by the prototype, 2026.
    assert 100.0 * flattening_estimate(corner("T", stations).patches).max() == pytest.approx(percent, rel=0.01)


# --- second opinions ----------------------------------------------------------------------------------------------


def one_panel(steps: int) -> Patches:
    places = corner_places()
    return lay_patches(corner_surface("S"), places[None, 3:5], panel_mesh(steps, steps), along_surface=False)


def aligned(flat: Floats, onto: Floats) -> Floats:
    """`flat` (n, 2) turned and moved on to `onto` as nearly as can be."""
    one, two = flat - flat.mean(axis=0), onto - onto.mean(axis=0)
    u, _, v = np.linalg.svd(one.T @ two)
    return one @ u @ np.diag([1.0, np.sign(np.linalg.det(u @ v))]) @ v + onto.mean(axis=0)


def test_libigl_agrees_on_angles_and_rigid() -> None:
    igl = pytest.importorskip("igl")
    patches = one_panel(32)
    mesh, corners = patches.mesh, patches.mesh.triangles.astype(np.int64)
    points, length = np.ascontiguousarray(patches.points[0]), patches.seams[:, 0].sum(axis=1)
    pinned = mesh.seams[0, [0, -1]].astype(np.int64)
    theirs = igl.lscm(points, corners, pinned, np.array([[0.0, length[0]], [0.0, 0.0]]))[0]
    ours = lay_by_angles(mesh, patches.triangles, length)
    assert np.abs(ours[0] - theirs).max() < 1e-10
    data = igl.ARAPData()
    data.max_iter = 2000
    igl.arap_precomputation(points, corners, 2, np.array([0], dtype=np.int32), data)
    rigid = igl.arap_solve(np.ascontiguousarray(ours[0, :1]), data, ours[0].copy())
    mine = lay_rigidly(mesh, patches.triangles, ours, rounds=2000, tolerance=1e-11)
    assert np.abs(aligned(mine[0], rigid) - rigid).max() < 1e-6


def coarse() -> tuple[Mesh, Patches, Floats]:
    mesh = panel_mesh(2, 4)
    places = corner_places()
    patches = lay_patches(corner_surface("S"), places[None, 3:5], mesh)
    flat = lay_by_angles(mesh, patches.triangles, patches.seams[:, 0].sum(axis=1))
    return mesh, patches, flat


def residuals(mesh: Mesh, patches: Patches, weave: Weave, flat: Floats) -> Floats:
    """Square roots of the energy's parts, from the equations of an orthotropic sheet written out again."""
    x, y, slide = thread_strain(mesh, patches.triangles, in_warp_frame(mesh, flat.reshape(1, -1, 2), weave.line))[0].T
    warp, weft = (x, y) if weave.way == "along" else (y, x)
    ratio = weave.contraction * weave.weft
    scale = 1.0 / (1.0 - weave.contraction * ratio)
    first = math.sqrt(scale) * (warp + ratio * weft)
    second = math.sqrt(scale * weave.weft - scale * ratio**2) * weft
    third = math.sqrt(weave.shear) * slide
    return (np.sqrt(patches.triangles.area[0]) * np.stack([first, second, third])).ravel()


@pytest.mark.parametrize("weave", [Weave(), AROUND, Weave(shear=0.3, weft=0.5, way="around")])
def test_least_strain_is_the_least(weave: Weave) -> None:
    mesh, patches, flat = coarse()
    ours, steps = fit_cloth(mesh, patches.triangles, flat, weave)
    found = least_squares(
        lambda x: residuals(mesh, patches, weave, x), flat.ravel(), xtol=1e-15, ftol=1e-15, gtol=1e-15, max_nfev=2000
    )
    assert np.abs(aligned(found.x.reshape(-1, 2), ours[0]) - ours[0]).max() < 1e-7
    assert 3 <= steps[0] <= 10


def test_least_strain_under_given_lengths_is_the_least() -> None:
    mesh, patches, flat = coarse()
    free, _ = fit_cloth(mesh, patches.triangles, flat, AROUND)
    own = np.linalg.norm(np.diff(free[:, mesh.seams], axis=2), axis=-1)
    lengths = Lengths(own * 1.01, patches.hull, patches.joint)
    ours, _ = fit_cloth(mesh, patches.triangles, free, AROUND, lengths)

    def errors(x: Floats) -> Floats:
        at = x.reshape(-1, 2)
        steps = [np.hypot(*np.diff(at[nodes], axis=0).T) for nodes in mesh.seams]
        seams = [own - wanted for own, wanted in zip(steps, lengths.seams[0], strict=True)]
        edges = [
            np.hypot(*np.diff(at[nodes], axis=0).T).sum() - whole[0]
            for nodes, whole in ((mesh.hull, lengths.hull), (mesh.joint, lengths.joint))
        ]
        return np.concatenate([*seams, edges])

    def energy(x: Floats) -> float:
        return float(np.sum(residuals(mesh, patches, AROUND, x) ** 2))

    # At the least, every slope of the energy is made up by the pull of the lengths: by differences, not our equations.
    at, step = ours.ravel(), 1e-6
    assert np.abs(errors(at)).max() < 1e-12
    each = step * np.eye(len(at))
    slope = np.array([(energy(at + one) - energy(at - one)) / (2.0 * step) for one in each])
    rates = np.array([(errors(at + one) - errors(at - one)) / (2.0 * step) for one in each])
    pulls = np.linalg.lstsq(rates, slope, rcond=None)[0]
    assert np.abs(slope - rates @ pulls).max() < 1e-6 * np.abs(slope).max()
    assert np.abs(slope).max() > 1e-5
    assert energy(at) > 1.05 * energy(free.ravel())
