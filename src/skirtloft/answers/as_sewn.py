"""What of a skirt is sewn up and inflated: the same for the command line and the desk."""

from __future__ import annotations

from skirtloft.inflate.skirt.model import Cut
from skirtloft.pipeline import Skirt
from skirtloft.service.diaphragm import diaphragm_cut
from skirtloft.shape.recut import as_cut


def cut_to_sew(skirt: Skirt) -> Cut:
    """Return the pieces of a skirt with the sections that its loop is cut for and the strips of its diaphragm.

    `skirt` is built with its pieces and with panels as they are cut (`build` with ``preview=False``).
    """
    sections = as_cut(skirt.design, skirt.plan, skirt.sections)
    strips = diaphragm_cut(skirt.service.diaphragm, skirt.plan)
    return Cut(skirt.design, skirt.plan, sections, skirt.development.panels, skirt.pieces, strips)
