"""The trial kit on paper: what it is for, the box and its boards, what to expect, and what to take care of."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from skirtloft.answers.trial_kit import BOARD, LIMIT, SEGMENTS, SHARES, TrialKit, loop_points, water_height
from skirtloft.design.model import Show
from skirtloft.design.units import format_flow, format_force, format_length, format_mass, format_pressure
from skirtloft.drawing.dimension import linear_dimension
from skirtloft.drawing.flow import Block, flowed, listed, said, table
from skirtloft.drawing.page import Room, Stamp, drawn_length, page, page_room
from skirtloft.drawing.section_view import View, fitted_view, legend
from skirtloft.drawing.sheet import Circle, Item, Line, Sheet, Text
from skirtloft.drawing.template_labels import quantity_words
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY
from skirtloft.pieces.types import CutPiece

FROM_WALL = 0.015  # m, outer holes of the rail; chosen
PAD = 34.0  # mm round the drawing, for dimensions

CAUTIONS = (
    "A blower's fan cuts: its guards stay on, no finger and no loose sleeve near the inlet, one person at its switch."
    " Pull the plug before you reach into the box. An engine-driven blower runs in the open only.",
    "Eye and ear protection for everybody in the room. What the air finds loose, it throws: sweep the box first.",
    "Never a sealed box. The tips stay open and the slide stays open by a finger's width at least; no valve, no lid"
    " that can shut. Do not use compressed air.",
    "Screws, no tape: the boards are pushed as the forces here say. Weigh the box down before the air comes on.",
    "The window is polycarbonate, not glass and not acrylic, which both break into splinters. Face beside it, not"
    " before it.",
    "What is measured here says how true you cut and sew. It is no proof that a whole skirt is safe.",
)


def trial_sheets(kit: TrialKit, stamp: Stamp, level: float, paper: str) -> list[Sheet]:
    """Return the pages of the kit.

    Parameters
    ----------
    level : float [m]
        How far joint and tips may be out.
    paper : "A4" or "Letter"
    """
    show = stamp.project.show
    first = flowed([*_purpose(kit, show), *_boards(kit, show), *_pieces(kit, show), *_building(kit, show)], paper)
    last = flowed([*_expected(kit, show, level), *_looking(kit, show), *_cautions(kit, show)], paper)
    drawn, view = _picture(kit, show, paper)
    bodies = [
        *((False, "Trial kit: what to build", "-", body) for body in first),
        (True, "Trial kit: the box and the shape to expect", f"1 : {view.scale:g}", drawn),
        *((False, "Trial kit: what to expect, what to take care of", "-", body) for body in last),
    ]
    return [
        page(f"trial-{k}", title, body, stamp, paper=paper, landscape=wide, scale=scale, number=f"{k} of {len(bodies)}")
        for k, (wide, title, scale, body) in enumerate(bodies, start=1)
    ]


def _purpose(kit: TrialKit, show: Show) -> list[Block]:
    like = kit.run.name.replace("_", " ")
    return [
        said(
            f"Three segments of the {like}, a length of joint strip and a length of loop, in a box of plywood with"
            " a clear wall, blown up to the pressure of the craft. An evening's work that shows whether machine, cloth"
            " and glue do what you think, before the rest is cut. The middle segment counts; its two neighbours are"
            " there so that it stands as on the craft."
        ),
        said(
            "The loop here is as long as balance asks for. The box has no diaphragm, and nothing of the corners; wear"
            " panels and covers are left out."
        ),
    ]


def _boards(kit: TrialKit, show: Show) -> list[Block]:
    rows = [
        (board.name, *(drawn_length(side, show) for side in (board.length, board.width, board.thickness)))
        for board in kit.boards
    ]
    head = ("board, one of each", "length", "width", "thickness")
    return table("Boards, plywood unless said", head, rows, (0.0, 70.0, 104.0, 138.0))


def _pieces(kit: TrialKit, show: Show) -> list[Block]:
    counted: dict[str, tuple[CutPiece, dict[str, int]]] = {}
    for piece in kit.pieces:
        counted.setdefault(piece.base, (piece, {}))[1][piece.hand] = piece.quantity
    rows = []
    for base, (piece, hands) in counted.items():
        size = np.ptp(piece.cut_line, axis=0)
        name, joins = (
            piece.name.removesuffix(f", {kit.run.name}"),
            " × ".join(drawn_length(side, show) for side in size),
        )
        rows.append((base, name, quantity_words(hands).removeprefix("cut "), joins))
    return [
        *table(
            "Cloth, from the templates in this folder", ("code", "piece", "cut", "size to cut"), rows,
            (0.0, 14.0, 84.0, 118.0),
        ),
        said(
            "Bolts, washers, thread, glue and ties as in the design. Notches, letters and allowances are those of the"
            " pieces of the craft; three good segments can go on it later as spares."
        ),
    ]  # fmt: skip


def _building(kit: TrialKit, show: Show) -> list[Block]:
    s = kit.sections
    edge = float(s.depth[0] + s.rise[0])
    height, inboard = float(s.depth[0] - s.drop[0]), float(s.inboard[0] - s.offset[0])
    return listed(
        "Build it",
        (
            "Screw floor, back and plywood wall together, then the deck between the walls:"
            f" {drawn_length(edge + kit.gap, show)} from the floor to its underside, its front edge"
            f" {drawn_length(-kit.back, show)} before the back. That edge stands for the hull edge.",
            f"The rail runs from wall to wall for the inner fixings: holes {drawn_length(height + kit.gap, show)} above"
            f" the floor and {drawn_length(inboard, show)} behind the front edge of the deck,"
            f" {SEGMENTS + 1} of them. The middle two {drawn_length(kit.run.pitch, show)} apart, either side of the"
            f" middle; the outer two by the walls, {drawn_length(FROM_WALL, show)} from them so that the wood does not"
            " split: those webs belong to the neighbours and may lean in.",
            f"Back: a round hole for the nozzle at mid height, and below it an outlet of {drawn_length(0.10, show)} by"
            f" {drawn_length(0.10, show)} with a slide on the outside. The slide sets the pressure. The baffle stands"
            f" {drawn_length(0.10, show)} before the nozzle, fast to the floor, so that no jet meets the cloth.",
            "Draw the shape of the next page on the plywood wall at full size: hull edge, joint, inner fixing, loop"
            " centre and radius. That is what the cloth is held against. Then the clear wall, a screw every"
            f" {drawn_length(0.10, show)}.",
            "Sew faces to webs and hem them, as the order of work says. Fold the strip. Bolt loop, strip and faces"
            " together. Clamp the loop along the deck's front edge with a batten, its sewing line on the edge; turn its"
            " two ends in, so that the air lays them on the walls.",
            "Trim the tips on their dotted line. Tie the inner corners to the rail; where two webs meet, both to one"
            " hole. None may pull.",
            f"The floor lies {drawn_length(kit.gap, show)} below the tips: the wanted gap of the craft.",
        ),
    )


def _expected(kit: TrialKit, show: Show, level: float) -> list[Block]:
    rests, s = kit.rests, kit.sections
    rows = []
    for k, share in enumerate(SHARES):
        p = share * kit.pressure
        rise, radius, tip = (
            float(rests.joint_rise[k, 0]), float(rests.radius[k, 0]), float(rests.tip_line_rise[k, 0]),
        )  # fmt: skip
        angle = math.degrees(float(s.face_angle[0]) + float(rests.turn[k, 0]))
        rows.append(
            (
                format_pressure(p, show),
                drawn_length(water_height(p), show),
                drawn_length(float(s.depth[0]) + kit.gap + rise, show),
                drawn_length(radius, show),
                f"{angle:.1f} deg",
                drawn_length(kit.gap + tip, show),
            )
        )
    return [
        *table(
            "What to expect, in the middle of the middle segment",
            ("pressure", "water", "joint above floor", "loop radius", "face", "gap at the tip"),
            rows,
            (0.0, 30.0, 54.0, 88.0, 114.0, 136.0),
        ),
        said(
            f"The middle row is the design's pressure. Loop {drawn_length(float(s.length[0]), show)} from deck edge to"
            " joint; face against the floor, measured along a web; gap to the mean of the tip's arc. Computed by the"
            " same equation as the craft's sections, cloth and its weight as in the file. The first row shows what"
            " weight does; above the design's pressure little changes."
        ),
        said(
            f"Good: joint and tips within {drawn_length(level, show)} of it. High joint: loop short, or the inner"
            " fixings too far outboard. Low joint: loop long, or its holes outside their line. Right joint and wrong"
            " gap: the face was cut long or short. The table of slips in the build book's cut plan has each in figures."
        ),
    ]


def _looking(kit: TrialKit, show: Show) -> list[Block]:
    water = drawn_length(water_height(kit.pressure), show)
    return [
        *listed(
            "Measure the pressure",
            (
                "A clear tube bent to a U, half full of water with a drop of dye, fast to a board with a"
                " rule. One end through a small hole in the back, flush with the inside and out of the jet; the other"
                " open. What counts is the difference between the two levels: 1 mm of water is 9.8 Pa"
                " (1 inch is 5.2 lb/ft2).",
                f"Design: {water}. Stop at {drawn_length(water_height(LIMIT * kit.pressure), show)}"
                f" ({format_pressure(LIMIT * kit.pressure, show)}): nothing is learned beyond it.",
                f"About {format_flow(kit.flow, show)} leaves under the tips. A leaf blower gives some"
                f" {format_flow(0.1, show)} to {format_flow(0.2, show)}, from memory, and far more pressure than this:"
                " that is what the slide is for. Begin with it wide open, blower at its lowest; close it bit by bit.",
            ),
        ),
        *listed(
            "Look for",
            (
                "The loop a clean arc on the line that is drawn. Folds that run from a bolt: holes out of step."
                " A flat or hollow patch: loop twisted at the clamp.",
                "Faces round at the tips, closed against their neighbours from top to bottom. Daylight between two"
                " faces: pitch too wide, or seams eaten too deep. Faces that crush each other: too narrow a pitch.",
                "Upper edges of the webs taut, not flapping. Ties without pull when the air is off.",
                "Push the middle tip up by hand, with a stick: it comes back, and does not stay under.",
                "Ten minutes at the design's pressure, then look over every seam, hole and glue line, and measure"
                " again: what has crept will creep on.",
            ),
        ),
    ]


def _cautions(kit: TrialKit, show: Show) -> list[Block]:
    deck, wall = format_force(kit.deck_force, show), format_force(kit.wall_force, show)
    mass = format_mass(kit.deck_force / GRAVITY, show)
    return listed(
        "Take care",
        (
            f"At the limit the air lifts the deck with {deck} (the weight of {mass}) and pushes each wall"
            f" outwards with {wall}: a screw every {drawn_length(0.10, show)}, and at least {mass} on the deck while it"
            " runs.",
            *CAUTIONS,
        ),
    )


def _picture(kit: TrialKit, show: Show, paper: str) -> tuple[list[Item], View]:
    """The box from the side with the cloth in it, landscape."""
    room, s = page_room(paper, landscape=True), kit.sections
    d, x = float(s.depth[0]), float(s.offset[0])
    edge = np.array([0.0, d + float(s.rise[0])])
    joint, tip = np.array([x, d]), np.array([x - float(s.tip_inboard[0]), 0.0])
    inner = np.array([x - float(s.inboard[0]), d - float(s.drop[0])])
    centre = np.array([x - float(s.centre_inset[0]), float(s.centre_z[0])])
    corners = np.array([[kit.back - BOARD, -kit.gap - BOARD], [kit.front, kit.top]])
    view = fitted_view(corners, Room(room.left + PAD, room.bottom + PAD + 8.0, room.right - PAD, room.top - 12.0))
    floor = _box(view, (kit.back - BOARD, -kit.gap - BOARD), (kit.front, -kit.gap))
    hole = [kit.back + 0.10]
    items: list[Item] = [
        floor,
        _box(view, (kit.back - BOARD, -kit.gap), (kit.back, edge[1])),
        _box(view, (kit.back - BOARD, edge[1]), (0.0, edge[1] + BOARD)),
        _box(view, (kit.back - BOARD, -kit.gap), (kit.front, kit.top), "ghost"),
        _box(view, (hole[0], -kit.gap), (hole[0] + BOARD, -kit.gap + 0.7 * (edge[1] + kit.gap)), "segment"),
        _box(view, (inner[0] - 0.02, inner[1] - 0.01), (inner[0], inner[1] + 0.02), "segment"),
        Line("loop", frozen_array(view.at(loop_points(s)))),
        Line("segment", frozen_array(view.at(np.array([joint, tip, inner, joint])))),
        Line("axis", frozen_array(view.at(np.array([centre, joint])))),
    ]
    for point in (edge, joint, tip, inner, centre):
        at = view.at(point)
        items.append(Circle("mark", float(at[0]), float(at[1]), 0.8))
    items += _tube(kit, view, edge)
    items += _measures(kit, view, show, (edge, joint, tip, inner, centre))
    names = (("E", edge, -5.0, -6.5), ("J", joint, 2.5, -4.5), ("G", tip, 1.5, 2.4), ("I", inner, -1.0, -6.0))
    for name, point, right, up in names:
        at = view.at(point) + [right, up]
        items.append(Text("text", float(at[0]), float(at[1]), name, 3.0, 0.0, "start", True))
    x0, y0 = view.at(centre)
    words = f"C: loop radius {drawn_length(float(s.radius[0]), show)}"
    items.append(Text("text", float(x0) - 3.0, float(y0) + 1.5, words, 2.5, 0.0, "end"))
    above = view.at([hole[0] + BOARD / 2.0, -kit.gap + 0.7 * (edge[1] + kit.gap)])
    items.append(Text("text", float(above[0]), float(above[1]) + 2.0, "baffle", 2.5, 0.0, "middle"))
    angle = f"face {math.degrees(float(s.face_angle[0])):.0f} deg"
    middle = view.at((joint + tip) / 2.0) + [4.0, -3.0]
    items.append(Text("text", float(middle[0]), float(middle[1]), angle, 2.5))
    rows = (("hull", "boards, from the side"), ("ghost", "the two walls"), ("loop", "loop"), ("segment", "segment"))
    items += legend(rows, room.left + 2.0, room.bottom + 18.0)  # type: ignore[arg-type]
    notes = (
        f"inside, wall to wall: {format_length(kit.width, show)}",
        f"{format_pressure(kit.pressure, show)}, {drawn_length(water_height(kit.pressure), show)} of water",
        "E deck edge, J joint, G tip of the web, I inner fixing, C centre of the loop",
    )
    for k, line in enumerate(notes):
        items.append(Text("text", room.left + 70.0, room.bottom + 17.0 - 4.6 * k, line, 2.6))
    return items, view


def _tube(kit: TrialKit, view: View, edge: Floats) -> list[Item]:
    """The water tube behind the back wall: a U with its two levels."""
    head, z = water_height(kit.pressure), -kit.gap + 0.75 * (float(edge[1]) + kit.gap)
    left, low = kit.back - BOARD - 0.11, z - 0.05 - 2.0 * max(head, 0.05)
    right = left + 0.04
    points = [[kit.back, z], [right, z], [right, low], [left, low], [left, z]]
    items: list[Item] = [Line("mark", frozen_array(view.at(np.array(points))))]
    at = view.at([left, low])
    items.append(Text("text", float(at[0]), float(at[1]) - 4.5, "water tube", 2.5, 0.0, "middle"))
    level = low + max(head, 0.05)
    for x, y in ((right, level - head / 2.0), (left, level + head / 2.0)):
        a = view.at(np.array([[x - 0.012, y], [x + 0.012, y]]))
        items.append(Line("hull", frozen_array(a)))
    return items


def _measures(
    kit: TrialKit, view: View, show: Show, points: tuple[Floats, Floats, Floats, Floats, Floats]
) -> list[Item]:
    edge, joint, tip, inner, _ = points
    ground = np.array([kit.front, -kit.gap])
    items: list[Item] = []
    for step, (point, what) in enumerate(((joint, "joint"), (edge, "deck"))):
        top = np.array([kit.front, point[1]])
        words = drawn_length(float(point[1]) + kit.gap, show)
        items += linear_dimension(view.at(ground), view.at(top), -8.0 - 9.0 * step, words, along="y", height=2.6).items
        from_point = view.at(point)
        if what == "joint":
            items.append(Line("dimension", frozen_array([from_point + [2.0, 0.0], view.at(top)])))
    base = float(view.at([0.0, -kit.gap - BOARD])[1])
    rows = [(float(inner[0]), float(joint[0]), 0), (kit.back, 0.0, 1)]
    if abs(joint[0]) > 0.02:
        low, high = sorted((0.0, float(joint[0])))
        rows.append((low, high, 1 if joint[0] > 0.0 else 2))
    for a, b, step in rows:
        words = drawn_length(b - a, show)
        ends = ([float(view.at([a, 0.0])[0]), base], [float(view.at([b, 0.0])[0]), base])
        items += linear_dimension(*ends, -8.0 - 8.0 * step, words, along="x", height=2.6).items
    fixing = view.at(inner)
    foot = [float(fixing[0]), float(view.at([0.0, -kit.gap])[1])]
    words = drawn_length(float(inner[1]) + kit.gap, show)
    items += linear_dimension(foot, fixing, 5.5, words, along="y", height=2.6).items
    at = view.at(tip) + [9.0, 1.2]
    items.append(Text("text", float(at[0]), float(at[1]), f"gap {drawn_length(kit.gap, show)}", 2.5))
    return items


def _box(view: View, low: Sequence[float], high: Sequence[float], layer: str = "hull") -> Line:
    ring = np.array([low, [high[0], low[1]], high, [low[0], high[1]]])
    return Line(layer, frozen_array(view.at(ring)), True)  # type: ignore[arg-type]
