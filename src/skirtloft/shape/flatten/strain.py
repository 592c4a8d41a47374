"""How far each flat panel's cloth must stretch and shear to lie on the wanted surface, and what that will do."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skirtloft.maths.block_rows import Indices
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.flatten.cloth_fit import in_warp_frame, thread_strain
from skirtloft.shape.flatten.edges import smooth_length
from skirtloft.shape.flatten.patch import flattening_estimate
from skirtloft.shape.flatten.row import FlatRow

DEVIATION_PER_STRAIN = 0.13
"""How far an inflated panel stands off the wanted surface [m], over the strain estimate K w^2/12: 1.3 mm per %.

A rule of thumb: six corners of .75 m radius, sewn from these patterns and inflated with their edges
held, stood off by .6 to 1.14 mm per % (S, V, P, T in seven sections: 3.6, 3.2, 3.8, 3.1 mm at 4.1, 4.1, 6.1, 2.7 %;
S in four and in ten: 13.5 and 1.7 mm at 17.0 and 1.8 %). Safe there; of whole loops with straight panels at
the corners' ends, at 470 to 860 Pa, the worst panel stood off 1.4 to 1.7 times as far as it says. Our own study; on a
skirt the joint line hangs on segments.
"""


@dataclass(frozen=True, eq=False)
class StrainFigure:
    """One measure of strain over a panel.

    Parameters
    ----------
    p95 : float
        Not exceeded on 95 % of the area.
    largest : float
        Grows without end at the corners as the mesh is refined: judge by `p95` and by thread strain.
    at : (2,)
        Where the largest is: share of the way from start to end, and from the hull edge to the joint.
    point : (3,) [m]
        The same place on the craft.
    """

    p95: float
    largest: float
    at: Floats
    point: Floats


@dataclass(frozen=True, eq=False)
class StrainReport:
    """What flattening costs one panel; strains as shares of a length, shear in rad.

    Parameters
    ----------
    thread : StrainFigure
        Stretch along warp or weft, whichever is more.
    principal : StrainFigure
        Stretch in the direction where it is most.
    shear : StrainFigure
        Change of the right angle between the threads.
    estimate : float
        K w^2/12, what a narrow strip of this curvature and width would have.
    deviation : float [m]
        How far off the wanted surface it may stand when inflated, by a rule of thumb.
    seam_excess : (2,) [m]
        Start and end seam, less the section's own length.
    seam, edge : (2,) [m]
        Lengths of the start and end seam, and of the hull and joint edge along their smooth lines.
    edge_error : (2,) [m]
        Hull and joint edge less the true length.
    warp : (2,)
        Unit direction of the warp on the piece.
    """

    thread: StrainFigure
    principal: StrainFigure
    shear: StrainFigure
    estimate: float
    deviation: float
    seam_excess: Floats
    seam: Floats
    edge: Floats
    edge_error: Floats
    warp: Floats


@dataclass(frozen=True, eq=False)
class StrainPicture:
    """Strain over a flat panel, triangle by triangle.

    Parameters
    ----------
    points : (nodes, 2) [m]
    triangles : (t, 3)
    warp, weft : (t,)
        Stretch along the threads when brought on to the surface: positive, the cloth is too short there.
    shear : (t,) [rad]
    principal : (t,)
        The stretch furthest from none, with its sign.
    """

    points: Floats
    triangles: Indices
    warp: Floats
    weft: Floats
    shear: Floats
    principal: Floats


def strain_pictures(flat_row: FlatRow) -> tuple[StrainPicture, ...]:
    """Return the strain of every panel of the row, triangle by triangle.

    Notes
    -----
    From Green strain E in the warp's frame: stretch ``sqrt(1 + 2 E) - 1``, shear
    ``asin(2 E12/sqrt((1 + 2 E11)(1 + 2 E22)))``.
    """
    mesh, weave = flat_row.patches.mesh, flat_row.by.weave
    strain = thread_strain(mesh, flat_row.patches.triangles, in_warp_frame(mesh, flat_row.flat, weave.line))
    x, y, slide = np.moveaxis(strain, -1, 0)
    middle, reach = (x + y) / 2.0, np.hypot((x - y) / 2.0, slide / 2.0)
    most, least = _stretch(middle + reach), _stretch(middle - reach)
    warp, weft = (x, y) if weave.way == "along" else (y, x)
    shear = np.arcsin(np.clip(slide / np.sqrt((1.0 + 2.0 * x) * (1.0 + 2.0 * y)), -1.0, 1.0))
    fields = (_stretch(warp), _stretch(weft), shear, np.where(most > -least, most, least))
    return tuple(
        StrainPicture(flat_row.flat[i], mesh.triangles, *(frozen_array(field[i]) for field in fields))
        for i in range(len(flat_row.flat))
    )


def report_strain(flat_row: FlatRow) -> tuple[StrainReport, ...]:
    """Return what flattening costs every panel of the row."""
    mesh, patches = flat_row.patches.mesh, flat_row.patches
    estimates = flattening_estimate(patches)
    warps = _warp_directions(flat_row)
    reports = []
    for i, picture in enumerate(strain_pictures(flat_row)):
        area = patches.triangles.area[i]
        thread = np.maximum(np.abs(picture.warp), np.abs(picture.weft))
        seam = flat_row.lengths.seams[i].sum(axis=1)
        edge = np.array([smooth_length(flat_row.flat[i, nodes]) for nodes in (mesh.hull, mesh.joint)])
        reports.append(
            StrainReport(
                thread=_figure(flat_row, i, thread, area),
                principal=_figure(flat_row, i, np.abs(picture.principal), area),
                shear=_figure(flat_row, i, np.abs(picture.shear), area),
                estimate=float(estimates[i]),
                deviation=DEVIATION_PER_STRAIN * float(estimates[i]),
                seam_excess=frozen_array(seam - patches.seams[i].sum(axis=1)),
                seam=frozen_array(seam),
                edge=frozen_array(edge),
                edge_error=frozen_array(edge - [patches.hull[i], patches.joint[i]]),
                warp=frozen_array(warps[i]),
            )
        )
    return tuple(reports)


def _stretch(strain: Floats) -> Floats:
    stretch: Floats = np.sqrt(1.0 + 2.0 * strain) - 1.0
    return stretch


def _figure(flat_row: FlatRow, panel: int, values: Floats, area: Floats) -> StrainFigure:
    mesh, wide = flat_row.patches.mesh, flat_row.patches.mesh.columns + 1
    worst = mesh.triangles[int(np.argmax(values))]
    order = np.argsort(values)
    share = np.cumsum(area[order]) / area.sum()
    return StrainFigure(
        p95=float(values[order][np.searchsorted(share, 0.95)]),
        largest=float(values.max()),
        at=frozen_array([np.mean(worst % wide) / mesh.columns, np.mean(worst // wide) / mesh.rows]),
        point=frozen_array(flat_row.patches.points[panel, worst].mean(axis=0)),
    )


def _warp_directions(flat_row: FlatRow) -> Floats:
    """Return the warp on every piece, (p, 2): towards the start, or towards the hull."""
    mesh, weave = flat_row.patches.mesh, flat_row.by.weave
    if weave.line == "joint":
        return np.tile([1.0, 0.0] if weave.way == "along" else [0.0, 1.0], (len(flat_row.flat), 1))
    middle = mesh.columns // 2
    up = flat_row.flat[:, mesh.hull[middle]] - flat_row.flat[:, mesh.joint[middle]]
    up = up / np.linalg.norm(up, axis=1)[:, None]
    return up if weave.way == "around" else np.stack([up[:, 1], -up[:, 0]], axis=1)
