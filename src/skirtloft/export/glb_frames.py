"""A surface that moves, as a binary glTF 2.0 file: morph targets and an animation of their weights (section 3.11)."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import numpy.typing as npt

from skirtloft.errors import ExportError
from skirtloft.export.glb import FLOAT, INDICES, TO_GLTF, UNSIGNED, VERTICES, append, container, material
from skirtloft.maths.frozen import Floats

COLOUR = (0.80, 0.82, 0.86)


def render(name: str, frames: Floats, triangles: npt.NDArray[np.integer[Any]], seconds: float = 1.0) -> bytes:
    """Return a GLB file of one surface that goes through `frames` (k, n, 3) [m], `seconds` from one to the next.

    The surface itself is the first frame; every other is a morph target, its offset from the first.

    Raises
    ------
    ExportError
        There are fewer than two frames, or a coordinate is not a number.
    """
    if len(frames) < 2 or not np.isfinite(frames).all():
        raise ExportError(f"Surface {name}: it takes two frames or more, of numbers.")
    data, views, accessors = bytearray(), list[dict[str, Any]](), list[dict[str, Any]]()

    def put(values: npt.NDArray[Any], kind: str, component: int, target: int | None = None) -> int:
        view = append(data, values.tobytes(), target or VERTICES)
        if target is None:
            del view["target"]
        accessor = {"bufferView": len(views), "componentType": component, "count": len(values), "type": kind}
        if component == FLOAT:
            rows = values.reshape(len(values), -1)
            accessor |= {"min": rows.min(axis=0).tolist(), "max": rows.max(axis=0).tolist()}
        views.append(view)
        accessors.append(accessor)
        return len(accessors) - 1

    placed = np.ascontiguousarray(frames[..., TO_GLTF], dtype="<f4")
    base = put(placed[0], "VEC3", FLOAT, VERTICES)
    corners = put(np.ascontiguousarray(triangles, dtype="<u4").ravel(), "SCALAR", UNSIGNED, INDICES)
    targets = [put(placed[k] - placed[0], "VEC3", FLOAT, VERTICES) for k in range(1, len(placed))]
    times = put(np.arange(len(placed), dtype="<f4") * np.float32(seconds), "SCALAR", FLOAT)
    weights = np.vstack([np.zeros(len(targets)), np.eye(len(targets))]).astype("<f4").ravel()
    values = put(weights, "SCALAR", FLOAT)
    part = {
        "attributes": {"POSITION": base},
        "indices": corners,
        "material": 0,
        "targets": [{"POSITION": target} for target in targets],
    }
    document = {
        "asset": {"version": "2.0", "generator": "skirtloft"},
        "scene": 0,
        "scenes": [{"nodes": [0]}],
        "nodes": [{"name": name, "mesh": 0}],
        "meshes": [{"name": name, "primitives": [part], "weights": [0.0] * len(targets)}],
        "animations": [
            {
                "name": "slow inflation",
                "channels": [{"sampler": 0, "target": {"node": 0, "path": "weights"}}],
                "samplers": [{"input": times, "output": values, "interpolation": "LINEAR"}],
            }
        ],
        "materials": [material(COLOUR)],
        "accessors": accessors,
        "bufferViews": views,
        "buffers": [{"byteLength": len(data)}],
    }
    return container(json.dumps(document, separators=(",", ":"), ensure_ascii=False, allow_nan=False), bytes(data))
