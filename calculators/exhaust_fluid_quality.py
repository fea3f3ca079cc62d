"""Is this DEF still good?"""

from calculators.engine.figures import Missing
from calculators.engine.named import between, missing, row_reaching
from calculators.engine.rules import Caution, Check
from calculators.engine.units import Count, Fahrenheit, KilogramsPerLiter, Months, Percent

HEADLINE = ("urea", "within_limits", "water_allowed", "urea_after_water", "shelf_life", "time_left")


def one_measurement_is_enough(density: KilogramsPerLiter | Missing, refractive_index: Count | Missing) -> Check:
    """give the density or the refractive index, not both."""
    return missing(density) or missing(refractive_index)


def urea(density: KilogramsPerLiter | Missing, refractive_index: Count | Missing,
         urea_table: dict[str, list[float]]) -> Percent | Missing:
    """Urea by mass, read between the published points of what you measured; good to about 1%."""
    return (between(density, urea_table["density"], urea_table["urea"]) if not missing(density)
            else between(refractive_index, urea_table["refractive_index"], urea_table["urea"]) if not missing(refractive_index)
            else Missing("neither density nor refractive index is told"))


def within_limits(density: KilogramsPerLiter | Missing, refractive_index: Count | Missing, def_density_low: KilogramsPerLiter,
                  def_density_high: KilogramsPerLiter, refractive_index_low: Count, refractive_index_high: Count) -> bool | Missing:
    """Whether what you measured lies within its own limits in the standard."""
    return (def_density_low <= density <= def_density_high if not missing(density)
            else refractive_index_low <= refractive_index <= refractive_index_high if not missing(refractive_index)
            else Missing("neither density nor refractive index is told"))


def density_of_this_fluid(urea: Percent, urea_table: dict[str, list[float]]) -> KilogramsPerLiter | Missing:
    """Its density, by the same points."""
    return between(urea, urea_table["urea"], urea_table["density"])


def urea_after_water(urea: Percent, density_of_this_fluid: KilogramsPerLiter, water_added: Percent,
                     water_density: KilogramsPerLiter) -> Percent | Missing:
    """The same urea in the mixture’s mass, once that share of its volume is water."""
    return (urea * (100 - water_added) * density_of_this_fluid
            / ((100 - water_added) * density_of_this_fluid + water_added * water_density))


def water_allowed(urea: Percent, density_of_this_fluid: KilogramsPerLiter, urea_low: Percent,
                  water_density: KilogramsPerLiter) -> Percent | Missing:
    """Water, as a share of the mixture, that brings it down to the lower limit."""
    return (density_of_this_fluid * (urea - urea_low)
            / (density_of_this_fluid * (urea - urea_low) + urea_low * water_density) * 100 if urea > urea_low else 0)


def shelf_life(storage_temperature: Fahrenheit, shelf_life_table: list[list[float]]) -> Months | Missing:
    """How long it keeps at that temperature; sources differ at the edges."""
    return (row_reaching(storage_temperature, shelf_life_table) if storage_temperature <= shelf_life_table[-1][0]
            else Missing("that hot it keeps for no stated time: have it tested before use"))


def time_left(shelf_life: Months, storage_time: Months) -> Months | Missing:
    """What is left of that; below zero it is too old."""
    return shelf_life - storage_time


def too_weak(water_added: Percent, urea_after_water: Percent | Missing, urea_low: Percent) -> bool:
    """Whether the water took more strength than it could give."""
    return water_added > 0 and (missing(urea_after_water) or urea_after_water < urea_low)


def verdict(within_limits: bool | Missing, too_weak: bool, water_added: Percent, time_left: Months | Missing,
            shelf_life_watch: Months) -> str:
    """Against: out of limits or too old. Watch: water went in, little time left, or stored too hot. (Our own threshold.)"""
    return ("against" if missing(within_limits) or not within_limits or too_weak
            else "watch" if missing(time_left)
            else "against" if time_left < 0
            else "watch" if water_added > 0 or time_left < shelf_life_watch else "fits")


def purity() -> Caution:
    """Said with every answer: what a strength test can’t see."""
    return Caution("NOTICE", "Strength is not purity.",
                   "A refractometer can’t see oil, dust or tap-water minerals, and a little of them poisons the catalyst. "
                   "If in doubt, don’t use it.")


def answer(within_limits: bool | Missing, too_weak: bool, time_left: Months | Missing, water_added: Percent) -> str:
    """The sentence that says what to do."""
    return ("Don’t use it: what you measured is outside the standard’s limits. Purity was not tested either."
            if missing(within_limits) or not within_limits
            else "Don’t use it, have it drained: with that water in it, it is too weak." if too_weak
            else "Have it tested before use: it was stored too hot to trust. Strength ok, purity not tested." if missing(time_left)
            else "Don’t use it: it is older than it keeps at that temperature. Strength ok, purity not tested." if time_left < 0
            else "Have it drained unless that water was demineralized: tap water’s minerals harm the catalyst. "
                 "Strength ok, purity not tested." if water_added > 0
            else "Use it up now or have it tested: it is at the end of its time. Strength ok, purity not tested." if time_left == 0
            else "Use it within {time_left}: strength ok, purity not tested.")
