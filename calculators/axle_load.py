"""Does the load sit right on both axles?"""

from calculators.engine.figures import Missing
from calculators.engine.named import missing, tightest
from calculators.engine.rules import Caution
from calculators.engine.units import Count, Inches, Percent, Pounds

HEADLINE = ("front_margin", "rear_margin", "gross_margin", "front_axle_load", "rear_axle_load", "ballast_needed")


def lifted_by_plow(plow_weight: Pounds, plow_ahead: Inches, wheelbase: Inches) -> Pounds:
    """What the plow, hanging ahead of the front axle, lifts off the rear."""
    return plow_weight * plow_ahead / wheelbase


def rear_part_of_cargo(cargo_weight: Pounds, cargo_ahead: Inches, wheelbase: Inches) -> Pounds:
    """What the rear axle carries of the cargo, by its distance from the front."""
    return cargo_weight * (wheelbase - cargo_ahead) / wheelbase


def rear_part_of_occupants(occupants_weight: Pounds, occupants_ahead: Inches, wheelbase: Inches) -> Pounds:
    """And of the people."""
    return occupants_weight * (wheelbase - occupants_ahead) / wheelbase


def rear_part_of_tongue(tongue_weight: Pounds, tongue_behind: Inches, wheelbase: Inches) -> Pounds:
    """And of the tongue: more than its weight, since it hangs behind."""
    return tongue_weight * (wheelbase + tongue_behind) / wheelbase


def rear_part_of_ballast(ballast_weight: Pounds, ballast_behind: Inches, wheelbase: Inches) -> Pounds:
    """And of the ballast, likewise."""
    return ballast_weight * (wheelbase + ballast_behind) / wheelbase


def added_to_rear(lifted_by_plow: Pounds, rear_part_of_cargo: Pounds, rear_part_of_occupants: Pounds, rear_part_of_tongue: Pounds,
                  rear_part_of_ballast: Pounds) -> Pounds:
    """What all that adds to the rear axle."""
    return rear_part_of_cargo + rear_part_of_occupants + rear_part_of_tongue + rear_part_of_ballast - lifted_by_plow


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


def gross_load(front_axle_load: Pounds, rear_axle_load: Pounds) -> Pounds:
    """Both together."""
    return front_axle_load + rear_axle_load


def front_margin(front_axle_rating: Pounds, front_axle_load: Pounds) -> Pounds:
    """What the front axle could still carry."""
    return front_axle_rating - front_axle_load


def rear_margin(rear_axle_rating: Pounds, rear_axle_load: Pounds) -> Pounds:
    """What the rear axle could still carry."""
    return rear_axle_rating - rear_axle_load


def gross_margin(gross_rating: Pounds, gross_load: Pounds) -> Pounds:
    """What the truck could still carry."""
    return gross_rating - gross_load


def front_tire_margin(front_tires: Count, front_tire_rating: Pounds, front_axle_load: Pounds) -> Pounds:
    """What the front tires could still carry."""
    return front_tires * front_tire_rating - front_axle_load


def rear_tire_margin(rear_tires: Count, rear_tire_rating: Pounds, rear_axle_load: Pounds) -> Pounds:
    """What the rear tires could still carry."""
    return rear_tires * rear_tire_rating - rear_axle_load


def ballast_needed(front_margin: Pounds, front_tire_margin: Pounds, rear_margin: Pounds, rear_tire_margin: Pounds,
                   gross_margin: Pounds, wheelbase: Inches, ballast_behind: Inches) -> Pounds | Missing:
    """More ballast behind the rear axle that brings the front within its rating."""
    return (0 if front_margin >= 0
            else Missing("ballast over the rear axle lifts nothing off the front: it must sit behind it") if ballast_behind == 0
            else Missing("that much ballast would still leave the front tires over their rating") if front_tire_margin < front_margin
            else Missing("that much ballast would overload the rear axle")
            if -front_margin * (wheelbase + ballast_behind) / ballast_behind > rear_margin
            else Missing("that much ballast would overload the rear tires")
            if -front_margin * (wheelbase + ballast_behind) / ballast_behind > rear_tire_margin
            else Missing("that much ballast would put the truck over its gross rating")
            if -front_margin * wheelbase / ballast_behind > gross_margin
            else -front_margin * wheelbase / ballast_behind)


def least_margin(front_margin: Pounds, rear_margin: Pounds, gross_margin: Pounds, front_tire_margin: Pounds,
                 rear_tire_margin: Pounds) -> Pounds:
    """The tightest of the five."""
    return min(front_margin, rear_margin, gross_margin, front_tire_margin, rear_tire_margin)


def least_margin_limit(front_margin: Pounds, rear_margin: Pounds, gross_margin: Pounds, front_tire_margin: Pounds,
                       rear_tire_margin: Pounds) -> str:
    """What it is the margin of."""
    return tightest(front_axle=front_margin, rear_axle=rear_margin, whole_truck=gross_margin, front_tires=front_tire_margin,
                    rear_tires=rear_tire_margin)


def passed_by(least_margin: Pounds) -> Pounds:
    """How far over that one it is, if it is."""
    return max(0, -least_margin)


def front_margin_share(front_margin: Pounds, front_axle_rating: Pounds) -> Percent:
    """That margin as a share of the front axle’s rating."""
    return front_margin / front_axle_rating * 100


def rear_margin_share(rear_margin: Pounds, rear_axle_rating: Pounds) -> Percent:
    """That margin as a share of the rear axle’s rating."""
    return rear_margin / rear_axle_rating * 100


def gross_margin_share(gross_margin: Pounds, gross_rating: Pounds) -> Percent:
    """That margin as a share of the truck’s rating."""
    return gross_margin / gross_rating * 100


def front_tire_margin_share(front_tire_margin: Pounds, front_tires: Count, front_tire_rating: Pounds) -> Percent:
    """That of the front tires, as a share of what they may carry."""
    return front_tire_margin / (front_tires * front_tire_rating) * 100


def rear_tire_margin_share(rear_tire_margin: Pounds, rear_tires: Count, rear_tire_rating: Pounds) -> Percent:
    """That of the rear tires, as a share of what they may carry."""
    return rear_tire_margin / (rear_tires * rear_tire_rating) * 100


def least_margin_share(front_margin_share: Percent, rear_margin_share: Percent, gross_margin_share: Percent,
                       front_tire_margin_share: Percent, rear_tire_margin_share: Percent) -> Percent:
    """The tightest of those shares."""
    return min(front_margin_share, rear_margin_share, gross_margin_share, front_tire_margin_share, rear_tire_margin_share)


def verdict(least_margin: Pounds, front_axle_load: Pounds, rear_axle_load: Pounds, least_margin_share: Percent,
            tight_margin: Percent) -> str:
    """Against: a limit is passed or an axle lifts. Watch: less than this share is left. (Our own threshold.)"""
    return ("against" if least_margin < 0 or front_axle_load < 0 or rear_axle_load < 0
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


def answer(verdict: str, front_margin: Pounds, front_axle_load: Pounds, rear_axle_load: Pounds,
           ballast_needed: Pounds | Missing) -> str:
    """The sentence that says what to do."""
    return ("Don’t drive it so: an axle would lift off the ground." if front_axle_load < 0 or rear_axle_load < 0
            else "Add {ballast_needed} of ballast behind the rear axle: the front axle is over its rating."
            if verdict == "against" and front_margin < 0 and not missing(ballast_needed)
            else "Take weight off or move it: it is over by {passed_by} on the {least_margin_limit}." if verdict == "against"
            else "It fits, but only just: {least_margin} is left at the tightest limit." if verdict == "watch"
            else "It fits: {least_margin} is left at the tightest limit.")
