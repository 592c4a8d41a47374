"""The tables on diaphragm, skids, strength and fittings as they stand in a first design file: commented out."""

from __future__ import annotations

from typing import Protocol


class Writes(Protocol):
    """What is needed of a `Writer`: the choice between two texts, quoted."""

    def choice(self, metric: str, imperial: str) -> str:
        """Return one of two texts, quoted."""
        ...


def diaphragm_table(write: Writes, height: str, inboard: str) -> str:
    """Return [skirt.diaphragm], commented out; `height` and `inboard` quoted, of a place on the hull."""
    return f"""\

# A diaphragm is a light vented cloth from the joint inboard to the hull, held taut by a loop cut short: it stops the
# skirt's bounce. It needs a place on the hull well below the line from joint to inner fixing; most hulls have none, and
# `solve` then says what would make one. Without the table the loop is cut for balance.
# [skirt.diaphragm]
# margin = 0.2  # what the loop lifts in excess of balance; 0.15 to 0.25 is usual
# feed = "through"  # the lift air passes its vents; or "beside", fed straight into the cushion
# cloth = {write.choice("200 g/m2", "6 oz/yd2")}
# stretch = {write.choice("50 kN/m", "285 lbf/in")}  # pull per unit stretch, vents included
# steepness = 0.3  # least slope (sine) against the level and against the line from joint to inner fixing
# heave = 0.5  # in g: acceleration upwards at which it must stay taut
# pressure_share = 0.5  # share of the design pressure at which it must stay taut
# lip_suction = {write.choice("3 mm", "1/8 in")}  # downward pull on the lip over the pressure
# imperfection = 0.0  # further margin for sewing
# over_pressure = 0.02  # fed through: loop over cushion pressure
# lag = 0.01  # fed beside: pressure difference over the swing
# swing = 0.3  # of a bouncing cushion's pressure
# frequency = "9 Hz"  # of the bounce
# vent_diameter = {write.choice("50 mm", "2 in")}  # with vents_per_pitch: holes already chosen; left out: found
# vents_per_pitch = 12
# [skirt.diaphragm.side]  # a run may have a margin of its own, 0 for none, and its place on the hull
# margin = 0.2
# height = {height}  # above the flat of the bottom
# inboard = {inboard}  # of the hull edge
"""


def skids_table(write: Writes, inboard: str) -> str:
    """Return [hull.skids], commented out."""
    return f"""\
# [hull.skids]  # left out: she sits on the flat of the bottom
# height = {write.choice("40 mm", "1 1/2 in")}  # below the flat of the bottom
# inboard = {inboard}  # of the hull edge; left out: not looked at
"""


def strength_keys(write: Writes, strength: str, tear: str) -> str:
    """Return the strength of a cloth, commented out; texts quoted."""
    return f"""\
# strength = {strength}  # of a strip, maker's sheet; left out: nothing is judged by it
# tear = {tear}  # what it holds once torn
"""


def sewing_keys(write: Writes) -> str:
    """Return stitches and shock factor."""
    return f"""\
join = "glued and sewn"  # or "glued", "sewn", "welded"
stitch = "301"  # ISO 4915: 301 lockstitch, 401 chainstitch
stitch_length = {write.choice("4.5 mm", "3/16 in")}
rows = 2  # of stitches in a seam
# thread_strength = {write.choice("62 N", "14 lbf")}  # of the single thread; left out: no seam is judged
shock = 3.0  # pressure of a slap over that of hover
"""


def fittings_table(write: Writes) -> str:
    """Return [making.fittings]: masses of what is no cloth."""
    return f"""\

[making.fittings]  # masses, for the skirt's own
bolt = {write.choice("6.5 g", "1/4 oz")}  # with nut and two washers
tie = {write.choice("3 g", "1/10 oz")}
strip = {write.choice("162 g/m", "0.11 lb/ft")}  # along hull edge and joint
thread = "90 tex"
glue = {write.choice("200 g/m2", "6 oz/yd2")}  # dry, on a lap
"""
