"""What is said on a template: every label of a piece with the place it would best have."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from skirtloft.design.model import Show
from skirtloft.drawing.dimension import length_text, readable_angle
from skirtloft.drawing.label import LEAST_HEIGHT, Label, Row, Shaft
from skirtloft.drawing.label_place import CLEARANCE
from skirtloft.drawing.page import Stamp
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.types import CutPiece, Edge

ON_CARD = ("the name", "the hole count", "the stations")
SMALL = (4.2, LEAST_HEIGHT)
INWARD_BANDS = (CLEARANCE + 0.8, CLEARANCE + 4.0, CLEARANCE + 9.0, CLEARANCE + 16.0)


@dataclass(frozen=True, eq=False)
class Laid:
    """A piece laid out on its sheet: `cut` (m, 2), `edges` (k, 2) each with the inside on its left, marks, holes [mm].

    A point p [m] of the piece frame lies at ``turn @ p * 1000 + shift`` on the sheet.
    """

    piece: CutPiece
    cut: Floats
    edges: tuple[Floats, ...]
    marks: tuple[Floats, ...]
    holes: Floats
    turn: Floats
    shift: Floats

    @property
    def middle(self) -> Floats:
        """Middle of the cut line's box [mm]."""
        return frozen_array((self.cut.min(axis=0) + self.cut.max(axis=0)) / 2.0)


def piece_labels(laid: Laid, quantities: Mapping[str, int], stamp: Stamp) -> list[Label]:
    """Return the labels of a piece in order of importance; `quantities` by hand ("P", "S", "")."""
    show = stamp.project.show
    both_hands = bool(quantities.get("P") and quantities.get("S"))
    labels = [*_refusal(laid, stamp), *_title(laid, quantities, stamp), *_arrows(laid)]
    labels += _along_edges(laid, both_hands, show)
    labels += [*_stations(laid, both_hands), *_holes(laid, show), *_record(laid, stamp), *_notes(laid)]
    labels += [*_corners(laid), *_along_marks(laid), *_segment_numbers(laid)]
    return [_spared(label) for label in labels] if laid.piece.is_rectangle else labels


def _spared(label: Label) -> Label:
    """Return `label` as one that its rectangle's card says too, unless no piece may be without it."""
    parts = tuple(_spared(part) for part in label.otherwise)
    return replace(label, otherwise=parts, spare=label.spare or label.name in ON_CARD or label.edge is not None)


def quantity_words(quantities: Mapping[str, int]) -> str:
    """Return ``cut 14 P + 14 S``, ``cut 2 S`` or ``cut 8``."""
    hands = [f"{quantities[hand]} {hand}".strip() for hand in ("P", "S", "") if quantities.get(hand)]
    return "cut " + " + ".join(hands)


def hand_words(hand: str, quantities: Mapping[str, int]) -> tuple[str, ...]:
    """Return which way up the template serves which hand, longest form first; nothing where there are no hands."""
    other = {"P": "S", "S": "P"}.get(hand, "")
    if not other or not quantities.get(other):
        return ()
    return (f"{hand}: as printed. {other}: turn the template over.", f"{hand} as printed, {other} turned over")


def _one(name: str, *texts: str, bold: bool = False) -> tuple[str, tuple[tuple[Row, ...], ...]]:
    return name, tuple((Row(text, 1.0, bold),) for text in texts)


def _refusal(laid: Laid, stamp: Stamp) -> list[Label]:
    if not stamp.failed:
        return []
    at, heights = laid.middle + [0.0, 58.0], (10.0, 7.0, 5.0, 4.2, 3.5)
    first, *others = stamp.failed
    name, forms = _one("the refusal", f"FAILS: {first}. Do not cut", "FAILS. Do not cut", bold=True)
    parts = [Label(name, forms, at, heights[2:], lines=6)]
    for rule in others:
        name, forms = _one(f"the failed rule {rule}", f"FAILS: {rule}", bold=True)
        parts.append(Label(name, forms, at, heights[2:], lines=4, spare=True))
    name, forms = _one("all failed rules", stamp.banner, bold=True)
    return [Label(name, forms, at, heights, lines=6, otherwise=tuple(parts))]


def _record(laid: Laid, stamp: Stamp) -> list[Label]:
    if not stamp.accepted:
        return []
    rules = ", ".join(stamp.accepted)
    count = f"accepted: {len(stamp.accepted)} failed rule{'s' if len(stamp.accepted) > 1 else ''}, see read-me"
    name, forms = _one("the record of accepted rules", stamp.record, f"accepted: {rules}", count)
    return [Label(name, forms, laid.middle + [0.0, -40.0], SMALL, lines=6, spare=laid.piece.is_rectangle)]


def _title(laid: Laid, quantities: Mapping[str, int], stamp: Stamp) -> list[Label]:
    """Code, name, quantity, hands, project and OUTSIDE UP: as one block, or one by one where that finds no room."""
    piece, project, at = laid.piece, stamp.project, laid.middle
    cut, hands = quantity_words(quantities), hand_words(piece.hand, quantities)
    craft = f"{project.name}, revision {stamp.revision}"
    rows = [Row(piece.base, 2.0, True), Row(piece.name), Row(cut, 1.2, True)]
    rows += [Row(hands[0], 0.85)] if hands else []
    rows += [Row(craft, 0.85), Row("OUTSIDE UP", 1.4, True)]
    split = [
        Label("the code", ((Row(piece.base, 1.0, True),),), at, (10.0, 8.0, 6.0, 4.2, 3.5)),
        Label("the quantity", ((Row(cut, 1.0, True),),), at, (6.0, 5.0, 4.2, 3.5)),
        Label("OUTSIDE UP", ((Row("OUTSIDE UP", 1.0, True),),), at, (7.0, 5.0, 4.2, 3.5), lines=2),
        Label(*_one("the name", piece.name), at, lines=3),
        Label(*_one("project and revision", craft, f"{project.name}, rev. {stamp.revision}"), at, SMALL, lines=3),
    ]
    if hands:
        split.insert(2, Label(*_one("which hand lies which way", *hands), at, SMALL, lines=4))
    spread = _spread(laid, len(split))
    split = [replace(label, at=frozen_array(at + step)) for label, step in zip(split, spread, strict=True)]
    return [Label("the title", (tuple(rows),), at, (6.0, 5.0, 4.2), angles=(0.0, 90.0), otherwise=tuple(split))]


def _spread(laid: Laid, count: int) -> Floats:
    """Return where `count` labels stand about the middle, (count, 2) [mm]: side by side along a long piece."""
    size = np.ptp(laid.cut, axis=0)
    long = int(size.argmax())
    step = min(0.16 * size[long], 75.0) if size[long] > 3.0 * size[1 - long] else 0.0
    places = np.zeros((count, 2))
    places[:, long] = step * (np.arange(count) - (count - 1) / 2.0)
    return places


def _arrow(name: str, words: str, at: Floats, along: Floats, heads: int, lengths: tuple[float, ...]) -> Label:
    """Return an arrow with its word, lying along `along` (2,) on the sheet."""
    angle = float(np.degrees(np.arctan2(along[1], along[0])))
    reads = readable_angle(angle)
    backwards = abs((angle - reads + 180.0) % 360.0 - 180.0) > 90.0
    shaft = Shaft(lengths, 2 if heads == 2 else 1, backwards)
    return Label(name, ((Row(words),),), at, (5.0, 4.2, 3.5), (reads,), shaft=shaft)


def _arrows(laid: Laid) -> list[Label]:
    """Warp, and the two ways the piece points."""
    piece, middle = laid.piece, laid.middle
    size = np.ptp(laid.cut, axis=0)
    warp = laid.turn @ piece.warp
    x_words, y_words = _ways(piece)
    x, y = laid.turn @ np.array([-1.0 if piece.kind == "web" else 1.0, 0.0]), laid.turn @ np.array([0.0, 1.0])
    up = np.array([0.0, 0.14])  # clear of the title
    arrows = [
        _arrow("the warp arrow", "WARP", middle - 0.22 * size * [0.0, 1.0], warp, 2, (60.0, 40.0, 25.0, 15.0)),
        _arrow(f"the arrow {x_words}", x_words, middle + size * (0.25 * x + up), x, 1, (25.0, 15.0, 9.0)),
        _arrow(f"the arrow {y_words}", y_words, middle + 0.28 * size * y, y, 1, (25.0, 15.0, 9.0)),
    ]
    if (
        piece.kind == "face" and not piece.hand
    ):  # the same on both sides of the craft, so neither side of it points to the bow
        del arrows[1]
    return arrows


def ends(piece: CutPiece) -> tuple[str, str]:
    """Return what the two ends of a piece point to, x forward and x back: bow and stern, or the sides.

    A piece across the centre line has x to starboard at the bow and to port at the stern.
    """
    if piece.hand == "" and piece.kind in ("loop_panel", "joint_strip"):
        return {"bow": ("starboard", "port"), "stern": ("port", "starboard")}.get(piece.run, ("bow", "stern"))
    return "bow", "stern"


def _ways(piece: CutPiece) -> tuple[str, str]:
    """Return what lies along x of the piece (against it on a web, whose x is outboard) and along y."""
    if piece.kind == "web":
        return "to hull", "up"
    return f"to {ends(piece)[0]}", "to joint" if piece.kind == "face" else "to hull"


def edge_words(piece: CutPiece, edge: Edge, both_hands: bool, show: Show) -> tuple[str, ...]:
    """Return what is written along an edge of `piece`, longest form first."""
    length, short = length_text(edge.length, show), length_text(edge.length, "metric" if show == "both" else show)
    names = joined(edge.joins, piece.hand, both_hands)
    joins = f", joins {names}" if names and edge.kind != "hull" else ""
    if edge.kind == "tip":
        return (f"tip: trim at first hover, {length}", "tip: trim at first hover")
    if edge.kind == "hem":
        return (f"hem {length_text(edge.allowance, show, 0)}", "hem")
    if edge.kind == "fold":
        return ("fold",)
    if edge.kind == "end":
        overlap = f"overlap {length_text(edge.allowance, show, 0)}{joins}"
        return (f"{end_name(piece, edge)}: {overlap}", overlap)
    word = {"seam": f"seam {edge.letter}", "hull": "hull edge", "joint": "joint"}[edge.kind]
    if piece.kind == "joint_strip":
        word = edge.name
    least = edge.letter or {"edge on the loop": "loop", "edge on the segments": "segments"}.get(word, word)
    return tuple(dict.fromkeys((f"{word} {length}{joins}", f"{word} {short}{joins}", f"{least} {short}{joins}")))


def end_name(piece: CutPiece, edge: Edge) -> str:
    """Return the name of an end of a strip: "bow end", or "port end" where it lies across the centre line."""
    forward = float(edge.points[:, 0].mean()) > float(piece.cut_line[:, 0].mean())
    return f"{ends(piece)[0 if forward else 1]} end"


def joined(codes: str, hand: str, both_hands: bool) -> str:
    """Return the codes of neighbours as a template for both hands says them: "L04" for "L04-P" on the P template."""
    if not both_hands:
        return codes
    other = {"P": "S", "S": "P"}[hand]
    return codes.replace(f"-{hand}", "").replace(f"-{other}", " of the other hand")


def _along_edges(laid: Laid, both_hands: bool, show: Show) -> list[Label]:
    labels = []
    for edge, points in zip(laid.piece.edges, laid.edges, strict=True):
        required = edge.kind not in ("hem", "fold", "end") or bool(edge.joins)
        name, forms = _one(f"the words along {edge.name}", *edge_words(laid.piece, edge, both_hands, show))
        labels.append(
            Label(
                name,
                forms,
                _inside_of(points, 10.0 if edge.kind != "end" else -500.0 * edge.allowance),
                SMALL,
                (0.0, 90.0) if laid.piece.kind != "web" else (0.0, 90.0, 45.0, -45.0),
                lines=3,
                reach=float("inf") if required else 40.0,
                required=required,
                edge=points,
                bands=(*_allowance_bands(edge.allowance * 1000.0), *(INWARD_BANDS if edge.kind != "end" else ())),
            )
        )
    return labels


def _allowance_bands(allowance: float) -> tuple[float, ...]:
    """Return where in an allowance [mm] words may stand: in its middle, then close to the sew line."""
    tall = 1.45 * SMALL[0]
    middle = (allowance - tall) / 2.0
    return (-middle, -CLEARANCE - 0.6) if middle > CLEARANCE else ()


def _inside_of(points: Floats, distance: float, part: float = 0.5) -> Floats:
    """Return the point `distance` [mm] to the left of an edge, at `part` of its length."""
    steps = np.hypot(*np.diff(points, axis=0).T)
    at = np.concatenate([[0.0], steps.cumsum()])
    where = part * at[-1]
    k = int(np.clip(np.searchsorted(at, where) - 1, 0, len(steps) - 1))
    along = (points[k + 1] - points[k]) / steps[k]
    on = points[k] + along * (where - at[k])
    return frozen_array(on + distance * np.array([-along[1], along[0]]))


def _stations(laid: Laid, both_hands: bool) -> list[Label]:
    """Station numbers at the seams: the first of "P03 to P04" at the bow end."""
    piece = laid.piece
    ends = piece.stations.split(" to ")
    sides = [i for i, edge in enumerate(piece.edges) if edge.kind in ("seam", "end")]
    if len(ends) != 2 or len(sides) < 2 or not all(ends):
        if not piece.stations:
            return []
        name, forms = _one("the stations", f"stations {piece.stations}", piece.stations)
        return [Label(name, forms, laid.middle, SMALL, lines=2)]
    sides.sort(key=lambda i: float(piece.edges[i].points[:, 0].mean()))
    labels = []
    for station, i in ((ends[0], sides[-1]), (ends[1], sides[0])):
        points = laid.edges[i]
        upper = 0.85 if points[-1, 1] > points[0, 1] else 0.15
        both = [_other_hand(station)] if both_hands and station[0] in "PS" else []
        name, forms = _one(f"station {station}", ", ".join([station, *both]), station, bold=True)
        labels.append(Label(name, forms, _inside_of(points, 12.0, upper), (5.0, 4.2, 3.5)))
    return labels


def _other_hand(station: str) -> str:
    return {"P": "S", "S": "P"}[station[0]] + station[1:]


def _holes(laid: Laid, show: Show) -> list[Label]:
    piece, count = laid.piece, len(laid.holes)
    if not count:
        return []
    size = length_text(piece.hole_diameter, show, 0 if abs(piece.hole_diameter * 1000 % 1) < 1e-6 else 1)
    name, forms = _one("the hole count", f"{count} hole{'s' if count > 1 else ''} {size}")
    at = laid.holes.mean(axis=0)
    return [Label(name, forms, frozen_array(at + 0.12 * (laid.middle - at)), SMALL, lines=2)]


def _notes(laid: Laid) -> list[Label]:
    """What the maker must know of this piece; its card and the cut list say it too."""
    labels = []
    for number, note in enumerate(dict.fromkeys(laid.piece.notes)):
        name, forms = _one(f"note {number + 1}", note)
        at = frozen_array(laid.middle - [0.0, 60.0 + 15.0 * number])
        labels.append(Label(name, forms, at, SMALL, lines=5, required=False))
    return labels


def _corners(laid: Laid) -> list[Label]:
    """Names of a web's corners: joint, tip and inner fixing."""
    piece = laid.piece
    seams = [points for edge, points in zip(piece.edges, laid.edges, strict=True) if edge.kind == "seam"]
    if piece.kind != "web" or not seams:
        return []
    upper, lower = sorted((seams[0][0], seams[0][-1]), key=lambda point: -float(point[1]))
    corners = np.array([points[0] for points in laid.edges])
    apart = np.hypot(*(corners - upper).T) + np.hypot(*(corners - lower).T)
    inner = corners[int(apart.argmax())]
    named = (("joint", upper), ("tip", lower), ("inner fixing", inner))
    labels = []
    for word, at in named:
        name, forms = _one(f"the corner {word}", word)
        place = frozen_array(at + 0.15 * (laid.middle - at))
        labels.append(Label(name, forms, place, SMALL, required=False, reach=70.0))
    return labels


def _along_marks(laid: Laid) -> list[Label]:
    """Words along folds, centre and trim lines, and at the first of the slits."""
    words = {"fold": "fold", "centre": "centre line", "trim": "trim line", "slit": "slit on this line"}
    has_tip = any(edge.kind == "tip" for edge in laid.piece.edges)
    labels: dict[str, Label] = {}
    for mark, points in zip(laid.piece.marks, laid.marks, strict=True):
        if mark.kind == "pitch" or (mark.kind == "trim" and has_tip):
            continue
        texts = tuple(dict.fromkeys(filter(None, (mark.text, words[mark.kind]))))
        name, forms = _one(f"the words along the {mark.text or mark.kind}", *texts)
        bands = (CLEARANCE + 0.5, -CLEARANCE - 0.5)
        fold = mark.kind == "fold"
        reach = 30.0 if not fold else float("inf")
        at = _inside_of(points, 6.0)
        labels.setdefault(name, Label(name, forms, at, SMALL, reach=reach, required=fold, edge=points, bands=bands))
    return list(labels.values())


def _segment_numbers(laid: Laid) -> list[Label]:
    """Numbers of the segments at the pitch marks of a joint edge, where there is room."""
    labels = []
    for mark, points in zip(laid.piece.marks, laid.marks, strict=True):
        if mark.kind == "pitch" and mark.text:
            name, forms = _one(f"segment number {mark.text}", mark.text)
            at = frozen_array((points[0] + points[-1]) / 2.0)
            labels.append(Label(name, forms, at, (LEAST_HEIGHT,), (0.0,), required=False, reach=22.0))
    return labels
