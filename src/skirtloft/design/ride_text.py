"""The optional tables [balance] and [under_way] as they stand in a first design file: commented out."""

from __future__ import annotations

from skirtloft.design.air_text import Chooser

_TABLES = """\
# How it sits and what water does to it: `skirtloft sits` and `skirtloft water` say so with the loads above; these
# tables make the answers yours. Take the "# " off a table and put your numbers in.

# [balance]  # to sit level
# ballast = BALLAST  # where would this much go?
# movable = [  # aboard in every load, and could stand elsewhere: mass and where it is now
#     { name = "fuel tank", mass = TANK, x = TANKX, y = ZERO },
# ]

# [under_way]  # on water
# static_thrust = THRUST  # pulled with a spring scale, craft tied up on land: stand clear of rope and blades
# disc = DISC  # swept by the blades
#   In place of both, where a curve is known: thrust = [{ speed = SPEED0, thrust = THRUST }, ...].
# thrust_height = HIGH  # of the thrust line above the flat of the bottom
# intake_height = HIGH  # of the middle of the lift intake; left out: as the thrust line
# frontal_area = FRONT  # seen from ahead, people in it
# frontal_height = MIDDLE  # of the middle of that area
# water = "fresh"  # or "salt"
#   Factors of the drag, each [low, best, high]; nobody has measured them on your craft:
# wave = [0.8, 1.0, 1.2]
# air = [0.4, 0.6, 0.9]
# momentum = [1.0, 1.0, 1.0]
# skirt_friction = [0.003, 0.006, 0.015]
# wet_band = [ZERO, BAND, WIDEBAND]
"""

# Word in the text above -> metric and imperial; invented, of a craft for four.
_NUMBERS: dict[str, tuple[str, str]] = {
    "BALLAST": ("20 kg", "45 lb"),
    "TANKX": ("1.4 m", "4 ft 7 in"),
    "TANK": ("28 kg", "62 lb"),
    "ZERO": ("0 mm", "0 in"),
    "THRUST": ("620 N", "140 lbf"),
    "DISC": ("1.1 m", "3 ft 7 in"),
    "SPEED0": ("0 m/s", "0 ft/s"),
    "HIGH": ("1 m", "3 ft 3 in"),
    "FRONT": ("2.6 m2", "28 ft2"),
    "MIDDLE": ("550 mm", "1 ft 10 in"),
    "WIDEBAND": ("40 mm", "1 5/8 in"),
    "BAND": ("20 mm", "3/4 in"),
}


def ride_tables(write: Chooser) -> str:
    """Return the commented-out tables, in the units of the file."""
    text = _TABLES
    for word in sorted(_NUMBERS, key=len, reverse=True):
        for before in (" ", "["):
            text = text.replace(f"{before}{word}", f"{before}{write.choice(*_NUMBERS[word])}")
    return text
