"""The words of a first design file on the workshop: layout on the roll, materials, prices."""

from __future__ import annotations

from typing import Protocol


class Chooses(Protocol):
    """What is needed of the writer of a design file."""

    def choice(self, metric: str, imperial: str) -> str:
        """Return one of two texts, quoted."""


def workshop_tables(write: Chooses) -> str:
    """Return the tables [layout], [materials] and [prices]; what is left out at first stands in comments."""
    return f"""\
[layout]  # how `layout` lays the pieces out on the cloth
gap = {write.choice("6 mm", "1/4 in")}  # least distance between two pieces
margin = {write.choice("10 mm", "3/8 in")}  # least distance to selvedges and ends

# Rolls in the order in which they are cut up, leftovers first; without any, one new roll of the cloth's width.
# [[layout.roll]]
# cloth = "segment"
# name = "leftover"
# width = {write.choice("1.37 m", "54 in")}  # left out: the roll_width of its cloth
# length = {write.choice("4.2 m", "14 ft")}  # left out: as long as it takes

[materials]  # what else goes into the skirt, for `materials`
thread_spare = 1.25  # thread bought over thread sewn
glue = {write.choice("300 g/m2", "9 oz/yd2")}  # all coats on both faces of a lap, wet

[prices]  # a price left out is shown as not priced, never as nothing
# currency = "EUR"
per = {write.choice("1 m", "3 ft")}  # cloth, thread and strip are priced by this length
# loop_cloth = 18.0
# segment_cloth = 24.0
# wear_cloth = 30.0  # of [making.wear], where its mass is told
# thread = 0.02
# glue = 28.0  # a kilogram
# strip = 6.5
# bolt = 0.2  # each, as all that follow
# washer = 0.05
# eyelet = 0.1
# tie = 0.1
"""
