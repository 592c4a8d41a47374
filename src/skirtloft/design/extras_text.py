"""The tables on seams and on what may be sewn besides as they stand in a first design file."""

from __future__ import annotations

from typing import Protocol


class Writes(Protocol):
    """What is needed of a `Writer`: the choice between two texts, quoted."""

    def choice(self, metric: str, imperial: str) -> str:
        """Return one of two texts, quoted."""
        ...


def extras_tables(write: Writes) -> str:
    """Return the kinds of seams and the rule for spares, and every other table of [making] commented out."""
    return f"""\

[making.seams]  # classes of ISO 4916: superimposed (1), lapped (2), bound (3), turned (6)
loop = "lapped"  # between loop panels; a lap is `seam` wide in all, else each edge has `seam`
face = "superimposed"  # face to web
hem = "turned"  # free edges: turned, or bound with a tape
hull = "turned"  # the hull edge: turned, or bound
binding = {write.choice("12 mm", "1/2 in")}  # finished width of a binding

[making.spares]  # counted apart from what goes on the craft
share = 0.1  # of every kind of segment
least = 6  # segments in all
corner = 2  # segments of every corner

# What may be sewn besides. Take the marks away from a table to have it.
# [making.wear]  # a wear panel over the tip of every face, a piece of its own
# height = {write.choice("100 mm", "4 in")}  # up the face from the tip
# inset = {write.choice("6 mm", "1/4 in")}  # from the seams, so that it comes off without opening them
# mass = {write.choice("600 g/m2", "18 oz/yd2")}  # of its cloth; left out: the segments'
# [making.back]  # closes the mouths of the stern segments against scooping
# form = "flap"  # flap: low, from the tip; closed: up to the opening
# height = {write.choice("100 mm", "4 in")}  # of a flap
# opening = {write.choice("80 mm", "3 in")}  # left open at the inner fixing by a closed back
# corners = false  # true: those of the stern corners too
# [making.hull_band]  # a folded band sewn to the loop along the hull edge
# width = {write.choice("40 mm", "1 1/2 in")}
# [making.spray_flap]  # an apron from the joint over the tops of the segments
# drop = {write.choice("80 mm", "3 in")}  # down the face
# runs = "bow"  # bow with its corners, "bow and sides", or "all"
# [making.drains]  # slots low in the loop at the stern, each under a flap that opens aft
# count = 4
# length = {write.choice("40 mm", "1 1/2 in")}
# above = {write.choice("30 mm", "1 1/4 in")}  # the joint
# [making.loop_ties]  # straps inside the loop from hull edge to joint
# spacing = {write.choice("1.5 m", "5 ft")}
# width = {write.choice("50 mm", "2 in")}
# [making.covers]  # cover tapes over the seams of the loop
# width = {write.choice("45 mm", "1 3/4 in")}
"""
