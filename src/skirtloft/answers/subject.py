"""What a question about the air is asked of: the design, with what was asked put in, and its air."""

from __future__ import annotations

from dataclasses import dataclass

from skirtloft.checks.air_rules import air_findings
from skirtloft.checks.finding import Finding
from skirtloft.design.model import Design, Load
from skirtloft.design.quantity import parse_mass, shown
from skirtloft.errors import DesignError, Problem
from skirtloft.lift.match import match_air
from skirtloft.lift.types import LiftAir
from skirtloft.shape.plan import lay_out
from skirtloft.shape.types import Plan

THROUGH_GAP = "through the gap only; the engine needs several times this"
COMPUTED = (
    "Powers into belt or gearbox are computed for calm, smooth ground from the losses told: not measured, not a"
    " promise,"
    " and without reserve."
)
CAUTION = (
    "Fans kill: guards on, nobody in the fan plane, kill switch on a lanyard; first hover tethered, empty, raised in"
    " steps."
)


@dataclass(frozen=True, eq=False)
class Subject:
    """A design and its air.

    Parameters
    ----------
    design : Design
    plan : Plan
    lift : LiftAir
    findings : tuple of Finding  on the air only
    """

    design: Design
    plan: Plan
    lift: LiftAir
    findings: tuple[Finding, ...]


def subject_of(design: Design, load: str | None = None, mass: str | None = None) -> Subject:
    """Return the air of a design, for one of its loads or for a mass of its own where asked.

    Raises
    ------
    DesignError
        There is no such load, or the mass cannot be read.
    """
    asked = with_load(design, load, mass)
    plan = lay_out(asked)
    lift = match_air(asked, plan)
    return Subject(asked, plan, lift, tuple(air_findings(asked, lift)))


def with_load(design: Design, load: str | None, mass: str | None) -> Design:
    """Return the design with the load that is asked for as its only one."""
    if load is not None and mass is not None:
        wrong = "Ask for a load of the file or for a mass, not both."
        raise DesignError([Problem("--load", shown(load), wrong, "Leave one of the two out.")])
    loads = design.craft.load
    if load is not None:
        chosen = tuple(entry for entry in loads if entry.name == load)
        if not chosen:
            names = ", ".join(f'"{entry.name}"' for entry in loads)
            raise DesignError([Problem("--load", shown(load), "The file has no such load.", f"One of {names}.")])
        loads = chosen
    if mass is not None:
        kilograms = parse_mass(mass, "--mass")
        if not 20.0 <= kilograms <= 20_000.0:
            wrong = "It is outside the range that makes sense."
            raise DesignError([Problem("--mass", shown(mass), wrong, "From 20 kg to 20000 kg would do.")])
        first = loads[0]
        loads = (Load(name="the mass asked for", mass=kilograms, x=first.x, y=first.y, z=first.z),)
    craft = design.craft.model_copy(update={"load": loads})
    return design.model_copy(update={"craft": craft})
