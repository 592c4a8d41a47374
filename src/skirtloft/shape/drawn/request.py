"""What the builder says about a drawing, checked, and in the frame with the bow to the right."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from skirtloft.design.quantity import parse_angle, parse_length
from skirtloft.errors import DesignError, Problem
from skirtloft.shape.drawn.half import Told

TOLERANCES = (1e-5, 0.05)  # m: of curves
HEIGHTS = (0.02, 3.0)  # m: what the design file takes


@dataclass(frozen=True)
class Request:
    """What the builder says about the drawing; lengths [m], angles [rad].

    Parameters
    ----------
    layers : names; none for the only layer with lines and curves
    units : "mm", "cm", "m", "in", "ft" or None for what the drawing says
    tolerance : of arcs in place of splines and ellipses
    snap : ends nearer than this are joined
    symmetry : how far port and starboard may differ
    height : of the hull edge above the flat of the bottom; None for the drawing's own z
    bow : direction in the drawing; None to find the centre line
    centre : coordinate of the centre line in the drawing; None to find it
    half : a closed outline is the half, closed along the centre line
    """

    layers: tuple[str, ...] = ()
    units: str | None = None
    tolerance: float = 0.001
    snap: float = 0.0001
    symmetry: float = 0.001
    height: float | None = None
    bow: float | None = None
    centre: float | None = None
    half: bool = False


def request_of(
    texts: Mapping[str, str | None], layers: Sequence[str] = (), units: str | None = None, half: bool = False
) -> Request:
    """Return a request from what was typed: quantities with units by their names in `Request`, None for not told.

    Raises
    ------
    DesignError
        With every text that is no quantity of its kind.
    """
    problems: list[Problem] = []
    values: dict[str, float] = {}
    for name, text in texts.items():
        if text is None:
            continue
        try:
            values[name] = (parse_angle if name == "bow" else parse_length)(text, f"--{name}")
        except DesignError as error:
            problems.extend(error.problems)
    if problems:
        raise DesignError(problems)
    return Request(layers=tuple(layers), units=units, half=half, **values)


def request_problems(request: Request) -> list[Problem]:
    found = []
    for name, value, (least, most) in (
        ("--tolerance", request.tolerance, TOLERANCES),
        ("--snap", request.snap, (1e-9, 0.05)),
        ("--symmetry", request.symmetry, (1e-9, 1.0)),
        ("--height", request.height, HEIGHTS),
    ):
        if value is not None and not least <= value <= most:
            would_do = f"From {1000.0 * least:g} to {1000.0 * most:g} mm would do."
            found.append(Problem(name, f"{1000.0 * value:g} mm", "It is outside the range that makes sense.", would_do))
    if request.centre is not None and request.bow is None:
        wrong = "It does not say whether this is an x or a y."
        would_do = 'Say where the bow points as well: --bow "0 deg" makes it a y, "90 deg" an x.'
        found.append(Problem("--centre", f"{1000.0 * request.centre:g} mm", wrong, would_do))
    return found


def told(request: Request) -> Told:
    """Return what is told, the centre line in the frame with the bow to the right."""
    centre = request.centre
    if request.bow is None:
        centre = None
    elif centre is not None and round(request.bow / (math.pi / 2.0)) % 4 in (1, 2):
        centre = -centre
    return Told(request.bow, centre, request.symmetry, request.snap, request.half)
