"""The optional [bounce] table as it stands in a first design file: commented out."""

from __future__ import annotations

from skirtloft.design.air_text import Chooser

_TABLE = """\
# Heave and skirt bounce: `skirtloft rides` says what they may do, a screening indicator and no promise. Take the "# "
# off what you know; the loss in the cloth comes from a swing test at home, `skirtloft swing`.

# [bounce]
# loss_factor = 0.05  # of cloth and seams; 0.05 to 0.15 is what is assumed where nobody measured
# flow_share = 1.0  # share of the lift air that comes through the loop
# mouth_area = MOUTH  # all openings from loop to cushion; left out: the open lower side of the loop
#   In place of it: mouth_open = 0.8, the share of that side which webs, folds and a diaphragm leave open.
# mouth_discharge = 0.6
# cushion_volume = VOLUME  # air under hull and in the skirt; left out: from plan and sections
# duct_length = DUCT  # way of the air from fan to loop, and its area; left out: the ducts of air.loss, else a guess
# duct_area = SIZE
# fan_steepness = 1.5  # fall of pressure over growth of flow, both as shares; only used without [air.fan]
# lip_strength = 0.0  # suction under rounded tips over cushion pressure; no source for any number
# lip_length = LIP  # of the rounding
"""

# Word in the text above -> metric and imperial; invented, of a craft for four.
_NUMBERS: dict[str, tuple[str, str]] = {
    "MOUTH": ("3.5 m2", "38 ft2"),
    "VOLUME": ("4.2 m3", "150 ft3"),
    "DUCT": ("1.2 m", "4 ft"),
    "SIZE": ("0.55 m2", "6 ft2"),
    "LIP": ("10 mm", "3/8 in"),
}


def bounce_table(write: Chooser) -> str:
    """Return the commented-out table, in the units of the file."""
    text = _TABLE
    for word, numbers in _NUMBERS.items():
        text = text.replace(f"= {word}", f"= {write.choice(*numbers)}")
    return text
