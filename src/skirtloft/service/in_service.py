"""Everything on the cloth in use: diaphragm, pulls, mass, and the craft at rest."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from skirtloft.physics.statics_types import SectionStatics, TurnedSections
from skirtloft.physics.types import Cushion
from skirtloft.pieces.types import CutPiece
from skirtloft.service.at_rest import AtRest, at_rest
from skirtloft.service.cloth import ClothInUse, cloth_in_use
from skirtloft.service.diaphragm import DiaphragmResult
from skirtloft.service.weight import SkirtWeight, skirt_weight
from skirtloft.shape.types import Plan

if TYPE_CHECKING:
    from skirtloft.design.model import Design


@dataclass(frozen=True, eq=False)
class InService:
    """What is known of the cloth in use.

    Parameters
    ----------
    diaphragm : DiaphragmResult or None  None where the file has none
    cloth : ClothInUse
    weight : SkirtWeight or None  None where no pieces are cut
    rest : AtRest
    """

    diaphragm: DiaphragmResult | None
    cloth: ClothInUse
    weight: SkirtWeight | None
    rest: AtRest


def in_service(
    design: Design,
    plan: Plan,
    cushions: tuple[Cushion, ...],
    cut: tuple[SectionStatics, TurnedSections, tuple[CutPiece, ...]],
    diaphragm: DiaphragmResult | None,
) -> InService:
    """Return the cloth in use; `cut` is the sections as cut, their rest under every load, and the pieces."""
    statics, rests, pieces = cut
    return InService(
        diaphragm=diaphragm,
        cloth=cloth_in_use(design, plan, cushions, statics, rests, diaphragm),
        weight=skirt_weight(design, plan, statics, pieces, diaphragm) if pieces else None,
        rest=at_rest(design, plan, statics, pieces),
    )
