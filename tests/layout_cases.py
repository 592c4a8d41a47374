"""Problems of laying out with answers that are known beforehand."""

from __future__ import annotations

import numpy as np

from skirtloft.design.model import Cloth
from skirtloft.layout.blanks import blanks
from skirtloft.layout.types import Problem, Roll
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.types import CutPiece


def piece(code: str, outline: object, quantity: int = 1, **more: object) -> CutPiece:
    """Return a cut piece that has only what laying out needs."""
    points = frozen_array(outline)  # type: ignore[arg-type]
    x, y = points.T
    area = abs(float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))) / 2.0
    given: dict[str, object] = {
        "id": code, "base": code.removesuffix("-P").removesuffix("-S"), "name": "test piece", "kind": "face",
        "hand": code[-1] if code.endswith(("-P", "-S")) else "", "quantity": quantity, "cloth": "loop", "edges": (),
        "sew_line": points, "cut_line": points, "holes": np.empty((0, 2)), "hole_diameter": 0.0, "notches": (),
        "marks": (), "warp": np.array([1.0, 0.0]), "run": "", "stations": "", "joint_length": 0.0, "area": area,
        "mass": 0.0, "is_rectangle": False,
    }  # fmt: skip
    return CutPiece(**{**given, **more})  # type: ignore[arg-type]


def rectangle(length: float, width: float) -> Floats:
    """Return the corners of a rectangle, x along."""
    return np.array([[0.0, 0.0], [length, 0.0], [length, width], [0.0, width]])


def triangle(leg: float) -> Floats:
    """Return a right-angled triangle with its legs along the axes."""
    return np.array([[0.0, 0.0], [leg, 0.0], [0.0, leg]])


def problem(
    *pieces: CutPiece,
    width: float = 1.0,
    gap: float = 0.0,
    margin: float = 0.0,
    rolls: tuple[Roll, ...] = (),
    **cloth: object,
) -> Problem:
    """Return the problem of some pieces on one endless roll, after `rolls`."""
    kind = Cloth(mass=0.3, **cloth)  # type: ignore[arg-type]
    return Problem("loop", blanks(pieces, kind), (*rolls, Roll("new roll", width)), gap, margin)
