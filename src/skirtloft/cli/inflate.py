"""The command that inflates what was sewn."""

from __future__ import annotations

import signal
import sys
import time
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING, Annotated

import typer

from skirtloft.cli.shell import (
    CANCELLED,
    DesignArgument,
    SetOption,
    app,
    built,
    changed_lines,
    held_loop_place,
    launcher,
)
from skirtloft.errors import DesignError, ExportError, Problem

if TYPE_CHECKING:
    from skirtloft.inflate.relax import Progress
    from skirtloft.inflate.skirt.trial import Asked, Trial
    from skirtloft.pipeline import Skirt

GROUND = (0.010, 0.020, 0.030)  # m
ROUNDS = 4
SHOW_EVERY = 0.2  # s


@app.command()
def inflate(
    design: DesignArgument,
    fine: Annotated[bool, typer.Option("--fine", help="The finer mesh: about four times as long.")] = False,
    ground: Annotated[bool, typer.Option("--ground", help="Bring the ground up 10, 20 and 30 mm.")] = False,
    loads: Annotated[bool, typer.Option("--loads", help="Inflate it at the pressures of the other loads too.")] = False,
    level: Annotated[
        bool, typer.Option("--level", help="Cut loops again and trim tips until joint and tips are level.")
    ] = False,
    bare: Annotated[bool, typer.Option("--bare", help="Leave out the weight of strip and bolts at the joint.")] = False,
    held: Annotated[
        bool,
        typer.Option("--held", help="The loop alone, joint line held: how true its patterns come out. Half a minute."),
    ] = False,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="FILE", help="Where to save: .json (by itself beside the design), .glb or .pdf."),
    ] = None,
    write: Annotated[
        Path | None,
        typer.Option(
            "--write",
            metavar="NEW.toml",
            help="Change loops and tips in the design until joint and tips stand as drawn, and write it there.",
        ),
    ] = None,
    frames: Annotated[
        Path | None,
        typer.Option("--frames", metavar="FILE.glb", help="Write the skirt blown up slowly: a 3D model that moves."),
    ] = None,
    form: Annotated[
        Path | None,
        typer.Option("--form", metavar="FILE", help="Write the form for measurements at first hover: .csv or .pdf."),
    ] = None,
    changes: SetOption = None,
) -> int:
    """Sew the skirt up in the computer and blow air in: do joint and tips come level? Ctrl-C keeps the best so far."""
    from skirtloft.answers.as_sewn import cut_to_sew
    from skirtloft.answers.corrected import corrected, round_lines
    from skirtloft.answers.inflated_words import inflated_lines
    from skirtloft.checks.inflated_rules import inflated_findings
    from skirtloft.design.read import design_digest, read_text
    from skirtloft.files import write_text
    from skirtloft.inflate.saved import inflation_place
    from skirtloft.inflate.skirt.trial import try_skirt
    from skirtloft.report import finding_lines

    if held:
        if fine or ground or loads or level or bare or form is not None:
            raise ExportError(
                "--held looks at the loop's patterns alone: leave out the other options but --out, --set."
            )
        return _held(design, changes, out)
    target = out or inflation_place(design)
    _refuse(target, (".json", ".glb", ".pdf"))
    if frames is not None:
        _refuse(frames, (".glb",))
    if form is not None:
        _refuse(form, (".csv", ".pdf"))
    if write is not None:
        _refuse_write(write, changes, level)
    skirt, digest = built(design, changes, preview=False, inflated=False)
    asked = _asked(skirt, fine=fine, ground=ground, loads=loads, level=level, bare=bare)
    watch, told, text = _Watch(), list[str](), ""

    def tried(skirt: Skirt) -> Trial:
        return try_skirt(cut_to_sew(skirt), asked, watch.show, lambda: watch.is_cancelled)

    with watch:
        trial = tried(skirt)
        if write is not None:
            found = corrected(read_text(design), skirt, trial, tried, ROUNDS)
            text, skirt, trial, told = found.text, found.skirt, found.trials[-1], round_lines(found)
    for line in (
        *changed_lines(changes),
        *told,
        *inflated_lines(trial),
        *finding_lines(inflated_findings(trial), skirt.design.project.show),
    ):
        print(line)
    if write is not None and not trial.is_stopped:
        write_text(write, text)
        print(f"Wrote {write}: loops and tips changed, the rest as it was")
        digest, target = design_digest(text, []), out or inflation_place(write)
    _write(trial, digest, target)
    print(f"Saved {target}")
    if frames is not None and not trial.is_stopped:
        _write_frames(trial, frames, watch)
    if form is not None:
        _write_form(trial, form)
        print(f"Form to fill in at the first hover: {form}")
    else:
        print(f"Form for measurements: {launcher()} inflate {design} --form {design.stem}-measured.csv")
    if trial.is_stopped:
        print("Cancelled: what is saved is the best so far.", file=sys.stderr)
        return CANCELLED
    return 0 if trial.is_level else 1


def _held(design: Path, changes: list[str] | None, out: Path | None) -> int:
    """Inflate the loop alone, say how true it comes out, and keep that beside the design for the reports."""
    from skirtloft.answers.held_loop import held_loop_lines, held_loop_results
    from skirtloft.export import json
    from skirtloft.files import write_text
    from skirtloft.inflate.loop_check import check_loop, panels_fingerprint
    from skirtloft.pipeline import flattening_of, surface_of

    target = out or held_loop_place(design)
    _refuse(target, (".json",), held=True)
    skirt, digest = built(design, changes, preview=False, inflated=False)
    pressure, watch = skirt.cushions[0].pressure, _Watch()
    surface = surface_of(skirt.design, skirt.plan, pressure)
    with watch:
        check = check_loop(
            skirt.plan,
            skirt.development,
            surface,
            flattening_of(skirt.design),
            pressure,
            watch=watch.show,
            stop=lambda: watch.is_cancelled,
        )
    for line in (*changed_lines(changes), *held_loop_lines(skirt, check)):
        print(line)
    fingerprint = panels_fingerprint(skirt.development, pressure)
    write_text(target, json.render(held_loop_results(skirt, check, digest, fingerprint)))
    print(f"Saved {target}")
    if not check.is_settled:
        print("Stopped: what is saved is the best so far.", file=sys.stderr)
        return CANCELLED if watch.is_cancelled else 3
    return 0 if check.away.max() <= skirt.design.making.loop.deviation else 1


def _asked(skirt: Skirt, *, fine: bool, ground: bool, loads: bool, level: bool, bare: bool) -> Asked:
    from skirtloft.inflate.skirt.flat import COARSE, FINE
    from skirtloft.inflate.skirt.model import Making
    from skirtloft.inflate.skirt.trial import Asked

    others = tuple((cushion.name, cushion.pressure) for cushion in skirt.cushions[1:]) if loads else ()
    return Asked(
        making=Making(detail=FINE if fine else COARSE, fittings=not bare),
        pressures=others,
        ground=GROUND if ground else (),
        rounds=ROUNDS if level else 0,
        tolerance=skirt.design.making.level,
    )


def _refuse_write(target: Path, changes: list[str] | None, level: bool) -> None:
    """Refuse to write a design where it would not be the file's, or over another file."""
    wrong = []
    if changes:
        wrong.append(Problem("--write", "with --set", "The file does not hold those changes.", "Put them in first."))
    if level:
        wrong.append(Problem("--write", "with --level", "--write does that, and more.", "Leave --level out."))
    if target.exists():
        wrong.append(Problem("--write", str(target), "That file is there already.", "Give a new name."))
    if target.suffix.lower() != ".toml":
        wrong.append(Problem("--write", str(target), "A design file ends in .toml.", "Give such a name."))
    if not target.resolve().parent.is_dir():
        wrong.append(Problem("--write", str(target), "There is no such folder.", "Make it first."))
    if wrong:
        raise DesignError(wrong)


def _refuse(target: Path, endings: tuple[str, ...], held: bool = False) -> None:
    """Refuse an ending that is not written, and a JSON file or form that is something else."""
    if target.suffix.lower() not in endings:
        raise ExportError(f"{target}: write {', '.join(endings)}.")
    if not target.exists():
        return
    head = target.read_bytes()[:300] if target.is_file() else b""
    ours = {
        ".json": b"skirtloft-held-loop/1" if held else b"skirtloft-inflated/1",
        ".glb": b"skirtloft",
        ".pdf": b"%PDF",
        ".csv": b"computed_mm",
    }
    if ours[target.suffix.lower()] not in head:
        raise ExportError(f"{target} is there already and is none of ours; give another name.")


def _write(trial: Trial, digest: str, target: Path) -> None:
    from skirtloft.answers.inflated_plain import inflated_results
    from skirtloft.drawing.inflated_sheets import inflated_sheets
    from skirtloft.drawing.inflated_solid import inflated_meshes
    from skirtloft.export import glb, json, pdf
    from skirtloft.files import write_bytes, write_text

    ending = target.suffix.lower()
    if ending == ".glb":
        write_bytes(target, glb.render(inflated_meshes(trial)))
    elif ending == ".pdf":
        write_bytes(target, pdf.render(inflated_sheets(trial)))
    else:
        write_text(target, json.render(inflated_results(trial, digest)))


def _write_frames(trial: Trial, place: Path, watch: _Watch) -> None:
    from skirtloft.export import glb_frames
    from skirtloft.files import write_bytes
    from skirtloft.inflate.skirt.frames import slow_inflation

    with watch:
        found = slow_inflation(
            trial.skirt,
            trial.shape.points,
            progress=lambda at: watch.show("slowly", at),
            stop=lambda: watch.is_cancelled,
            fast=trial.asked.fast,
        )
    write_bytes(place, glb_frames.render("skirt, port half", found.points, found.triangles))
    print(f"Slow inflation, {len(found.shares)} pressures: {place}")


def _write_form(trial: Trial, form: Path) -> None:
    from skirtloft.answers.inflated_plain import FORM_COLUMNS, form_rows
    from skirtloft.drawing.measure_form import form_sheet
    from skirtloft.export import csv, pdf
    from skirtloft.files import write_bytes, write_text

    if form.suffix.lower() == ".pdf":
        write_bytes(form, pdf.render([form_sheet(trial)]))
        return
    write_text(form, csv.render(form_rows(trial), FORM_COLUMNS))


class _Watch:
    """Shows progress on a terminal; the first Ctrl-C ends with the best so far, a second one at once."""

    def __init__(self) -> None:
        self.is_cancelled = False
        self._shown = 0.0
        self._before: object = None

    def __enter__(self) -> _Watch:
        self._before = signal.signal(signal.SIGINT, self._cancel)
        return self

    def __exit__(self, *_: object) -> None:
        signal.signal(signal.SIGINT, self._before)  # type: ignore[arg-type]
        if self._shown:
            print(file=sys.stderr)

    def _cancel(self, number: int, frame: FrameType | None) -> None:
        if self.is_cancelled:
            raise KeyboardInterrupt
        self.is_cancelled = True

    def show(self, what: str, at: Progress) -> None:
        """Show what is being done and how far the forces left over are from those asked for."""
        now = time.monotonic()
        if not sys.stderr.isatty() or now - self._shown < SHOW_EVERY:
            return
        self._shown = now
        words = f"{what}: step {at.steps}, {at.residual:.3g} N left over of {at.wanted:.2g} N"
        print(f"\r{words[:78]:78}", end="", file=sys.stderr, flush=True)
