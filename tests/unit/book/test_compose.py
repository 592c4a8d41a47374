"""The book as records: whole, without holes, and only of what concerns its design."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest

from skirtloft.answers.inflated_plain import inflated_results
from skirtloft.answers.ride_results import sits_results
from skirtloft.answers.sits import gap_places, gap_words
from skirtloft.book.compose import build_book
from skirtloft.book.faults import FAULTS, faults
from skirtloft.book.inflated import inflated
from skirtloft.book.sewing import order_of_work
from skirtloft.book.sources import _leaves, sources
from skirtloft.book.subject import Subject, codes, listed
from skirtloft.book.types import Book, Chapter, Figure, FullPage, Steps, Table
from skirtloft.drawing.page import Stamp
from skirtloft.drawing.sheet import Text as SheetText
from skirtloft.export import json as as_json
from skirtloft.inflate.saved import saved_inflation, shape_digest
from skirtloft.layout.kept import kept_layouts
from skirtloft.materials.list import bill_of_materials, spare_segments
from skirtloft.materials.spares import spare_pieces
from skirtloft.pipeline import with_inflated
from skirtloft.rides.rides_of import rides_of
from skirtloft.sits.sits import sits_of
from tests.designs import TAUT, skirt_of
from tests.sewn_designs import SIDE, trial_of

EXAMPLES = ("one-seat", "four-seat", "ten-seat")


@cache
def book_of(name: str) -> Book:
    skirt = skirt_of(name)
    return build_book(skirt, kept_layouts(skirt.design, skirt.pieces), Stamp(skirt.design.project))


def subject_of(name: str, **making: object) -> Subject:
    skirt = skirt_of(name)
    design = skirt.design.model_copy(update={"making": skirt.design.making.model_copy(update=making)})
    changed = type(skirt)(**{**vars(skirt), "design": design})
    return Subject(changed, Stamp(design.project), (), bill_of_materials(design, skirt.pieces), "A4")


def words_of(chapters: tuple[Chapter, ...]) -> Iterator[str]:
    for chapter in chapters:
        yield chapter.title
        for block in chapter.blocks:
            if isinstance(block, Table):
                yield from (cell for row in (block.head, *block.rows) for cell in row if isinstance(cell, str))
            elif isinstance(block, Steps):
                yield from block.items
            elif not isinstance(block, (Figure, FullPage)):
                yield block.words


@pytest.mark.parametrize("name", EXAMPLES)
def test_tables_are_whole_and_no_value_is_missing(name: str) -> None:
    book = book_of(name)
    for chapter in book.chapters:
        for block in chapter.blocks:
            if isinstance(block, Table):
                assert len(block.head) == len(block.widths), (chapter.title, block.head)
                assert all(len(row) == len(block.head) for row in block.rows), (chapter.title, block.head)
                assert block.rows, (chapter.title, block.head)
                assert all(column < len(block.head) for column in block.right)
    for words in words_of(book.chapters):
        assert not re.search(r"\b(nan|inf|None|True|False)\b|[{}]|  \.", words), words


@pytest.mark.parametrize("name", EXAMPLES)
def test_chapters_come_in_the_order_of_the_work(name: str) -> None:
    titles = [chapter.title for chapter in book_of(name).chapters]
    order = [
        "How it sits",
        "On the water",
        "How it rides",
        "Findings",
        "Inflated in the computer",
        "The pieces",
        "Cut plan",
        "Materials",
        "Order of work",
        "Fitting",
        "Before starting the engine",
        "First hover",
    ]
    places = [titles.index(title) for title in order]
    assert places == sorted(places)


def test_hover_chapters_say_what_the_commands_answer() -> None:
    """Each figure of the book against `sits_results` and `rides_results`, which write the JSON of those commands."""
    skirt, book = skirt_of("four-seat"), book_of("four-seat")
    chapters = {chapter.title: chapter for chapter in book.chapters}
    sits = sits_of(skirt)
    written = sits_results(skirt, "", sits, ())["loads"][0]["rests"]["likely"]
    gaps = next(block for block in chapters["How it sits"].blocks if isinstance(block, Table))
    row = next(row for row in gaps.rows if row[0] == "likely")
    for name, k in gap_places(sits.loads[0]).items():
        assert row[gaps.head.index(name)] == gap_words(written["gap_m"][k], "metric")
    rides = rides_of(skirt)
    margins = next(block for block in chapters["How it rides"].blocks if isinstance(block, Table))
    assert [row[-1] for row in margins.rows] == [f"{one.margin:.2f}" for one in rides.loads]
    for title, sheets in (("How it sits", 4), ("On the water", 2), ("How it rides", 2)):
        assert sum(isinstance(block, FullPage) for block in chapters[title].blocks) == sheets
    assert not any("`" in words for words in words_of(book.chapters))


METRIC = re.compile(
    r"(?<![\w.×])(?<!× )(?<!\d x )-?\d+(?:\.\d+)? ?"
    r"(?:mm|cm2?|m2?|m3|kg|g|k?Pa|N|m/s|m3/s|k?W|degC|g/m2|N/m|kg/m3|g/m)(?![\w/²³]| per | m/| s/)"
)


def test_no_metric_value_stands_alone_in_a_book_in_feet_and_pounds() -> None:
    """Words and drawings; metric is allowed with the imperial value in brackets behind it, or in brackets itself."""
    skirt = skirt_of("one-seat", ("project.show", "imperial"))
    book = build_book(skirt, kept_layouts(skirt.design, skirt.pieces), Stamp(skirt.design.project), "Letter")
    said = [*words_of(book.chapters), *(words for _, words in book.cover.facts)]
    for chapter in book.chapters:
        for block in chapter.blocks:
            if isinstance(block, (Figure, FullPage)):
                said += [item.text for item in block.sheet.items if isinstance(item, SheetText)]
    alone = []
    for words in said:
        for found in METRIC.finditer(words):
            value = float(re.match(r"-?[\d.]+", found[0])[0])
            behind = words[found.end() :]
            if value and not behind.startswith((" (", ")")) and not re.match(r"\W*\d[^()]*\(", behind):
                alone.append(words)
    assert not alone, "\n".join(dict.fromkeys(alone))


def test_an_inflation_is_told_where_it_was_made_and_else_how_to_get_one() -> None:
    """One segment of the side, given out for the whole skirt: its own heights stand in the table."""
    skirt = skirt_of("four-seat")
    told = json.loads(as_json.render(inflated_results(trial_of(SIDE), "d"))) | {"whole": True}
    saved = saved_inflation(json.dumps(told), shape_digest(skirt.design))
    bill = bill_of_materials(skirt.design, skirt.pieces)
    subject = Subject(with_inflated(skirt, saved), Stamp(skirt.design.project), (), bill, "A4")
    said = " ".join(words_of((inflated(subject),)))
    assert "station by station" in said
    assert all(f" {row.id} " in f" {said} " for row in saved.stations)
    without = " ".join(words_of((inflated(replace(subject, skirt=skirt)),)))
    assert "run the command inflate" in without
    assert "station by station" not in without


def test_only_faults_of_this_design_are_told() -> None:
    glued = list(words_of((faults(subject_of("four-seat", join="glued")),)))
    sewn = list(words_of((faults(subject_of("four-seat", join="sewn")),)))
    assert "Seams peel" in glued
    assert "Seams peel" not in sewn
    assert "A row of stitches tears like a stamp" in sewn
    assert "A row of stitches tears like a stamp" not in glued
    assert len({fault.seen for fault in FAULTS}) == len(FAULTS)


def test_every_key_of_the_design_is_an_assumption_or_from_the_file() -> None:
    """Keys at their default and keys of the file are all keys that have a value, each told once."""
    subject = subject_of("ten-seat")
    taken, given = (
        block for block in sources(subject, "").blocks if isinstance(block, Table) and block.head[0] == "Key"
    )
    told = [row[0] for row in (*taken.rows, *given.rows)]
    assert len(told) == len(set(told))
    there = {".".join(path) for path, value, _ in _leaves(subject.skirt.design, ()) if value is not None}
    assert set(told) == there
    values = dict(row[:2] for row in taken.rows)
    assert values["skirt.face_angle"] == "45 deg"
    assert dict(given.rows)["skirt.depth"] == "360 mm (1 ft 2 3/16 in)"


@pytest.mark.parametrize("name", EXAMPLES)
def test_spares_are_as_many_as_the_list_buys_and_corners_have_one(name: str) -> None:
    skirt = skirt_of(name)
    spares = spare_pieces(skirt.pieces)
    assert sum(spares.values()) == spare_segments(skirt.pieces)
    corners = {piece.base for piece in skirt.pieces if piece.kind == "face" and piece.run.endswith("corner")}
    assert corners <= set(spares)
    none = skirt_of(name, ("making.spares.share", "0"), ("making.spares.least", "0"), ("making.spares.corner", "0"))
    assert spare_pieces(none.pieces) == {}


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_catalogue_says_how_many_webs_and_patches_the_spares_take(name: str) -> None:
    """Every spare segment has a web of either hand, and a patch for each: counted by the pieces' own quantities."""
    pieces = skirt_of(name).pieces
    (chapter,) = [one for one in book_of(name).chapters if one.title == "The pieces"]
    cut = {row[1]: str(row[2]) for one in chapter.blocks if isinstance(one, Table) for row in one.rows if len(row) > 4}
    spares = sum(p.spares for p in pieces if p.kind == "face")
    found = {
        kind: sum(
            int(number)
            for base in {p.base for p in pieces if p.kind == kind}
            for number in re.findall(r"\d+", cut[base].partition("and ")[2])
        )
        for kind in ("face", "web", "patch")
    }
    assert found == {"face": spares, "web": 2 * spares, "patch": 2 * spares}


def test_the_area_of_the_spares_is_that_of_their_pieces() -> None:
    (chapter,) = [one for one in book_of("four-seat").chapters if one.title == "The pieces"]
    (row,) = [
        row for one in chapter.blocks if isinstance(one, Table) for row in one.rows if row[0] == "segment, spares"
    ]
    pieces = skirt_of("four-seat").pieces
    area = sum(p.area * p.quantity for p in pieces if p.kind in ("face", "web", "patch")) / 94 * 13
    assert float(str(row[2]).split()[0]) == pytest.approx(area, rel=1e-3)


def test_the_hull_edge_of_the_loop_is_finished_as_the_file_has_it() -> None:
    def told(**making: object) -> str:
        subject = subject_of("one-seat", **making)
        return " ".join(words_of((order_of_work(subject),)))

    assert "Turn the raw edge in once and sew it down in one row" in told()
    assert "glue it down" in told(join="glued")
    bound = skirt_of("one-seat").design.making.seams.model_copy(update={"hull": "bound"})
    assert "Bind the raw edge" in told(seams=bound)


def test_no_sentence_of_the_book_ends_twice() -> None:
    for words in words_of(book_of("four-seat").chapters):
        assert ".." not in words, words


def test_lists_in_words() -> None:
    assert codes(["L01", "L02", "L04", "L05", "L06", "J9", "J10"]) == "L01, L02, L04 to L06, J9, J10"
    assert listed(["bow", "side", "stern"]) == "bow, side and stern"
    assert listed(["bow"]) == "bow"


def test_pieces_that_fit_no_roll_leave_the_book_whole() -> None:
    skirt = skirt_of("four-seat", ("cloth.loop.roll_width", "0.5 m"))
    layouts = kept_layouts(skirt.design, skirt.pieces)
    assert layouts == ()
    words = list(words_of(build_book(skirt, layouts, Stamp(skirt.design.project)).chapters))
    assert any("There is no layout" in one for one in words)
    assert any("lay them out first" in one for one in words)


def test_a_diaphragm_is_fitted_by_its_strips() -> None:
    skirt = skirt_of("four-seat", *TAUT)
    with_it = list(words_of(build_book(skirt, (), Stamp(skirt.design.project)).chapters))
    assert any("cut short for its diaphragm" in one for one in with_it)
    assert not any("cut short for its diaphragm" in one for one in words_of(book_of("four-seat").chapters))
