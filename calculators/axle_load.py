"""Does the load sit right on both axles?"""

from calculators.engine.figures import Missing
from calculators.engine.named import Limit, beside_least, column, least_known, least_of_all, limit_of, missing
from calculators.engine.rules import Caution, Check
from calculators.engine.units import Count, Inches, Percent, Pounds

HEADLINE = ("front_margin", "rear_margin", "gross_margin", "front_axle_load", "rear_axle_load", "ballast_needed")


def lifted_by_plow(plow_weight: Pounds, plow_ahead: Inches | Missing, wheelbase: Inches | Missing) -> Pounds | Missing:
    """What the plow, hanging ahead of the front axle, lifts off the rear."""
    return (0 if plow_weight == 0 else plow_ahead if missing(plow_ahead) else wheelbase if missing(wheelbase)
            else plow_weight * plow_ahead / wheelbase)


def rear_part_of_cargo(cargo_weight: Pounds, cargo_ahead: Inches | Missing, wheelbase: Inches | Missing) -> Pounds | Missing:
    """What the rear axle carries of the cargo, by its distance from the front."""
    return (0 if cargo_weight == 0 else cargo_ahead if missing(cargo_ahead) else wheelbase if missing(wheelbase)
            else cargo_weight * (wheelbase - cargo_ahead) / wheelbase)


def rear_part_of_occupants(occupants_weight: Pounds, occupants_ahead: Inches | Missing, wheelbase: Inches | Missing) -> Pounds | Missing:
    """And of the people."""
    return (0 if occupants_weight == 0 else occupants_ahead if missing(occupants_ahead) else wheelbase if missing(wheelbase)
            else occupants_weight * (wheelbase - occupants_ahead) / wheelbase)


def rear_part_of_tongue(tongue_weight: Pounds, tongue_behind: Inches | Missing, wheelbase: Inches | Missing) -> Pounds | Missing:
    """And of the tongue: more than its weight where it hangs behind, less where it sits ahead."""
    return (0 if tongue_weight == 0 else tongue_behind if missing(tongue_behind) else wheelbase if missing(wheelbase)
            else tongue_weight * (wheelbase + tongue_behind) / wheelbase)


def rear_part_of_ballast(ballast_weight: Pounds, ballast_behind: Inches | Missing, wheelbase: Inches | Missing) -> Pounds | Missing:
    """And of the ballast, likewise."""
    return (0 if ballast_weight == 0 else ballast_behind if missing(ballast_behind) else wheelbase if missing(wheelbase)
            else ballast_weight * (wheelbase + ballast_behind) / wheelbase)


def load_on_rear(rear_part_of_cargo: Pounds, rear_part_of_occupants: Pounds, rear_part_of_ballast: Pounds,
                 lifted_by_plow: Pounds) -> Pounds:
    """What lies on the truck, of that on its rear axle, less what the plow lifts."""
    return rear_part_of_cargo + rear_part_of_occupants + rear_part_of_ballast - lifted_by_plow


def added_to_rear(load_on_rear: Pounds, rear_part_of_tongue: Pounds) -> Pounds:
    """With the trailer’s tongue, what is added to the rear axle."""
    return load_on_rear + rear_part_of_tongue


def weight_added(plow_weight: Pounds, cargo_weight: Pounds, occupants_weight: Pounds, tongue_weight: Pounds,
                 ballast_weight: Pounds) -> Pounds:
    """All that is put on."""
    return plow_weight + cargo_weight + occupants_weight + tongue_weight + ballast_weight


def rear_axle_load(rear_axle_weight: Pounds, added_to_rear: Pounds) -> Pounds:
    """The rear axle, loaded."""
    return rear_axle_weight + added_to_rear


def front_axle_load(front_axle_weight: Pounds, weight_added: Pounds, added_to_rear: Pounds) -> Pounds:
    """The front axle carries the rest."""
    return front_axle_weight + weight_added - added_to_rear


def gross_load(front_axle_weight: Pounds, rear_axle_weight: Pounds, weight_added: Pounds) -> Pounds:
    """The whole truck: as weighed, and all that is put on, wherever it lies."""
    return front_axle_weight + rear_axle_weight + weight_added


def front_margin(front_axle_rating: Pounds, front_axle_load: Pounds) -> Pounds:
    """What the front axle could still carry."""
    return front_axle_rating - front_axle_load


def rear_margin(rear_axle_rating: Pounds, rear_axle_load: Pounds) -> Pounds:
    """What the rear axle could still carry."""
    return rear_axle_rating - rear_axle_load


def gross_margin(gross_rating: Pounds, gross_load: Pounds) -> Pounds:
    """What the truck could still carry."""
    return gross_rating - gross_load


def front_tires_rating(front_tires: Count, front_tire_rating: Pounds) -> Pounds:
    """What both front tires may carry."""
    return front_tires * front_tire_rating


def rear_tires_rating(rear_tires: Count, rear_tire_rating: Pounds) -> Pounds:
    """What all the rear tires may carry; four of them each by their dual rating, which is less."""
    return rear_tires * rear_tire_rating


def front_tire_margin(front_tires_rating: Pounds, front_axle_load: Pounds) -> Pounds:
    """What the front tires could still carry."""
    return front_tires_rating - front_axle_load


def rear_tire_margin(rear_tires_rating: Pounds, rear_axle_load: Pounds) -> Pounds:
    """What the rear tires could still carry."""
    return rear_tires_rating - rear_axle_load


def a_tongue_needs_a_hitch(tongue_weight: Pounds, hitch: str) -> Check:
    """with no hitch, write 0 lb of tongue; with a trailer, choose its hitch."""
    return tongue_weight == 0 or hitch != "none"


def over_front_rating(front_margin: Pounds) -> Pounds:
    """What must come off the front axle."""
    return max(0, -front_margin)


def ballast_for_front(over_front_rating: Pounds, wheelbase: Inches | Missing, ballast_behind: Inches | Missing) -> Pounds | Missing:
    """Ballast behind the rear axle that lifts that off the front, as on a seesaw."""
    return (0 if over_front_rating == 0 else ballast_behind if missing(ballast_behind) else wheelbase if missing(wheelbase)
            else Missing("ballast over the rear axle lifts nothing off the front: it must sit behind it") if ballast_behind == 0
            else over_front_rating * wheelbase / ballast_behind)


def rear_part_of_ballast_for_front(ballast_for_front: Pounds, over_front_rating: Pounds) -> Pounds:
    """What that would put on the rear axle and its tires: itself and what it lifts off the front."""
    return ballast_for_front + over_front_rating


def ballast_needed(ballast_for_front: Pounds, rear_part_of_ballast_for_front: Pounds, front_margin: Pounds,
                   front_tire_margin: Pounds | Missing, rear_margin: Pounds | Missing, rear_tire_margin: Pounds | Missing,
                   gross_margin: Pounds | Missing) -> Pounds | Missing:
    """More ballast behind the rear axle that brings the front within its rating, where no other limit forbids it."""
    return (0 if ballast_for_front == 0
            else front_tire_margin if missing(front_tire_margin) else rear_margin if missing(rear_margin)
            else rear_tire_margin if missing(rear_tire_margin) else gross_margin if missing(gross_margin)
            else Missing("that much ballast would still leave the front tires over their rating") if front_tire_margin < front_margin
            else Missing("that much ballast would overload the rear axle") if rear_part_of_ballast_for_front > rear_margin
            else Missing("that much ballast would overload the rear tires") if rear_part_of_ballast_for_front > rear_tire_margin
            else Missing("that much ballast would put the truck over its gross rating") if ballast_for_front > gross_margin
            else ballast_for_front)


def limits(front_margin: Pounds | Missing, front_axle_rating: Pounds | Missing, rear_margin: Pounds | Missing,
           rear_axle_rating: Pounds | Missing, gross_margin: Pounds | Missing, gross_rating: Pounds | Missing,
           front_tire_margin: Pounds | Missing, front_tires_rating: Pounds | Missing, rear_tire_margin: Pounds | Missing,
           rear_tires_rating: Pounds | Missing) -> list[Limit]:
    """Each limit, what is left of it, and that as a share of it."""
    return [limit_of("front_axle", front_margin, front_axle_rating), limit_of("rear_axle", rear_margin, rear_axle_rating),
            limit_of("whole_truck", gross_margin, gross_rating), limit_of("front_tires", front_tire_margin, front_tires_rating),
            limit_of("rear_tires", rear_tire_margin, rear_tires_rating)]


def least_margin(limits: list[Limit]) -> Pounds | Missing:
    """The tightest of those that are known."""
    return least_known(column(limits, "margin"))


def least_margin_limit(limits: list[Limit]) -> str | Missing:
    """What it is the margin of."""
    return beside_least(column(limits, "limit"), column(limits, "margin"))


def tightest_limit(limits: list[Limit]) -> str | Missing:
    """Which limit has the least share of itself left, of those that are known."""
    return beside_least(column(limits, "limit"), column(limits, "share_left"))


def tightest_margin(limits: list[Limit]) -> Pounds | Missing:
    """What is left of that one."""
    return beside_least(column(limits, "margin"), column(limits, "share_left"))


def passed_by(tightest_margin: Pounds) -> Pounds:
    """How far over that one it is, if it is."""
    return max(0, -tightest_margin)


def least_margin_share(limits: list[Limit]) -> Percent | Missing:
    """The tightest as a share of its limit, once every one is known."""
    return least_of_all(column(limits, "share_left"))


def axle_lifts(front_axle_load: Pounds | Missing, rear_axle_load: Pounds | Missing) -> bool:
    """Whether an axle would lift off the ground."""
    return (not missing(front_axle_load) and front_axle_load < 0) or (not missing(rear_axle_load) and rear_axle_load < 0)


def verdict(least_margin: Pounds | Missing, axle_lifts: bool, least_margin_share: Percent | Missing,
            tight_margin: Percent) -> str | Missing:
    """Against: a limit is passed or an axle lifts. Watch: less than this share is left. (Our own threshold.)"""
    return ("against" if axle_lifts or (not missing(least_margin) and least_margin < 0)
            else least_margin_share if missing(least_margin_share)
            else "watch" if least_margin_share < tight_margin else "fits")


def overload(verdict: str) -> Caution | None:
    """Said where a limit is passed."""
    return (Caution("WARNING", "An overloaded axle can blow a tire, fade the brakes or lose the steering.",
                    "Don’t drive it so. Take weight off or move it. A plow has no exception from the axle ratings.")
            if verdict == "against" else None)


def lifting() -> Caution:
    """Said with every answer: plow and ballast."""
    return Caution("WARNING", "A plow or ballast that falls crushes.",
                   "Keep feet and hands from under it; lower the plow to the ground before you work on it. "
                   "Strap ballast: loose, it comes through the cab.")


def weigh_it() -> Caution:
    """Said with every answer: how good the sum is."""
    return Caution("NOTICE", "The scale has the last word.",
                   "Weigh both axles loaded. The door label and the maker’s manual give the limits; state law may be lower.")


def plow_asks_for_more(plow_weight: Pounds | Missing, ballast_needed: Pounds | Missing) -> bool:
    """Whether a plow is on whose book may want ballast that the front axle doesn’t."""
    return not missing(plow_weight) and plow_weight > 0 and not missing(ballast_needed) and ballast_needed == 0


def answer(verdict: str | Missing, axle_lifts: bool, front_margin: Pounds | Missing, ballast_needed: Pounds | Missing,
           plow_asks_for_more: bool) -> str:
    """The sentence that says what to do."""
    return ("Don’t drive it so: an axle would lift off the ground." if axle_lifts
            else "No verdict yet: {verdict}. Weigh both axles empty, and copy the ratings from the door label and the tires."
            if missing(verdict)
            else "Add {ballast_needed} of ballast behind the rear axle: the front axle is over its rating."
            if verdict == "against" and not missing(front_margin) and front_margin < 0 and not missing(ballast_needed)
            else "Take weight off or move it: it is over by {passed_by} on the {tightest_limit}." if verdict == "against"
            else ("It fits, but only just: {tightest_margin} is left on the {tightest_limit}, the tightest limit."
                  if verdict == "watch" else "It fits: {tightest_margin} is left on the {tightest_limit}, the tightest limit.")
            + (" Ballast: 0 for the front axle; the plow’s book may ask for more." if plow_asks_for_more else ""))
