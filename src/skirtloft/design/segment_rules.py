"""The rules on segments that no single key can break: fixing and angles that go together."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from skirtloft.design.fields import NOTHING, Values
from skirtloft.design.segment_form import (
    DEEPEST_DROP,
    LEAST_LOWER_SLOPE,
    TIP_ANGLES,
    SegmentForm,
    inboard_of,
    resolved_form,
)
from skirtloft.design.told import given
from skirtloft.errors import Problem

Raw = dict[str, Any]


def segments_can_be_drawn(values: Values, raw: Raw) -> Iterator[Problem]:
    skirt = values.get("skirt")
    if not skirt:
        return
    whole = _segment_values(skirt)
    told_skirt = raw["skirt"] if isinstance(raw.get("skirt"), dict) else {}
    yield from _form_problems("skirt", resolved_form(whole, {}), told_skirt, told_skirt)
    for run in ("bow", "side", "stern"):
        told = told_skirt.get(run)
        if isinstance(told, dict) and set(told) & {"depth", "face_angle", "tip_angle", "inner"}:
            form = resolved_form(whole, _segment_values(skirt.get(run, {})))
            yield from _form_problems(f"skirt.{run}", form, told, told_skirt)


def _segment_values(table: Values) -> Values:
    inner = table.get("inner", {})
    own = {key: table.get(key) for key in ("depth", "face_angle", "tip_angle")}
    return {**own, **{key: inner.get(key) for key in ("drop", "inboard")}}


def _form_problems(path: str, form: SegmentForm | None, told: Raw, whole: Raw) -> Iterator[Problem]:
    """Both tip angle and inboard told, a fixing near the ground, a lower edge too flat, a tip angle out of range."""
    if "tip_angle" in told and given(told, "inner", "inboard") != NOTHING:
        both = f"tip_angle {given(told, 'tip_angle')}, inner.inboard {given(told, 'inner', 'inboard')}"
        yield Problem(path, both, "Only one of the two can be chosen; the other follows.", "Leave one of them out.")
        return
    if form is None:
        return
    drop = given(told, "inner", "drop")
    if form.drop > DEEPEST_DROP * form.depth:
        yield Problem(
            f"{path}.inner.drop",
            drop if drop != NOTHING else given(whole, "inner", "drop"),
            "The inner fixing comes down to the ground.",
            f'At most "{1000.0 * DEEPEST_DROP * form.depth:.1f} mm" would do at this depth.',
        )
        return
    low, high = TIP_ANGLES
    high = min(high, math.pi - LEAST_LOWER_SLOPE - form.face_angle)
    if low - 1e-9 <= form.tip_angle <= high + 1e-9:
        return
    least, most = (inboard_of(form.depth, form.face_angle, angle, form.drop) for angle in (low, high))
    inboard = next((text for text in (given(told, "inner", "inboard"),) if text != NOTHING), None)
    if inboard is None and "tip_angle" not in told:
        inboard = None if given(whole, "inner", "inboard") == NOTHING else given(whole, "inner", "inboard")
    if inboard is not None:
        yield Problem(
            f"{path}.inner.inboard",
            inboard,
            f"It makes a tip angle of {math.degrees(form.tip_angle):.1f} deg.",
            f'From "{1000.0 * least:.0f} mm" to "{1000.0 * most:.0f} mm" would do with this face.',
        )
    else:
        yield Problem(
            f"{path}.tip_angle",
            given(told, "tip_angle") if "tip_angle" in told else given(whole, "tip_angle"),
            f"The lower edge would rise at only {math.degrees(math.pi - form.face_angle - form.tip_angle):.1f} deg.",
            f'At most "{math.degrees(high):.4g} deg" would do with a face of {math.degrees(form.face_angle):.4g} deg.',
        )
