"""Rows of panels: seams, straight neighbours, mirror images, what is solved again, what is refused."""

from __future__ import annotations

import numpy as np
import pytest

from skirtloft.errors import ShapeError, SolveError
from skirtloft.maths.frozen import Floats
from skirtloft.shape.flatten import row as row_module
from skirtloft.shape.flatten.images import images, mirrored
from skirtloft.shape.flatten.patch import lay_patches, panel_mesh
from skirtloft.shape.flatten.refine import with_station, without_station
from skirtloft.shape.flatten.row import FlatRow, Flattening, flatten_row, panel_row
from skirtloft.shape.loft import SectionArcs, arcs_by_inset
from tests.corner_cases import CENTRE, DEPTH, RADIUS, corner_places, corner_surface, hull_distance, hull_height

BY = Flattening(6, 12)
BOW = 0.53  # m: half of the straight bow run


def bow_and_corner(places: Floats) -> SectionArcs:
    """Case S from starboard across the straight bow into the corner; 0 at the bow centre."""
    at = np.asarray(places)
    turned = np.clip((np.abs(at) - BOW) / RADIUS, 0.0, None)
    ray = np.column_stack([np.cos(turned), np.sin(turned)])
    joint = CENTRE + RADIUS * ray
    joint[:, 1] += np.minimum(np.abs(at), BOW) - BOW
    side = np.where(at < 0.0, -1.0, 1.0)[:, None] ** np.array([0, 1])
    offset, height = RADIUS - hull_distance("S", turned), hull_height("S", turned)
    return arcs_by_inset(joint * side, ray * side, offset, height, DEPTH, np.full_like(at, DEPTH / 2))


def steps(flat: FlatRow) -> Floats:
    return np.linalg.norm(np.diff(flat.flat[:, flat.patches.mesh.seams], axis=2), axis=-1)


@pytest.mark.parametrize("corner_end", ["mean", "arc"])
def test_straight_panel_across_the_bow_is_part_of_the_row(corner_end: str) -> None:
    places = np.concatenate([[0.0], BOW + corner_places(7)[:4]])
    by = Flattening(6, 12, corner_end=corner_end)  # type: ignore[arg-type]
    flat = flatten_row(bow_and_corner, panel_row(places, across=(True, False)), by)
    mesh, bow = flat.patches.mesh, flat.flat[0]
    found = steps(flat)
    assert np.abs(found[0, 0] - found[0, 1]).max() < 1e-11  # sewn port and starboard to one corner panel each
    assert np.abs(found[0, 1] - found[1, 0]).max() < 1e-11
    turned = mirrored(mesh, flat.flat[:1])[0]
    assert np.abs(turned - bow).max() < 1e-9
    assert bow[mesh.joint[0]] == pytest.approx([2 * BOW, 0.0], abs=1e-9 if corner_end == "arc" else 1e-5)
    excess = found[0].sum(axis=1) - flat.patches.seams[0].sum(axis=1)
    if corner_end == "arc":  # then it is the exact rectangle
        assert excess == pytest.approx([0.0, 0.0], abs=1e-11)
        assert bow[mesh.hull[0]] == pytest.approx([2 * BOW, flat.patches.seams[0, 0].sum()], abs=1e-9)
    else:
        own = np.linalg.norm(np.diff(flat.free[1, mesh.seams[0]], axis=0), axis=-1)
        assert found[0, 0] == pytest.approx((own + flat.patches.seams[0, 0]) / 2, abs=1e-9)
        assert excess.min() > 1e-4


def test_mirror_images_are_found_and_are_the_same_solution() -> None:
    # The S corner, and the same corner walked from its other end.
    def backwards(places: Floats) -> SectionArcs:
        return corner_surface("S")(RADIUS * np.pi / 2 - np.asarray(places))

    there = flatten_row(corner_surface("S"), panel_row(corner_places()), BY)
    back = flatten_row(backwards, panel_row(corner_places()), BY)
    mesh = there.patches.mesh
    assert np.abs(mirrored(mesh, there.flat)[::-1] - back.flat).max() < 1e-9
    both = np.concatenate([there.patches.lengths, back.patches.lengths])
    alike = images(mesh, both, np.empty((12, 2, 0)))
    assert alike.solved.tolist() == list(range(6))
    assert alike.image_of.tolist() == [0, 1, 2, 3, 4, 5, 5, 4, 3, 2, 1, 0]
    assert alike.is_mirrored.tolist() == [False] * 6 + [True] * 6


def test_panels_alike_are_solved_once(monkeypatch: pytest.MonkeyPatch) -> None:
    solved = count_solved(monkeypatch)
    flatten_row(corner_surface("T"), panel_row(corner_places()), BY)
    assert solved == [1, 1]


def count_solved(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    counts: list[int] = []
    fit = row_module.fit_cloth

    def counted(mesh, triangles, flat, weave, lengths=None):
        counts.append(len(flat))
        return fit(mesh, triangles, flat, weave, lengths)

    monkeypatch.setattr(row_module, "fit_cloth", counted)
    return counts


def test_only_what_changed_is_solved_again(monkeypatch: pytest.MonkeyPatch) -> None:
    row = panel_row(corner_places())
    before = flatten_row(corner_surface("S"), row, BY)
    more = with_station(row, float(row.places[2:4].mean()))
    solved = count_solved(monkeypatch)
    after = flatten_row(corner_surface("S"), more, BY, before)
    assert solved == [2, 4]  # the two halves alone, then they and their neighbours
    fresh = flatten_row(corner_surface("S"), more, BY)
    assert np.abs(after.flat - fresh.flat).max() < 1e-9
    assert np.array_equal(after.flat[0], before.flat[0])
    solved.clear()
    again = flatten_row(corner_surface("S"), without_station(more, 3), BY, before)
    assert solved == []
    assert np.array_equal(again.flat, before.flat)


def test_places_out_of_order_are_refused() -> None:
    for places in ([0.0], [0.0, 0.2, 0.2], [0.0, 0.3, 0.2]):
        with pytest.raises(ShapeError, match="in order"):
            panel_row(places)


def test_a_crease_keeps_its_station() -> None:
    corners = RADIUS * np.radians([30.0, 60.0])
    row = panel_row(corner_places(), creases=corners)
    assert len(without_station(row, 1).places) == 6  # 15 deg: no corner of the hull
    with pytest.raises(ShapeError, match=r"station at 0\.393 m.*corner"):
        without_station(row, 2)
    with pytest.raises(ValueError, match="stay"):
        without_station(row, 0)


def test_a_panel_too_wide_says_where_to_put_a_station() -> None:
    # A quarter turn in one panel: half a sphere's worth of curvature.
    with pytest.raises(SolveError, match=r"between 0\.000 m and 1\.178 m.*station at 0\.589 m"):
        flatten_row(corner_surface("T"), panel_row(corner_places(2)), BY)


def test_mesh_is_its_own_mirror_image() -> None:
    mesh = panel_mesh(6, 4)
    assert np.array_equal(mesh.mirror_edges[mesh.mirror_edges], np.arange(len(mesh.edges)))
    assert np.array_equal(np.sort(mesh.mirror_nodes[mesh.seams[0]]), mesh.seams[1])
    assert len(mesh.triangles) == 48
    for columns, rows in ((3, 4), (0, 4), (4, 1)):
        with pytest.raises(ValueError, match="even"):
            panel_mesh(columns, rows)


def test_flat_panels_scale_with_the_craft() -> None:
    def larger(places: Floats) -> SectionArcs:
        arcs = corner_surface("S")(np.asarray(places) / 1.7)
        doubled = (arcs.joint, arcs.centre_outboard, arcs.centre_z, arcs.radius)
        joint, outboard, height, radius = (1.7 * one for one in doubled)
        return SectionArcs(joint, arcs.outward, outboard, height, radius, arcs.start_angle, arcs.end_angle)

    one = flatten_row(corner_surface("S"), panel_row(corner_places()), BY)
    other = flatten_row(larger, panel_row(1.7 * corner_places()), BY)
    assert np.abs(other.flat - 1.7 * one.flat).max() < 1e-9


def test_columns_are_sections_of_the_surface() -> None:
    places = corner_places()
    patches = lay_patches(corner_surface("S"), places[None, 2:4], panel_mesh(6, 12))
    middle = corner_surface("S")(places[2:4].mean(keepdims=True))
    points = patches.points[0].reshape(13, 7, 3)[:, 3]
    outboard = (points[:, :2] - middle.joint[0]) @ middle.outward[0] - middle.centre_outboard[0]
    away = np.hypot(outboard, points[:, 2] - middle.centre_z[0]) - middle.radius[0]
    assert np.abs(away).max() < 1e-12
