"""A first design file for a craft of which only seats, mass, length and beam are known.

The sizes follow common practice (each rule stands beside its line in `choose_sizes`); the file that comes out solves
without a failed check over the range of `RANGE`, and its comments say what every key means.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from skirtloft.design.model import Show
from skirtloft.design.quantity import INCH, parse_length, parse_mass, shown
from skirtloft.design.start_text import Sizes, design_text
from skirtloft.design.units import GRAVITY, format_length, format_mass, format_pressure
from skirtloft.errors import DesignError, Problem


@dataclass(frozen=True)
class Range:
    """What `new_design_text` takes: all common practice for light loop-and-segment craft, no source."""

    seats: tuple[int, int] = (1, 12)
    length: tuple[float, float] = (2.0, 11.0)  # m
    beam: tuple[float, float] = (1.2, 4.0)  # m: below, the clearance leaves no room for a segment
    slenderness: tuple[float, float] = (1.5, 3.0)  # length over beam; about 2 is usual


RANGE = Range()

# Most seats of the band -> usual pressures, and the pressures beyond which a start is refused [Pa].
# Usual: common practice, no source. Refused: a quarter or so outside.
PRESSURES: tuple[tuple[int, tuple[float, float], tuple[float, float]], ...] = (
    (1, (300.0, 500.0), (225.0, 650.0)),
    (4, (450.0, 800.0), (340.0, 1000.0)),
    (12, (700.0, 1300.0), (525.0, 1300.0)),
)

# Seats -> (mass [kg], length [m], beam [m]) of a craft to start from; common practice, no source.
USUAL: dict[int, tuple[float, float, float]] = {
    1: (200.0, 3.3, 1.6),
    2: (350.0, 4.0, 1.9),
    3: (500.0, 4.5, 2.1),
    4: (650.0, 5.0, 2.3),
    5: (850.0, 5.3, 2.4),
    6: (1000.0, 5.6, 2.5),
    7: (1150.0, 5.9, 2.6),
    8: (1300.0, 6.2, 2.7),
    9: (1450.0, 6.5, 2.8),
    10: (1600.0, 6.8, 2.9),
    11: (1750.0, 7.1, 3.0),
    12: (1900.0, 7.4, 3.1),
}

# Most seats of the band -> cloth of segments and of loop, one grade lighter [g/m2]; common practice, no source.
CLOTHS: tuple[tuple[int, float, float], ...] = (
    (2, 300.0, 250.0),
    (4, 400.0, 300.0),
    (8, 550.0, 400.0),
    (12, 750.0, 550.0),
)

PERSON = 80.0  # kg
SEAT_SHARE = 95.0  # kg of the full load per seat: a person, what he brings and fuel; common practice, no source
HEM = 0.015  # m, the default hem of the webs
TIP_INSIDE = {"metric": 0.050, "imperial": 2.0 * INCH}
JOINT_INSIDE = {"metric": 0.075, "imperial": 3.0 * INCH}


def new_design(
    name: str,
    seats: int = 4,
    mass: str | None = None,
    length: str | None = None,
    beam: str | None = None,
    show: Show | None = None,
    date: str = "2026-01-01",
) -> tuple[str, tuple[str, ...]]:
    """Return the text of a first design file and sentences on what is unusual in it.

    Parameters
    ----------
    name : str
    seats : int
    mass, length, beam : str or None
        With units; None takes what suits the rest.
    show : "metric", "imperial", "both" or None
        None: imperial where any of the three is given so, else metric.
    date : str
        Year-month-day for the title block.

    Raises
    ------
    DesignError
        With every reason why no sensible craft comes out.
    """
    problems: list[Problem] = []
    read: dict[str, float | None] = {}
    for key, text, parse in (
        ("mass", mass, parse_mass),
        ("length", length, parse_length),
        ("beam", beam, parse_length),
    ):
        try:
            read[key] = None if text is None else parse(text, key)
        except DesignError as error:
            problems.extend(error.problems)
    if problems:
        raise DesignError(problems)
    chosen = usual_sizes(seats, **read)
    if show is None:
        is_imperial = any(re.search(r"ft|foot|feet|in|lb|oz|['\"]", text) for text in (mass, length, beam) if text)
        show = "imperial" if is_imperial else "metric"
    text = new_design_text(name, seats, *chosen, show=show, date=date)
    return text, unusual(seats, *chosen)


def new_design_text(
    name: str, seats: int, mass: float, length: float, beam: float, show: Show = "metric", date: str = "2026-01-01"
) -> str:
    """Return the text of a first design file.

    Parameters
    ----------
    name : str
        Of the craft, for the title blocks.
    seats : int
        1 to 12.
    mass : float [kg]
        All-up.
    length, beam : float [m]
        Of the hull edge.
    show : "metric", "imperial" or "both"
        "imperial" writes the file in feet, inches and pounds.
    date : str
        Year-month-day for the title block.

    Raises
    ------
    DesignError
        With every reason: no name, seats outside 1 to 12, or sizes outside `RANGE` and `PRESSURES`.
    """
    problems = [*_name_problems(name), *_range_problems(seats, mass, length, beam)]
    if problems:
        raise DesignError(problems)
    sizes = choose_sizes(seats, mass, length, beam, show)
    pressure = mass * GRAVITY / cushion_area(sizes)
    problems = _pressure_problems(seats, mass, pressure)
    if problems:
        raise DesignError(problems)
    return design_text(project_name(name), date, show, sizes, pressure)


def usual_sizes(
    seats: int, mass: float | None = None, length: float | None = None, beam: float | None = None
) -> tuple[float, float, float]:
    """Return mass [kg], length and beam [m], those not given chosen to suit the others.

    Length and beam keep their usual ratio and grow with the root of the mass; the mass grows with their product.
    """
    low, high = RANGE.seats
    usual_mass, usual_length, usual_beam = USUAL[min(max(seats, low), high)]
    ratio = usual_length / usual_beam
    if length is None and beam is None:
        growth = 1.0 if mass is None or mass <= 0.0 else math.sqrt(mass / usual_mass)
        length, beam = usual_length * growth, usual_beam * growth
    elif length is None:
        length = ratio * (beam or 0.0)
    elif beam is None:
        beam = length / ratio
    assert length is not None
    assert beam is not None
    if mass is None:
        mass = usual_mass * ((length * beam) / (usual_length * usual_beam))
    return mass, length, beam


def unusual(seats: int, mass: float, length: float, beam: float) -> tuple[str, ...]:
    """Return sentences on what is possible but unusual: pressure outside the band of its seats, slenderness."""
    sizes = choose_sizes(seats, mass, length, beam, "metric")
    pressure = mass * GRAVITY / cushion_area(sizes)
    (low, high), _ = _pressure_band(seats)
    sentences = []
    if not low <= pressure <= high:
        band = f"{low:.0f} to {high:.0f} Pa"
        sentences.append(f"The cushion comes to {pressure:.0f} Pa; {band} is usual with {_seats(seats)}.")
    if not 1.7 <= length / beam <= 2.6:
        sentences.append(f"Length is {length / beam:.2f} times the beam; about 2 is usual.")
    return tuple(sentences)


def choose_sizes(seats: int, mass: float, length: float, beam: float, show: Show) -> Sizes:
    """Return every size of a first design, rounded to what the file will say. Rules: common practice, no source."""
    imperial = show == "imperial"

    def rounded(value: float, metric_step: float, inch_step: float) -> float:
        step = inch_step * INCH if imperial else metric_step
        return round(value / step) * step

    length, beam = rounded(length, 0.01, 0.5), 2.0 * rounded(beam / 2.0, 0.005, 0.25)
    clearance = rounded(beam / 9.0, 0.005, 0.25)  # between 1/10 and 1/8 of the width
    # The inner fixing lands on the planing surface, a little above the flat of the bottom.
    depth = clearance + rounded(max(0.020, 0.12 * clearance), 0.005, 0.25)
    height = rounded(depth - clearance + 1.1 * depth, 0.005, 0.25)  # hull edge 1.1 depths above the joint
    tip_inside, joint_inside = (lengths["imperial" if imperial else "metric"] for lengths in (TIP_INSIDE, JOINT_INSIDE))
    pitch, corner = _pitch_and_corner(length, beam, depth, joint_inside, tip_inside, imperial)
    tip_inset = _tip_inset(depth, pitch)
    # Hull corner about concentric with the joint line at side and stern, where the joint lies outboard.
    # Rounded down: a larger one would begin inside the straight runs, and their panels would not be rectangles.
    step = 0.5 * INCH if imperial else 0.010
    hull_radius = math.floor((corner - (tip_inset - tip_inside)) / step + 1e-9) * step
    segment, loop = next((tips, lighter) for most, tips, lighter in CLOTHS if seats <= most)
    return Sizes(
        seats=seats,
        mass=mass,
        solo=min(mass, max(0.45 * mass, mass - SEAT_SHARE * seats) + PERSON),
        length=length,
        half_beam=beam / 2.0,
        clearance=clearance,
        depth=depth,
        pitch=pitch,
        height=height,
        tip_inset=tip_inset,
        tip_inside=tip_inside,
        joint_inside=joint_inside,
        corner=corner,
        hull_radius=hull_radius,
        centre=rounded((length - joint_inside - tip_inset + tip_inside) / 2.0, 0.010, 0.5),
        mass_height=rounded(0.25 * beam, 0.010, 0.5),
        segment_cloth=segment / 1000.0,
        loop_cloth=loop / 1000.0,
    )


def _tip_inset(depth: float, pitch: float) -> float:
    """Return how far the mean tip line lies inboard of the joint line [m], face 45 deg, half-round bulge."""
    return depth - math.pi / 8.0 * pitch / math.sin(math.pi / 4.0)


def _pitch_and_corner(
    length: float, beam: float, depth: float, joint_inside: float, tip_inside: float, imperial: bool
) -> tuple[float, float]:
    """Return the pitch and the corner radius of the joint line [m] that fill every run best with whole segments.

    Depth is 1.55 to 2.4 times the pitch, about 0.55 of the depth and 120 mm or more where the depth allows (common
    practice, no source). Neighbouring inner fixings, 2 depths inboard in a corner, keep room for two hems:
    (r - 2 d) w / r >= 2 hem, so r >= 2 d / (1 - 2 hem / w) (derived).
    """
    wanted = min(max(0.55 * depth, min(0.120, depth / 1.6)), 0.300)
    pitch_step, corner_step = (0.25 * INCH, 0.5 * INCH) if imperial else (0.005, 0.010)
    first, last = math.ceil(depth / 2.4 / pitch_step), math.floor(min(depth / 1.55, 0.300) / pitch_step)
    best = (math.inf, wanted, 0.0)
    for pitch in (count * pitch_step for count in range(first, last + 1)):
        outboard = _tip_inset(depth, pitch) - tip_inside
        least = math.ceil(2.0 * depth / (1.0 - 2.0 * HEM / pitch) / corner_step)
        for corner in (count * corner_step for count in range(least, least + 20)):
            across = beam + 2.0 * (outboard - corner)
            along = length - joint_inside + outboard - 2.0 * corner
            if min(across, along) < 2.0 * pitch:
                break
            misfit = max(_misfit(run, pitch) for run in (across, along, corner * math.pi / 2.0))
            score = misfit + 0.2 * abs(pitch / wanted - 1.0) + 0.1 * (corner / (least * corner_step) - 1.0)
            best = min(best, (score, pitch, corner))
    return best[1:]


def _misfit(run: float, pitch: float) -> float:
    """Return by what share the fitted pitch of a run misses the wanted one."""
    return abs(run / max(1, round(run / pitch)) / pitch - 1.0)


def cushion_area(sizes: Sizes) -> float:
    """Return the area [m2] inside the mean tip line of a first design, a rectangle with rounded corners."""
    long = sizes.length - sizes.joint_inside - sizes.tip_inset - sizes.tip_inside
    wide = 2.0 * (sizes.half_beam - sizes.tip_inside)
    return long * wide - (4.0 - math.pi) * (sizes.corner - sizes.tip_inset) ** 2


def project_name(name: str) -> str:
    """Return the name fit for a title block: printable, single blanks, at most 60 letters."""
    plain = "".join(letter if letter.isprintable() else " " for letter in name)
    return " ".join(plain.split())[:60].strip()


def _name_problems(name: str) -> list[Problem]:
    if project_name(name):
        return []
    return [Problem("name", shown(name), "There is no letter in the name.", "Give a name such as four-seat.")]


def _range_problems(seats: int, mass: float, length: float, beam: float) -> list[Problem]:
    problems = []
    if not RANGE.seats[0] <= seats <= RANGE.seats[1]:
        problems.append(
            Problem("seats", str(seats), "A light craft has 1 to 12 seats here.", "From 1 to 12 seats would do.")
        )
    if not (math.isfinite(mass) and mass > 0.0):
        problems.append(Problem("mass", f"{mass:g} kg", "A mass is above zero.", "Give the all-up mass, with crew."))
    for key, value, (low, high) in (("length", length, RANGE.length), ("beam", beam, RANGE.beam)):
        if not low <= value <= high:
            wrong = f"This {key} is outside what light loop-and-segment craft have."
            problems.append(Problem(key, _both(value), wrong, f"From {_both(low)} to {_both(high)} would do."))
    low, high = RANGE.slenderness
    if not problems and not low <= length / beam <= high:
        wrong = f"Length is {length / beam:.2f} times the beam."
        would_do = f"On this beam a length from {_both(low * beam)} to {_both(high * beam)} would do."
        problems.append(Problem("length", _both(length), wrong, would_do))
    return problems


def _both(value: float) -> str:
    return format_length(value, "both") if math.isfinite(value) else f"{value:g} m"


def _pressure_band(seats: int) -> tuple[tuple[float, float], tuple[float, float]]:
    return next((usual, widest) for most, usual, widest in PRESSURES if seats <= most)


def _pressure_problems(seats: int, mass: float, pressure: float) -> list[Problem]:
    _, (low, high) = _pressure_band(seats)
    if low <= pressure <= high:
        return []
    wrong = f"On this length and beam the cushion comes to {format_pressure(pressure, 'both')}."
    least, most = (format_mass(mass * limit / pressure, "both") for limit in (low, high))
    grow = "shorter or narrower" if pressure < low else "longer or wider"
    would_do = f"With {_seats(seats)} from {least} to {most} would do on this hull, or a {grow} hull."
    return [Problem("mass", format_mass(mass, "both"), wrong, would_do)]


def _seats(seats: int) -> str:
    return "1 seat" if seats == 1 else f"{seats} seats"
