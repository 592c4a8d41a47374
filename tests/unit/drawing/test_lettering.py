"""Room that text takes, against the font files themselves read by fontTools."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from skirtloft.drawing.fonts.make_table import FILES, FOLDER, PLAIN, table_text
from skirtloft.drawing.lettering import ascender, descender, font_size, text_box, text_width, wrap
from skirtloft.drawing.sheet import Text

WORDS = "OUTSIDE UP  Cut 14 P + 14 S, seam B: 312.5 mm"


@pytest.fixture(scope="module", params=[False, True], ids=["regular", "bold"])
def font(request):
    with TTFont(FOLDER / FILES["bold" if request.param else "regular"]) as file:
        yield request.param, file


def test_the_table_is_what_the_font_files_say():
    assert (FOLDER / "advances.json").read_text(encoding="utf-8") == table_text()


def test_width_is_the_sum_of_advances_at_the_capitals_height(font):
    bold, file = font
    names, pen = file.getBestCmap(), BoundsPen(file.getGlyphSet())
    file.getGlyphSet()["H"].draw(pen)  # the capital that defines the height; OS/2 of this font has no cap height
    per_unit = 5.0 / pen.bounds[3]
    expected = sum(file["hmtx"][names[ord(letter)]][0] for letter in WORDS) * per_unit
    assert text_width(WORDS, 5.0, bold) == pytest.approx(expected, rel=1e-12)
    assert font_size(5.0) == pytest.approx(file["head"].unitsPerEm * per_unit, rel=1e-12)


def test_no_plain_letter_leaves_its_box(font):
    bold, file = font
    glyphs, names = file.getGlyphSet(), file.getBestCmap()
    pen = BoundsPen(glyphs)
    glyphs["H"].draw(pen)
    cap = pen.bounds[3]
    highest, lowest = 0.0, 0.0
    for letter in PLAIN:
        pen = BoundsPen(glyphs)
        glyphs[names[ord(letter)]].draw(pen)
        if pen.bounds:
            highest, lowest = max(highest, pen.bounds[3] / cap), min(lowest, pen.bounds[1] / cap)
    assert ascender(PLAIN, 1.0, bold) == pytest.approx(highest, rel=1e-12)
    assert descender(PLAIN, 1.0, bold) == pytest.approx(-lowest, rel=1e-12)
    assert ascender("Å", 1.0, bold) > highest + 0.1  # an accent on a capital stands higher


def test_a_letter_the_font_lacks_counts_one_em():
    assert text_width("中", 3.0) == pytest.approx(font_size(3.0))


@pytest.mark.parametrize("anchor, share", [("start", 0.0), ("middle", 0.5), ("end", 1.0)])
def test_box_turns_about_the_anchor(anchor, share):
    level = text_box(Text("text", 0.0, 0.0, WORDS, 4.0, 0.0, anchor))
    wide, deep = text_width(WORDS, 4.0), descender(WORDS, 4.0)
    assert level[0] == pytest.approx([-share * wide, -deep])
    assert level[2] == pytest.approx([(1 - share) * wide, ascender(WORDS, 4.0)])
    turned = text_box(Text("text", 10.0, 20.0, WORDS, 4.0, 30.0, anchor))
    c, s = math.cos(math.pi / 6), math.sin(math.pi / 6)
    assert turned == pytest.approx(level @ np.array([[c, s], [-s, c]]) + [10.0, 20.0])


def test_wrapped_lines_fit_and_lose_nothing():
    lines = wrap(WORDS, 3.5, 40.0)
    assert len(lines) > 2
    assert all(text_width(line, 3.5) <= 40.0 for line in lines)
    assert " ".join(lines) == " ".join(WORDS.split())
    greedy = [f"{line} {following.split()[0]}" for line, following in itertools.pairwise(lines)]
    assert all(text_width(line, 3.5) > 40.0 for line in greedy)  # no line could have taken another word


def test_a_word_that_is_too_long_stands_alone():
    assert wrap("a extraordinarily b", 3.5, 10.0) == ("a", "extraordinarily", "b")
    assert wrap("one\n\ntwo", 3.5, 100.0) == ("one", "", "two")
