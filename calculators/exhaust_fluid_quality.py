"""Is this DEF still good?"""

from calculators.engine.figures import Missing
from calculators.engine.named import between, missing, row_reaching
from calculators.engine.rules import Caution, Check
from calculators.engine.units import Count, Fahrenheit, KilogramsPerLiter, Months, Percent

HEADLINE = ("urea", "within_limits", "water_allowed", "urea_after_water", "shelf_life", "time_left")


def one_measurement_is_enough(density: KilogramsPerLiter | Missing, refractive_index: Count | Missing,
                              urea_reading: Percent | Missing) -> Check:
    """give one of the three: the density, the refractive index or the urea a refractometer reads."""
    return ((missing(density) and missing(refractive_index)) or (missing(density) and missing(urea_reading))
            or (missing(refractive_index) and missing(urea_reading)))


def urea(density: KilogramsPerLiter | Missing, refractive_index: Count | Missing, urea_reading: Percent | Missing,
         urea_table: dict[str, list[float]]) -> Percent | Missing:
    """Urea by mass: as the refractometer reads, or between the published points of what you measured; good to about 1%."""
    return (urea_reading if not missing(urea_reading)
            else between(density, urea_table["density"], urea_table["urea"]) if not missing(density)
            else between(refractive_index, urea_table["refractive_index"], urea_table["urea"]) if not missing(refractive_index)
            else Missing("not tested: nothing was measured"))


def within_limits(density: KilogramsPerLiter | Missing, refractive_index: Count | Missing, urea_reading: Percent | Missing,
                  def_density_low: KilogramsPerLiter, def_density_high: KilogramsPerLiter, refractive_index_low: Count,
                  refractive_index_high: Count, urea_low: Percent, urea_high: Percent) -> bool | Missing:
    """Whether what you measured lies within its own limits in the standard."""
    return (urea_low <= urea_reading <= urea_high if not missing(urea_reading)
            else def_density_low <= density <= def_density_high if not missing(density)
            else refractive_index_low <= refractive_index <= refractive_index_high if not missing(refractive_index)
            else Missing("not tested: nothing was measured"))


def out_of_limits(within_limits: bool | Missing) -> bool:
    """Whether it was measured, and failed."""
    return not missing(within_limits) and not within_limits


def close_to_limit(urea_reading: Percent | Missing, urea_low: Percent, urea_high: Percent, refractometer_doubt: Percent) -> bool:
    """Whether a refractometer reads so close to a limit that it must be set to zero and read again. (Our own threshold.)"""
    return not missing(urea_reading) and (urea_low - refractometer_doubt <= urea_reading <= urea_low + refractometer_doubt
                                          or urea_high - refractometer_doubt <= urea_reading <= urea_high + refractometer_doubt)


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


def too_weak(urea_after_water: Percent | Missing, water_added: Percent, urea_low: Percent) -> bool:
    """Whether the water took more strength than it could give."""
    return water_added > 0 and not missing(urea_after_water) and urea_after_water < urea_low


def verdict(out_of_limits: bool, too_weak: bool, water_added: Percent, time_left: Months | Missing,
            shelf_life_watch: Months) -> str:
    """Against: out of limits, or too weak by water. Watch: water went in, or its time is nearly or long over. (Our own threshold.)"""
    return ("against" if out_of_limits or too_weak
            else "watch" if water_added > 0 or missing(time_left) or time_left < shelf_life_watch else "fits")


def purity() -> Caution:
    """Said with every answer: what a strength test can’t see."""
    return Caution("NOTICE", "Strength is not purity.",
                   "A refractometer can’t see oil, dust or tap-water minerals, and a little of them poisons the catalyst. "
                   "If in doubt, take a fresh jug.")


def answer(out_of_limits: bool, too_weak: bool, within_limits: bool | Missing, time_left: Months | Missing, water_added: Percent,
           close_to_limit: bool) -> str:
    """The sentence that says what to do."""
    return (_use(out_of_limits, too_weak, within_limits, time_left, water_added)
            + (" It reads close to a limit: zero the refractometer with distilled water and read again." if close_to_limit else ""))


def _use(out_of_limits: bool, too_weak: bool, within_limits: bool | Missing, time_left: Months | Missing, water_added: Percent) -> str:
    if out_of_limits:
        return "Don’t use it: what you measured is outside the standard’s limits. Purity was not tested either."
    if too_weak:
        return "Don’t use it, have it drained: with that water in it, it is too weak."
    if water_added > 0:
        return ("Have it tested or drained: water went in, and nobody measured what is left." if missing(within_limits)
                else "Have it drained unless that water was demineralized: tap water’s minerals harm the catalyst. "
                     "Strength ok, purity not tested.")
    if missing(time_left):
        return "Have it tested before use: it was stored too hot to trust."
    if time_left < 0:
        return "Have it tested before use: it is older than it keeps at that temperature."
    if time_left == 0:
        return "Use it up now or have it tested: it is at the end of its time."
    return ("Not tested: by its age alone it keeps for another {time_left}. Measure it before you count on it." if missing(within_limits)
            else "Use it within {time_left}: strength ok, purity not tested.")
