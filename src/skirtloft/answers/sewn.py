"""What is sewn up of a skirt: loops and faces as they are cut, and a taut diaphragm with them."""

from __future__ import annotations

from skirtloft.inflate.skirt.model import Cut
from skirtloft.pipeline import Skirt
from skirtloft.service.diaphragm import diaphragm_cut
from skirtloft.shape.recut import as_cut


def cut_of(skirt: Skirt) -> Cut:
    """Return the cut pieces of a skirt, recut loops and the strips of a diaphragm among them."""
    sections = as_cut(skirt.design, skirt.plan, skirt.sections)
    strips = diaphragm_cut(skirt.service.diaphragm, skirt.plan)
    return Cut(skirt.design, skirt.plan, sections, skirt.development.panels, skirt.pieces, strips)
