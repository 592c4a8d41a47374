"""Surfaces as a binary glTF 2.0 file (Khronos Group, glTF 2.0 specification, 2021, sections 3 and 4)."""

from __future__ import annotations

import json
import struct
from collections.abc import Sequence
from typing import Any

import numpy as np

from skirtloft.drawing.mesh import Mesh
from skirtloft.errors import ExportError

TO_GLTF = (1, 2, 0)  # glTF: x to port, y up, z forward; the craft's y, z, x in turn
FLOAT, UNSIGNED = 5126, 5125  # component types
VERTICES, INDICES = 34962, 34963  # buffer targets


def render(meshes: Sequence[Mesh]) -> bytes:
    """Return a GLB file with one node per mesh, in metres, y up.

    Raises
    ------
    ExportError
        There is no mesh, one is empty, a coordinate is not a number, or a triangle names a vertex that is not there.
    """
    if not meshes:
        raise ExportError("There is no surface to put into the 3D model.")
    data = bytearray()
    views: list[dict[str, Any]] = []
    accessors: list[dict[str, Any]] = []
    parts: list[dict[str, Any]] = []
    for mesh in meshes:
        _check(mesh)
        points = np.ascontiguousarray(mesh.vertices[:, TO_GLTF], dtype="<f4")
        corners = np.ascontiguousarray(mesh.triangles, dtype="<u4").ravel()
        span = {"min": points.min(axis=0).tolist(), "max": points.max(axis=0).tolist()}
        part: dict[str, Any] = {"attributes": {"POSITION": len(accessors)}, "indices": len(accessors) + 1}
        accessors.append(
            {"bufferView": len(views), "componentType": FLOAT, "count": len(points), "type": "VEC3", **span}
        )
        views.append(append(data, points.tobytes(), VERTICES))
        accessors.append({"bufferView": len(views), "componentType": UNSIGNED, "count": len(corners), "type": "SCALAR"})
        views.append(append(data, corners.tobytes(), INDICES))
        if mesh.shades is not None:
            shades = np.ascontiguousarray(mesh.shades, dtype="<f4")
            part["attributes"]["COLOR_0"] = len(accessors)
            accessors.append({"bufferView": len(views), "componentType": FLOAT, "count": len(shades), "type": "VEC3"})
            views.append(append(data, shades.tobytes(), VERTICES))
        parts.append(part)
    colours = list(dict.fromkeys(_base_colour(mesh) for mesh in meshes))
    document = {
        "asset": {"version": "2.0", "generator": "skirtloft"},
        "scene": 0,
        "scenes": [{"nodes": list(range(len(meshes)))}],
        "nodes": [{"name": mesh.name, "mesh": k} for k, mesh in enumerate(meshes)],
        "meshes": [
            {"name": mesh.name, "primitives": [{**part, "material": colours.index(_base_colour(mesh))}]}
            for mesh, part in zip(meshes, parts, strict=True)
        ],
        "materials": [material(colour) for colour in colours],
        "accessors": accessors,
        "bufferViews": views,
        "buffers": [{"byteLength": len(data)}],
    }
    return container(json.dumps(document, separators=(",", ":"), ensure_ascii=False, allow_nan=False), bytes(data))


def _check(mesh: Mesh) -> None:
    if len(mesh.vertices) == 0 or len(mesh.triangles) == 0:
        raise ExportError(f"Surface {mesh.name}: it has no triangles.")
    if not np.isfinite(mesh.vertices).all():
        raise ExportError(f"Surface {mesh.name}: a vertex has a coordinate that is not a number.")
    if mesh.shades is not None and (mesh.shades.shape != mesh.vertices.shape or not np.isfinite(mesh.shades).all()):
        raise ExportError(f"Surface {mesh.name}: its vertices have no colours that fit them.")
    if mesh.triangles.min() < 0 or mesh.triangles.max() >= len(mesh.vertices):
        raise ExportError(f"Surface {mesh.name}: a triangle names a vertex that is not there.")


def append(data: bytearray, part: bytes, target: int) -> dict[str, Any]:
    """Add `part` to the buffer and return its view; every part is a multiple of 4 bytes long."""
    view = {"buffer": 0, "byteOffset": len(data), "byteLength": len(part), "target": target}
    data += part
    return view


def _base_colour(mesh: Mesh) -> tuple[float, float, float]:
    """Return the material's colour: white under the colours of the vertices, which multiply it."""
    return mesh.colour if mesh.shades is None else (1.0, 1.0, 1.0)


def material(colour: tuple[float, float, float]) -> dict[str, Any]:
    """Return a matt material of one colour, seen from both sides."""
    surface = {"baseColorFactor": [*colour, 1.0], "metallicFactor": 0.0, "roughnessFactor": 0.9}
    return {"doubleSided": True, "pbrMetallicRoughness": surface}


def container(text: str, data: bytes) -> bytes:
    """Return header, JSON chunk padded with spaces, binary chunk padded with zeros."""
    words = text.encode("utf-8")
    words += b" " * (-len(words) % 4)
    data += b"\0" * (-len(data) % 4)
    head = struct.pack("<4sII", b"glTF", 2, 12 + 8 + len(words) + 8 + len(data))
    return head + struct.pack("<I4s", len(words), b"JSON") + words + struct.pack("<I4s", len(data), b"BIN\0") + data
