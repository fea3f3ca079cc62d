"""How much winter fuel must I add before the cold?"""

from datetime import date

from calculators.engine.figures import Missing
from calculators.engine.named import days_between, fahrenheit, missing, power, rankine
from calculators.engine.rules import Caution
from calculators.engine.units import Count, Days, Fahrenheit, FahrenheitRise, Gallons, Percent

HEADLINE = ("winter_fuel_to_add", "fuel_to_burn_first", "winter_fuel_share", "blend_cloud_point", "blend_cloud_point_straight_line",
            "energy_loss")
# What its form asks: a level that is typed there is today's.
ASKS = ("expected_low", "cloud_point_margin", "winter_cloud_point", "summer_cloud_point", "fuel_in_tank", "fuel_tank_capacity",
        "winter_fuel_energy_loss", "winter_fuel_kind")


def target_cloud_point(expected_low: Fahrenheit, cloud_point_margin: FahrenheitRise) -> Fahrenheit:
    """Your fuel should cloud only below the coldest you expect, by a margin."""
    return expected_low - cloud_point_margin


def winter_fuel_helps(target_cloud_point: Fahrenheit, winter_cloud_point: Fahrenheit) -> bool | Missing:
    """Whether any share of that winter fuel reaches it."""
    return target_cloud_point >= winter_cloud_point


def winter_index(winter_cloud_point: Fahrenheit, summer_cloud_point: Fahrenheit, cloud_point_exponent: Count) -> Count:
    """Cloud points blend by an index, not by volume: a power of the absolute temperature. Summer fuel is 1, winter fuel this."""
    return power(rankine(winter_cloud_point) / rankine(summer_cloud_point), cloud_point_exponent)


def target_index(target_cloud_point: Fahrenheit, summer_cloud_point: Fahrenheit, cloud_point_exponent: Count) -> Count:
    """The blend you want is this."""
    return power(rankine(target_cloud_point) / rankine(summer_cloud_point), cloud_point_exponent)


def winter_fuel_share(target_cloud_point: Fahrenheit, summer_cloud_point: Fahrenheit, winter_fuel_helps: bool | Missing,
                      winter_index: Count | Missing, target_index: Count) -> Percent | Missing:
    """The index of a blend lies between the two by volume."""
    return (0 if target_cloud_point >= summer_cloud_point
            else winter_fuel_helps if missing(winter_fuel_helps) else winter_index if missing(winter_index)
            else Missing("even winter fuel alone clouds above that") if not winter_fuel_helps
            else (1 - target_index) / (1 - winter_index) * 100)


def winter_fuel_share_other_index(target_cloud_point: Fahrenheit, summer_cloud_point: Fahrenheit, winter_fuel_helps: bool | Missing,
                                  winter_cloud_point: Fahrenheit | Missing, cloud_point_exponent_low: Count) -> Percent | Missing:
    """The same by the other exponent in use: so far apart are the two methods."""
    return (0 if target_cloud_point >= summer_cloud_point
            else winter_fuel_helps if missing(winter_fuel_helps) else winter_cloud_point if missing(winter_cloud_point)
            else Missing("even winter fuel alone clouds above that") if not winter_fuel_helps
            else (1 - power(rankine(target_cloud_point) / rankine(summer_cloud_point), cloud_point_exponent_low))
            / (1 - power(rankine(winter_cloud_point) / rankine(summer_cloud_point), cloud_point_exponent_low)) * 100)


def fuel_level_age(fuel_in_tank: Gallons | Missing, fuel_in_tank_read_on: date, fuel_in_tank_read_on_is_told: bool,
                   today: date) -> Days | Missing:
    """Days since the fuel gauge was read."""
    return (fuel_in_tank if missing(fuel_in_tank) else days_between(fuel_in_tank_read_on, today) if fuel_in_tank_read_on_is_told
            else Missing("it is taken as read today"))


def fuel_to_burn_first(fuel_in_tank: Gallons, fuel_tank_capacity: Gallons, winter_fuel_share: Percent) -> Gallons | Missing:
    """What must leave the tank so that enough winter fuel fits."""
    return max(0, fuel_in_tank - (1 - winter_fuel_share / 100) * fuel_tank_capacity)


def fuel_left_after_burning(fuel_in_tank: Gallons, fuel_to_burn_first: Gallons) -> Gallons | Missing:
    """What is then still in the tank."""
    return fuel_in_tank - fuel_to_burn_first


def winter_fuel_to_add(fuel_in_tank: Gallons, fuel_to_burn_first: Gallons, fuel_tank_capacity: Gallons,
                       winter_fuel_share: Percent) -> Gallons | Missing:
    """Winter fuel on top of what is left; an empty tank takes that share of all it holds."""
    return (winter_fuel_share / 100 * fuel_tank_capacity if fuel_to_burn_first > 0 or fuel_in_tank == 0
            else fuel_in_tank * winter_fuel_share / (100 - winter_fuel_share))


def blend_cloud_point(winter_fuel_share: Percent, summer_cloud_point: Fahrenheit, winter_index: Count | Missing,
                      cloud_point_exponent: Count) -> Fahrenheit | Missing:
    """Where that blend clouds, back from its index."""
    return (summer_cloud_point if winter_fuel_share == 0 else winter_index if missing(winter_index)
            else fahrenheit(rankine(summer_cloud_point)
                            * power(1 - winter_fuel_share / 100 * (1 - winter_index), 1 / cloud_point_exponent)))


def blend_cloud_point_straight_line(winter_fuel_share: Percent, summer_cloud_point: Fahrenheit,
                                    winter_cloud_point: Fahrenheit | Missing) -> Fahrenheit | Missing:
    """The best case: if cloud points blended by volume, which they don’t."""
    return (summer_cloud_point if winter_fuel_share == 0 else winter_cloud_point if missing(winter_cloud_point)
            else summer_cloud_point + (winter_cloud_point - summer_cloud_point) * winter_fuel_share / 100)


def energy_loss(winter_fuel_share: Percent, winter_fuel_energy_loss: Percent) -> Percent | Missing:
    """Energy the blend has less, and so miles."""
    return winter_fuel_share / 100 * winter_fuel_energy_loss


def share_after_filling(fuel_in_tank: Gallons, fuel_tank_capacity: Gallons, burn_down_to: Percent) -> Percent:
    """Winter fuel in a tank that was burned down to a quarter, if it held more, and then filled."""
    return 100 - min(burn_down_to, fuel_in_tank / fuel_tank_capacity * 100)


def cloud_point_after_filling(share_after_filling: Percent, summer_cloud_point: Fahrenheit, winter_index: Count,
                              cloud_point_exponent: Count) -> Fahrenheit | Missing:
    """Where that tank clouds."""
    return fahrenheit(rankine(summer_cloud_point) * power(1 - share_after_filling / 100 * (1 - winter_index), 1 / cloud_point_exponent))


def good_to_after_filling(cloud_point_after_filling: Fahrenheit, cloud_point_margin: FahrenheitRise) -> Fahrenheit | Missing:
    """And the cold that it is good for, with the margin."""
    return cloud_point_after_filling + cloud_point_margin


def good_to_with_number_1(number_1_cloud_point: Fahrenheit, cloud_point_margin: FahrenheitRise) -> Fahrenheit:
    """The cold that a tank of nothing but No. 1 is good for."""
    return number_1_cloud_point + cloud_point_margin


def good_to_with_pump_blend(pump_blend_cloud_point: Fahrenheit, cloud_point_margin: FahrenheitRise) -> Fahrenheit:
    """The same of a pump’s blend, as long as the station has not told its cloud point. (Our own guess.)"""
    return pump_blend_cloud_point + cloud_point_margin


def good_to_at_best(winter_cloud_point: Fahrenheit | Missing, cloud_point_margin: FahrenheitRise,
                    good_to_with_number_1: Fahrenheit) -> Fahrenheit:
    """The same of your winter fuel; of No. 1 until it is known which that is."""
    return good_to_with_number_1 if missing(winter_cloud_point) else winter_cloud_point + cloud_point_margin


def blend_is_guessed(winter_fuel_kind: str | Missing, winter_cloud_point: Fahrenheit | Missing,
                     pump_blend_cloud_point: Fahrenheit) -> bool:
    """Whether the blend’s cloud point is our guess and not the station’s word."""
    return (not missing(winter_fuel_kind) and winter_fuel_kind == "pump_blend" and not missing(winter_cloud_point)
            and winter_cloud_point == pump_blend_cloud_point)


def mostly_winter_fuel(winter_fuel_share: Percent, burn_down_to: Percent) -> bool | Missing:
    """Whether it asks for more than one filling of a tank burned down to a quarter gives."""
    return winter_fuel_share > 100 - burn_down_to


def advice(target_cloud_point: Fahrenheit, summer_cloud_point: Fahrenheit, winter_fuel_helps: bool | Missing,
           number_1_cloud_point: Fahrenheit, fuel_in_tank: Gallons | Missing, fuel_to_burn_first: Gallons | Missing,
           mostly_winter_fuel: bool | Missing) -> str:
    """What it comes to."""
    return ("nothing" if target_cloud_point >= summer_cloud_point
            else "ask" if missing(winter_fuel_helps) and target_cloud_point >= number_1_cloud_point
            else "out_of_reach" if missing(mostly_winter_fuel)
            else "read_gauge" if missing(fuel_in_tank) or missing(fuel_to_burn_first)
            else "fill_up" if mostly_winter_fuel and fuel_to_burn_first == 0
            else "fill_up_twice" if mostly_winter_fuel
            else "fill_with_blend" if fuel_in_tank == 0
            else "add" if fuel_to_burn_first == 0 else "burn_first")


def colder_than_it_is_good_for(good_to_at_best: Fahrenheit, expected_low: Fahrenheit) -> FahrenheitRise:
    """How much colder it gets than a tank of nothing but that fuel is good for."""
    return max(0, good_to_at_best - expected_low)


def verdict(advice: str, colder_than_it_is_good_for: FahrenheitRise, little_colder: FahrenheitRise) -> str:
    """Fits: it can be blended now. Watch: ask, burn fuel first, or only a little colder. Against: out of reach. (Our own threshold.)"""
    return ("against" if advice == "out_of_reach" and colder_than_it_is_good_for > little_colder
            else "watch" if advice == "out_of_reach" or advice == "ask" or advice == "read_gauge" or advice == "burn_first"
            or advice == "fill_up_twice" else "fits")


def only_diesel() -> Caution:
    """Said with every answer: what never goes in."""
    return Caution("WARNING", "Gasoline or alcohol in diesel makes an explosive tank and ruins the fuel system.",
                   "Add only No. 1 diesel, winter diesel from the pump, or what the maker’s manual allows. "
                   "Kerosene must be undyed and 15 ppm sulfur.")


def additive() -> Caution:
    """Said with every answer: flow improvers."""
    return Caution("NOTICE", "A flow improver keeps wax crystals small; it hardly moves the cloud point.",
                   "Put it in before the fuel clouds, and only one the maker’s manual allows. Biodiesel raises the cloud point.")


def answer(advice: str, blend_is_guessed: bool, fuel_in_tank: Gallons | Missing, burn_down_to: Percent, fuel_tank_capacity: Gallons) -> str:
    """The sentence that says what to do."""
    return (("Your fuel is good for {expected_low}: add nothing." if advice == "nothing"
             else "Ask at the station what the pump sells and where it clouds: a tank full of No. 1 is good to about "
                  "{good_to_with_number_1}, of a pump’s blend perhaps only to {good_to_with_pump_blend}, our guess. "
                  "Until you know, park it warm at {expected_low}." if advice == "ask"
             else "Park it warm at {expected_low}, and ask at the station where its blend clouds: at {winter_cloud_point}, our guess, "
                  "a tank full of it is good to {good_to_at_best}, of No. 1 to {good_to_with_number_1}."
             if advice == "out_of_reach" and blend_is_guessed
             else "Park it warm at {expected_low}, or find colder-rated fuel: even a tank full of winter fuel is good only to "
                  "{good_to_at_best}." if advice == "out_of_reach"
             else "Read the fuel gauge first. Before {expected_low} comes, {winter_fuel_share} of what is in the tank must be winter fuel, "
                  "and how much to add goes by how much is in it." if advice == "read_gauge" or missing(fuel_in_tank)
             else "Fill it up with winter fuel before {expected_low} comes and drive it through to the filters: good to about "
                  "{good_to_after_filling}." if advice == "fill_up"
             else "Burn to a quarter, fill it up with winter fuel and drive it through: good to about {good_to_after_filling}. "
                  "Colder: the same once more, and park it warm."
             if advice == "fill_up_twice" and fuel_in_tank > burn_down_to / 100 * fuel_tank_capacity
             else "Fill it up with winter fuel and drive it through: good to about {good_to_after_filling}. "
                  "Colder: burn it down to a quarter, fill once more, and park it warm." if advice == "fill_up_twice"
             else "Fill with a blend that is {winter_fuel_share} winter fuel before {expected_low} comes: the tank is empty."
             if advice == "fill_with_blend"
             else "Burn {fuel_to_burn_first} of the {fuel_in_tank} in the tank first, then add {winter_fuel_to_add} of winter fuel, before "
                  "{expected_low} comes." if advice == "burn_first"
             else "Add {winter_fuel_to_add} of winter fuel to the {fuel_in_tank} in the tank before {expected_low} comes, and drive it "
                  "through to the filters.")
            + (" This takes the pump’s blend to cloud at {winter_cloud_point}, our guess: ask at the station."
               if blend_is_guessed and advice != "nothing" and advice != "out_of_reach" else ""))
