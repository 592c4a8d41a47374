"""The bytes of a DXF file -> strokes in the drawing's own units, with what was left out and what is wrong.

ezdxf reads the file; here its entities become lines, arcs and curves. Nothing is opened and nothing is guessed.
"""

from __future__ import annotations

import io
import logging
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from skirtloft.errors import DesignError, Problem
from skirtloft.shape.drawn.entities import CURVES, TiltedError, stroke_of
from skirtloft.shape.drawn.pieces import Stroke

if TYPE_CHECKING:
    from ezdxf.audit import Auditor
    from ezdxf.document import Drawing as Document

BINARY = b"AutoCAD Binary DXF"  # how a binary file starts
LISTED = 8  # entities or layers named in one message
DEEPEST = 16  # blocks within blocks


@dataclass
class Reading:
    """What a drawing holds, gathered while it is read.

    Parameters
    ----------
    strokes : list of Stroke
        In the drawing's units.
    layers : list of str
        Those that were read.
    counts : Counter
        Entities read, by kind.
    unit_code : int
        ``$INSUNITS``; 0 for none.
    notes : list of str
    problems : list of Problem
    """

    strokes: list[Stroke] = field(default_factory=list)
    layers: list[str] = field(default_factory=list)
    counts: Counter[str] = field(default_factory=Counter)
    unit_code: int = 0
    notes: list[str] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)


def read_dxf(data: bytes, layers: Sequence[str] = ()) -> Reading:
    """Return the strokes on `layers` of a drawing's model space, or on its only layer that holds any.

    Raises
    ------
    DesignError
        The bytes are no DXF.
    """
    document, notes = _document(data)
    reading = Reading(notes=notes, unit_code=_unit_code(document))
    chosen = _chosen(document, layers, reading)
    for entity, layer, name in chosen:
        kind = entity.dxftype()
        if kind not in CURVES:
            continue
        reading.counts[kind] += 1
        try:
            stroke = stroke_of(entity, name)
        except TiltedError:
            wrong = "It does not lie in the plane of the plan view."
            reading.problems.append(Problem(name, f"layer {layer}", wrong, "Draw it flat in plan, or project it."))
        except Exception as error:  # ezdxf raises what it happens to meet in an unsound entity
            wrong = f"Its data cannot be read ({type(error).__name__}: {error})."
            reading.problems.append(Problem(name, f"layer {layer}", wrong, "Delete it and draw it again."))
        else:
            if stroke.pieces:
                reading.strokes.append(stroke)
            else:
                reading.notes.append(f"{name} has no length and is left out.")
    return reading


def _document(data: bytes) -> tuple[Document, list[str]]:
    if data[:4] == b"AC10":
        raise DesignError(
            [Problem("file", "a DWG file", "DWG is not read.", "Save the drawing as DXF (R2000 or later, ASCII).")]
        )
    log = logging.getLogger("ezdxf")
    level = log.level
    log.setLevel(logging.CRITICAL + 1)
    try:
        document, auditor = _loaded(data)
    except Exception as error:  # whatever it meets in bytes that are no DXF
        given = f"{len(data)} bytes" if data else "an empty file"
        reason = " ".join(str(error).split())[:120]
        wrong = f"It cannot be read as a DXF drawing ({type(error).__name__}{': ' if reason else ''}{reason})."
        raise DesignError([Problem("file", given, wrong, "Save it again as DXF, R2000 or later.")]) from None
    finally:
        log.setLevel(level)
    if not document.modelspace() and not document.entitydb:
        raise DesignError([Problem("file", f"{len(data)} bytes", "It holds no drawing.", "Save it again as DXF.")])
    repaired = [*auditor.fixes, *auditor.errors]
    notes = []
    if repaired:
        count = f"{len(repaired)} place{'s' if len(repaired) > 1 else ''}"
        notes.append(f"The DXF was unsound in {count} and mended while reading; first: {repaired[0].message}")
    return document, notes


def _loaded(data: bytes) -> tuple[Document, Auditor]:
    """Return the document of text or binary DXF, and what was mended or could not be."""
    from ezdxf import recover
    from ezdxf.document import Drawing
    from ezdxf.lldxf.tagger import binary_tags_loader

    if data.startswith(BINARY):
        document = Drawing.load(binary_tags_loader(data, errors="surrogateescape"))
        return document, document.audit()
    return recover.read(io.BytesIO(data))


def _unit_code(document: Document) -> int:
    try:
        return int(document.header.get("$INSUNITS", 0))
    except (TypeError, ValueError):
        return 0


def _chosen(document: Document, layers: Sequence[str], reading: Reading) -> list[tuple[Any, str, str]]:
    """Return (entity, layer, name) on the wanted layers; notes the layers read and what was left out."""
    every = list(_flat(document.modelspace(), None, "", 0))
    hidden = {layer.dxf.name.lower() for layer in document.layers if layer.is_off() or layer.is_frozen()}
    drawn: dict[str, list[str]] = {}
    for entity, layer, name in every:
        if entity.dxftype() in CURVES:
            drawn.setdefault(layer.lower(), [layer]).append(name)
    wanted = [layer.lower() for layer in layers] or [layer for layer in drawn if layer not in hidden]
    listed = "; ".join(_counted(names) for names in list(drawn.values())[:LISTED]) or "none"
    if layers:
        for layer in layers:
            if layer.lower() not in drawn:
                wrong = "There are no lines or curves on this layer."
                reading.problems.append(Problem("--layer", layer, wrong, f"Layers that have some: {listed}."))
    elif len(wanted) > 1:
        wrong = "Lines and curves lie on several layers."
        would_do = (
            f'Name the one that holds the outline: --layer "{drawn[wanted[0]][0]}" (may be given more than once).'
        )
        reading.problems.append(Problem("layers", listed, wrong, would_do))
    elif not wanted:
        given = f"only on hidden layers: {listed}" if drawn else "no LINE, ARC, CIRCLE, ELLIPSE, polyline or SPLINE"
        would_do = "Name a layer with --layer." if drawn else "Draw the outline in the model space, and not in a block."
        reading.problems.append(Problem("drawing", given, "There is no outline to read.", would_do))
    reading.layers = [drawn[layer][0] for layer in wanted if layer in drawn]
    mine = [entry for entry in every if entry[1].lower() in wanted]
    others = Counter(entity.dxftype() for entity, _, _ in mine if entity.dxftype() not in CURVES)
    if others:
        words = ", ".join(f"{count} {kind}" for kind, count in sorted(others.items()))
        reading.notes.append(f"Not part of an outline and left out: {words}.")
    return mine


def _counted(names: Sequence[str]) -> str:
    count = len(names) - 1
    return f'"{names[0]}" ({count} entit{"y" if count == 1 else "ies"})'


def _flat(entities: Any, block_layer: str | None, within: str, depth: int) -> Iterator[tuple[Any, str, str]]:
    """Yield (entity, layer, name), blocks taken apart; what lies on layer 0 of a block is on the block's layer."""
    for entity in entities:
        layer = str(entity.dxf.get("layer", "0"))
        if block_layer is not None and layer == "0":
            layer = block_layer
        name = f"{entity.dxftype()} {entity.dxf.get('handle') or '(no handle)'}"
        if within:
            name = f"{entity.dxftype()} in {within}"
        if entity.dxftype() == "INSERT" and depth < DEEPEST:
            block = f"block {entity.dxf.get('name', '?')} ({entity.dxf.get('handle') or within})"
            for one in entity.multi_insert() if entity.mcount > 1 else [entity]:
                yield from _flat(one.virtual_entities(), layer, block, depth + 1)
        else:
            yield entity, layer, name
