"""Tension in the stretched cloth, per width as it then is."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from skirtloft.inflate.flat_mesh import four_sided
from skirtloft.inflate.sew import sew
from skirtloft.inflate.tension import tensions
from skirtloft.inflate.types import Cloth
from tests.inflate_cases import rectangle_edges


@pytest.mark.parametrize("law", ["field", "net"])
def test_stretched_one_way_and_narrowed_the_other(law: str) -> None:
    """Stretch g along, h across: S1 = E (g^2 - 1)/2, tension S1 g/h; across c (h^2 - 1)/2 h/g. [definition]"""
    cloth = Cloth(5e4, law=law)  # type: ignore[arg-type]
    piece = four_sided("sheet", *rectangle_edges(0.3, 0.2, 2, 2))
    flat = np.column_stack([piece.flat, np.zeros(9)])
    mesh = sew([piece], [], [flat])
    g, h = 1.01, 0.97
    turned = (flat * [g, h, 1.0]) @ Rotation.from_rotvec([0.4, -0.2, 0.9]).as_matrix()
    larger, smaller = tensions(mesh, cloth, turned)
    assert larger == pytest.approx(np.full(8, 5e4 * (g**2 - 1) / 2 * g / h), rel=1e-9)
    assert smaller == pytest.approx(np.full(8, 20.0 * (h**2 - 1) / 2 * h / g), rel=1e-9)


def test_a_net_is_softer_across_and_softest_on_the_bias() -> None:
    """0.8 E in the weft; sheared by c12 alone, +-0.03 E c12 at 45 degrees."""
    piece = four_sided("sheet", *rectangle_edges(0.3, 0.2, 2, 2))
    flat = np.column_stack([piece.flat, np.zeros(9)])
    mesh, cloth = sew([piece], [], [flat]), Cloth(5e4, law="net")
    across = tensions(mesh, cloth, flat * [1.0, 1.01, 1.0])[0]
    assert across == pytest.approx(np.full(8, 0.8 * 5e4 * (1.01**2 - 1) / 2 * 1.01), rel=1e-9)
    angle = 0.02  # threads keep their length, their angle closes: F = [e1, (sin, cos)]
    sheared = flat @ np.array([[1.0, 0.0, 0.0], [np.sin(angle), np.cos(angle), 0.0], [0.0, 0.0, 1.0]])
    larger, smaller = tensions(mesh, cloth, sheared)
    assert larger == pytest.approx(
        np.full(8, 0.03 * 5e4 * np.sin(angle) * (1 + np.sin(angle)) / np.cos(angle)), rel=1e-9
    )
    assert smaller == pytest.approx(
        np.full(8, -0.03 * 5e4 * np.sin(angle) * (1 - np.sin(angle)) / np.cos(angle)), rel=1e-9
    )
