"""The four ways a request can fail, each with what would do instead.

The shells turn these into a sentence and an exit code; any other exception is a bug of ours.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


class SkirtloftError(Exception):
    """Anything the library refuses on purpose."""


@dataclass(frozen=True)
class Problem:
    """One thing wrong in a design file.

    Parameters
    ----------
    path : str
        Place in the file as a TOML path, counted from zero: ``hull.edge[3].radius``.
    given : str
        The value as written, or ``(nothing)`` where a key is missing.
    wrong : str
        What is wrong with it, as a short sentence.
    would_do : str
        A value or a change that would do.
    """

    path: str
    given: str
    wrong: str
    would_do: str

    def __str__(self) -> str:
        return f"{self.path}: given {self.given}. {self.wrong} {self.would_do}"


class DesignError(SkirtloftError):
    """The design file, or another file named by `what`, is wrong; carries every problem found, not the first."""

    def __init__(self, problems: Sequence[Problem], what: str = "The design file") -> None:
        if not problems:
            raise ValueError("a DesignError needs at least one problem")
        self.what = what
        self.problems: tuple[Problem, ...] = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


class ShapeError(SkirtloftError):
    """Geometry that cannot be made: where, why, and the value that would do."""

    def __init__(self, where: str, why: str, would_do: str) -> None:
        self.where, self.why, self.would_do = where, why, would_do
        super().__init__(f"{where}: {why} {would_do}")


class SolveError(SkirtloftError):
    """No answer was found: the stage, what was left over, and a hint."""

    def __init__(self, stage: str, residual: float, hint: str) -> None:
        self.stage, self.residual, self.hint = stage, residual, hint
        super().__init__(f"{stage}: no answer (left over {residual:.3g}). {hint}")


class ExportError(SkirtloftError):
    """A file could not be written or would not be true to size."""
