"""What nodes do not pass through: neighbouring segments, and the ground."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from skirtloft.inflate.types import Contact, frozen_indices
from skirtloft.maths.frozen import Floats, frozen_array


def no_contact() -> Contact:
    """Return contact with nothing."""
    return planes_at(np.empty(0, dtype=np.intp), np.empty((0, 3)), np.empty(0), 0.0)


def planes_at(nodes: npt.ArrayLike, normals: npt.ArrayLike, offsets: npt.ArrayLike, stiffness: float) -> Contact:
    """Return contact of `nodes` (c,) with one plane each: normals (c, 3) or (3,), offsets (c,) or one [m], N/m."""
    which = frozen_indices(nodes)
    return Contact(
        nodes=which,
        normals=frozen_array(np.broadcast_to(np.asarray(normals, dtype=np.float64), (len(which), 3))),
        offsets=frozen_array(np.broadcast_to(np.asarray(offsets, dtype=np.float64), (len(which),))),
        stiffness=frozen_array(np.full(len(which), stiffness)),
    )


def wedge(nodes: npt.ArrayLike, at: npt.ArrayLike, along: npt.ArrayLike, stiffness: float) -> Contact:
    """Return contact that keeps a segment's `nodes` (c,) between the upright planes of its two webs.

    Parameters
    ----------
    nodes : (c,)
    at : (2, 3) [m]
        A point of each web's plane: first web, next web along the skirt.
    along : (2, 3)
        Unit normals of both planes, along the skirt.
    stiffness : float [N/m]
        Of each node: small next to the cloth, large next to pressure times a node's area over a tenth of a millimetre.

    Notes
    -----
    On a run, and in a corner of equal segments, the neighbours push alike from both sides: their common plane stands
    still and this is exact.
    """
    which, points, normals = np.asarray(nodes, dtype=np.intp), np.asarray(at, float), np.asarray(along, float)
    offsets = (points * normals).sum(axis=1)
    return together(
        planes_at(which, -normals[0], -offsets[0], stiffness), planes_at(which, normals[1], offsets[1], stiffness)
    )


def together(*contacts: Contact) -> Contact:
    """Return several contacts as one."""
    return Contact(
        nodes=frozen_indices(np.concatenate([contact.nodes for contact in contacts])),
        normals=frozen_array(np.concatenate([contact.normals for contact in contacts])),
        offsets=frozen_array(np.concatenate([contact.offsets for contact in contacts])),
        stiffness=frozen_array(np.concatenate([contact.stiffness for contact in contacts])),
    )


class ContactForces:
    """Springs at the planes that nodes have crossed."""

    def __init__(self, contact: Contact) -> None:
        self._contact = contact

    def pushes(self, points: Floats) -> Floats:
        """Return the force at every plane, pushing back along its normal, (c,) [N]."""
        contact = self._contact
        beyond = np.einsum("ci,ci->c", points[contact.nodes], contact.normals) - contact.offsets
        force: Floats = contact.stiffness * np.maximum(beyond, 0.0)
        return force

    def __call__(self, points: Floats, out: Floats) -> None:
        """Add the forces to `out`, (n, 3) [N]."""
        push = self.pushes(points)
        crossed = np.flatnonzero(push)
        if len(crossed):
            back = push[crossed, None] * self._contact.normals[crossed]
            np.subtract.at(out, self._contact.nodes[crossed], back)


def ground(nodes: npt.ArrayLike, height: float, stiffness: float) -> Contact:
    """Return contact of `nodes` (c,) with level, slippery ground at `height` [m]; `stiffness` [N/m] of each node."""
    return planes_at(nodes, [0.0, 0.0, -1.0], -height, stiffness)
