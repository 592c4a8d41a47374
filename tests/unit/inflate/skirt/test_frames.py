"""The skirt blown up slowly, and the 3D model of it."""

import json
import struct
from functools import cache

import numpy as np
import pytest

from skirtloft.errors import ExportError
from skirtloft.export import glb_frames
from skirtloft.inflate.skirt.flat import Detail
from skirtloft.inflate.skirt.frames import SHARES, Frames, slow_inflation
from skirtloft.inflate.skirt.model import Making, sew_skirt
from tests.sewn_designs import SIDE, cut_of


@cache
def slow() -> Frames:
    skirt = sew_skirt(cut_of("four-seat"), Making(only=SIDE, detail=Detail(4, 4, 4)))
    return slow_inflation(skirt, skirt.problem.mesh.points)


def test_frames_grow_from_hanging_cloth_to_the_last_shape():
    found = slow()
    assert found.shares.tolist() == list(SHARES)
    assert found.millimetres.dtype == np.int16
    widest = found.points[..., 1].max(axis=1)  # of a side: outboard is to port
    assert widest[0] < widest[-2] - 0.001  # a limp loop hangs down and reaches less far out
    skirt = sew_skirt(cut_of("four-seat"), Making(only=SIDE, detail=Detail(4, 4, 4)))
    assert found.points[-1] == pytest.approx(skirt.problem.mesh.points, abs=5.1e-4)
    steps = np.abs(np.diff(found.points, axis=0)).max(axis=(1, 2))
    assert (steps < 0.35).all()  # m: nothing jumps
    assert steps[0] > 1e-3


def test_stopped_at_once_only_the_last_is_there():
    skirt = sew_skirt(cut_of("four-seat"), Making(only=SIDE, detail=Detail(4, 4, 4)))
    assert slow_inflation(skirt, skirt.problem.mesh.points, stop=lambda: True).shares.tolist() == [1.0]


def test_the_model_moves_from_frame_to_frame():
    found = slow()
    data = glb_frames.render("skirt", found.points, found.triangles, seconds=0.5)
    length = struct.unpack_from("<I", data, 12)[0]
    document, floats = json.loads(data[20 : 20 + length]), data[28 + length :]

    def values(number: int) -> np.ndarray:
        accessor = document["accessors"][number]
        view = document["bufferViews"][accessor["bufferView"]]
        count = accessor["count"] * (3 if accessor["type"] == "VEC3" else 1)
        return np.frombuffer(floats, "<f4", count, view["byteOffset"])

    (part,) = document["meshes"][0]["primitives"]
    assert len(part["targets"]) == len(SHARES) - 1
    base, last = (values(n).reshape(-1, 3) for n in (part["attributes"]["POSITION"], part["targets"][-1]["POSITION"]))
    # glTF 2.0, 3.7.2.2: a target is added to the base, its weight times
    assert base + last == pytest.approx(found.points[-1][:, [1, 2, 0]], abs=1e-5)
    (sampler,) = document["animations"][0]["samplers"]
    assert values(sampler["input"]) == pytest.approx(0.5 * np.arange(len(SHARES)))
    weights = values(sampler["output"]).reshape(len(SHARES), -1)
    assert weights[0].tolist() == [0.0] * (len(SHARES) - 1)
    assert weights[1:].tolist() == np.eye(len(SHARES) - 1).tolist()


def test_one_frame_is_no_film():
    with pytest.raises(ExportError, match="two frames"):
        glb_frames.render("skirt", np.zeros((1, 3, 3)), np.array([[0, 1, 2]]))
