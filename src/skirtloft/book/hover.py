"""What to look at before the engine starts, the first hover, and the record by which the skirt is trimmed."""

from __future__ import annotations

import math

from skirtloft.book.particulars import water_column
from skirtloft.book.subject import Subject
from skirtloft.book.types import Block, Caution, Chapter, Heading, Steps, Table, Text
from skirtloft.design.units import format_mass, format_pressure, format_rotation
from skirtloft.results import sizes
from skirtloft.trim.places import WORDS, places
from skirtloft.trim.plane import FIRST, LEVEL, LOW

CAUTION = (
    "Fans kill. Guards on, nobody near the blades or in line with them, loose things out of reach of the air, kill"
    " switch on a lanyard round the driver's wrist, eye and ear protection. One person gives the signals. Somebody"
    " stands by with an extinguisher and can reach the fuel and battery switch."
)


def before_starting(subject: Subject) -> Chapter:
    """Return the list to tick before the engine is started for the first time."""
    skirt = subject.skirt
    match = skirt.air.match
    fails = [finding for finding in skirt.findings if finding.verdict == "fail"]
    ties = sum(piece.quantity for piece in subject.pieces("web"))
    checks = [
        "No finding in this book fails."
        if not fails
        else f"{len(fails)} findings FAIL: they are mended, not accepted.",
        f"Weighed, not guessed: {format_mass(skirt.cushions[0].mass, subject.show)} is the mass the cloth is cut for."
        f" She balances {subject.length(skirt.design.craft.load[0].x)} from the stern.",
        "Every bolt of joint and edge is tight; every washer is there.",
        f"All {ties} ties are there, none pulls its segment down, none is longer than its neighbour.",
        "Every segment hangs free; none is folded in under the hull or caught by its neighbour.",
        "Feed holes, ducts and drains are open; a hand has been through them for tools, offcuts and tape.",
        "Fan: blades without cracks or burnt colour, guards fast, the hub bolts marked with paint.",
        "Belt: tension, both edges whole, dry. Fuel: no leak, no smell. Battery: fast, insulated.",
        "Throttle goes back by itself. The kill switch stops the engine: tried, twice.",
        "Rudders and elevators free. Thrust off: propeller stopped or its belt off.",
        "Level, hard, swept ground; no stone or string within ten paces. Tied at four corners with slack for the"
        " hover.",
        "Spectators behind a line, to the side, never ahead of or behind a fan.",
    ]
    if match is not None:
        wanted = float(match.for_gap.speed[0])
        if math.isfinite(wanted):
            checks.append(
                f"Speed to expect for the wanted gap: {format_rotation(wanted)} (computed). Do not go above"
                f" {format_rotation(match.speed)}, which the file sets, nor above what the maker of the blades allows."
            )
    blocks: list[Block] = [
        Caution(CAUTION),
        Steps(tuple(checks), boxes=True),
        Table(("Looked at by", "Day", "Place", "Signature"), (("",) * 4,) * 2, (2.0, 1.2, 2.0, 2.0), form=True),
    ]
    return Chapter("Before starting the engine", tuple(blocks))


def first_hover(subject: Subject) -> Chapter:
    """Return the first hover step by step."""
    show, skirt = subject.show, subject.skirt
    first = skirt.cushions[0]
    height = subject.length(sizes(skirt)["hover_height_m"])
    lightest = min(skirt.cushions, key=lambda cushion: cushion.mass)
    blocks: list[Block] = [
        Text(
            "Empty but for the driver, tethered, thrust off. Power goes up in steps; between two steps everybody looks"
            " and nobody reaches in. Stop at once if she bounces, leans, scoops, howls or smells."
        ),
        Steps(
            (
                "A quarter of the power: the loop fills. Look for panels that pull and for seams that open. Stop,"
                " mend.",
                f"Until she just lifts. The gauge then shows about"
                f" {subject.length(water_column(lightest.pressure))} of water"
                f" ({format_pressure(lightest.pressure, show)}) with {lightest.name!r} aboard,"
                f" {subject.length(water_column(first.pressure))} ({format_pressure(first.pressure, show)}) with"
                f" {first.name!r}; another mass, in proportion. Much less: a leak or a wrong weight. Much more: she is"
                " heavier than you think.",
                f"Up to the wanted gap of {subject.length(skirt.air.gap)}: the bottom stands {height} above the floor."
                " Let it settle a minute.",
                "Walk round, outside the tether: the same daylight all round? Segments that flutter, tuck under or"
                " stand open at the tips? Write down where.",
                "Stop. Feel belt, bearings and fan hub for warmth. Tighten every bolt again.",
                "Measure the eight gaps of the record, engine steady, with a wedge pushed in from outside, never with"
                " fingers.",
                "Turn her end for end and measure again: what stays with the floor is the floor's slope.",
            )
        ),
    ]
    return Chapter("First hover", tuple(blocks), new_page=False)


def trim_record(subject: Subject) -> Chapter:
    """Return the form of the gaps measured round the craft, as `trim` reads them."""
    blocks: list[Block] = [
        Text(
            f"First level her by mass, then measure again, and only then trim. Level is within {subject.length(LEVEL)}"
            f" from side to side and from end to end. A tip is trimmed where it hangs more than {subject.length(LOW)}"
            f" below the rest, and at first by {100 * FIRST:.0f} % of it: what is off is off. Scissors do not mend a"
            " centre of mass. The command trim reads this record and says what to move and what to cut."
        ),
        _record(subject),
        Table(
            ("Load aboard", "Mass", "Pressure", "Speed", "Floor, wind", "Day, by"),
            (("",) * 6,) * 3,
            (1.8, 1.2, 1.4, 1.2, 2.0, 1.8),
            form=True,
            caption="With it",
        ),
        Text(
            'As a file: format = "skirtloft-gaps/1", then for each place [[gap]] with at = "port-bow" and'
            f' gap = "{"1/2 in" if subject.show == "imperial" else "12 mm"}", 0 where tips drag; load and pressure'
            " above them where known."
        ),
        Heading("After that, in this order"),
        Steps(
            (
                "Trimmed and level: full mass, hover again, measure again.",
                "Thrust on, tethered: nothing may blow into a fan.",
                "Short grass or sand at walking pace, straight, then turns.",
                "Water: calm, shallow, lifejackets, a second boat. Float first with the engine off: does she sit level,"
                " and does water come in? Start on the water. Then over the hump, with the wind on the bow.",
                "After the first hour: every bolt, every tie, every seam once more.",
            ),
            boxes=True,
        ),
        Caution(
            "Rules on craft, waterways, noise and insurance are made where you live: find them out first, and have work"
            " that asks for a licence done by someone who holds one. This book is no approval."
        ),
    ]
    return Chapter("Trim record", tuple(blocks))


def _record(subject: Subject) -> Table:
    where = places(subject.skirt.plan)
    rows = tuple(
        (
            word,
            subject.length(where[word][0]),
            f"{subject.length(abs(where[word][1]))}{_side(where[word][1])}",
            "",
            "",
            "",
        )
        for word in WORDS
    )
    return Table(
        ("Place (its name for trim)", "From the stern", "Off the centre line", "Gap", "Turned round", "After trim"),
        rows,
        (2.4, 1.7, 2.2, 1.5, 1.5, 1.5),
        form=True,
        caption="Eight gaps under the tips",
    )


def _side(y: float) -> str:
    if abs(y) < 1e-6:
        return ""
    return " port" if y > 0.0 else " starboard"
