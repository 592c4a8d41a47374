"""What takes long and is done in a process of its own: better layout, exact patterns, inflating; told as studies.

A new one: a function here and a line in `WORK`; it runs by `run_work` in the process of a `Job`.
"""

from __future__ import annotations

import os
import signal
import threading
import time
import tomllib
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from skirtloft.answers.inflated_plain import CLAIM, inflated_results
from skirtloft.answers.inflated_words import inflated_lines, trim_words
from skirtloft.answers.sewn import cut_of
from skirtloft.checks.finding import Finding, as_sentence
from skirtloft.checks.inflated_rules import inflated_findings
from skirtloft.design.read import design_digest, parse_design
from skirtloft.design.units import format_length
from skirtloft.desk.answer import Solved, finding_data
from skirtloft.desk.drawings import Drawn, sheet_data
from skirtloft.desk.studies import BEFORE_CUTTING
from skirtloft.drawing.inflated_sheets import inflated_sheets
from skirtloft.drawing.roll_sheets import roll_sheets
from skirtloft.drawing.sheet import Sheet
from skirtloft.drawing.strain_sheet import strain_sheets
from skirtloft.errors import ExportError, SkirtloftError
from skirtloft.export import json
from skirtloft.inflate.relax import Progress
from skirtloft.inflate.skirt.frames import Frames, slow_inflation
from skirtloft.inflate.skirt.trial import Asked, Trial, try_skirt
from skirtloft.layout.better import improve
from skirtloft.layout.blanks import problems
from skirtloft.layout.report import layout_lines
from skirtloft.layout.saved import from_text, to_text
from skirtloft.layout.search import quick_layout
from skirtloft.layout.types import Layout
from skirtloft.layout.verify import length_used
from skirtloft.pipeline import build
from skirtloft.report import plain_lines

Json = dict[str, Any]
LAYOUT_SECONDS = 20.0  # for each cloth
PATTERN_LINES = ("Patterns", "Panels", "Loop")  # lines of `solve` that speak of them
PANEL_RULES = ("panel", "pattern", "strain", "develop")


class CancelledError(Exception):
    """The builder changed his mind, and there is nothing to keep."""


class Teller:
    """What a piece of work says to the desk, and whether it is to stop.

    Parameters
    ----------
    told : queue
        Gets ("progress", done, total, what), ("best", study), then one of ("done", kept), ("failed", why),
        ("cancelled",).
    stop : event
    solved : Solved
        What its sheets are stamped with.
    """

    def __init__(self, told: Any, stop: Any, solved: Solved) -> None:
        self._told, self._stop, self.solved = told, stop, solved
        self._last: tuple[Any, ...] = ()

    @property
    def is_stopped(self) -> bool:
        """Whether to end with what is there."""
        return bool(self._stop.is_set())

    def progress(self, done: int, total: int, what: str) -> None:
        """Say how far it is, once."""
        if (done, total, what) != self._last:
            self._last = (done, total, what)
            self._told.put(("progress", done, total, what))

    def best(
        self, name: str, verdict: str, sentences: Sequence[str], cautions: Sequence[str], lines: Sequence[str],
        sheets: Sequence[Sheet], findings: Sequence[Finding] = (), extra: Json | None = None,
    ) -> None:  # fmt: skip
        """Show the best so far, as a study."""
        raw = tomllib.loads(self.solved.text)
        study: Json = {
            "type": "study", "name": name, "revision": self.solved.revision, "why": "", "verdict": verdict,
            "sentences": list(sentences), "cautions": list(cautions), "lines": "\n".join(lines),
            "findings": [finding_data(one, raw) for one in findings],
            "sheets": [sheet_data(self.solved, sheet.name, Drawn(sheet, sheet.title)) for sheet in sheets],
            **(extra or {}),
        }  # fmt: skip
        self._told.put(("best", study))


def run_work(name: str, revision: int, text: str, kept: str, told: Any, stop: Any) -> None:
    """Do a piece of work of `WORK`; what its process does. `kept` is what it goes on from, "" where nothing is."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if hasattr(os, "nice"):
        os.nice(10)
    threading.Thread(target=_end_with, args=(os.getppid(),), daemon=True).start()
    try:
        exact = build(parse_design(text), preview=False, progress=_watched(told, stop))
        teller = Teller(told, stop, Solved(revision, text, design_digest(text), exact))
        told.put(("done", WORK[name](teller, kept)))
    except CancelledError:
        told.put(("cancelled",))
    except SkirtloftError as error:
        told.put(("failed", str(error)))
    except Exception as error:  # the desk says it; the traceback would be lost with this process
        told.put(("failed", f"A fault of the program: {type(error).__name__}: {error}"))


def _end_with(parent: int) -> None:
    """End this process when the desk is gone: nobody would hear of the result."""
    while os.getppid() == parent:
        time.sleep(1.0)
    os._exit(1)


def _watched(told: Any, stop: Any) -> Callable[[int, int, str], None]:
    def progress(done: int, total: int, what: str) -> None:
        if stop.is_set():
            raise CancelledError
        told.put(("progress", done, total, what))

    return progress


def _layout(teller: Teller, kept: str) -> str:
    """Look for a better layout, show each that is; return the text to keep, also of the best so far when stopped."""
    skirt, solved = teller.solved.skirt, teller.solved
    show, wanted = skirt.design.project.show, problems(skirt.design, skirt.pieces)
    best: list[Layout] = [quick_layout(problem) for problem in wanted]
    if kept:
        try:
            best = list(from_text(kept, wanted))
        except ExportError:
            pass  # of other pieces: begun anew

    def show_best(verdict: str) -> None:
        lines = [line for one in best for line in layout_lines(one, show)]
        sentences = [as_sentence(" ".join(f"{line[:10].strip()} {line[10:]}".split())) for line in lines]
        sheets = roll_sheets(tuple(best), solved.stamp, skirt.design.making.paper)
        teller.best("layout", verdict, sentences, (BEFORE_CUTTING,), lines, sheets)

    for k, problem in enumerate(wanted):

        def found(spent: float, layout: Layout, k: int = k, cloth: str = problem.cloth) -> None:
            teller.progress(int(spent + k * LAYOUT_SECONDS), int(len(wanted) * LAYOUT_SECONDS), cloth)
            if length_used(layout) < length_used(best[k]):
                best[k] = layout
                show_best("The best layout so far; a better one is being looked for.")

        if not teller.is_stopped:
            improved = improve(
                problem, LAYOUT_SECONDS, found, lambda: teller.is_stopped, start=best[k] if kept else None
            )
            best[k] = improved.layout
    show_best("This is the best layout that was found; it is kept beside the design.")
    return to_text(best, skirt.design.project.name)


def _patterns(teller: Teller, _: str) -> str:
    """Show the exact patterns that `run_work` made: how far the threads stretch and how true they come out."""
    skirt = teller.solved.skirt
    lines = [line for line in plain_lines(skirt) if line[:10].strip() in PATTERN_LINES]
    findings = [one for one in skirt.findings if any(part in one.rule for part in PANEL_RULES)]
    said = [f"{one.title}: {one.verdict}. {one.why}".strip() for one in findings]
    sheets = strain_sheets(skirt, teller.solved.stamp)
    verdict = "Patterns made as they are cut." if sheets else "This design asks for quick patterns; none is stretched."
    teller.best("patterns", verdict, said, (), lines, sheets, findings)
    return ""


def _inflate(teller: Teller, _: str) -> str:
    """Sew the skirt up and blow air in; return the text to keep. Stopped, the best so far is shown and none is kept."""
    solved, skirt = teller.solved, teller.solved.skirt

    def watch(what: str, at: Progress) -> None:
        teller.progress(at.steps, 0, what)

    asked = Asked(tolerance=skirt.design.making.level)
    trial = try_skirt(cut_of(skirt), asked, watch, lambda: teller.is_stopped)
    lines = inflated_lines(trial)
    first = " ".join(lines[0].split())
    sentences = ["Stopped: this is the best so far, not at rest."] if trial.is_stopped else []
    findings = inflated_findings(trial)
    sheets = inflated_sheets(trial)

    def show(frames: Frames | None) -> None:
        extra = {"rows": inflated_rows(trial), "model": inflated_model(trial, frames)}
        teller.best("inflated", first, sentences, (CLAIM,), lines, sheets, findings, extra)

    show(None)
    if not trial.is_stopped:
        frames = slow_inflation(
            trial.skirt, trial.shape.points, progress=lambda at: watch("slowly", at), stop=lambda: teller.is_stopped
        )
        if not teller.is_stopped:
            show(frames)
    return "" if trial.is_stopped else json.render(inflated_results(trial, solved.digest))


def inflated_rows(trial: Trial) -> list[Json]:
    """Return station, run, rise of the joint, loop as cut, change of it and what to do at the tips, in words.

    The last two are "" where there is nothing to change.
    """
    advice, stations, show = trial.advice, trial.skirt.cut.plan.stations, trial.skirt.cut.design.project.show
    loops = trial.rounds[-1].loops

    def signed(value: float) -> str:
        return f"{'-' if value < 0.0 else '+'}{format_length(abs(value), show)}"

    return [
        {
            "id": name,
            "run": stations.runs[i].replace("_", " "),
            "rise": signed(float(advice.rise[i])),
            "loop": format_length(float(loops[i]), show),
            "change": signed(-float(advice.rise[i] / advice.slope[i])) if advice.loop[i] != 0.0 else "",
            "trim": trim_words(float(advice.tip_trim[i]), show),
        }
        for i, name in enumerate(stations.ids)
    ]


def inflated_model(trial: Trial, frames: Frames | None = None) -> Json:
    """Return the port half as a model: points in tenths of a millimetre, three in turn, and corners of triangles.

    `frames` are its points, in millimetres, on the way there, each with its share of the pressure; none where the slow
    inflation is not made.
    """
    points = np.round(np.asarray(trial.shape.points) * 1e4).astype(int)
    slow = [] if frames is None else list(zip(frames.shares[:-1], frames.millimetres[:-1], strict=True))
    return {
        "points": points.reshape(-1).tolist(),
        "corners": trial.skirt.problem.mesh.triangles.reshape(-1).tolist(),
        "frames": [{"share": float(share), "points": at.reshape(-1).tolist()} for share, at in slow],
    }


WORK: dict[str, Callable[[Teller, str], str]] = {"layout": _layout, "patterns": _patterns, "inflate": _inflate}
