"""May this truck pull this trailer?"""

from calculators.engine.figures import Missing
from calculators.engine.named import missing, tightest
from calculators.engine.rules import Caution
from calculators.engine.units import Percent, Pounds

HEADLINE = ("tongue_share", "gross_margin", "combined_margin", "tow_margin", "hitch_margin", "tongue_margin")


def tongue_share(tongue_weight: Pounds, trailer_weight: Pounds) -> Percent | Missing:
    """The tongue’s share of the loaded trailer."""
    return tongue_weight / trailer_weight * 100 if trailer_weight > 0 else Missing("no trailer is hitched")


def tongue_share_low(hitch: str, tongue_share_ranges: dict[str, dict[str, float]]) -> Percent:
    """The least the trade wants on that hitch."""
    return tongue_share_ranges[hitch]["low"]


def tongue_share_high(hitch: str, tongue_share_ranges: dict[str, dict[str, float]]) -> Percent:
    """The most the trade wants on that hitch."""
    return tongue_share_ranges[hitch]["high"]


def hitch_margin(hitch_rating: Pounds, trailer_weight: Pounds) -> Pounds:
    """What the hitch could still pull."""
    return hitch_rating - trailer_weight


def tongue_margin(tongue_rating: Pounds, tongue_weight: Pounds) -> Pounds:
    """What the hitch could still carry."""
    return tongue_rating - tongue_weight


def tow_margin(tow_rating: Pounds, trailer_weight: Pounds) -> Pounds:
    """What the truck could still pull."""
    return tow_rating - trailer_weight


def gross_margin(gross_rating: Pounds, truck_weight: Pounds, tongue_weight: Pounds) -> Pounds:
    """What the truck could still carry, the tongue on it."""
    return gross_rating - truck_weight - tongue_weight


def combined_margin(combined_rating: Pounds, truck_weight: Pounds, trailer_weight: Pounds) -> Pounds:
    """What truck and trailer together could still weigh."""
    return combined_rating - truck_weight - trailer_weight


def trailer_margin(trailer_rating: Pounds, trailer_weight: Pounds) -> Pounds:
    """What the trailer could still carry."""
    return trailer_rating - trailer_weight


def weight_that_counts(gross_rating: Pounds, trailer_rating: Pounds, truck_weight: Pounds, trailer_weight: Pounds) -> Pounds:
    """For the law: the larger of both ratings together and both weights together."""
    return max(gross_rating + trailer_rating, truck_weight + trailer_weight) if trailer_weight > 0 else max(gross_rating, truck_weight)


def commercial_vehicle(weight_that_counts: Pounds, commercial_vehicle_from: Pounds) -> bool:
    """In interstate commerce that weight makes it a commercial vehicle; state rules differ."""
    return weight_that_counts >= commercial_vehicle_from


def license_class_question(weight_that_counts: Pounds, license_class_from: Pounds, trailer_rating: Pounds, trailer_weight: Pounds,
                           license_class_trailer_over: Pounds) -> bool:
    """Whether to ask your state about a license class."""
    return (weight_that_counts >= license_class_from and trailer_weight > 0
            and max(trailer_rating, trailer_weight) > license_class_trailer_over)


def least_margin(hitch_margin: Pounds, tongue_margin: Pounds, tow_margin: Pounds, gross_margin: Pounds, combined_margin: Pounds,
                 trailer_margin: Pounds) -> Pounds:
    """The least of the six, in pounds."""
    return min(hitch_margin, tongue_margin, tow_margin, gross_margin, combined_margin, trailer_margin)


def least_margin_share(hitch_margin: Pounds, hitch_rating: Pounds, tongue_margin: Pounds, tongue_rating: Pounds, tow_margin: Pounds,
                       tow_rating: Pounds, gross_margin: Pounds, gross_rating: Pounds, combined_margin: Pounds,
                       combined_rating: Pounds, trailer_margin: Pounds, trailer_rating: Pounds) -> Percent:
    """The tightest as a share of its own rating."""
    return min(hitch_margin / hitch_rating, tongue_margin / tongue_rating, tow_margin / tow_rating, gross_margin / gross_rating,
               combined_margin / combined_rating, trailer_margin / trailer_rating) * 100


def tightest_limit(hitch_margin: Pounds, hitch_rating: Pounds, tongue_margin: Pounds, tongue_rating: Pounds, tow_margin: Pounds,
                   tow_rating: Pounds, gross_margin: Pounds, gross_rating: Pounds, combined_margin: Pounds,
                   combined_rating: Pounds, trailer_margin: Pounds, trailer_rating: Pounds) -> str:
    """Which rating has that least share left."""
    return tightest(hitch_rating=hitch_margin / hitch_rating, tongue_rating=tongue_margin / tongue_rating,
                    tow_rating=tow_margin / tow_rating, gross_rating=gross_margin / gross_rating,
                    combined_rating=combined_margin / combined_rating, trailer_rating=trailer_margin / trailer_rating)


def tightest_margin(tightest_limit: str, hitch_margin: Pounds, tongue_margin: Pounds, tow_margin: Pounds, gross_margin: Pounds,
                    combined_margin: Pounds, trailer_margin: Pounds) -> Pounds:
    """What is left of that one."""
    return (hitch_margin if tightest_limit == "hitch_rating" else tongue_margin if tightest_limit == "tongue_rating"
            else tow_margin if tightest_limit == "tow_rating" else gross_margin if tightest_limit == "gross_rating"
            else combined_margin if tightest_limit == "combined_rating" else trailer_margin)


def passed_by(tightest_margin: Pounds) -> Pounds:
    """How far over that one it is, if it is."""
    return max(0, -tightest_margin)


def verdict(least_margin: Pounds, least_margin_share: Percent, tight_margin: Percent, tongue_share: Percent | Missing,
            tongue_share_low: Percent, tongue_share_high: Percent, tongue_weight: Pounds) -> str:
    """Against: a limit is passed. Watch: a tight margin, a tongue out of its range or without its trailer. (Our own threshold.)"""
    return ("against" if least_margin < 0
            else "watch" if least_margin_share < tight_margin
            else "watch" if missing(tongue_share) and tongue_weight > 0
            else "fits" if missing(tongue_share)
            else "watch" if tongue_share < tongue_share_low or tongue_share > tongue_share_high else "fits")


def sway(tongue_share: Percent | Missing, tongue_share_low: Percent) -> Caution | None:
    """Said where the tongue is too light."""
    return (Caution("WARNING", "A trailer with too light a tongue sways and can roll truck and trailer.",
                    "Move the load forward until the tongue carries at least {tongue_share_low} of it.")
            if not missing(tongue_share) and tongue_share < tongue_share_low else None)


def questions_for_the_state(commercial_vehicle_from: Pounds, license_class_from: Pounds) -> Caution:
    """Said with every answer: law."""
    return Caution("NOTICE", "Ask your state before you tow for work.",
                   "Does it count as a commercial vehicle (from {commercial_vehicle_from})? Do you need another license class "
                   "(from {license_class_from})? A yes or no here is no legal answer: the thresholds are the federal ones of "
                   "49 CFR 390.5 and 383.5 as read in November 2026; your state may differ.")


def answer(verdict: str, tongue_share: Percent | Missing, tongue_weight: Pounds, tongue_share_low: Percent,
           tongue_share_high: Percent) -> str:
    """The sentence that says what to do."""
    return ("Don’t tow it so: the {tightest_limit} is passed by {passed_by}." if verdict == "against"
            else "Write the trailer’s weight too: its tongue weighs {tongue_weight}, so there is one; with none, write 0 lb of tongue."
            if missing(tongue_share) and tongue_weight > 0
            else "No trailer is hitched; {tightest_margin} is left of the {tightest_limit}." if missing(tongue_share)
            else "It fits: {tightest_margin} is left of the {tightest_limit}, the tightest, and the tongue carries {tongue_share}."
            if verdict == "fits"
            else "Look again: only {tightest_margin} is left of the {tightest_limit}; the tongue’s {tongue_share} is in its range."
            if tongue_share_low <= tongue_share <= tongue_share_high
            else "Look again: the tongue carries {tongue_share} where {tongue_share_low} to {tongue_share_high} is usual, and "
                 "{tightest_margin} is left of the {tightest_limit}.")
