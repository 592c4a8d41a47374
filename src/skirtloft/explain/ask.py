"""What `why` answers: a rule or a number of a design, with its equation in figures and what moves it most."""

from __future__ import annotations

from collections.abc import Callable
from difflib import get_close_matches
from textwrap import wrap

from skirtloft.checks.finding import Finding
from skirtloft.design.model import Design
from skirtloft.errors import DesignError, Problem
from skirtloft.explain import (
    rules_of_air,
    rules_of_behaviour,
    rules_of_inflation,
    rules_of_making,
    rules_of_ride,
    rules_of_service,
    rules_of_shape,
)
from skirtloft.explain.moves import Progress, moves
from skirtloft.explain.station import station_named
from skirtloft.explain.topics import TOPICS, topic_named
from skirtloft.explain.types import Topic, Working
from skirtloft.explain.words import WORD, move_lines, rule_lines, topic_lines
from skirtloft.inflate.saved import SavedInflation
from skirtloft.pipeline import Skirt, build, with_inflated

WORKINGS: dict[str, Working] = {
    **rules_of_shape.WORKINGS,
    **rules_of_behaviour.WORKINGS,
    **rules_of_air.WORKINGS,
    **rules_of_making.WORKINGS,
    **rules_of_service.WORKINGS,
}


def names() -> tuple[str, ...]:
    """Return every name that can be asked for, numbers first."""
    return (*(topic.name for topic in TOPICS), *WORKINGS, *rules_of_ride.WORKINGS, *rules_of_inflation.WORKINGS)


def names_lines(design: Design, inflated: SavedInflation | None = None) -> list[str]:
    """Return every name that can be asked for of this design, with its title."""
    skirt = with_inflated(build(design), inflated)
    numbers = [f"  {topic.name:32}{topic.title}{' (@station)' if topic.by_station else ''}" for topic in TOPICS]
    rules = [f"  {finding.rule:32}{finding.title}: {WORD[finding.verdict]}" for finding in skirt.findings]
    later = f"  {', '.join(rules_of_ride.WORKINGS)}"
    return [
        "Numbers",
        *numbers,
        "Rules",
        *rules,
        "Rules of `sits` and `water`",
        *wrap(later, 118, subsequent_indent="  ", break_on_hyphens=False),
        *(
            ()
            if skirt.inflated
            else ("Rules of `inflate`, once it has run", f"  {', '.join(rules_of_inflation.WORKINGS)}")
        ),
    ]


def why(
    design: Design,
    name: str,
    quick: bool = False,
    progress: Progress = lambda done, total, what: None,
    inflated: SavedInflation | None = None,
) -> list[str]:
    """Return the lines that explain a number or a rule.

    Parameters
    ----------
    design : Design
    name : str
        "loop-length", "loop-length@P05" or the name of a rule.
    quick : bool
        Leave out what moves it.
    progress : callable
        As for `moves`.
    inflated : SavedInflation, optional
        What inflating this design has shown.

    Raises
    ------
    DesignError
        There is no such name or station, or this design has no such rule.
    """
    plain, _, station = name.strip().lower().partition("@")
    topic, working = topic_named(plain), WORKINGS.get(plain)
    if plain in rules_of_ride.WORKINGS:
        return _of_chapter(with_inflated(build(design, cut=False), inflated), plain)
    if plain in rules_of_inflation.WORKINGS:
        return _of_inflation(with_inflated(build(design, cut=False), inflated), name, plain)
    if topic is None and working is None:
        near = get_close_matches(plain, names(), n=3, cutoff=0.4)
        would_do = f"Perhaps {', '.join(near)}." if near else "The command without a name lists them."
        raise DesignError([Problem("NAME", name, "No number or rule has that name.", would_do)])
    skirt = with_inflated(build(design, preview=working is None or not working.exact), inflated)
    if topic is not None:
        return _of_topic(skirt, topic, station or None, quick, progress)
    assert working is not None
    return _of_rule(skirt, plain, working, quick, progress)


def _of_topic(skirt: Skirt, topic: Topic, station: str | None, quick: bool, progress: Progress) -> list[str]:
    if station is not None and not topic.by_station:
        raise DesignError(
            [Problem("NAME", f"{topic.name}@{station}", "It is one number for the whole craft.", topic.name)]
        )
    i = station_named(skirt, station)
    lines = topic_lines(skirt, topic, i)
    if quick:
        return lines
    at = skirt.plan.stations.at[i] / skirt.plan.stations.at[-1]

    def value_of(design: Design) -> float:
        """Turned knobs move stations: take the one as far along the joint line."""
        there = build(design, cut=False)
        share = there.plan.stations.at / there.plan.stations.at[-1]
        same = i if len(share) == len(skirt.plan.stations.at) else int(abs(share - at).argmin())
        return topic.value(there, same)

    return [
        *lines,
        *move_lines(skirt, topic.unit, topic.value(skirt, i), moves(skirt.design, value_of, progress=progress)),
    ]


def _of_rule(skirt: Skirt, rule: str, working: Working, quick: bool, progress: Progress) -> list[str]:
    finding = _finding(skirt, rule)
    if finding is None:
        there = [name for name in WORKINGS if _finding(skirt, name) is not None]
        would_do = f"Rules that look at it: {', '.join(there)}."
        raise DesignError([Problem("NAME", rule, "That rule has nothing to look at in this design.", would_do)])
    lines = rule_lines(skirt, finding, working)
    if quick:
        return lines
    value_of = _value_of_rule(rule, working)
    return [*lines, *move_lines(skirt, finding.unit, finding.value, moves(skirt.design, value_of, progress=progress))]


def _of_chapter(skirt: Skirt, rule: str) -> list[str]:
    """Return what a rule of `sits` or `water` asks; what moves it most stands in what to change."""
    found = rules_of_ride.chapter_findings(skirt, rule)
    if not found:
        there = ", ".join(finding.rule for finding in rules_of_ride.chapter_findings(skirt))
        would_do = f"Rules of that chapter here: {there}."
        raise DesignError([Problem("NAME", rule, "That rule has nothing to look at in this design.", would_do)])
    return rule_lines(skirt, found[0], rules_of_ride.WORKINGS[rule])


def _of_inflation(skirt: Skirt, name: str, rule: str) -> list[str]:
    """Return what a rule of `inflate` found; what moves it stands in what to change, anything else takes a new run."""
    finding = _finding(skirt, rule)
    if finding is None:
        raise DesignError([Problem("NAME", name, rules_of_inflation.RUN_FIRST, "Run inflate first.")])
    return rule_lines(skirt, finding, rules_of_inflation.WORKINGS[rule])


def _value_of_rule(rule: str, working: Working) -> Callable[[Design], float]:
    def value_of(design: Design) -> float:
        finding = _finding(build(design, cut=working.cut, preview=not working.exact), rule)
        return float("nan") if finding is None else finding.value

    return value_of


def _finding(skirt: Skirt, rule: str) -> Finding | None:
    return next((finding for finding in skirt.findings if finding.rule == rule), None)
