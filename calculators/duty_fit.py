"""Does a diesel fit my work?"""

from typing import NamedTuple

from calculators import axle_load, diesel_or_gasoline, regeneration, trailer_check
from calculators.engine.figures import Missing
from calculators.engine.named import missing
from calculators.engine.rules import Caution, Of
from calculators.engine.units import Count, Hours, Miles, MilesPerHour, Minutes, Percent, Years
from calculators.regeneration import warm_up_time as warm_up_time

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


def trips_cause(trips_verdict: str, idle_share: Percent | Missing, short_trips_per_week: Count, long_trips_per_week: Count,
                warm_up_time: Minutes | Missing) -> str:
    """What the trips’ verdict comes from."""
    return ("never_runs" if trips_verdict == "fits" and missing(idle_share)
            else trips_verdict if trips_verdict != "against"
            else "only_idles" if short_trips_per_week + long_trips_per_week == 0
            else "too_cold" if missing(warm_up_time) else "too_short")


def reasons(trips_verdict: str, weight_verdict: str, towing_verdict: str, idle_verdict: str, money_verdict: str,
            ownership_verdict: str, trips_cause: str, idle_share: Percent | Missing, money_calculated: str,
            duty_reasons: dict[str, dict[str, str]]) -> list[Reason]:
    """Every question with its verdict, and what that comes from."""
    found = {"trips": (trips_verdict, trips_cause), "weight": (weight_verdict, weight_verdict), "towing": (towing_verdict, towing_verdict),
             "idling": (idle_verdict, "never_runs" if missing(idle_share) else idle_verdict), "money": (money_verdict, money_calculated),
             "years": (ownership_verdict, ownership_verdict)}
    return [Reason(duty_reasons[key]["question"], said, duty_reasons[key][cause]) for key, (said, cause) in found.items()]


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


def answer(verdict: str, trips_cause: str, money_calculated: str) -> str:
    """The sentence that says what to do."""
    return ("Take a gasoline truck for this week: the trips are too short for a diesel’s exhaust filter." if trips_cause == "too_short"
            else "Take a gasoline truck for this cold: a diesel’s exhaust never gets hot enough to burn its filter clean."
            if trips_cause == "too_cold"
            else "Take a gasoline truck for this week: it only idles, and no drive burns a diesel’s exhaust filter clean."
            if trips_cause == "only_idles"
            else "This truck does not fit this work: a weight limit is passed. Change the load or the truck." if verdict == "against"
            else "Nothing is driven or idled here: enter your week first." if trips_cause == "never_runs"
            else "A diesel fits this work: keep the reasons below in mind." if verdict == "fits"
            else "A diesel can do this work, but a gasoline truck costs less: let power or range decide." if money_calculated == "against"
            else "A diesel can do this work and costs about as much as a gasoline truck: let power or range decide."
            if money_calculated == "watch"
            else "A diesel can do this work, and costs less: look again at what the list below marks.")
