"""The wrong fluid went in: what now?"""

from typing import Any, NamedTuple

from calculators.engine.figures import Missing
from calculators.engine.named import column, greatest, least, missing
from calculators.engine.rules import Caution, Check
from calculators.engine.units import Dollars, Gallons, Percent

HEADLINE = ("stop_level", "exposure_low", "exposure_high", "share")


class Action(NamedTuple):
    """One thing to do, and why."""

    action: str
    why: str


class Stage(NamedTuple):
    """How far the fluid may have got, and what a repair may cost then."""

    stage: str
    exposure_low: Dollars
    exposure_high: Dollars


def stop_rule(mistake: str, stop_rules: dict[str, dict[str, str]]) -> str:
    """What comes before all else."""
    return stop_rules[mistake]["say"]


def stop_level(mistake: str, stop_rules: dict[str, dict[str, str]]) -> str:
    """How urgent it is."""
    return stop_rules[mistake]["level"]


def share(amount: Gallons | Missing, tank_contents: Gallons | Missing) -> Percent | Missing:
    """What went in, of all that is in the tank now. No share is a safe one."""
    return (Missing("how much went in, or what was in the tank, is not told") if missing(amount) or missing(tank_contents)
            else amount / (amount + tank_contents) * 100)


def stages(mistake: str, key_turned: bool | Missing, engine_ran: bool | Missing,
           exposure: dict[str, dict[str, list[float]]]) -> list[Stage]:
    """How far the fluid may have got, as far as is told. (The dollars are our own estimate.)"""
    return [Stage(stage, *exposure[mistake][stage]) for stage in _possible(key_turned, engine_ran)]


def actions(mistake: str, stages: list[Stage], wrong_fluid_actions: list[dict[str, Any]]) -> list[Action]:
    """What to do, in this order."""
    return [Action(a["action"], a["why"]) for a in wrong_fluid_actions
            if mistake in a["mistakes"] and any(s.stage in a["stages"] for s in stages)]


def engine_ran_so_key_turned(key_turned: bool | Missing, engine_ran: bool | Missing) -> Check:
    """an engine that ran had its key turned: write key_turned=yes or engine_ran=no."""
    return not _says(engine_ran, True) or not _says(key_turned, False)


def exposure_low(stages: list[Stage]) -> Dollars:
    """The least a repair may cost, for how far the fluid may have got. (Our own estimate.)"""
    return least(column(stages, "exposure_low"))


def exposure_high(stages: list[Stage]) -> Dollars:
    """The most a repair may cost, for how far the fluid may have got. (Our own estimate.)"""
    return greatest(column(stages, "exposure_high"))


def fire(mistake: str) -> Caution | None:
    """Said where gasoline is in the drained mix."""
    return (Caution("DANGER", "Gasoline vapor explodes.",
                    "The drained mix is gasoline: no sparks, no smoking, no shop heater, outdoors. It is hazardous waste.")
            if mistake == "gasoline_in_fuel" else None)


def drained_fuel(mistake: str) -> Caution | None:
    """Said where diesel is drained."""
    return (Caution("WARNING", "Drained fuel burns.", "No smoking or flames. Closed cans, marked, to where contaminated fuel is taken.")
            if mistake in ("def_in_fuel", "water_in_fuel", "fuel_in_def") else None)


def skin_and_eyes() -> Caution:
    """Said with every answer: contact."""
    return Caution("CAUTION", "Fuel and DEF irritate skin and eyes.",
                   "Gloves and goggles. Rinse with water; DEF also off bare steel and copper.")


def estimate() -> Caution:
    """Said with every answer: what the dollars are."""
    return Caution("NOTICE", "The dollars are our own estimate, from memory.",
                   "Ask the shop for a written finding. Warranty rarely pays; insurance or the station may, sometimes.")


def answer() -> str:
    """The sentence that says what to do."""
    return "{stop_rule}"


def _possible(key_turned: bool | Missing, engine_ran: bool | Missing) -> list[str]:
    """The stages that what is told leaves open."""
    return (["engine_ran"] if _says(engine_ran, True)
            else ["not_started"] if _says(key_turned, False)
            else ["key_turned"] if _says(key_turned, True) and _says(engine_ran, False)
            else ["key_turned", "engine_ran"] if _says(key_turned, True)
            else ["not_started", "key_turned"] if _says(engine_ran, False)
            else ["not_started", "key_turned", "engine_ran"])


def _says(told: bool | Missing, so: bool) -> bool:
    """Whether it is told to be so."""
    return not missing(told) and told == so
