"""Does a diesel fit my work?"""

from typing import NamedTuple

from calculators import axle_load, diesel_or_gasoline, regeneration, trailer_check
from calculators.engine.figures import Missing
from calculators.engine.named import missing
from calculators.engine.rules import Caution, Of
from calculators.engine.units import Hours, Miles, MilesPerHour, Percent, Years

HEADLINE = ("idle_share", "trips_verdict", "weight_verdict", "towing_verdict", "money_verdict")

# What its form asks; all else that the other calculators need comes from the truck or the example.
ASKS = ("short_trip_time", "short_trips_per_week", "short_trip_speed", "long_trip_time", "long_trips_per_week", "long_trip_speed",
        "idle_hours_per_week", "outside_temperature", "distance_per_year", "cargo_weight", "plow_weight", "tongue_weight",
        "ownership_time")


class Reason(NamedTuple):
    """One question, what it says, and why."""

    question: str
    verdict: str
    why: str


trips_verdict = Of(regeneration, "verdict")
weight_verdict = Of(axle_load, "verdict")
towing_verdict = Of(trailer_check, "verdict")
money_calculated = Of(diesel_or_gasoline, "verdict")


def money_verdict(money_calculated: str) -> str:
    """Money alone never rules a truck out."""
    return "watch" if money_calculated == "against" else money_calculated


def driving_hours_per_week(distance_per_week: Miles, average_speed: MilesPerHour | Missing) -> Hours:
    """Hours the truck moves in a week."""
    return 0 if missing(average_speed) else distance_per_week / average_speed


def idle_share(idle_hours_per_week: Hours, driving_hours_per_week: Hours) -> Percent | Missing:
    """Idling as a share of all the engine’s hours."""
    return (idle_hours_per_week / (idle_hours_per_week + driving_hours_per_week) * 100
            if idle_hours_per_week + driving_hours_per_week > 0 else Missing("the engine never runs"))


def idle_verdict(idle_share: Percent | Missing, idle_share_watch: Percent) -> str:
    """Watch: it idles much of its life."""
    return "fits" if missing(idle_share) or idle_share <= idle_share_watch else "watch"


def ownership_verdict(ownership_time: Years, ownership_watch_below: Years) -> str:
    """Watch: sold too soon to earn its price."""
    return "watch" if ownership_time < ownership_watch_below else "fits"


def reasons(trips_verdict: str, weight_verdict: str, towing_verdict: str,
            idle_verdict: str, money_verdict: str, ownership_verdict: str, duty_reasons: dict[str, dict[str, str]]) -> list[Reason]:
    """Every question with its verdict."""
    verdicts = {"trips": trips_verdict, "weight": weight_verdict, "towing": towing_verdict, "idling": idle_verdict,
                "money": money_verdict, "years": ownership_verdict}
    return [Reason(duty_reasons[key]["question"], said, duty_reasons[key][said]) for key, said in verdicts.items()]


def verdict(trips_verdict: str, weight_verdict: str, towing_verdict: str, idle_verdict: str, money_verdict: str,
            ownership_verdict: str) -> str:
    """The worst of them all."""
    return ("against" if trips_verdict == "against" or weight_verdict == "against" or towing_verdict == "against"
            else "watch" if trips_verdict == "watch" or weight_verdict == "watch" or towing_verdict == "watch"
            or idle_verdict == "watch" or money_verdict == "watch" or ownership_verdict == "watch" else "fits")


def limits() -> Caution:
    """Said with every answer: what it can’t know."""
    return Caution("NOTICE", "This looks at your week, not at one truck.",
                   "Read its maker’s manual and weigh it before you buy. Removing emissions parts to make a diesel fit is illegal.")


def answer(verdict: str, trips_verdict: str, money_calculated: str) -> str:
    """The sentence that says what to do."""
    return ("A diesel fits this work: keep the reasons below in mind." if verdict == "fits"
            else "Take a gasoline truck for this week: the trips are too short for a diesel’s exhaust filter."
            if trips_verdict == "against"
            else "This truck does not fit this work: a weight limit is passed. Change the load or the truck." if verdict == "against"
            else "A diesel can do this work, but a gasoline truck costs less: let power or range decide." if money_calculated == "against"
            else "A diesel can do this work if you change what the list below says.")
