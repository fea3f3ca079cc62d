"""May this truck pull this trailer?"""

from dataclasses import dataclass

from calculators.axle_load import a_tongue_needs_a_hitch as a_tongue_needs_a_hitch
from calculators.axle_load import rear_margin as rear_margin
from calculators.engine.figures import Missing
from calculators.engine.named import Limit, all_but_last, beside_least, column, least_known, least_of_all, limit_of, missing, total_known
from calculators.engine.rules import Caution, Check, Inner
from calculators.engine.units import Percent, Pounds

HEADLINE = ("tongue_share", "gross_margin", "rear_margin", "combined_margin", "tow_margin", "tongue_margin")

# What its form asks; what else lies on the truck comes from the truck or the example.
ASKS = ("truck_weight", "trailer_weight", "tongue_weight", "hitch", "hitch_rating", "tongue_rating", "tow_rating", "gross_rating",
        "combined_rating", "trailer_rating", "front_axle_weight", "rear_axle_weight", "wheelbase", "tongue_behind", "rear_axle_rating")


@dataclass(frozen=True)
class SomeLimits(Inner):
    """Some of the limits, in their order."""

    found: tuple[Limit, ...]


def a_trailer_needs_a_hitch(trailer_weight: Pounds, hitch: str) -> Check:
    """with no hitch, write 0 lb of trailer; with a trailer, choose its hitch."""
    return trailer_weight == 0 or hitch != "none"


def load_on_rear(rear_part_of_cargo: Pounds | Missing, rear_part_of_occupants: Pounds | Missing, rear_part_of_ballast: Pounds | Missing,
                 lifted_by_plow: Pounds | Missing, truck_weight: Pounds | Missing, front_axle_weight: Pounds | Missing,
                 rear_axle_weight: Pounds) -> Pounds:
    """What lies on the rear axle. Where not all is told: all that the truck weighs over its axles as weighed. (The safe side, ours.)"""
    return ((total_known(cargo=rear_part_of_cargo, occupants=rear_part_of_occupants, ballast=rear_part_of_ballast)
             if missing(truck_weight) or missing(front_axle_weight) else max(0, truck_weight - front_axle_weight - rear_axle_weight))
            if missing(rear_part_of_cargo) or missing(rear_part_of_occupants) or missing(rear_part_of_ballast) or missing(lifted_by_plow)
            else rear_part_of_cargo + rear_part_of_occupants + rear_part_of_ballast - lifted_by_plow)


def tongue_share(tongue_weight: Pounds | Missing, trailer_weight: Pounds) -> Percent | Missing:
    """The tongue’s share of the loaded trailer."""
    return (Missing("no trailer is hitched") if trailer_weight == 0 else tongue_weight if missing(tongue_weight)
            else tongue_weight / trailer_weight * 100)


def tongue_share_low(hitch: str, tongue_share_ranges: dict[str, dict[str, float]]) -> Percent | Missing:
    """The least the trade wants on that hitch."""
    return Missing("no trailer is hitched") if hitch == "none" else tongue_share_ranges[hitch]["low"]


def tongue_share_high(hitch: str, tongue_share_ranges: dict[str, dict[str, float]]) -> Percent | Missing:
    """The most the trade wants on that hitch."""
    return Missing("no trailer is hitched") if hitch == "none" else tongue_share_ranges[hitch]["high"]


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


def hitch_limits(hitch_margin: Pounds | Missing, hitch_rating: Pounds | Missing, tongue_margin: Pounds | Missing,
                 tongue_rating: Pounds | Missing) -> SomeLimits:
    """Those of the hitch."""
    return SomeLimits((limit_of("hitch_rating", hitch_margin, hitch_rating), limit_of("tongue_rating", tongue_margin, tongue_rating)))


def truck_limits(tow_margin: Pounds | Missing, tow_rating: Pounds | Missing, gross_margin: Pounds | Missing, gross_rating: Pounds | Missing,
                 combined_margin: Pounds | Missing, combined_rating: Pounds | Missing) -> SomeLimits:
    """Those of the truck, but for its rear axle."""
    return SomeLimits((limit_of("tow_rating", tow_margin, tow_rating), limit_of("gross_rating", gross_margin, gross_rating),
                       limit_of("combined_rating", combined_margin, combined_rating)))


def limits(hitch_limits: SomeLimits, truck_limits: SomeLimits, trailer_margin: Pounds | Missing, trailer_rating: Pounds | Missing,
           rear_margin: Pounds | Missing, rear_axle_rating: Pounds | Missing) -> list[Limit]:
    """Each limit, what is left of it, and that as a share of it."""
    return [*hitch_limits.found, *truck_limits.found, limit_of("trailer_rating", trailer_margin, trailer_rating),
            limit_of("rear_axle_rating", rear_margin, rear_axle_rating)]


def least_margin(limits: list[Limit]) -> Pounds | Missing:
    """The least of those that are known, in pounds."""
    return least_known(column(limits, "margin"))


def least_margin_share(limits: list[Limit]) -> Percent | Missing:
    """The tightest of those that are known, as a share of its own rating."""
    return least_known(column(limits, "share_left"))


def tightest_limit(limits: list[Limit]) -> str | Missing:
    """Which rating has that least share left."""
    return beside_least(column(limits, "limit"), column(limits, "share_left"))


def tightest_margin(limits: list[Limit]) -> Pounds | Missing:
    """What is left of that one."""
    return beside_least(column(limits, "margin"), column(limits, "share_left"))


def passed_by(tightest_margin: Pounds) -> Pounds:
    """How far over that one it is, if it is."""
    return max(0, -tightest_margin)


def all_but_the_rear_axle(limits: list[Limit]) -> Percent | Missing:
    """The tightest share once every limit is told; the rear axle’s may be missing."""
    return least_of_all(all_but_last(column(limits, "share_left")))


def tongue_in_range(tongue_share: Percent, tongue_share_low: Percent, tongue_share_high: Percent) -> bool:
    """Whether the tongue’s share is a usual one."""
    return tongue_share_low <= tongue_share <= tongue_share_high


def cause(least_margin: Pounds | Missing, least_margin_share: Percent | Missing, tight_margin: Percent, trailer_weight: Pounds | Missing,
          tongue_weight: Pounds | Missing, all_but_the_rear_axle: Percent | Missing, tongue_in_range: bool | Missing,
          rear_margin: Pounds | Missing) -> str | Missing:
    """What decides, the gravest first."""
    return ("passed" if not missing(least_margin) and least_margin < 0
            else trailer_weight if missing(trailer_weight)
            else "tongue_alone" if trailer_weight == 0 and not missing(tongue_weight) and tongue_weight > 0
            else "tight_alone" if trailer_weight == 0 and not missing(least_margin_share) and least_margin_share < tight_margin
            else "no_trailer" if trailer_weight == 0
            else all_but_the_rear_axle if missing(all_but_the_rear_axle)
            else tongue_in_range if missing(tongue_in_range)
            else "tongue" if not tongue_in_range
            else "tight" if not missing(least_margin_share) and least_margin_share < tight_margin
            else "rear_axle" if missing(rear_margin) else "room")


def verdict(cause: str | Missing) -> str | Missing:
    """Against: a limit is passed. Watch: a tight margin, an odd tongue, a rear axle nobody looked at. (Our own threshold.)"""
    return (cause if missing(cause) else "against" if cause == "passed"
            else "fits" if cause == "no_trailer" or cause == "room" else "watch")


def sway(tongue_share: Percent, tongue_share_low: Percent) -> Caution | None:
    """Said where the tongue is too light."""
    return (Caution("WARNING", "A trailer with too light a tongue sways and can roll truck and trailer.",
                    "Move the load forward until the tongue carries at least {tongue_share_low} of it.")
            if tongue_share < tongue_share_low else None)


def hitch_label() -> Caution:
    """Said with every answer: which rating of the hitch counts."""
    return Caution("NOTICE", "A hitch may carry two ratings: with and without weight distribution.",
                   "Go by the one for how you hitch. A fifth wheel has its own, for pull and pin; a ball’s says nothing about it.")


def questions_for_the_state(commercial_vehicle_from: Pounds, license_class_from: Pounds) -> Caution:
    """Said with every answer: law."""
    return Caution("NOTICE", "Ask your state before you tow for work.",
                   "Does it count as a commercial vehicle (from {commercial_vehicle_from})? Do you need another license class "
                   "(from {license_class_from})? A yes or no here is no legal answer: the thresholds are the federal ones of "
                   "49 CFR 390.5 and 383.5 as read in November 2026; your state may differ.")


def answer(cause: str | Missing, trailer_weight: Pounds | Missing, rear_margin: Pounds | Missing) -> str:
    """The sentence that says what to do."""
    return ("No verdict yet: {verdict}. Weigh truck and trailer loaded, and copy the ratings from the labels." if missing(cause)
            else "Don’t drive it so: with no trailer at all the {tightest_limit} is passed by {passed_by}."
            if cause == "passed" and not missing(trailer_weight) and trailer_weight == 0
            else "Don’t tow it so: the {tightest_limit} is passed by {passed_by}." if cause == "passed"
            else "Write the trailer’s weight too: its tongue weighs {tongue_weight}, so there is one; with none, write 0 lb of tongue."
            if cause == "tongue_alone"
            else "Hitch nothing yet: the truck alone leaves only {tightest_margin} of the {tightest_limit}." if cause == "tight_alone"
            else "No trailer is hitched: write its loaded weight to see whether this truck may pull it." if cause == "no_trailer"
            else "It fits: {tightest_margin} is left of the {tightest_limit}, the tightest, and the tongue carries {tongue_share}."
            if cause == "room"
            else "Look again, the rear axle was not looked at: tell both axle weights, the wheelbase and the rear axle’s rating. Of all "
                 "else, {tightest_margin} is left of the {tightest_limit}, the tightest." if cause == "rear_axle"
            else ("Look again: only {tightest_margin} is left of the {tightest_limit}; the tongue’s {tongue_share} is in its range."
                  if cause == "tight"
                  else "Look again: the tongue carries {tongue_share} where {tongue_share_low} to {tongue_share_high} is usual, and "
                       "{tightest_margin} is left of the {tightest_limit}.")
            + (" The rear axle was not looked at." if missing(rear_margin) else ""))
