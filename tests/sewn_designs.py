"""Parts of the examples' skirts, sewn from their cut pieces and inflated once for all tests that look at them."""

from __future__ import annotations

from functools import cache

from skirtloft.inflate.skirt.model import Cut, Making
from skirtloft.inflate.skirt.trial import Asked, Trial, try_skirt
from tests.designs import skirt_of

SIDE = (22, 22)  # one segment in the middle of the four-seat's long side
CORNER = (32, 38)  # three segments of its side and half its stern corner
TOLERANCE = 0.010


@cache
def cut_of(name: str, *changes: tuple[str, str]) -> Cut:
    skirt = skirt_of(name, *changes)
    return Cut(skirt.design, skirt.plan, skirt.sections, skirt.development.panels, skirt.pieces)


@cache
def trial_of(only: tuple[int, int], fittings: bool = True, mesh: bool = False, **asked: object) -> Trial:
    """Return that part of the four-seat inflated; `asked` as in `Asked`."""
    making = Making(only=only, fittings=fittings)
    return try_skirt(cut_of("four-seat"), Asked(making=making, tolerance=TOLERANCE, mesh=mesh, **asked))  # type: ignore[arg-type]
