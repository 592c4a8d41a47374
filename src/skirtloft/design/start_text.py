"""The words of a first design file: every key with what it means, values from `skirtloft.design.start`."""

from __future__ import annotations

from dataclasses import dataclass

from skirtloft.design.air_text import air_tables
from skirtloft.design.bounce_text import bounce_table
from skirtloft.design.cloth_text import diaphragm_table, fittings_table, sewing_keys, skids_table, strength_keys
from skirtloft.design.extras_text import extras_tables
from skirtloft.design.model import FORMAT, Show
from skirtloft.design.quantity import OUNCE, POUND, YARD
from skirtloft.design.ride_text import ride_tables
from skirtloft.design.units import format_length, format_mass, format_pressure
from skirtloft.design.workshop_text import workshop_tables


@dataclass(frozen=True)
class Sizes:
    """The sizes of a first design, SI, rounded to what its file says.

    `tip_inset` is how far the mean tip line lies inboard of the joint line; `centre` the x of the cushion's centre;
    `mass_height` the height of the masses above the bottom; `corner` the radius of the joint line.
    """

    seats: int
    mass: float
    solo: float
    length: float
    half_beam: float
    clearance: float
    depth: float
    pitch: float
    height: float
    tip_inset: float
    tip_inside: float
    joint_inside: float
    corner: float
    hull_radius: float
    centre: float
    mass_height: float
    segment_cloth: float
    loop_cloth: float

    @property
    def inboard(self) -> float:
        """How far the inner fixings of a side lie inside the hull edge [m], to a thousandth: twice the depth less X."""
        return round(2.0 * self.depth - (self.tip_inset - self.tip_inside), 3)


@dataclass(frozen=True)
class Writer:
    """How numbers are written: metric, or feet, inches, pounds and ounces."""

    imperial: bool

    def length(self, value: float) -> str:
        """Return a length [m] as TOML text that reads back as itself."""
        if self.imperial:
            return f'"{format_length(value, "imperial")}"'
        if 0.0 < abs(value) < 0.9995:
            return f'"{value * 1000.0:.6g} mm"'
        return f'"{value:.6g} m"'

    def mass(self, value: float) -> str:
        """Return a mass [kg] as TOML text, whole pounds or kilograms."""
        return f'"{value / POUND:.0f} lb"' if self.imperial else f'"{value:.0f} kg"'

    def cloth(self, value: float) -> str:
        """Return a cloth mass [kg/m2] as TOML text."""
        ounces = value / (OUNCE / YARD**2)
        return f'"{ounces:.1f} oz/yd2"' if self.imperial else f'"{value * 1000.0:.0f} g/m2"'

    def choice(self, metric: str, imperial: str) -> str:
        """Return one of two texts, quoted."""
        return f'"{imperial if self.imperial else metric}"'


def quoted(text: str) -> str:
    """Return text as a TOML basic string."""
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def design_text(name: str, date: str, show: Show, sizes: Sizes, pressure: float) -> str:
    """Return the whole file, ending in a line break."""
    write = Writer(show == "imperial")
    parts = [
        _head(name, date, show, sizes, pressure),
        _loads(write, sizes),
        _hull(write, sizes),
        _skirt(write, sizes),
        _air(write),
        bounce_table(write),
        _cloth(write, sizes),
        _making(write),
        workshop_tables(write),
        ride_tables(write),
    ]
    return "\n".join(aligned(line) for line in "\n".join(parts).split("\n"))


def aligned(line: str) -> str:
    """Return a line with the comment after its value at one column; whole-line comments stay as they are."""
    value, mark, comment = line.partition("  # ")
    if not mark or line.startswith("#  ") or (line.startswith("# ") and "=" not in value):
        return line
    return f"{value.rstrip():<38}# {comment.strip()}"


def _head(name: str, date: str, show: Show, sizes: Sizes, pressure: float) -> str:
    words: Show = "imperial" if show == "imperial" else "metric"
    return f"""\
# The design of a loop-and-segment skirt. Change a value, solve again, and read what moved.
#
# To start with: hull {format_length(sizes.length, words)} by {format_length(2.0 * sizes.half_beam, words)}, \
{format_mass(sizes.mass, words)}, cushion about {format_pressure(pressure, "both")}.
#
# Quantities are text with a unit: "260 mm", "2.4 m", "1 ft 3 1/2 in", "750 kg", "1650 lb", "400 g/m2", "12 oz/yd2".
# Axes: x forward from the stern, y to port, z up. The hull is drawn as its port half; starboard is its mirror.

format = "{FORMAT}"  # how to read this file; leave it

[project]  # for the title block of every sheet
name = {quoted(name)}
revision = "A"  # the next letter whenever you cut from a changed file
date = "{date}"  # year-month-day of this revision; no clock is read
show = "{show}"  # metric, imperial or both: units in words and on drawings
"""


def _loads(write: Writer, sizes: Sizes) -> str:
    centre, height = write.length(sizes.centre), write.length(sizes.mass_height)
    return f"""\
# Everything that lifts off: hull, engine, crew, fuel, water in the bilge. The first load is the design case: cloth
# is cut for it. Each further load is solved with the same cloth. In place of mass, x, y and z a load may list
# items = [{{ name = "engine", mass = "60 kg", x = "1.2 m", y = "0 m", z = "500 mm" }}, ...], which are summed.

[craft]
seats = {sizes.seats}  # for the usual weight of cloth; left out: by mass

[[craft.load]]
name = "full"
mass = {write.mass(sizes.mass)}
x = {centre}  # centre of mass, forward of the stern; here the centre of the cushion
y = {write.length(0.0)}  # to port of the centre line
z = {height}  # above the flat of the hull bottom

[[craft.load]]
name = "solo"  # one person and little fuel: a guess, weigh yours
mass = {write.mass(sizes.solo)}
x = {centre}
y = {write.length(0.0)}
z = {height}
"""


def _hull(write: Writer, sizes: Sizes) -> str:
    x, y, height, radius = (
        write.length(value) for value in (sizes.length, sizes.half_beam, sizes.height, sizes.hull_radius)
    )
    zero = write.length(0.0)
    return f"""\
[hull]
clearance = {write.length(sizes.clearance)}  # flat of the bottom above ground at hover; at most 1/8 of the width

# The line on the hull where the loop is fixed, from bow centre to stern centre, port half. Each point:
#   x, y     in plan
#   height   above the flat of the bottom; between points it changes evenly
#   run      the piece to the next point is "bow", "side", "stern" or "corner" (a corner's skirt just joins its
#            neighbours); the last point has none
#   radius   rounds the corner at this point
#   through  = ["4.4 m", "0.5 m"] makes the piece to the next point an arc through that place

[[hull.edge]]
x = {x}
y = {zero}
height = {height}
run = "bow"

[[hull.edge]]
x = {x}
y = {y}
height = {height}
radius = {radius}
run = "side"

[[hull.edge]]
x = {zero}
y = {y}
height = {height}
radius = {radius}
run = "stern"

[[hull.edge]]
x = {zero}
y = {zero}
height = {height}

# A hull that exists may say where its inner fixings are, and `fit` looks for the skirt that meets them. By run, or as
# [[hull.fixing.line]] with x, y, height, radius and through like the edge:
# [hull.fixing.side]
# height = {write.length(sizes.depth - sizes.clearance)}  # above the flat of the bottom
# inboard = {write.length(sizes.inboard)}  # of the hull edge
# [hull.bottom]
# side = {write.length(1.1 * sizes.inboard)}  # how far inside the hull edge the flat of the bottom ends
{skids_table(write, write.length(1.2 * sizes.inboard))}"""


def _skirt(write: Writer, sizes: Sizes) -> str:
    corner = write.length(sizes.corner)
    tip_inside = write.length(sizes.tip_inside)
    side, bow = ("1 1/4 to 3 in", "2 to 4 in") if write.imperial else ("30 to 80 mm", "50 to 100 mm")
    return f"""\
[skirt]
depth = {write.length(sizes.depth)}  # joint above ground; above the clearance: inner corners tie to the planing face
face_angle = "45 deg"  # slope of the outer face to the ground, 30 to 70 deg
tip_angle = "90 deg"  # corner of the web at the ground, 70 to 110 deg; below 90 the face puckers
weight = true  # the weight of the cloth is in the balance of every section
pitch = {write.length(sizes.pitch)}  # wanted width of a segment; a whole number is fitted to every run
stations_per_corner = 7  # sections in 90 deg of a corner, both ends counted; more is smoother

# `stations` lists them and what one more or less costs in millimetres. One of your own, along the joint line from the
# bow centre; what: "add" moves no other, "pin" takes part in the even division, "leave out" takes one away,
# "recut" only cuts the loop `loop` longer or shorter there, as `inflate --level` advises.
# [[skirt.station]]
# at = {write.choice("1.2 m", "4 ft")}
# what = "add"
# loop = {write.choice("5 mm", "3/16 in")}

[skirt.inner]  # where the inner corner of a segment is tied to the hull's planing face
drop = {write.length(0.0)}  # below the level of the joint
# inboard = {write.length(sizes.depth * 2.0)}  # from the joint, in place of tip_angle; left out: it follows from that
tight = "shorten"  # webs that would cross in a tight corner: "shorten" them, or leave them "whole" and be refused

# Each run gives one of two: tip_inside, how far the ground line lies inside the hull edge (side and stern:
# {side}), or joint_inside, how far the joint does (bow: {bow}).

# A run may have segments of its own: depth, face_angle, tip_angle and inner = {{ drop = ..., inboard = ... }} as above,
# for example a deeper bow. Through the corner beside it they change evenly.

[skirt.bow]
joint_inside = {write.length(sizes.joint_inside)}

[skirt.side]
tip_inside = {tip_inside}

[skirt.stern]
tip_inside = {tip_inside}

[skirt.corner]  # radius of the joint line, or "full" for the largest that fits
bow = {corner}  # where bow meets side
stern = {corner}  # where side meets stern
# side = {corner}  # where two side pieces meet at an angle; left out: as bow
{diaphragm_table(write, write.length(0.0), write.length(1.1 * sizes.inboard))}"""


def _air(write: Writer) -> str:
    return f"""\
[air]
gap = {write.choice("10 mm", "3/8 in")}  # mean daylight under the tips
altitude = {write.choice("0 m", "0 ft")}
temperature = {write.choice("15 degC", "59 degF")}
# discharge = 0.54  # of the escape under the tips; left out: by theory from the face angle
fan_efficiency = 0.5  # these four only make the screening figure for the engine
drive_efficiency = 0.9
losses = 1.3  # pressure at the fan over pressure in the cushion
reserve = 1.5  # engine power over that of calm, smooth ground
least_gap = {write.choice("3 mm", "1/8 in")}  # below it the tips drag
roughness = {write.choice("0 mm", "0 in")}  # rms height of the ground; 0 is a smooth floor
lift_share = 1.0  # below 1 where a splitter sends the rest of the fan's air to thrust; a third is usual
feed_drop = 0.35  # pressure to spend in feed holes over cushion pressure: sizes the holes
{air_tables(write)}"""


def _cloth(write: Writer, sizes: Sizes) -> str:
    roll = write.choice("1.37 m", "54 in")
    return f"""\
[cloth.loop]
mass = {write.cloth(sizes.loop_cloth)}  # finished cloth with its coating
roll_width = {roll}  # usable width of the roll
warp = "along"  # the warp runs "along" the skirt or "around" the section
face_side = true  # true: one side of the cloth must face out, so hands are kept apart
one_way = false  # true: pile, print or weave runs one way, so no piece is turned by half a turn
{strength_keys(write, write.choice("24 kN/m", "137 lbf/in"), write.choice("100 N", "22 lbf"))}
[cloth.segment]
mass = {write.cloth(sizes.segment_cloth)}  # the tips wear: one grade heavier than the loop
roll_width = {roll}
warp = "around"  # down the face
face_side = true
one_way = false
{strength_keys(write, write.choice("30 kN/m", "171 lbf/in"), write.choice("100 N", "22 lbf"))}"""


def _making(write: Writer) -> str:
    return f"""\
[making]  # cloth left outside the sewn or finished line, holes, paper
seam = {write.choice("25 mm", "1 in")}  # width of a lap, or cloth on either side of another seam
hull_edge = {write.choice("40 mm", "1 1/2 in")}  # top hem under the edge strip
# hull_edge_corner = {write.choice("65 mm", "2 1/2 in")}  # on corner panels, to let out; left out: what it takes
joint = {write.choice("25 mm", "1 in")}  # beyond the joint: it carries the row of bolts
hem = {write.choice("15 mm", "5/8 in")}  # free edges of the webs
tip_trim = {write.choice("15 mm", "5/8 in")}  # left on below the finished tip, to trim at the first hover
tip_change = {write.choice("0 mm", "0 in")}  # segments longer or shorter, as `inflate` advises
level = {write.choice("10 mm", "3/8 in")}  # joint and tips this near to level are level enough, inflated as sewn
hole = {write.choice("6 mm", "1/4 in")}  # for bolts and ties
hole_pitch = {write.choice("60 mm", "2 1/2 in")}  # wanted spacing along the joint
hole_edge = {write.choice("15 mm", "5/8 in")}  # centre of a hole to the cut edge
patch = {write.choice("30 mm", "1 1/4 in")}  # how far the patch behind a tie hole reaches beyond its tab; zero: none
{sewing_keys(write)}paper = {write.choice("A4", "Letter")}  # A4 or Letter, for tiled templates
printer_x = 1.0  # from the printed test page: what its rule of 100 measures, over 100
printer_y = 1.0
{fittings_table(write)}{extras_tables(write)}

[making.loop]  # how the panels of the loop are made flat
pattern = "exact"  # "exact": least strain, curved edges; "quick": no strain, straight edges, less true in corners
thread_strain = 0.02  # largest stretch of a thread between flat panel and drawn shape
deviation = {write.choice("5 mm", "3/16 in")}  # how far a panel may stand off the drawn shape, by a rule of thumb
corner_end = "section"  # "section": straight panels stay rectangles; "mean": they share the ease of the corner's end
weft = 0.8  # stiffness across the warp over that along it; these three are assumed, measure yours if you can
shear = 0.05  # shear stiffness over that along the warp
contraction = 0.2  # how much the weft draws in when the warp is pulled
# longest = {write.choice("3 m", "10 ft")}  # of the panels of a straight run; left out: one panel
"""
