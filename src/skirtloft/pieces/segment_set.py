"""Which segments share their face and webs: distinct shapes, and for every segment of the craft which it takes."""

from __future__ import annotations

from dataclasses import astuple, dataclass

import numpy as np

from skirtloft.design.segment_form import SegmentForm
from skirtloft.pieces.joint import alike_segments, is_starboard, line_form, pitch_text
from skirtloft.pieces.segment import FaceShape, face_between
from skirtloft.pieces.tips import lengthened
from skirtloft.pieces.types import SewnRun

SAME_PITCH = 1e-9  # m
SAME_SHAPE = 1e-6  # m
SAME_FORM = 1e-12  # m, rad: webs at the same line are equal to rounding; others differ by far more


@dataclass(frozen=True)
class Placed:
    """Segments of a run that are alike.

    Parameters
    ----------
    run : int
        Index of the run.
    first, count : int
        The first of them in the run, and how many.
    face : int
    bow_web, stern_web : int
    is_mirrored : bool
        To starboard on a run across the centre line, between unlike webs: the mirror image of its port twin.
    """

    run: int
    first: int
    count: int
    face: int
    bow_web: int
    stern_web: int
    is_mirrored: bool = False


@dataclass(frozen=True, eq=False)
class SegmentSet:
    """Distinct faces and webs, and where they go; bow to stern.

    Parameters
    ----------
    faces : tuple of FaceShape
    webs : tuple of SegmentForm
    places : tuple of Placed
    """

    faces: tuple[FaceShape, ...]
    webs: tuple[SegmentForm, ...]
    places: tuple[Placed, ...]


def segment_set(runs: tuple[SewnRun, ...], tip_change: float = 0.0) -> SegmentSet:
    """Return the distinct faces and webs of the runs; faces `tip_change` [m] longer at the tip than drawn.

    Raises
    ------
    ShapeError
        As `face_shape`.

    Notes
    -----
    Every segment of a run has the same face and webs, but in a corner between unlike runs, where each has its own
    face; there the two webs sewn at one web line are alike. Faces of one shape on different webs are different pieces:
    their labels name the webs.
    """
    faces: list[FaceShape] = []
    sewn: list[tuple[float, int, int, int, float]] = []
    webs: list[SegmentForm] = []
    places: list[Placed] = []
    for number, run in enumerate(runs):
        for first, alike in alike_segments(run):
            bow, stern = line_form(run, first), line_form(run, first + alike)
            mirrored = bool(run.lines) and bow != stern and is_starboard(run, first)
            if mirrored:
                bow, stern = stern, bow
            shape = lengthened(face_between(run.pitch, bow, stern, run.radius, run.wedge), tip_change)
            own = (run.pitch, _web_index(webs, bow), _web_index(webs, stern), run.holes, run.spread)
            same = [i for i, other in enumerate(faces) if _same_sewing(own, sewn[i]) and _same_face(shape, other)]
            if not same:
                faces.append(shape)
                sewn.append(own)
            face = same[0] if same else len(faces) - 1
            places.append(Placed(number, first, alike, face, own[1], own[2], mirrored))
    return SegmentSet(tuple(faces), tuple(webs), tuple(places))


def _same_sewing(one: tuple[float, int, int, int, float], other: tuple[float, int, int, int, float]) -> bool:
    return abs(one[0] - other[0]) < SAME_PITCH and one[1:] == other[1:]


def _same_face(one: FaceShape, other: FaceShape) -> bool:
    pairs = ((one.side, other.side), (one.stern_side, other.stern_side), (one.tip, other.tip))
    return bool(max(np.abs(a - b).max() for a, b in pairs) < SAME_SHAPE)


def _web_index(webs: list[SegmentForm], form: SegmentForm) -> int:
    """Return the index of a web among `webs`, adding it where it is new."""
    for index, other in enumerate(webs):
        if max(abs(a - b) for a, b in zip(astuple(form), astuple(other), strict=True)) < SAME_FORM:
            return index
    webs.append(form)
    return len(webs) - 1


def is_handed(segments: SegmentSet, face: int) -> bool:
    """Return whether a face is cut once per hand: its two webs differ, so it is not its own mirror image."""
    return any(place.face == face and place.bow_web != place.stern_web for place in segments.places)


def web_quantity(segments: SegmentSet, runs: tuple[SewnRun, ...], web: int) -> int:
    """Return how many of a web are cut of each hand for the whole craft.

    P is the bow-side web of a port segment and the stern-side web of a starboard one, S the other way round.
    """
    count = 0
    for place in segments.places:
        sides = [place.bow_web == web, place.stern_web == web]
        count += place.count * (sum(sides) if runs[place.run].sides == 2 else int(sides[place.is_mirrored]))
    return count


def web_line_words(segments: SegmentSet, runs: tuple[SewnRun, ...], web: int) -> str:
    """Return the segments between which a web of a blended corner is sewn, "7/8"; "" for a web of a whole run."""
    words = []
    for place in segments.places:
        run = runs[place.run]
        if web in (place.bow_web, place.stern_web):
            if place.bow_web == place.stern_web:
                return ""
            words.append(pitch_text(run, place.first if place.bow_web == web else place.first + place.count))
    return words[0] if words else ""
