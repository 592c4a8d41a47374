"""The read-me page of a pack, and its cut list."""

from __future__ import annotations

from collections.abc import Sequence

from skirtloft.drawing.read_me import Before, PieceRow, read_me_sheets, size_words
from skirtloft.drawing.sheet import Sheet
from skirtloft.drawing.template_labels import quantity_words
from skirtloft.drawing.together import sewing_steps
from skirtloft.export import csv
from skirtloft.pack.parts import FILES, TILES, belongs
from skirtloft.pack.since import SINCE
from skirtloft.pack.types import PlannedPack, Template
from skirtloft.pieces.cut_list import CUT_LIST, cut_list_rows, merged_hands
from skirtloft.pieces.since import change_words
from skirtloft.report import finding_lines, plain_lines, shopping_lines, verdict_line


def read_me(planned: PlannedPack) -> list[Sheet]:
    skirt = planned.skirt
    facts = [*verdict_line(skirt).split("  ", 1)[1:], *plain_lines(skirt), *shopping_lines(skirt)]
    if planned.stamp.changes:
        facts.insert(1, f"Changed    for this pack, not in the file: {', '.join(planned.stamp.changes)}")
    findings = finding_lines(skirt.findings, skirt.design.project.show)
    paper = skirt.design.making.paper
    there = [
        named
        for row in FILES
        if belongs(row[0], planned.only) and (planned.since or row[0] != SINCE)
        for named in (_tiles(planned.papers, row[1]) if row[0] == TILES else [row])
    ]
    has_diaphragm = any(piece.kind == "diaphragm" for piece in skirt.pieces)
    steps = sewing_steps(skirt.design.making, has_diaphragm)
    return read_me_sheets(
        _rows(planned),
        there,
        facts,
        findings,
        planned.stamp,
        paper,
        steps,
        _since(planned),
        planned.papers,
    )


def _tiles(papers: Sequence[str], what: str) -> list[tuple[str, str]]:
    """Return a row to each two papers: more names are wider than their column."""
    pairs = [papers[k : k + 2] for k in range(0, len(papers), 2)]
    names = [", ".join(f"tiles-{paper}/" for paper in pair) for pair in pairs]
    return [(name, "" if k else what) for k, name in enumerate(names)]


def _since(planned: PlannedPack) -> Before | None:
    told = planned.since
    return Before(tuple(told.head()), tuple(change_words(told.changes))) if told else None


def cut_list(planned: PlannedPack) -> str:
    """Return the cut list: one row per piece and hand."""
    return csv.render(cut_list_rows(planned.skirt.pieces), CUT_LIST)


def _rows(planned: PlannedPack) -> list[PieceRow]:
    rows = []
    for template in planned.templates:
        piece = template.piece
        size = piece.cut_line.max(axis=0) - piece.cut_line.min(axis=0)
        counts = {paper: plan.page_count for paper, plan in template.tiles.items()}
        rows.append(
            PieceRow(
                code=piece.base,
                name=piece.name,
                cut=_cut_words(planned, template),
                cloth=piece.cloth,
                size=size_words(size, planned.stamp.project.show),
                pages=counts,
                card=piece.is_rectangle,
            )
        )
    return rows


def _cut_words(planned: PlannedPack, template: Template) -> str:
    """Quantity, and spares where there are any: ``94 P + 94 S, 10 + 10 spare``."""
    words = quantity_words(template.quantities).removeprefix("cut ")
    spares = [piece.spares for piece in merged_hands(planned.skirt.pieces) if piece.base == template.piece.base]
    return f"{words}, {' + '.join(str(count) for count in spares)} spare" if any(spares) else words
