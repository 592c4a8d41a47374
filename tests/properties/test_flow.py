"""The whole flow: scale, units, mirror, what `new` writes, what meets at the joint."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from skirtloft.design.model import Design
from skirtloft.design.quantity import INCH
from skirtloft.design.read import parse_design
from skirtloft.design.start import RANGE, choose_sizes, cushion_area, new_design_text
from skirtloft.pipeline import Skirt, build
from skirtloft.shape.plan import lay_out
from tests.designs import EXAMPLES, NAMES, skirt_of

GRAVITY = 9.80665


def with_corner_cloth(skirt: Skirt) -> Design:
    """Return the design with the allowance of its corners told: left out, it ends on a whole millimetre."""
    making = skirt.design.making.model_copy(update={"hull_edge_corner": skirt.corner_cloth.cut})
    return skirt.design.model_copy(update={"making": making})


def scaled(design: Design, k: float) -> Design:
    """All lengths by k, all-up mass by k^3 (pressure by k) and cloth by k: the same skirt, k times as large."""

    def grow(record: object, names: tuple[str, ...]) -> dict[str, float]:
        return {name: k * getattr(record, name) for name in names if isinstance(getattr(record, name), float)}

    def run(inset: object) -> object:
        own = grow(inset, ("tip_inside", "joint_inside", "depth"))
        inner = inset.inner.model_copy(update=grow(inset.inner, ("drop", "inboard")))  # type: ignore[attr-defined]
        return inset.model_copy(update={**own, "inner": inner})  # type: ignore[attr-defined]

    skirt, making, cloth = design.skirt, design.making, design.cloth
    edge = tuple(
        p.model_copy(
            update={
                **grow(p, ("x", "y", "height", "radius")),
                "through": None if p.through is None else (k * p.through[0], k * p.through[1]),
            }
        )
        for p in design.hull.edge
    )
    return design.model_copy(
        update={
            "craft": design.craft.model_copy(
                update={
                    "load": tuple(
                        load.model_copy(update={"mass": load.mass * k**3, **grow(load, ("x", "y", "z"))})
                        for load in design.craft.load
                    )
                }
            ),
            "hull": design.hull.model_copy(update={"clearance": k * design.hull.clearance, "edge": edge}),
            "skirt": skirt.model_copy(
                update={
                    **grow(skirt, ("depth", "pitch")),
                    "inner": skirt.inner.model_copy(update=grow(skirt.inner, ("drop", "inboard"))),
                    "corner": skirt.corner.model_copy(update=grow(skirt.corner, ("bow", "side", "stern"))),
                    **{name: run(getattr(skirt, name)) for name in ("bow", "side", "stern")},
                }
            ),
            "air": design.air.model_copy(update={"gap": k * design.air.gap}),
            "cloth": cloth.model_copy(
                update={
                    name: getattr(cloth, name).model_copy(update=grow(getattr(cloth, name), ("mass", "roll_width")))
                    for name in ("loop", "segment")
                }
            ),
            "making": making.model_copy(
                update=grow(
                    making,
                    (
                        "seam",
                        "hull_edge",
                        "hull_edge_corner",
                        "patch",
                        "joint",
                        "hem",
                        "tip_trim",
                        "hole",
                        "hole_pitch",
                        "hole_edge",
                    ),
                )
            ),
        }
    )


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("k", [1.25, 2.0])
def test_scaling_scales_lengths_and_keeps_angles(name: str, k: float) -> None:
    one = skirt_of(name)
    big = build(scaled(with_corner_cloth(one), k))
    assert big.plan.stations.ids == one.plan.stations.ids
    np.testing.assert_allclose(big.plan.stations.joint, k * one.plan.stations.joint, atol=1e-9)
    np.testing.assert_allclose(big.sections.length, k * one.sections.length, rtol=1e-9)
    np.testing.assert_allclose(big.sections.angle, one.sections.angle, rtol=1e-9)
    assert big.cushions[0].pressure == pytest.approx(k * one.cushions[0].pressure, rel=1e-9)
    for large, small in zip(big.development.panels, one.development.panels, strict=True):
        np.testing.assert_allclose(large.seam_start, k * small.seam_start, atol=1e-8 * k)
    for large_piece, piece in zip(big.pieces, one.pieces, strict=True):
        assert large_piece.id == piece.id
        assert large_piece.quantity == piece.quantity
        assert large_piece.area == pytest.approx(k**2 * piece.area, rel=1e-7)


def test_unit_of_entry_does_not_matter() -> None:
    """The one-seat file is in inches; the same file with every inch written in millimetres gives the same skirt."""
    import re

    def metric(match: re.Match[str]) -> str:
        from skirtloft.design.quantity import parse_length

        return f'"{float(parse_length(match.group(1))) * 1000!r} mm"'

    text = (EXAMPLES / "one-seat.toml").read_text(encoding="utf-8")
    lines = []
    for line in text.splitlines():
        body, mark, comment = line.partition("#")
        if not body.lstrip().startswith("show"):
            body = re.sub(r'"(-?[^"]*?\b(?:ft|in)\b)"', metric, body)
        lines.append(body + mark + comment)
    changed = "\n".join(lines)
    assert changed.count(" mm") > 20
    inches, millimetres = skirt_of("one-seat"), build(parse_design(changed))
    np.testing.assert_allclose(millimetres.sections.length, inches.sections.length, rtol=1e-12)
    np.testing.assert_allclose(millimetres.plan.stations.joint, inches.plan.stations.joint, atol=1e-12)
    assert INCH == pytest.approx(0.0254, abs=0)  # exact: international inch


@pytest.mark.parametrize("name", NAMES)
def test_hands_are_each_other_mirrored(name: str) -> None:
    pieces = {piece.id: piece for piece in skirt_of(name).pieces}
    pairs = [(p, pieces[p.id[:-1] + "S"]) for p in pieces.values() if p.hand == "P"]
    assert len(pairs) > 5
    for port, starboard in pairs:
        assert port.quantity == starboard.quantity
        np.testing.assert_array_equal(port.cut_line, starboard.cut_line)  # drawn to opposite sides: see pieces.types
        assert port.drawn_x_left != starboard.drawn_x_left


def test_a_mirrored_outline_stands_on_the_other_side() -> None:
    """Port and starboard are one: the plan of a craft with its load off centre is the plan of the craft without."""
    moved = skirt_of("four-seat", ("craft.load[0].y", "100 mm"))
    np.testing.assert_array_equal(moved.plan.stations.joint, skirt_of("four-seat").plan.stations.joint)


sensible = st.tuples(
    st.integers(*RANGE.seats), st.floats(*RANGE.beam), st.floats(*RANGE.slenderness), st.floats(0.0, 1.0),
    st.sampled_from(["metric", "imperial"]),
)  # fmt: skip


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(sensible)
def test_what_new_writes_solves_without_a_failed_check(drawn: tuple[int, float, float, float, str]) -> None:
    seats, beam, slenderness, share, show = drawn
    length = min(max(slenderness * beam, RANGE.length[0]), RANGE.length[1])
    if not RANGE.slenderness[0] <= length / beam <= RANGE.slenderness[1]:
        return
    low, high = (250.0, 620.0) if seats == 1 else (360.0, 960.0) if seats <= 4 else (550.0, 1250.0)
    area = cushion_area(choose_sizes(seats, 1.0, length, beam, "metric"))
    mass = (low + share * (high - low)) * area / GRAVITY
    skirt = build(parse_design(new_design_text("x", seats, mass, length, beam, show)))  # type: ignore[arg-type]
    assert [f.rule for f in skirt.findings if f.verdict == "fail"] == []


def joint_lengths(skirt: Skirt) -> dict[str, list[float]]:
    """Per kind, the whole length along the joint of everything that meets there."""
    totals: dict[str, float] = {}
    for piece in skirt.pieces:
        if piece.kind in ("loop_panel", "face", "joint_strip"):
            totals[piece.kind] = totals.get(piece.kind, 0.0) + piece.quantity * piece.joint_length
    return {kind: [total] for kind, total in totals.items()}


@pytest.mark.parametrize("name", NAMES)
def test_loop_strip_and_segments_are_equally_long_at_the_joint(name: str) -> None:
    """Round the whole craft, and within half a millimetre a corner of the true joint line."""
    skirt = skirt_of(name)
    totals = {kind: values[0] for kind, values in joint_lengths(skirt).items()}
    assert set(totals) == {"loop_panel", "face", "joint_strip"}
    assert max(totals.values()) - min(totals.values()) < 1e-9
    corners = sum(np.isfinite(run.radius) for run in skirt.plan.runs) * 2
    assert totals["loop_panel"] == pytest.approx(skirt.plan.joint_perimeter, abs=0.5e-3 * corners)


@pytest.mark.parametrize("name", NAMES)
def test_pattern_edges_are_true(name: str) -> None:
    """Hull and joint edges within 0.05 mm a panel and 0.5 mm a corner of the true curves."""
    skirt = skirt_of(name)
    made = skirt.development
    for errors in (made.hull_edge_error, made.joint_edge_error):
        assert np.abs(errors).max() < 0.05e-3
    by_run: dict[str, float] = {}
    for panel, error in zip(made.panels, made.hull_edge_error, strict=True):
        by_run[panel.run] = by_run.get(panel.run, 0.0) + float(error)
    assert max(map(abs, by_run.values())) < 0.5e-3


def test_runs_of_the_plan_are_the_runs_of_the_results() -> None:
    plan = lay_out(skirt_of("four-seat").design)
    assert [run.name for run in plan.runs] == [run.name for run in skirt_of("four-seat").plan.runs]
    assert sum(r.segments * (1 if r.crosses_centre else 2) for r in plan.runs) == sum(
        piece.quantity for piece in skirt_of("four-seat").pieces if piece.kind == "face"
    )
