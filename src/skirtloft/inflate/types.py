"""Records of the sewn skirt in triangles: flat pieces, sewn mesh, cloth, supports, contact, loads."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats

Ints = npt.NDArray[np.intp]
Law = Literal["field", "net"]


def frozen_indices(values: npt.ArrayLike) -> Ints:
    """Return a read-only index copy of `values` (any shape)."""
    array = np.array(values, dtype=np.intp)
    array.setflags(write=False)
    return array


@dataclass(frozen=True, eq=False)
class FlatMesh:
    """One flat piece in triangles.

    Parameters
    ----------
    name : str
    flat : (n, 2) [m]
        Nodes as cut, in any frame that is not mirrored: the outside of the cloth faces you.
    triangles : (m, 3)
        Nodes of each triangle, counterclockwise in `flat`, so that the right-hand normal is the outside.
    edges : mapping of str to (k,)
        Nodes along each named edge, in order from one end to the other.
    warp : float [rad]
        Direction of the warp in `flat`, from +x.
    """

    name: str
    flat: Floats
    triangles: Ints
    edges: Mapping[str, Ints]
    warp: float = 0.0


@dataclass(frozen=True)
class EdgeOf:
    """An edge of a piece, or a part of it.

    Parameters
    ----------
    piece : int
        Index of the piece.
    edge : str
        Name of the edge.
    backwards : bool
        Whether it is taken from its far end.
    first, last : int, optional
        Nodes it starts and ends at, counted along the edge before it is turned round; by itself the whole edge.
    """

    piece: int
    edge: str
    backwards: bool = False
    first: int = 0
    last: int | None = None


@dataclass(frozen=True, eq=False)
class SewnMesh:
    """Pieces sewn together: nodes shared along seams, each triangle with its own flat rest shape.

    Parameters
    ----------
    points : (n, 3) [m]
        Where the nodes start.
    triangles : (m, 3)
        Right-hand normal towards the outside of the cloth.
    inverse : (m, 2, 2) [1/m]
        Inverse of the matrix whose columns are the flat edges 0-1 and 0-2 in warp and weft components.
    area : (m,) [m2]
        Flat.
    piece : (m,)
        Index of the piece each triangle belongs to.
    nodes : tuple of (k,)
        Per piece, the number here of each of its own nodes.
    """

    points: Floats
    triangles: Ints
    inverse: Floats
    area: Floats
    piece: Ints
    nodes: tuple[Ints, ...]


@dataclass(frozen=True)
class Cloth:
    """How the cloth resists: see `skirtloft.inflate.cloth_law`.

    Parameters
    ----------
    stiffness : float [N/m]
        E, force per width and strain; of the warp where the law tells them apart.
    law : "field" or "net"
        Tension field (isotropic, wrinkles freely) or a net of two threads.
    compression : float [N/m]
        Stiffness of a shortened direction: small and absolute. As a share of E it would hold a wrinkled face up.
    weft, shear : float [-]
        Of the net: stiffness of the weft and in shear, as shares of E.
    """

    stiffness: float = 50e3
    law: Law = "field"
    compression: float = 20.0
    weft: float = 0.8
    shear: float = 0.03


@dataclass(frozen=True, eq=False)
class Supports:
    """Nodes that cannot move, and nodes that stay in a plane; see `skirtloft.inflate.supports.supports`.

    Parameters
    ----------
    pinned : (k,)
        Hull edge and inner fixings.
    sliding : (s,)
        Nodes on planes of symmetry, each once.
    ways : (s, 3, 3)
        Projection on to the plane, or the line where two planes meet, that each of them stays in.
    """

    pinned: Ints
    sliding: Ints
    ways: Floats


@dataclass(frozen=True, eq=False)
class Contact:
    """Planes that nodes do not cross: normal . x <= offset, held by a spring once crossed.

    Parameters
    ----------
    nodes : (c,)
        A node may come up more than once: between two neighbours, and on the ground.
    normals : (c, 3)
        Unit, pointing into the forbidden side.
    offsets : (c,) [m]
    stiffness : (c,) [N/m]
    """

    nodes: Ints
    normals: Floats
    offsets: Floats
    stiffness: Floats


@dataclass(frozen=True, eq=False)
class Loads:
    """What pushes on each triangle.

    Parameters
    ----------
    pressure : (m,) [Pa]
        Towards the outside of the cloth; follows it.
    areal_mass : (m,) [kg/m2]
        Of the flat cloth.
    """

    pressure: Floats
    areal_mass: Floats


@dataclass(frozen=True, eq=False)
class Problem:
    """A sewn mesh with everything that acts on it."""

    mesh: SewnMesh
    cloth: Cloth
    supports: Supports
    contact: Contact
    loads: Loads


@dataclass(frozen=True, eq=False)
class Landmarks:
    """Nodes by which a skirt is measured, each in order along the skirt.

    Parameters
    ----------
    hull_edge, inner_fixings, joint, webs : (k,)
        `webs` are the joint nodes where webs hang.
    tips : tuple of (k,)
        Tip edge of each segment's face.
    """

    hull_edge: Ints
    inner_fixings: Ints
    joint: Ints
    webs: Ints
    tips: tuple[Ints, ...]
