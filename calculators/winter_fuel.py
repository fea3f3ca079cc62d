"""How much winter fuel must I add before the cold?"""

from calculators.engine.figures import Missing
from calculators.engine.named import fahrenheit, missing, power, rankine
from calculators.engine.rules import Caution
from calculators.engine.units import Count, Fahrenheit, FahrenheitRise, Gallons, Percent

HEADLINE = ("winter_fuel_to_add", "fuel_to_burn_first", "winter_fuel_share", "blend_cloud_point", "blend_cloud_point_straight_line",
            "energy_loss")


def target_cloud_point(expected_low: Fahrenheit, cloud_point_margin: FahrenheitRise) -> Fahrenheit:
    """Your fuel should cloud only below the coldest you expect, by a margin."""
    return expected_low - cloud_point_margin


def winter_index(winter_cloud_point: Fahrenheit, summer_cloud_point: Fahrenheit, cloud_point_exponent: Count) -> Count:
    """Cloud points blend by an index, not by volume: a power of the absolute temperature. Summer fuel is 1, winter fuel this."""
    return power(rankine(winter_cloud_point) / rankine(summer_cloud_point), cloud_point_exponent)


def target_index(target_cloud_point: Fahrenheit, summer_cloud_point: Fahrenheit, cloud_point_exponent: Count) -> Count:
    """The blend you want is this."""
    return power(rankine(target_cloud_point) / rankine(summer_cloud_point), cloud_point_exponent)


def winter_fuel_share(target_cloud_point: Fahrenheit, summer_cloud_point: Fahrenheit, winter_cloud_point: Fahrenheit,
                      winter_index: Count, target_index: Count) -> Percent | Missing:
    """The index of a blend lies between the two by volume."""
    return (0 if target_cloud_point >= summer_cloud_point
            else Missing("even winter fuel alone clouds above that")
            if target_cloud_point < winter_cloud_point
            else (1 - target_index) / (1 - winter_index) * 100)


def winter_fuel_share_other_index(target_cloud_point: Fahrenheit, summer_cloud_point: Fahrenheit, winter_cloud_point: Fahrenheit,
                                  cloud_point_exponent_low: Count) -> Percent | Missing:
    """The same by the other exponent in use: so far apart are the two methods."""
    return (0 if target_cloud_point >= summer_cloud_point
            else Missing("even winter fuel alone clouds above that")
            if target_cloud_point < winter_cloud_point
            else (1 - power(rankine(target_cloud_point) / rankine(summer_cloud_point), cloud_point_exponent_low))
            / (1 - power(rankine(winter_cloud_point) / rankine(summer_cloud_point), cloud_point_exponent_low)) * 100)


def fuel_to_burn_first(fuel_in_tank: Gallons, fuel_tank_capacity: Gallons, winter_fuel_share: Percent) -> Gallons | Missing:
    """What must leave the tank so that enough winter fuel fits."""
    return max(0, fuel_in_tank - (1 - winter_fuel_share / 100) * fuel_tank_capacity)


def fuel_left_after_burning(fuel_in_tank: Gallons, fuel_to_burn_first: Gallons) -> Gallons | Missing:
    """What is then still in the tank."""
    return fuel_in_tank - fuel_to_burn_first


def winter_fuel_to_add(fuel_in_tank: Gallons, fuel_to_burn_first: Gallons, fuel_tank_capacity: Gallons,
                       winter_fuel_share: Percent) -> Gallons | Missing:
    """Winter fuel on top of what is left."""
    return (winter_fuel_share / 100 * fuel_tank_capacity if fuel_to_burn_first > 0 or winter_fuel_share == 100
            else fuel_in_tank * winter_fuel_share / (100 - winter_fuel_share))


def blend_cloud_point(winter_fuel_share: Percent, summer_cloud_point: Fahrenheit, winter_index: Count,
                      cloud_point_exponent: Count) -> Fahrenheit | Missing:
    """Where that blend clouds, back from its index."""
    return fahrenheit(rankine(summer_cloud_point) * power(1 - winter_fuel_share / 100 * (1 - winter_index), 1 / cloud_point_exponent))


def blend_cloud_point_straight_line(winter_fuel_share: Percent, summer_cloud_point: Fahrenheit,
                                    winter_cloud_point: Fahrenheit) -> Fahrenheit | Missing:
    """The best case: if cloud points blended by volume, which they don’t."""
    return summer_cloud_point + (winter_cloud_point - summer_cloud_point) * winter_fuel_share / 100


def energy_loss(winter_fuel_share: Percent, winter_fuel_energy_loss: Percent) -> Percent | Missing:
    """Energy the blend has less, and so miles."""
    return winter_fuel_share / 100 * winter_fuel_energy_loss


def verdict(winter_fuel_share: Percent | Missing, fuel_to_burn_first: Gallons | Missing) -> str:
    """Fits: it can be blended now. Watch: fuel must be burned first. Against: out of reach. (Our own threshold.)"""
    return ("against" if missing(winter_fuel_share) or missing(fuel_to_burn_first)
            else "watch" if fuel_to_burn_first > 0 else "fits")


def only_diesel() -> Caution:
    """Said with every answer: what never goes in."""
    return Caution("WARNING", "Gasoline or alcohol in diesel makes an explosive tank and ruins the fuel system.",
                   "Add only No. 1 diesel, winter diesel from the pump, or what the maker’s manual allows. "
                   "Kerosene must be undyed and 15 ppm sulfur.")


def additive() -> Caution:
    """Said with every answer: flow improvers."""
    return Caution("NOTICE", "A flow improver keeps wax crystals small; it hardly moves the cloud point.",
                   "Put it in before the fuel clouds, and only one the maker’s manual allows. Biodiesel raises the cloud point.")


def answer(verdict: str, winter_fuel_share: Percent | Missing, fuel_in_tank: Gallons, fuel_left_after_burning: Gallons | Missing,
           least_fuel_left: Percent, fuel_tank_capacity: Gallons) -> str:
    """The sentence that says what to do."""
    return ("Park it warm or find colder-rated fuel: even winter fuel alone clouds above {target_cloud_point}."
            if missing(winter_fuel_share)
            else "Your fuel is good for that cold: add nothing." if winter_fuel_share == 0
            else "Fill with a blend that is {winter_fuel_share} winter fuel: the tank is empty." if fuel_in_tank == 0
            else "That cold needs a tank of nearly all winter fuel. Do not run this one dry for it: have it drained, or park it warm."
            if verdict == "watch" and not missing(fuel_left_after_burning)
            and fuel_left_after_burning < least_fuel_left / 100 * fuel_tank_capacity
            else "Burn {fuel_to_burn_first} first, then add {winter_fuel_to_add} of winter fuel, before the cold comes."
            if verdict == "watch" else
            "Add {winter_fuel_to_add} of winter fuel before the cold comes, so that it reaches the filters.")
