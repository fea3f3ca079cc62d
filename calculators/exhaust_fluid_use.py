"""How much DEF do I use, and how far does a tank go?"""

from calculators.engine.figures import Missing
from calculators.engine.rules import Caution
from calculators.engine.units import Count, Days, Dollars, DollarsPerGallon, Gallons, Miles, MilesPerGallon, Months, Percent
from calculators.week import def_share_of_fuel as def_share_of_fuel

HEADLINE = ("range_left", "days_left", "def_share_of_fuel", "def_range", "fuel_tanks_per_def_tank", "def_cost_per_year")


def fuel_range(fuel_tank_capacity: Gallons, fuel_economy: MilesPerGallon) -> Miles:
    """A full fuel tank takes you this far."""
    return fuel_tank_capacity * fuel_economy


def def_range(def_tank_capacity: Gallons, fuel_economy: MilesPerGallon, def_share_of_fuel: Percent) -> Miles | Missing:
    """A full DEF tank lasts for this much driving."""
    return (def_tank_capacity * fuel_economy / (def_share_of_fuel / 100) if def_share_of_fuel > 0
            else Missing("this engine uses no DEF"))


def range_left(def_range: Miles, def_level: Percent) -> Miles | Missing:
    """What the gauge shows of that."""
    return def_range * def_level / 100


def days_left(range_left: Miles, distance_per_week: Miles, days_per_week: Days) -> Days | Missing:
    """Days until it is empty, at your week’s pace."""
    return range_left / distance_per_week * days_per_week if distance_per_week > 0 else Missing("nothing is driven")


def def_keeps(def_shelf_life_good: Months, days_per_month: Days) -> Days:
    """Well stored, DEF keeps this long."""
    return def_shelf_life_good * days_per_month


def fuel_tanks_per_def_tank(def_range: Miles, fuel_range: Miles) -> Count:
    """Fuel tanks to one tank of DEF."""
    return def_range / fuel_range


def def_per_year(distance_per_year: Miles, fuel_economy: MilesPerGallon, def_share_of_fuel: Percent) -> Gallons:
    """DEF for the year’s fuel."""
    return distance_per_year / fuel_economy * def_share_of_fuel / 100


def def_cost_per_year(def_per_year: Gallons, def_price: DollarsPerGallon) -> Dollars:
    """At your price."""
    return def_per_year * def_price


def two_fillers() -> Caution:
    """Said with every answer: the right filler."""
    return Caution("NOTICE", "DEF in the fuel tank ruins the fuel system.",
                   "The small filler marked DEF, often blue, takes DEF and nothing else. Wrong tank? Don’t turn the key.")


def spills() -> Caution:
    """Said with every answer: spilled DEF."""
    return Caution("NOTICE", "Spilled DEF eats bare steel and copper and dries to a white crust.",
                   "Rinse it with water, off the truck and off your hands and eyes. Add nothing to it.")


def answer(days_left: Days | Missing, def_level: Percent, def_share_of_fuel: Percent, def_keeps: Days) -> str:
    """The sentence that says what to do."""
    return ("By these numbers the engine uses no DEF, so there is none to fill or plan: check them." if def_share_of_fuel == 0
            else "Fill DEF now: the tank is empty." if def_level == 0
            else "Your DEF lasts {range_left}; plan on {def_per_year} a year." if isinstance(days_left, Missing)
            else "Test or replace your DEF once it is {def_shelf_life_good} old: what is left would last {days_left}, longer than it keeps."
            if days_left > def_keeps
            else "Fill DEF within {days_left}: what is left lasts about {range_left}.")
