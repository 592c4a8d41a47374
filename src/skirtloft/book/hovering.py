"""How the craft sits on its air, and what water does to it: drawn, in words, with the rules of both."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from skirtloft.answers.sits import UNEVEN, gap_places, gap_words, held_told, load_told
from skirtloft.answers.told import Told
from skirtloft.answers.under_way import bow_told, speed_told, thrust_told
from skirtloft.book.subject import Subject, printed
from skirtloft.book.types import Block, Caution, Chapter, FullPage, Heading, Table, Text
from skirtloft.checks.finding import Finding, as_sentence
from skirtloft.design.units import format_force, format_speed
from skirtloft.drawing.sits_sheets import sits_sheets
from skirtloft.drawing.water_sheets import water_sheets
from skirtloft.physics.water.drag import CAUTION as FLAT_WATER
from skirtloft.physics.water.plough import CAUTION as BOW_CAUTION
from skirtloft.sits.on_water import OnWater
from skirtloft.sits.sits import Sits
from skirtloft.sits.sits_rules import sits_findings
from skirtloft.sits.water_rules import water_findings

VERDICTS = {"fail": "FAILS", "warn": "to watch", "note": "note", "pass": "holds"}


def how_it_sits(subject: Subject, sits: Sits) -> Chapter:
    """Return the attitude of every load, what holds it, and where the mass may be."""
    skirt, first = subject.skirt, sits.loads[0]
    held = held_told(skirt, first)
    rests = [(entry, load_told(skirt, entry)) for entry in sits.loads]
    told = [one for _, each in rests for one in each] + held
    blocks: list[Block] = [
        Text(
            "A skirt lets the craft lean until the tips of one side touch; from there on they hold it. How far it leans"
            " follows from where the mass is, so weigh and balance before you trim. Every figure is given as it is"
            " likely, and between two bounds: soft, where segments fold, and firm, where they turn about their inner"
            " fixing."
        )
    ]
    for entry, each in rests:
        blocks += [Heading(f"At rest: {entry.name}"), *_paragraphs(each)]
        places = gap_places(entry)
        blocks.append(
            Table(
                ("Gap", *places),
                tuple(
                    (
                        bound,
                        *(gap_words(float(found.leaning.gap.reshape(-1)[k]), subject.show) for k in places.values()),
                    )
                    for bound, found in entry.rests.items()
                ),
                (1.0, *(1.3,) * len(places)),
            )
        )
    blocks += [Heading(f"What holds it: {first.name}"), *_paragraphs(held)]
    if sits.is_uneven:
        blocks.append(Text(UNEVEN))
    blocks += rules(subject, sits_findings(skirt, sits))
    blocks += worth(_cautions(told))
    drawn = sits_sheets(skirt, sits, subject.stamp, rules=False)
    return Chapter("How it sits", (*blocks, *(FullPage(sheet) for sheet in drawn)))


def on_the_water(subject: Subject, sits: Sits, water: OnWater) -> Chapter:
    """Return the hump, the thrust it takes, the hollow and what holds the bow up."""
    skirt, show, first = subject.skirt, subject.show, water.loads[0]
    told = [*thrust_told(skirt, water, first), *speed_told(skirt, water, first), *bow_told(skirt, first)]
    rows = tuple(
        (
            load.name,
            subject.length(round(load.hollow, 3)),
            format_speed(load.levels["best"].hump_speed, show),
            *(format_force(load.levels[level].hump_drag, show) for level in ("best", "high")),
        )
        for load in water.loads
    )
    blocks: list[Block] = [
        Text(
            "On water the cushion presses a hollow and the craft has to climb out of it: the hump. Below that speed it"
            " is a slow boat that throws spray; over it, it runs. Calm, deep water; shallow water makes the hump"
            " higher."
        ),
        Table(
            ("Load", "Hollow at rest", "Hump at", "Drag there, best", "Drag there, high"),
            rows,
            (2.0, 1.5, 1.5, 1.7, 1.7),
        ),
        Heading(f"Under way: {first.name}"),
        *_paragraphs(told),
        *rules(subject, water_findings(skirt, sits, water)),
        *worth([as_sentence(FLAT_WATER)]),
        Caution(as_sentence(BOW_CAUTION)),
    ]
    drawn = water_sheets(skirt, sits, water, subject.stamp, rules=False)
    return Chapter("On the water", (*blocks, *(FullPage(sheet) for sheet in drawn)))


def rules(subject: Subject, findings: Sequence[Finding]) -> Iterator[Block]:
    """Yield what the rules of a chapter say: a table of all, then what to change where one does not hold."""
    if not findings:
        return
    yield Heading("Rules")
    yield Table(
        ("Rule", "Here", "Wanted", "Says", "Worst at"),
        tuple(
            (
                finding.title,
                subject.value(finding),
                subject.limits(finding),
                VERDICTS[finding.verdict],
                finding.where,
            )
            for finding in findings
        ),
        (3.4, 1.6, 2.0, 1.1, 2.4),
    )
    for finding in findings:
        if finding.verdict != "pass":
            yield Text(f"{finding.title}: {VERDICTS[finding.verdict]}.", bold=True)
            yield Text(printed(f"{finding.why} To change it: {finding.change} [{finding.source}]"))


def worth(words: Sequence[str]) -> tuple[Block, ...]:
    """Return what the figures of a chapter are worth, as a paragraph under its own heading."""
    return Heading("What these figures are worth"), Text(printed(" ".join(as_sentence(one) for one in words)))


def _paragraphs(told: Iterable[Told]) -> Iterator[Block]:
    """Yield each answer as a paragraph, the sentence before its numbers."""
    for one in told:
        yield Text(printed(f"{one.sentence} {one.numbers}".strip()))


def _cautions(told: Iterable[Told]) -> list[str]:
    return list(dict.fromkeys(one.caution for one in told if one.caution))
