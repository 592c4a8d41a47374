"""GLB read back by trimesh."""

from __future__ import annotations

import io
import struct

import numpy as np
import pytest
import trimesh

from skirtloft.drawing.mesh import Mesh
from skirtloft.errors import ExportError
from skirtloft.export import glb
from skirtloft.maths.frozen import frozen_array

BOX = trimesh.creation.box(extents=(5.0, 2.0, 0.5))  # a craft's length, width, height along x, y, z
HULL = Mesh("hull", frozen_array(BOX.vertices), BOX.faces, (0.2, 0.4, 0.6))
FLAP = Mesh("face F1-P", frozen_array([[0.0, 0, 0], [1, 0, 0], [1, 1, 0.25]]), np.array([[0, 1, 2]]), (0.5, 0.5, 0.5))


@pytest.fixture(scope="module")
def scene():
    return trimesh.load(io.BytesIO(glb.render([HULL, FLAP])), file_type="glb")


def test_forward_is_z_up_is_y_and_port_is_x(scene):
    hull = scene.geometry["hull"]
    assert hull.extents == pytest.approx([2.0, 0.5, 5.0])  # glTF 2.0, 3.4: y up, z forward
    assert scene.geometry["face F1-P"].vertices == pytest.approx(FLAP.vertices[:, [1, 2, 0]])


def test_a_turned_box_keeps_its_volume_and_its_outside(scene):
    assert scene.geometry["hull"].volume == pytest.approx(5.0 * 2.0 * 0.5)  # positive: not mirrored


def test_colours(scene):
    colour = scene.geometry["hull"].visual.material.baseColorFactor
    assert np.asarray(colour[:3]) / 255 == pytest.approx([0.2, 0.4, 0.6], abs=0.01)


def test_container_lengths():
    data = glb.render([HULL, FLAP])
    magic, version, length = struct.unpack_from("<4sII", data)
    assert (magic, version, length) == (b"glTF", 2, len(data))
    words, kind = struct.unpack_from("<I4s", data, 12)
    assert (kind, words % 4) == (b"JSON", 0)
    assert struct.unpack_from("<I4s", data, 20 + words) == (len(data) - 28 - words, b"BIN\0")


def test_same_bytes():
    assert glb.render([HULL, FLAP]) == glb.render([HULL, FLAP])


@pytest.mark.parametrize(
    "meshes, why",
    [
        ([], "no surface"),
        ([Mesh("a", frozen_array(np.zeros((3, 3))), np.zeros((0, 3), int))], "no triangles"),
        ([Mesh("a", frozen_array(np.full((3, 3), np.nan)), np.array([[0, 1, 2]]))], "not a number"),
        ([Mesh("a", frozen_array(np.zeros((3, 3))), np.array([[0, 1, 3]]))], "not there"),
    ],
)
def test_refusals(meshes, why):
    with pytest.raises(ExportError, match=why):
        glb.render(meshes)
