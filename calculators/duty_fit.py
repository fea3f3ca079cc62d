"""Does a diesel fit my work?"""

from typing import NamedTuple

from calculators import axle_load, diesel_or_gasoline, regeneration, trailer_check
from calculators.engine.figures import Missing
from calculators.engine.named import missing
from calculators.engine.rules import Caution, Of
from calculators.engine.units import Count, Hours, Miles, Percent, Years

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


trips_calculated = Of(regeneration, "verdict")
trips_cause = Of(regeneration, "cause")
trips_remedy = Of(regeneration, "remedy")
drives_lacking = Of(regeneration, "extra_long_trips_per_week")
makes_no_soot = Of(regeneration, "makes_no_soot")
days_between_drives = Of(regeneration, "days_between_extra_trips")
trips_are_assumed = Of(regeneration, "trips_are_assumed")
weight_verdict = Of(axle_load, "verdict")
towing_verdict = Of(trailer_check, "verdict")
towing_found = Of(trailer_check, "cause")
money_calculated = Of(diesel_or_gasoline, "verdict")
money_hangs = Of(diesel_or_gasoline, "hangs_on_its_miles")


def idle_share(idle_hours_per_week: Hours, engine_hours_per_week: Hours) -> Percent | Missing:
    """Idling as a share of all the engine’s hours, at most all of them."""
    return min(100, idle_hours_per_week / engine_hours_per_week * 100) if engine_hours_per_week > 0 else Missing("the engine never runs")


def trips_verdict(trips_calculated: str, makes_no_soot: bool, idle_share: Percent | Missing) -> str | Missing:
    """The trips’, if it runs at all."""
    return Missing("nothing is driven or idled") if makes_no_soot and missing(idle_share) else trips_calculated


def weight_cause(weight_verdict: str | Missing) -> str:
    """What the weight’s verdict comes from; what nobody told was not looked at."""
    return "untold" if missing(weight_verdict) else weight_verdict


def towing_cause(towing_found: str | Missing) -> str:
    """What the trailer’s comes from, likewise."""
    return "untold" if missing(towing_found) else towing_found


def money_verdict(money_calculated: str, distance_per_year: Miles, idle_share: Percent | Missing) -> str | Missing:
    """Money alone never rules a truck out, and says nothing of one that never runs."""
    return (Missing("nothing is driven or idled") if distance_per_year == 0 and missing(idle_share)
            else "watch" if money_calculated == "against" else money_calculated)


def money_cause(money_calculated: str, money_hangs: bool) -> str:
    """What it comes from: costs, or how far a gasoline truck would go on a gallon."""
    return "hangs" if money_hangs else money_calculated


def idle_cause(idle_share: Percent | Missing, idle_share_watch: Percent) -> str:
    """Watch: it idles much of its life."""
    return "never_runs" if missing(idle_share) else "watch" if idle_share > idle_share_watch else "fits"


def idling_is_assumed(idle_hours_per_week_is_assumed: bool, trips_are_assumed: bool, distance_per_week_is_told: bool) -> bool:
    """Whether its idling, or the driving beside it, is the example’s: you told none."""
    return idle_hours_per_week_is_assumed or (trips_are_assumed and not distance_per_week_is_told)


def ownership_verdict(ownership_time: Years, ownership_watch_below: Years) -> str:
    """Watch: sold too soon to earn its price."""
    return "watch" if ownership_time < ownership_watch_below else "fits"


def reasons(trips_verdict: str | Missing, trips_cause: str, weight_verdict: str | Missing, weight_cause: str,
            towing_verdict: str | Missing, towing_cause: str, idle_cause: str, money_verdict: str | Missing, money_cause: str,
            ownership_verdict: str, trips_are_assumed: bool, idling_is_assumed: bool,
            duty_reasons: dict[str, dict[str, str]]) -> list[Reason]:
    """Every question with its verdict, and what that comes from; what was not looked at is to be watched."""
    found = {"trips": (trips_verdict, "never_runs" if missing(trips_verdict) else trips_cause, trips_are_assumed),
             "weight": (weight_verdict, weight_cause, False),
             "towing": (towing_verdict, towing_cause, False),
             "idling": ("fits" if idle_cause == "fits" else "watch", idle_cause, idling_is_assumed),
             "money": (money_verdict, "never_runs" if missing(money_verdict) else money_cause, False),
             "years": (ownership_verdict, ownership_verdict, False)}
    return [Reason(duty_reasons[key]["question"], "watch" if missing(said) else said, _by_whom(duty_reasons[key][cause], assumed))
            for key, (said, cause, assumed) in found.items()]


def verdict(trips_verdict: str | Missing, weight_cause: str, towing_verdict: str | Missing, idle_cause: str, money_verdict: str | Missing,
            ownership_verdict: str) -> str | Missing:
    """The worst of them all; what was not looked at is to be watched."""
    return ("against" if trips_verdict == "against" or weight_cause == "against" or towing_verdict == "against"
            else trips_verdict if missing(trips_verdict)
            else "watch" if trips_verdict == "watch" or weight_cause != "fits" or towing_verdict != "fits" or idle_cause == "watch"
            or money_verdict == "watch" or ownership_verdict == "watch" else "fits")


def concern(trips_verdict: str, weight_cause: str, towing_verdict: str | Missing, idle_cause: str, money_verdict: str,
            ownership_verdict: str) -> str | Missing:
    """The first question that is not answered with good."""
    return ("trips" if trips_verdict != "fits" else "weight" if weight_cause == "watch" or weight_cause == "against"
            else "towing" if towing_verdict == "watch" or towing_verdict == "against" else "idling" if idle_cause == "watch"
            else "untold" if weight_cause == "untold" or missing(towing_verdict) else "money" if money_verdict != "fits"
            else "years" if ownership_verdict != "fits" else "nothing")


def concern_why(concern: str, trips_cause: str, weight_cause: str, towing_cause: str, trips_are_assumed: bool, idling_is_assumed: bool,
                duty_reasons: dict[str, dict[str, str]]) -> str | Missing:
    """What it comes from."""
    return (_by_whom(duty_reasons["trips"][trips_cause], trips_are_assumed) if concern == "trips"
            else duty_reasons["weight"][weight_cause] if concern == "weight"
            else duty_reasons["towing"][towing_cause] if concern == "towing"
            else _by_whom(duty_reasons["idling"]["watch"], idling_is_assumed) if concern == "idling"
            else duty_reasons["years"]["watch"])


def _by_whom(why: str, assumed: bool) -> str:
    """A reason; with whose week it goes by, where its owner did not tell all of it."""
    return f"{why.rstrip('.')} (by the example’s week where yours is not told)." if assumed else why


def limits() -> Caution:
    """Said with every answer: what it can’t know."""
    return Caution("NOTICE", "This looks at your week, not at one truck.",
                   "Read its maker’s manual and weigh it before you buy. Removing emissions parts to make a diesel fit is illegal.")


# Where the trips speak against it: what they come from, and what would still do.
_TRIPS = {
    "too_cold": "Take a gasoline truck for this cold: by this sum a diesel’s exhaust never gets hot enough to burn its filter clean.",
    "only_idles": "Take a gasoline truck for this week: it only idles, and no drive burns a diesel’s exhaust filter clean.",
    "idles_too_much": "Take a gasoline truck for this week: it idles more than its drives can burn off a diesel’s exhaust filter.",
    "too_short_to_start": "Take a gasoline truck for this week: its trips are too short to start a burn in a diesel’s exhaust filter.",
    "too_short_to_end": "Take a gasoline truck for this week: its trips are too short to end a burn in a diesel’s exhaust filter.",
}
_TOO_MUCH_SOOT = "Take a gasoline truck for this week: its drives can’t burn off all the soot that a diesel would make."
_OR_ADD = {
    "drive_now_and_then": " Or add one long drive every {days_between_drives} days.",
    "drive": " Or add one long drive a week.",
    "drives": " Or add {drives_lacking} long drives a week.",
}
_MONEY = {
    "against": "A diesel can do this work, but a gasoline truck costs less: let power or range decide.",
    "hangs": "A diesel can do this work; whether it costs more hangs on how far a gasoline truck would go on a gallon: let power or range "
             "decide.",
}
_ABOUT_AS_MUCH = "A diesel can do this work and costs about as much as a gasoline truck: let power or range decide."


def answer(verdict: str | Missing, concern: str | Missing, trips_verdict: str | Missing, trips_cause: str, trips_remedy: str,
           weight_cause: str, towing_verdict: str | Missing, drives_lacking: Count | Missing, extra_long_trips_bearable: Count,
           trips_are_assumed: bool, money_cause: str) -> str:
    """The sentence that says what to do."""
    return (_against_by_trips(trips_cause, trips_remedy, drives_lacking, extra_long_trips_bearable)
            + (" That is by the example’s week where yours is not told." if trips_are_assumed else "") if trips_verdict == "against"
            else "This truck does not fit this work: a weight limit is passed. Change the load or the truck." if verdict == "against"
            else "In this week nothing is driven or idled, so there is nothing to judge: tell a week in which it works." if missing(verdict)
            else "A diesel fits this work: keep the reasons below in mind." if verdict == "fits"
            else _MONEY.get(money_cause, _ABOUT_AS_MUCH) if concern == "money"
            else ("As far as was told, a diesel can do this work." if concern == "untold"
                  else "A diesel can do this work, with care. {concern_why}")
            + (" A gasoline truck costs less: let power or range decide." if money_cause == "against" else "")
            + _not_looked_at(weight_cause, towing_verdict))


def _against_by_trips(cause: str, remedy: str, drives_lacking: Count | Missing, bearable: Count) -> str:
    said = _TRIPS.get(cause, _TOO_MUCH_SOOT)
    if remedy == "drives" and (missing(drives_lacking) or drives_lacking > bearable):
        return said
    return said + _OR_ADD.get(remedy, "")


def _not_looked_at(weight_cause: str, towing_verdict: str | Missing) -> str:
    if weight_cause == "untold" and missing(towing_verdict):
        return " Neither weight nor trailer was looked at: tell the weights."
    if weight_cause == "untold":
        return " The weight was not looked at: tell it."
    return " The trailer was not looked at: tell what it weighs." if missing(towing_verdict) else ""
