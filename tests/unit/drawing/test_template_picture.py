"""Templates as pictures to sew by: what is shown, what is left out, legible, the same bytes."""

from __future__ import annotations

import io
from functools import cache

import numpy as np
from PIL import Image

from skirtloft.drawing.sheet import Sheet, Text
from skirtloft.drawing.template_picture import NOT_TRUE, density, template_picture
from skirtloft.pack.makers import makers
from skirtloft.pack.plan import plan_pack
from skirtloft.pack.types import PlannedPack
from tests.designs import skirt_of


@cache
def plan() -> PlannedPack:
    return plan_pack(skirt_of("one-seat"), "", only=["pictures"])


def test_every_piece_has_its_picture() -> None:
    planned = plan()
    names = {name for name, _ in makers(planned) if name.startswith("pictures/")}
    for piece in planned.skirt.pieces:
        if piece.is_rectangle:
            assert f"pictures/{piece.base}-1.png" in names or f"pictures/{piece.base}.png" in names
        else:
            assert f"pictures/{piece.id}.png" in names
    assert {name for name, _ in makers(planned)} == {"00-read-me.pdf", *names}


def test_words_on_top_and_no_rule_of_the_paper() -> None:
    planned = plan()
    for template in planned.templates[:4]:
        picture = template_picture(template.sheet, f"{template.piece.base}-S")
        assert not {item.layer for item in picture.items} & {"register", "frame"}
        words = [item for item in picture.items if isinstance(item, Text) and item.y > template.sheet.height]
        text = " ".join(item.text for item in words)
        assert text.startswith(f"{template.piece.base}-S {template.piece.name}")
        assert NOT_TRUE in text
        assert max(item.y + item.height for item in words) < picture.height
        drawn = [item for item in template.sheet.items if item.layer not in ("register", "frame")]
        assert list(picture.items[: len(drawn)]) == drawn


def test_dots_make_letters_legible_and_files_small() -> None:
    """Longer side 1280 pixels where that is sharp enough, never more than 2000: the least of two limits, by hand."""
    for long, dots in ((100.0, 1280.0), (500.0, 500.0 / 25.4 * 75.0), (1000.0, 2000.0), (3000.0, 2000.0)):
        sheet = Sheet("x", "x", long, 50.0, ())
        assert abs(density(sheet) * long / 25.4 - dots) < 1e-9


def test_pictures_are_pictures_and_repeat_to_the_byte() -> None:
    """A face, a panel and a card."""
    files, again = dict(makers(plan())), dict(makers(plan()))
    panel = next(p.id for p in plan().skirt.pieces if p.hand and not p.is_rectangle)
    card = next(name for name in files if name.endswith("-1.png"))
    for name in ("pictures/F1.png", f"pictures/{panel}.png", card):
        data = files[name]()
        with Image.open(io.BytesIO(data)) as image:
            assert 1270 <= max(image.size) <= 2001
            grey = np.asarray(image.convert("L"))
        assert 0.005 < (grey < 128).mean() < 0.2, name  # ink, and mostly paper
        assert again[name]() == data
