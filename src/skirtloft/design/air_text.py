"""The optional tables of [air] as they stand in a first design file: commented out, each with what it means."""

from __future__ import annotations

from typing import Protocol

_TABLES = """\
# engine_power = POWER  # what the engine can spare for lift; left out: not compared

# The rest is for matching a fan. Take the "# " off a table and put your numbers in: `skirtloft air` then says
# which gap, speed and power each load gets, and what gives first. Fans kill: guards on, nobody in the fan plane.

# [air.gap_by_run]  # how much higher than the gap the tips of a run hang; may be negative
# bow = ZERO
# side = ZERO
# stern = ZERO

# [[air.day]]  # further days for the tables
# name = "hot afternoon"
# altitude = HEIGHT
# temperature = HOT

# [[air.surface]]  # further grounds: wanted gap and rms height of the ground
# name = "short grass"
# gap = GRASS
# roughness = ROUGH

# [[air.leak]]  # openings that do not close with the gap: area or diameter of one, and how many
# name = "corner gaps"
# area = LEAK
# count = 6
# discharge = 0.6
# place = "cushion"  # loop and cushion are one room; or "loop", of one that is closed but for its feed holes

# [[air.leak]]
# name = "drains"
# diameter = DRAIN
# place = "loop"

# What the air passes on its way, one table each, area or diameter; `factor` replaces the handbook's loss factor
# and `share` says which part of the air takes this way (1.0: all of it).

# [[air.loss]]
# kind = "guard"
# name = "wire guard"
# diameter = GUARD
# open_share = 0.85  # free over whole area
# share = 1.0

# [[air.loss]]
# kind = "inlet"
# diameter = GUARD
# edge = "bellmouth"  # bellmouth, flush, pipe end

# [[air.loss]]
# kind = "duct"
# diameter = FAN
# length = DUCT

# [[air.loss]]
# kind = "bend"
# area = BEND
# bend = "mitre with vanes"  # mitre, mitre with vanes, rounded
# count = 1

# [[air.loss]]
# kind = "splitter"
# area = BEND

# [[air.loss]]
# kind = "frames"
# area = PASSAGE  # of the passage between frames
# free_area = FREE  # what a frame leaves of it
# count = 2

# [[air.loss]]
# kind = "holes"  # feed holes, into a loop that is open below; without count one for each segment. Or "mouth", an
#   open one, or "vents" of a diaphragm
# diameter = HOLE
# discharge = 0.6

# [[air.loss]]
# kind = "other"
# name = "silencer"
# area = BEND
# factor = 0.1
# place = "supply"  # intake: all the fan's air; supply: from the fan to the feed holes; feed: on into the cushion

# [air.fan]
# diameter = FAN
# speed = RPM  # at which it will run here
# tested_speed = RPM  # left out: as speed
# tested_diameter = FAN  # left out: as diameter
# tested_density = DENSITY
# blades = "plastic"  # plastic or metal
# pressure_kind = "total"  # "static" wants outlet_area = BEND as well
# points = [  # from the maker's sheet or your own test; power may be left out
#     { flow = FLOW0, pressure = PRESSURE0 },
#     { flow = FLOW1, pressure = PRESSURE1 },
#     { flow = FLOW2, pressure = PRESSURE2 },
#     { flow = FLOW3, pressure = PRESSURE3 },
# ]
#   In place of points, if that is all you have: free_flow = FLOW3 and shut_off = PRESSURE0 (a guess, and called so).

# [air.water]  # getting up from rest on water
# float_area = FLOAT  # flat of the bottom
# float_length = FLOATLENGTH
# hole_height = HOLEHEIGHT  # lower edge of the feed holes above the flat of the bottom
# aboard = WATER  # water in bilge and skirt
# kind = "fresh"  # or "salt"

# [air.battery]  # lift by electric motor
# voltage = "48 V"
# capacity = "200 Ah"
# usable = 0.8
# resistance = "10 mohm"  # cells and leads
# motor_efficiency = 0.88
# controller_efficiency = 0.96
# duration = "10 min"  # wanted

# What `skirtloft air DESIGN --compare` assumes of other skirt kinds; each [low, best, high].
# [air.kinds.loop_and_segment]
# leakage = [1.0, 1.15, 1.3]
# mouth_ratio = [2.0, 3.0, 5.0]
# mouth_factor = [0.9, 1.0, 1.1]
# duct_loss = [0.05, 0.10, 0.20]
# fan_efficiency = [0.40, 0.50, 0.65]
# drive_efficiency = [0.85, 0.90, 0.95]

# [air.kinds.bag]
# bag_ratio = [1.1, 1.2, 1.3]

# [air.kinds.bag_and_segment]
# bag_ratio = [1.1, 1.2, 1.3]

# [air.kinds.full_segment]
# hole_ratio = [2.0, 2.5, 3.0]
# hole_discharge = [0.58, 0.60, 0.65]
# plenum_loss = [0.0, 0.05, 0.10]
"""

# Word in the text above -> metric and imperial; invented, of a craft for four.
_NUMBERS: dict[str, tuple[str, str]] = {
    "POWER": ("12 kW", "16 hp"),
    "ZERO": ("0 mm", "0 in"),
    "HEIGHT": ("300 m", "1000 ft"),
    "HOT": ("32 degC", "90 degF"),
    "GRASS": ("15 mm", "5/8 in"),
    "ROUGH": ("8 mm", "5/16 in"),
    "LEAK": ("8 cm2", "1.2 in2"),
    "DRAIN": ("25 mm", "1 in"),
    "GUARD": ("680 mm", "27 in"),
    "FAN": ("650 mm", "26 in"),
    "DUCT": ("800 mm", "32 in"),
    "BEND": ("0.36 m2", "560 in2"),
    "PASSAGE": ("0.45 m2", "700 in2"),
    "FREE": ("0.36 m2", "560 in2"),
    "HOLEHEIGHT": ("60 mm", "2 1/2 in"),
    "HOLE": ("60 mm", "2 3/8 in"),
    "RPM": ("2400 rpm", "2400 rpm"),
    "DENSITY": ("1.2 kg/m3", "0.075 lb/ft3"),
    "FLOW0": ("0 m3/s", "0 ft3/min"),
    "FLOW1": ("1.5 m3/s", "3200 ft3/min"),
    "FLOW2": ("3.0 m3/s", "6400 ft3/min"),
    "FLOW3": ("4.5 m3/s", "9500 ft3/min"),
    "PRESSURE0": ("1600 Pa", "6.4 inWG"),
    "PRESSURE1": ("1550 Pa", "6.2 inWG"),
    "PRESSURE2": ("1200 Pa", "4.8 inWG"),
    "PRESSURE3": ("300 Pa", "1.2 inWG"),
    "FLOATLENGTH": ("4.4 m", "14 ft 6 in"),
    "FLOAT": ("8.0 m2", "86 ft2"),
    "WATER": ("25 kg", "55 lb"),
}


class Chooser(Protocol):
    """Writes one of two texts, quoted."""

    def choice(self, metric: str, imperial: str) -> str:
        """Return the one of the file's units."""
        ...


def air_tables(write: Chooser) -> str:
    """Return the commented-out tables, in the units of the file."""
    text = _TABLES
    for word in sorted(_NUMBERS, key=len, reverse=True):
        text = text.replace(f" {word}", f" {write.choice(*_NUMBERS[word])}")
    return text
